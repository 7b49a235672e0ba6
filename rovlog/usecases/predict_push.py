"""What each thruster ought to do on a push, and whether an observation agrees."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from rovlog.domain.dive import Entry, Record
from rovlog.problems import RovlogError
from rovlog.usecases.logbook import Logbook

STILL_BELOW = 0.08
"""A thruster is still below this share of its command."""


def predicted_push(resolved: Mapping[str, Any], push: Mapping[str, float]) -> dict[str, str]:
    """Per thruster: ahead (along its thrust direction), astern or still, through shaping and trims."""
    from rovlog.documents.configuration import configuration
    from rovlog.domain.allocation.response import response_to_sticks

    typed = configuration(resolved)
    found = response_to_sticks(typed, push)
    words = {}
    for thruster in typed.thrusters:
        command = thruster.sign * found.channels.get(thruster.channel, 0.0)
        if abs(command) < STILL_BELOW:
            words[thruster.thruster] = "still"
        else:
            words[thruster.thruster] = "ahead" if command > 0 else "astern"
    return words


def observation_agrees(logbook: Logbook, record: Record, entry: Entry) -> bool | None:
    """True where all that was seen is as predicted, False where not, None where it cannot be told."""
    count = mismatches(logbook, record, entry)
    return None if count is None else count == 0


def mismatches(logbook: Logbook, record: Record, entry: Entry) -> int | None:
    """How many thrusters were seen doing what is not predicted; None where it cannot be told."""
    from rovlog.usecases.audit_history import as_flown_of

    flown = as_flown_of(logbook, record)
    if flown.resolved is None:
        return None
    try:
        predicted = predicted_push(flown.resolved, dict(entry.fields.get("push") or {}))
    except RovlogError:
        # A configuration that cannot be computed predicts nothing, so nothing can be told from it.
        return None
    seen = {k: v for k, v in dict(entry.fields.get("seen") or {}).items() if v != "unseen" and k in predicted}
    if not seen:
        return None
    return sum(1 for k, v in seen.items() if predicted[k] != v)
