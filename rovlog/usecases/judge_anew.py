"""A corrected answer judged anew: whether it passes is the program's word, not that of who corrects it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from rovlog.domain.dive import Entry, Record
from rovlog.usecases.logbook import Logbook


def said_failed(entry: Entry) -> bool:
    """True where a person said that it failed; False where a limit that was broken said so."""
    if entry.fields.get("outcome") != "fail":
        return False
    rows = [r for r in entry.fields.get("limits") or () if isinstance(r, Mapping)]
    return not any(_is_broken(r) for r in rows)


def judged_anew(logbook: Logbook, record: Record, entry: Entry, changes: Mapping[str, Any]) -> dict[str, Any]:
    """The outcome and the limits of an answer with other values; {} where nothing has to be judged.

    An answer that a person said has failed stays failed until the outcome is corrected too.
    """
    from rovlog.usecases.answered_values import judged_values, limit_row
    from rovlog.usecases.dive_state import dive_state

    values = changes.get("values")
    if entry.kind != "check" or not isinstance(values, Mapping):
        return {}
    state = dive_state(logbook, record)
    item = state.fold.items.get(str(entry.fields.get("item", "")))
    if item is None:
        return {}
    judged = judged_values(item, values, state)
    rows = [limit_row(j) for j in judged if j.limit is not None]
    found: dict[str, Any] = {"limits": rows} if rows or entry.fields.get("limits") else {}
    if "outcome" not in changes:
        is_broken = any(j.passed is False for j in judged)
        found["outcome"] = "fail" if is_broken or said_failed(entry) else "pass"
    return found


def _is_broken(row: Mapping[str, Any]) -> bool:
    margin = row.get("margin")
    return isinstance(margin, int | float) and margin < 0
