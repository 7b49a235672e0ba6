"""Setting an item of a checklist aside: put off to a later moment, or not applicable today."""

from __future__ import annotations

from rovlog.domain.dive import Record
from rovlog.problems import UsageError
from rovlog.usecases.dive_state import dive_state
from rovlog.usecases.find_item import find_item, refuse_held
from rovlog.usecases.logbook import Logbook
from rovlog.usecases.one_line import require_text
from rovlog.usecases.recording import Written, append


def defer_item(
    logbook: Logbook,
    record: Record,
    name: str,
    *,
    by: str,
    reason: str,
    until: str | None = None,
    at: str | None = None,
) -> Written:
    """Put an item off, with who, why and by when; it comes back at the end and at the last look."""
    require_text("reason", reason)
    now = dive_state(logbook, record)
    item = find_item(now, name)
    refuse_held(now, item)
    fields = {"item": item.item, "reason": reason, "until": until or "launch"}
    return append(logbook, record, "deferral", by, fields, at=at)


def item_not_applicable(
    logbook: Logbook, record: Record, name: str, *, by: str, reason: str, at: str | None = None
) -> Written:
    """Say why an item does not apply today; what always stops applies unless the configuration says not."""
    require_text("reason", reason)
    now = dive_state(logbook, record)
    item = find_item(now, name)
    if item.stops == "always":
        raise UsageError(
            f"{item.challenge} always stops the dive; only the configuration can make it not apply",
            "answer it, or change the configuration under control",
        )
    return append(logbook, record, "not-applicable", by, {"item": item.item, "reason": reason}, at=at)
