"""Which files hold a vehicle's last records, judged by their names alone."""

from __future__ import annotations

import re
from collections.abc import Iterable


def newest_files(names: Iterable[str], vehicle: str, count: int) -> list[str]:
    """The files of a vehicle's last `count` dives and work records, by the day that stands in every id."""
    form = re.compile(rf"{re.escape(vehicle)}-(?:work-)?([0-9]{{8}})-[a-z]{{4}}(?=\.)")
    day: dict[str, str] = {}
    files: dict[str, list[str]] = {}
    for name in names:
        found = form.match(name.rpartition("/")[2])
        if found:
            day[found[0]] = found[1]
            files.setdefault(found[0], []).append(name)
    last = sorted(day, key=lambda record: (day[record], record))[-count:]
    return [name for record in last for name in files[record]]
