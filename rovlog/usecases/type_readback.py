"""A readback typed from the box's own display, or read from a file of values, as a record entry."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from rovlog.domain.dive import Record
from rovlog.problems import UsageError
from rovlog.usecases.dive_steps import log_readback
from rovlog.usecases.logbook import Logbook
from rovlog.usecases.one_line import require_word
from rovlog.usecases.recording import Written

KEYS = ("steering_scheme", "thruster_map", "trim", "power_limit")


def type_readback(
    logbook: Logbook,
    record: Record,
    *,
    by: str,
    in_use: Mapping[str, Any],
    stored: Mapping[str, Any] | None = None,
    box: str | None = None,
    firmware: str | None = None,
    boots: int | None = None,
    uptime_s: float | None = None,
    source: str = "paper",
    at: str | None = None,
) -> Written:
    """Record a readback. Box and firmware default to the vehicle's box as it is on file.

    Numbers must stand in the box's tables or they are refused by name; a number that the tables do
    not know would be read as nothing at all.
    """
    require_word("source", source, ("paper", "box-read"))
    chosen = box or record.box or logbook.vehicle(record.vehicle)["control_box"]["box"]
    document = logbook.box(chosen)
    version = firmware or document["firmware"]
    tables = document if version == document["firmware"] else document.get("other_firmwares", {}).get(version)
    if tables is None:
        known = [document["firmware"], *document.get("other_firmwares", {})]
        raise UsageError(
            f"the record of {chosen} has no code tables for firmware {version}",
            f"known are {', '.join(known)}; add it under other_firmwares in boxes/{chosen}.yaml",
        )
    for values in (in_use, stored or {}):
        for key in values:
            require_word("readback value", key, KEYS)
        for key, table in (("steering_scheme", "steering_schemes"), ("thruster_map", "thruster_maps")):
            if key in values and str(values[key]) not in tables[table]:
                words = key.replace("_", " ")
                raise UsageError(
                    f"{chosen} has no {words} {values[key]} in firmware {version}",
                    "known are: " + ", ".join(tables[table]) + "; read the number again",
                )
    fields = {
        "box": chosen,
        "firmware": version,
        "boots": boots,
        "uptime_s": uptime_s,
        "in_use": dict(in_use),
        "stored": dict(stored) if stored is not None else None,
        "source": source,
    }
    return log_readback(logbook, record, fields, by=by, at=at)
