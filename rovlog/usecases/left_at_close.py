"""What a dive or work record would be closed over."""

from __future__ import annotations

from rovlog.domain.dive import Record
from rovlog.usecases.dive_state import dive_state
from rovlog.usecases.logbook import Logbook


def left_at_close(logbook: Logbook, record: Record) -> tuple[str, ...]:
    """What a record is closed over, in words: groups with open items or without their call, and faults.

    A record may be closed all the same; it only must not happen without a word.
    """
    from rovlog.domain.checks.checklist import names_of

    state = dive_state(logbook, record)
    phases = {c.checklist: c.phase for c in state.lists}
    wanted = ("recovery", "post-dive") if record.kind == "dive" else ("after-fault",)
    left = []
    for group in state.groups:
        if phases.get(group.checklist) not in wanted or group.is_complete:
            continue
        if group.unsettled:
            open_items = [state.fold.items[name] for name in group.unsettled]
            left.append(
                f"{group.title}: open {'is' if len(open_items) == 1 else 'are'} {names_of(open_items)}"
            )
        elif record.kind == "dive":
            left.append(f"{group.title}: the completion call is missing")
    if state.quarantine is not None and record.kind == "dive":
        left.append("the vehicle stays in quarantine")
    return tuple(left)
