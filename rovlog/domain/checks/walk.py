"""What the walk over a vehicle's entries keeps: a track for each item, the open faults, what is known."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime
from typing import Any

from rovlog.domain.checks.checklist import Checklist, Item
from rovlog.domain.checks.happenings import Known, Policy, flat
from rovlog.domain.checks.moments import Moment
from rovlog.values import dataclass, field, replace


@dataclass(slots=True)
class Track:
    """What is known of one item: the round of answers that counts, and what ended it.

    `first` and `second` are the answers of a round; `void` says what voided it ("" while it holds),
    `setup_over` what ended the setup it was given in, `again` that a pause asks for it again.
    """

    first: Moment | None = None
    second: Moment | None = None
    is_alone: bool = False
    void: str = ""
    setup_over: str = ""
    again: str = ""
    running_s: float = 0.0
    digest: str = ""
    deferral: Moment | None = None
    excused: Moment | None = None
    waivers: tuple[Moment, ...] = ()

    @property
    def is_held(self) -> bool:
        """True while there is an answer that nothing voided."""
        return self.first is not None and not (self.void or self.again)


@dataclass(frozen=True, slots=True)
class OpenFault:
    """A fault that keeps the vehicle in quarantine. `left` are the items still to be redone, `last` those
    that are answered with the count of them and so come after;
    `repairers` who worked on it, `people` who was there; `refused` why a release did not count."""

    moment: Moment
    symptom: str
    part: str
    left: frozenset[str]
    last: frozenset[str] = frozenset()
    repairers: frozenset[str] = frozenset()
    people: frozenset[str] = frozenset()
    refused: str = ""


@dataclass(slots=True)
class Fold:
    """The state of the walk. `order` holds the items of all lists; `now` is what ages are judged at.

    `has_come_out` is True once the vehicle was in the water on this record and is out of it again.
    """

    lists: tuple[Checklist, ...]
    items: Mapping[str, Item]
    resolved: Mapping[str, Any]
    roles: Mapping[str, frozenset[str]]
    policy: Policy
    known: Known
    tracks: dict[str, Track]
    record: str = ""
    record_kind: str = ""
    now: datetime | None = None
    faults: tuple[OpenFault, ...] = ()
    fitted_to: dict[str, str] = field(default_factory=dict)
    pause: Moment | None = None
    last_answer: str = ""
    launched: Moment | None = None
    has_left_surface: bool = False
    has_come_out: bool = False
    running_s: float = 0.0
    powered_at: datetime | None = None
    completions: dict[tuple[str, str], Moment] = field(default_factory=dict)
    last_at: datetime | None = None

    def copy(self) -> Fold:
        """A copy that can walk on by itself."""
        return replace(
            self,
            known=self.known.copy(),
            tracks={k: replace(t) for k, t in self.tracks.items()},
            fitted_to=dict(self.fitted_to),
            completions=dict(self.completions),
        )


def begin(
    lists: Sequence[Checklist],
    resolved: Mapping[str, Any],
    roles: Mapping[str, frozenset[str]] | None = None,
    policy: Policy | None = None,
) -> Fold:
    """A walk that has seen nothing yet. `roles` are what people may be in the logbook, by their id."""
    items = {i.item: i for c in lists for i in c.items()}
    box = resolved.get("control_box", {})
    wanted = {k: box[k] for k in ("steering_scheme", "thruster_map") if k in box}
    known = Known(in_use={**wanted, **flat({"trim": resolved.get("trim_defaults", {})})} if wanted else {})
    return Fold(
        tuple(lists), items, resolved, roles or {}, policy or Policy(), known, {k: Track() for k in items}
    )


def is_supervisor(fold: Fold, person: str) -> bool:
    """True if this person may release and waive.

    That is the crew's supervisor, or, where the crew has none, any supervisor of the logbook. Where the
    logbook gives the role to anybody, nobody takes it by being named in a crew. Where neither is known,
    anybody may.
    """
    supervisor = fold.known.crew.get("supervisor")
    return (supervisor is None or person == supervisor) and is_entitled(fold, person)


def is_entitled(fold: Fold, person: str) -> bool:
    """True if the logbook gives this person the supervisor's role, or gives it to nobody."""
    entitled = {p for p, roles in fold.roles.items() if "supervisor" in roles}
    return not entitled or person in entitled


def is_before_launch(fold: Fold, item: Item) -> bool:
    """True for an item of the lists that are done before the launch."""
    return any(c.checklist == item.checklist and c.phase in ("bench", "pre-dive") for c in fold.lists)


def running_s(fold: Fold, at: datetime | None) -> float:
    extra = (at - fold.powered_at).total_seconds() if fold.powered_at is not None and at is not None else 0.0
    return fold.running_s + max(0.0, extra)
