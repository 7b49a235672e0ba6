"""What flew when: the dives with a value, and the life of a field as written, approved and flown."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from rovlog.domain.audit.flights import Logbook
from rovlog.domain.audit.flown import flown_value
from rovlog.domain.audit.times import or_last
from rovlog.domain.drift.leaves import ABSENT, Difference, is_same, value_at
from rovlog.values import dataclass, field


@dataclass(frozen=True, slots=True)
class Change:
    """One commit as it changed a vehicle's resolved configuration; `differences` may be empty."""

    commit: str
    author: str
    at: str
    message: str
    differences: tuple[Difference, ...] = ()


@dataclass(frozen=True, slots=True)
class ApprovalNote:
    """One approval, with its resolved object; `withdrawn` is the reason where it was withdrawn."""

    revision: int
    digest: str
    at: str
    by: str
    reason: str
    resolved: Mapping[str, Any] = field(default_factory=dict)
    withdrawn: str | None = None
    withdrawn_at: str = ""


@dataclass(frozen=True, slots=True)
class FlownValue:
    """One dive with the values it flew with at a pointer; `source` vouches for the last of them."""

    dive: str
    number: int
    started: str
    values: tuple[Any, ...]
    source: str


def flown(logbook: Logbook, pointer: str, value: Any = None) -> tuple[FlownValue, ...]:
    """Which dives flew with a value at a pointer; every dive whose value is known where `value` is None."""
    found = []
    for flight in logbook.flights:
        values = flight.as_flown.flew(pointer)
        if values and (value is None or any(_is_the(v, value) for v in values)):
            source = flight.as_flown.sources.get(pointer, "baseline")
            found.append(FlownValue(flight.dive, flight.number, flight.started, values, source))
    return tuple(found)


@dataclass(frozen=True, slots=True)
class FieldValue:
    """One stretch of a field's life: written down, approved, and really in the water.

    `at`, `by`, `commit`, `message` are of the writing ("" where no file ever held it: it came from the
    box or the pilot, and `source` says from whom). `dives` flew with it, the first of them `first_dive`.
    Of a value that no file ever held `set_*` say when, by whom, in which dive and why it was first set
    or found.
    """

    value: Any
    source: str
    at: str
    by: str
    commit: str
    message: str
    revision: int | None
    approved_at: str
    approved_by: str
    reason: str
    first_dive: str
    first_in_water: str
    dives: tuple[str, ...]
    set_at: str = ""
    set_by: str = ""
    set_in: str = ""
    set_why: str = ""


def field_history(
    logbook: Logbook, pointer: str, changes: Sequence[Change], approvals: Sequence[ApprovalNote]
) -> tuple[FieldValue, ...]:
    """Every value a field has had, in the order in which it was first heard of."""
    written = [
        (change, value)
        for change in sorted(changes, key=lambda c: or_last(c.at))
        for place, _, new in change.differences
        if (value := inside(place, new, pointer)) is not None
    ]
    values: list[Any] = []
    for _, value in written:
        _add(values, value)
    for approval in sorted(approvals, key=lambda a: a.revision):
        _add(values, flown_value(approval.resolved, pointer))
    for flight in logbook.flights:
        for value in flight.as_flown.flew(pointer):
            _add(values, value)
    rows = []
    for value in values:
        commits = [c for c, new in written if is_same(new, value)]
        rows.append(_field_value(value, logbook, pointer, commits, approvals))
    return tuple(sorted(rows, key=lambda r: min(or_last(t) for t in (r.at, r.approved_at, r.first_in_water))))


def _field_value(
    value: Any, logbook: Logbook, pointer: str, changes: Sequence[Change], approvals: Sequence[ApprovalNote]
) -> FieldValue:
    change = changes[0] if changes else None
    approval = next((a for a in sorted(approvals, key=lambda a: a.revision)
                     if is_same(flown_value(a.resolved, pointer), value)), None)  # fmt: skip
    dives = [f for f in logbook.flights if any(is_same(v, value) for v in f.as_flown.flew(pointer))]
    source = "file"
    origin: tuple[str, ...] = ()
    if not change and not approval and dives:
        source = dives[0].as_flown.sources.get(pointer, "baseline")
        said = [e for v, e in dives[0].as_flown.origins.get(pointer, ()) if is_same(v, value)]
        if said:
            source = said[0].kind
            why = str(said[0].fields.get("reason") or said[0].fields.get("text") or "")
            origin = (said[0].at, said[0].by, dives[0].dive, why)
    return FieldValue(
        value,
        source,
        change.at if change else "",
        change.author if change else "",
        change.commit if change else "",
        change.message if change else "",
        approval.revision if approval else None,
        approval.at if approval else "",
        approval.by if approval else "",
        approval.reason if approval else "",
        dives[0].dive if dives else "",
        dives[0].started if dives else "",
        tuple(f.dive for f in dives),
        *origin,
    )


def _is_the(flown_one: Any, asked: Any) -> bool:
    """Equal, also where a person typed the number as text."""
    return is_same(flown_one, asked) or (isinstance(asked, str) and _typed(flown_one) == asked)


def _typed(value: Any) -> str:
    return f"{value:g}" if isinstance(value, float) else str(value)


def inside(place: str, new: Any, pointer: str) -> Any:
    """The value at `pointer` after a change at `place`; None where the change does not concern it."""
    if place != pointer and not pointer.startswith(place + "/"):
        return None
    value = new if place == pointer else value_at(new, pointer[len(place) :])
    return 0.0 if value is ABSENT and pointer.startswith("/trim_defaults/") else value


def _add(values: list[Any], value: Any) -> None:
    if not any(is_same(value, known) for known in values):
        values.append(value)
