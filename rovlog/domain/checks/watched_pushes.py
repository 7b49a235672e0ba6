"""Which pushes of the function test a record holds since its answers were last voided."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Literal

from rovlog.domain.checks.happenings import Known, Policy, happenings
from rovlog.domain.checks.moments import Moment
from rovlog.domain.checks.validity import instant
from rovlog.domain.diagnosis.function_test import PushName, name_of
from rovlog.domain.dive import Entry, Record

VOIDING = frozenset({"configuration-changed", "box-changed", "connector-parted", "thruster-touched", "fault"})
"""Events after which pushes have to be watched again: the wiring, the setup or a thruster may be another."""

Medium = Literal["dry", "wet"]


def since_voided(record: Record, policy: Policy) -> tuple[Entry, ...]:
    """The observations of a record after the last event that voids the function test, in order."""
    known = Known()
    found: list[Entry] = []
    for entry in record.entries:
        moment = Moment(entry, record.id, record.kind, instant(entry.at))
        if any(h.event in VOIDING for h in happenings(moment, known, policy)):
            found = []
        if entry.kind == "observation":
            found.append(entry)
    return tuple(found)


def watched(observations: Iterable[Entry], medium: Medium | None = None) -> frozenset[PushName]:
    """The pushes of one control that were watched: at least one thruster was seen; a push twice is one."""
    found = set()
    for entry in observations:
        fields = entry.fields
        if medium is not None and fields.get("medium", "wet") != medium:
            continue
        name = name_of(dict(fields.get("push") or {}))
        if name is not None and any(word != "unseen" for word in dict(fields.get("seen") or {}).values()):
            found.add(name)
    return frozenset(found)
