"""The candidates for blame: changes of every kind that were in force on some dives and not on others."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import Any, Literal

from rovlog.domain.audit.flights import Flight, Happening, Logbook
from rovlog.domain.audit.history import Change, inside
from rovlog.domain.audit.times import or_last
from rovlog.domain.drift.leaves import Difference, differences, is_same
from rovlog.domain.drift.swap import causes
from rovlog.domain.drift.words import place_words, value_words
from rovlog.values import dataclass

Kind = Literal["value", "part", "event", "crew", "place"]


@dataclass(frozen=True, slots=True)
class Suspect:
    """One change. `in_force` are the positions of its dives in the logbook, from 0.

    `pointer`, `before` and `after` are set for values; `commit` is the first that brought the value in,
    "" where no file did. `slug` is an event's, "work" for a whole piece of work, a role or a place
    otherwise; `part` is what an event names. `since` is the position of the first dive in force.
    """

    what: str
    kind: Kind
    in_force: frozenset[int]
    pointer: str = ""
    before: Any = None
    after: Any = None
    commit: str = ""
    slug: str = ""
    part: str = ""

    @property
    def since(self) -> int:
        """Position of the first dive in force."""
        return min(self.in_force)


def suspects_in(logbook: Logbook, changes: Sequence[Change] = ()) -> tuple[Suspect, ...]:
    """Every suspect in force on at least one dive and not on all of them.

    A value counts from the dive it came in by a change; what a vehicle began with is no change. People,
    places and parts count whenever they are there, since they come and go. An event counts from the
    next dive on, until the same event at the same named part replaces what it did.
    """
    every = [*_values(logbook.flights, changes), *_parts(logbook.flights), *_events(logbook.flights),
             *_people(logbook.flights), *_places(logbook.flights)]  # fmt: skip
    return tuple(s for s in every if 0 < len(s.in_force) < len(logbook.flights))


def _values(flights: Sequence[Flight], changes: Sequence[Change]) -> Iterable[Suspect]:
    found: list[tuple[str, Any, Any, set[int]]] = []
    open_at: dict[str, list[int]] = {}
    last: Mapping[str, Any] | None = None
    for position, flight in enumerate(flights):
        resolved = flight.as_flown.resolved
        if resolved is None:
            continue
        for pointer, old, new in _came_in(last, flight):
            rows = open_at.setdefault(pointer, [])
            if not any(is_same(found[r][2], new) for r in rows):
                rows.append(len(found))
                found.append((pointer, old, new, set()))
        for pointer, rows in open_at.items():
            flew = flight.as_flown.flew(pointer)
            for row in rows:
                if any(is_same(found[row][2], value) for value in flew):
                    found[row][3].add(position)
        last = resolved
    brought = _bringers(changes)
    for pointer, old, new, in_force in found:
        if not in_force:
            continue
        what = f"{place_words(pointer)}: {value_words(pointer, old)} to {value_words(pointer, new)}"
        yield Suspect(what, "value", frozenset(in_force), pointer, old, new, brought(pointer, new))


def _came_in(last: Mapping[str, Any] | None, flight: Flight) -> list[Difference]:
    resolved = flight.as_flown.resolved
    came = [] if last is None or resolved is None else causes(differences(last, resolved))
    for pointer, values in flight.as_flown.values.items():
        came += [(pointer, values[0], v) for v in values[1:] if not is_same(v, values[0])]
    return [(p, old, _as_flown(p, new)) for p, old, new in came]


def _as_flown(pointer: str, value: Any) -> Any:
    """A trim that went away is a trim of 0."""
    is_number = isinstance(value, int | float)
    return 0.0 if pointer.startswith("/trim_defaults/") and not is_number else value


def _bringers(changes: Sequence[Change]) -> Callable[[str, Any], str]:
    ordered = sorted(changes, key=lambda c: or_last(c.at))

    def brought(pointer: str, value: Any) -> str:
        for change in ordered:
            for place, _, new in change.differences:
                inner = inside(place, new, pointer)
                if inner is not None and is_same(inner, value):
                    return change.commit
        return ""

    return brought


def _parts(flights: Sequence[Flight]) -> Iterable[Suspect]:
    for (place, part), in_force in _present(flights, lambda f: f.parts.items()).items():
        yield Suspect(f"part {part} fitted as {place}", "part", in_force, after=part, slug=place)


def _people(flights: Sequence[Flight]) -> Iterable[Suspect]:
    pairs = _present(flights, lambda f: ((role, p) for role, people in f.crew.items() for p in people))
    for (role, person), in_force in pairs.items():
        yield Suspect(f"{person} as {role}", "crew", in_force, after=person, slug=role)


def _places(flights: Sequence[Flight]) -> Iterable[Suspect]:
    for (key, value), in_force in _present(flights, lambda f: f.place.items()).items():
        words = f"at {value}" if key == "site" else f"in {value} water"
        yield Suspect(words, "place", in_force, after=value, slug=key)


def _present(
    flights: Sequence[Flight], of: Callable[[Flight], Iterable[tuple[str, str]]]
) -> dict[tuple[str, str], frozenset[int]]:
    seen: dict[tuple[str, str], set[int]] = {}
    for position, flight in enumerate(flights):
        for pair in of(flight):
            seen.setdefault(pair, set()).add(position)
    return {pair: frozenset(positions) for pair, positions in seen.items()}


def _events(flights: Sequence[Flight]) -> Iterable[Suspect]:
    at: list[tuple[int, Happening]] = []
    for position, flight in enumerate(flights):
        at += [(position, h) for h in flight.before]
        at += [(position + 1, h) for h in flight.after]
    for index, (since, happening) in enumerate(at):
        until = next((p for p, later in at[index + 1 :] if _replaces(later, happening)), len(flights))
        slug = "work" if happening.kind == "work" else happening.what
        named = f"{happening.text} ({happening.part})" if happening.part else happening.text
        day = happening.at[:10]
        what = f"{named}, {day}" + (f", in {happening.record}" if happening.kind == "work" else "")
        yield Suspect(
            what, "event", frozenset(range(since, until)), after=happening.record, slug=slug,
            part=happening.part,
        )  # fmt: skip


def _replaces(later: Happening, earlier: Happening) -> bool:
    is_same_event = later.kind == earlier.kind == "event" and later.what == earlier.what
    return is_same_event and bool(earlier.part) and later.part == earlier.part
