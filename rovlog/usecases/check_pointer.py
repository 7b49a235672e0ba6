"""Whether a pointer that a person typed leads anywhere in a vehicle's configurations, past or present."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

from rovlog.problems import RovlogError, UsageError
from rovlog.usecases.logbook import Logbook

if TYPE_CHECKING:
    from rovlog.usecases.audit_history import VehicleHistory

NOT_IN_FILES = ("/power_limit",)
"""Places that only a box or a pilot speaks of: absent in every file, and full there."""


def check_pointer(logbook: Logbook, pointer: str, history: VehicleHistory) -> None:
    """Raise UsageError for what is no pointer, and for a place that no configuration of this vehicle has.

    A place that a file may have and that stands in none is fine, and so is a thruster or a housing that
    was there once. A name that nobody ever gave to one, and a key that no file may have, are slips: the
    nearest pointer is in the mend.
    """
    from rovlog.documents.pointer import MISSING, find, tokens
    from rovlog.documents.schema_places import missing_step, takes_any_name

    path = tokens(pointer)
    if not path:
        raise UsageError(
            "the empty pointer is the whole configuration", "name one place, as /electrical/fuse/rating_a"
        )
    if pointer in NOT_IN_FILES:
        return
    known = _configurations(logbook, history)
    if any(find(one, pointer) is not MISSING for one in known) or _was_written(history, pointer):
        return
    schema: Mapping[str, Any] = logbook.book.shipped.schemas()["approval"]
    node: Any = schema["$defs"]["configuration"]
    miss = missing_step(schema, node, path)
    end = len(path) if miss is None else miss[0]
    for index in range(end):
        if takes_any_name(schema, node, path[:index]):
            names = _names_at(known, path[:index])
            if names and path[index] not in names:
                raise _nowhere(history.vehicle, path, index, names)
    if miss is not None:
        raise _nowhere(history.vehicle, path, *miss)


def _configurations(logbook: Logbook, history: VehicleHistory) -> list[Mapping[str, Any]]:
    """Every configuration that is known of the vehicle: in the files, approved, flown."""
    from rovlog.usecases.configurations import working

    found = [a.resolved for a in history.approvals]
    found += [f.as_flown.resolved for f in history.flights.flights if f.as_flown.resolved is not None]
    try:
        found.append(working(logbook, history.vehicle).resolved)
    except RovlogError:
        # Broken or missing files are told by whoever needs them; the past is asked all the same.
        return found
    return found


def _was_written(history: VehicleHistory, pointer: str) -> bool:
    """True where a commit of the files had something there."""
    from rovlog.documents.pointer import MISSING, find

    return any(
        pointer == place
        or (pointer.startswith(f"{place}/") and find(value, pointer[len(place) :]) is not MISSING)
        for change in history.changes
        for place, before, after in change.differences
        for value in (before, after)
    )


def _names_at(known: Sequence[Mapping[str, Any]], path: Sequence[str]) -> list[str]:
    from rovlog.documents.pointer import find
    from rovlog.domain.checks.defaults import LIMITS

    here = _pointer(path)
    groups = [find(one, here) for one in known]
    names = {name for group in groups if isinstance(group, Mapping) for name in group}
    return sorted(names | set(LIMITS) if here == "/limits" else names)


def _nowhere(vehicle: str, path: Sequence[str], index: int, names: Sequence[str]) -> UsageError:
    from rovlog.domain.nearest import nearest

    above = _pointer(path[:index])
    near = nearest(path[index], names)
    if near is not None:
        mend = f"did you mean {_pointer([*path[:index], near, *path[index + 1 :]])}?"
    elif names:
        mend = f"{above or 'a configuration'} has: " + ", ".join(names)
    else:
        mend = f"{above} has nothing inside; stop there"
    return UsageError(f"no configuration of {vehicle} has anything at {_pointer(path)}", mend)


def _pointer(path: Sequence[str]) -> str:
    from rovlog.domain.drift.leaves import escaped

    return "".join(f"/{escaped(token)}" for token in path)
