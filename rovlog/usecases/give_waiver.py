"""Written leave to go on with something that stops a dive: for an item, a deviation or a finding."""

from __future__ import annotations

from datetime import datetime

from rovlog.domain.checks.validity import end_of_day, instant
from rovlog.domain.dive import Record
from rovlog.problems import UsageError
from rovlog.usecases.dive_state import DiveState, dive_state
from rovlog.usecases.find_item import find_item
from rovlog.usecases.list_control import CHANGED, CLEARS
from rovlog.usecases.logbook import Logbook
from rovlog.usecases.one_line import require_text, require_word
from rovlog.usecases.recording import Written, append


def waive_item(
    logbook: Logbook,
    record: Record,
    *,
    by: str,
    reason: str,
    until: str,
    item: str | None = None,
    pointer: str | None = None,
    stop: str | None = None,
    at: str | None = None,
) -> Written:
    """Give written leave for one item, deviation (by pointer) or stop: by the supervisor, with a reason
    and an end, never for what always stops."""
    logbook.person(by)
    now = dive_state(logbook, record)
    _refuse_other_than_supervisor(logbook, now, by)
    if item is not None:
        item = waivable_item(now, item)
    if stop is not None:
        refuse_stop(now, stop)
    if pointer is not None:
        refuse_pointer(now, pointer)
    require_text("reason", reason)
    if sum(x is not None for x in (item, pointer, stop)) != 1:
        raise UsageError("a waiver names one thing", "give an item, --pointer POINTER or --stop NAME")
    check_until(until, at or logbook.book.clock.now())
    fields = {"item": item, "pointer": pointer, "stop": stop, "reason": reason, "until": until}
    return append(logbook, record, "waiver", by, fields, at=at)


def _refuse_other_than_supervisor(logbook: Logbook, state: DiveState, by: str) -> None:
    from rovlog.domain.checks.walk import is_entitled, is_supervisor

    if is_supervisor(state.fold, by):
        return
    name = logbook.person_name(by)
    if state.crew.get("supervisor") in (None, by) and not is_entitled(state.fold, by):
        raise UsageError(
            f"{name} may not waive: that is for a supervisor, a role the logbook does not give {name}",
            "ask one who has it, or give the role in logbook.yaml",
        )
    raise UsageError(
        f"{name} may not waive: that is for the supervisor of this crew",
        f"ask {logbook.person_name(state.crew['supervisor'])}, or say that the crew changed",
    )


def waivable_item(state: DiveState, name: str) -> str:
    """The id of an item named by its id or code; UsageError where it is not there, or always stops."""
    found = find_item(state, name)
    changed = next((f for f in state.findings if f.finding == f"{CHANGED}{found.checklist}"), None)
    if changed is not None:
        raise UsageError(f"{found.challenge} is not waived: {changed.text}", changed.clears)
    if found.stops == "always":
        raise UsageError(f"{found.challenge} always stops the dive: there is no waiver for it", "answer it")
    return found.item


def refuse_stop(state: DiveState, name: str) -> None:
    """Raise UsageError for a stop that is not there, or that only its item or a release can clear."""
    names = [f.finding for f in state.findings if f.severity == "stops"]
    if state.drift is not None:
        names += [f.finding for f in state.drift.report.stops]
    if name.startswith(CHANGED):
        raise UsageError(f"{name} cannot be waived", CLEARS.format(list=name.removeprefix(CHANGED)))
    if name in names:
        return
    if name in state.items:
        raise UsageError(f"{name} is an item", "name it as the item: waive DIVE ITEM …")
    if any(s.id == name for s in state.stops):
        raise UsageError(f"{name} cannot be waived", "its line in `dive show` says what clears it")
    require_word("stop that may be waived", name, names or ["none"])


def refuse_pointer(state: DiveState, pointer: str) -> None:
    """Raise UsageError where neither the configuration nor the drift has anything at the pointer."""
    from rovlog.documents.pointer import MISSING, find

    rows = state.drift.report.deviations if state.drift is not None else ()
    known = [d.pointer for d in rows]
    if pointer not in known and (not pointer or find(state.resolved, pointer) is MISSING):
        mend = "deviations are at: " + ", ".join(known) if known else "there is no deviation"
        raise UsageError(f"nothing stands at {pointer!r}", mend)


def check_until(until: str, given_at: str) -> None:
    """Raise UsageError for an end of a waiver that is neither `dive`, nor a day, nor a time, or that is
    past at `given_at` (RFC 3339): such a waiver would be kept and never hold."""
    if until == "dive":
        return
    given = instant(given_at)
    ends = instant(until) or _end_of_day(until, given)
    if ends is None:
        raise UsageError(
            f"{until!r} is no end of a waiver", "write dive, a day as 2026-06-14, or an RFC 3339 time"
        )
    if given is not None and ends < given:
        raise UsageError(
            f"a waiver until {until} would be over before it is given", "write dive, or a day still to come"
        )


def _end_of_day(text: str, given: datetime | None) -> datetime | None:
    try:
        day = datetime.fromisoformat(text) if len(text) == 10 else None
    except ValueError:
        return None
    return None if day is None or given is None else end_of_day(day.replace(tzinfo=given.tzinfo))
