"""Groups and hold points: whether a group is complete, and what may be answered before a release."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from rovlog.domain.checks.checklist import Checklist, Item, Section, names_of
from rovlog.domain.checks.faults import AFTER_FAULT, RETURN_TO_SERVICE, refusal_of_return
from rovlog.domain.checks.state import UNSETTLED, ItemState
from rovlog.domain.checks.walk import Fold, is_supervisor
from rovlog.values import dataclass

CHAIN = ("pre-dive", "launch")
"""Phases whose hold points bind one another: nothing of the launch before the release to launch."""


@dataclass(frozen=True, slots=True)
class GroupState:
    """A group's state. `unsettled` are its open, failed and expired items, `deferred` those put off;
    `is_complete` only if the completion call was made and nothing is unsettled now."""

    checklist: str
    section: str
    title: str
    items: int
    settled: int
    unsettled: tuple[str, ...]
    deferred: tuple[str, ...]
    called_by: str
    called_at: str
    is_complete: bool


def group_state(
    checklist: Checklist, section: Section, states: Mapping[str, ItemState], fold: Fold
) -> GroupState:
    """How far a group is. The completion call is known by the group's id or its title."""
    unsettled = tuple(i.item for i in section.items if states[i.item].state in UNSETTLED)
    deferred = tuple(i.item for i in section.items if states[i.item].state == "deferred")
    keys = ((checklist.checklist, section.section), (checklist.checklist, section.title))
    call = next((fold.completions[k] for k in keys if k in fold.completions), None)
    if call is not None and call.record != fold.record:
        call = None
    return GroupState(
        checklist.checklist,
        section.section,
        section.title,
        len(section.items),
        len(section.items) - len(unsettled),
        unsettled,
        deferred,
        call.entry.by if call else "",
        call.entry.at if call else "",
        call is not None and not unsettled,
    )


def may_complete(section: Section, states: Mapping[str, ItemState]) -> str | None:
    """Why the group cannot be called complete, or None."""
    left = [i for i in section.items if states[i.item].state in UNSETTLED]
    count = "1 item is open" if len(left) == 1 else f"{len(left)} items are open"
    return f"{count}: {names_of(left)}" if left else None


def may_answer(item: str, lists: Sequence[Checklist], states: Mapping[str, ItemState]) -> str | None:
    """Why this item cannot be answered yet, or None: nothing past a hold point before its release.

    Recovery, care and emergencies never wait for a release; the list after a fault waits for its own,
    and is worked in its order: no step of it before the steps ahead that always stop, since a second
    blown fuse destroys the evidence.
    """
    ahead = _step_ahead(item, lists, states)
    if ahead is not None:
        return f"{ahead.name} comes first"
    waiting = _hold_before(item, lists, states)
    if waiting is None:
        return None
    said = states[waiting.item].void_reason
    return f"{waiting.name} waits for release" + (f"; {said}" if said else "")


def may_release(
    item: str, by: str, lists: Sequence[Checklist], states: Mapping[str, ItemState], fold: Fold
) -> str | None:
    """Why this person cannot release this hold point, or None.

    The supervisor releases. What always stops the dive has to be settled before in the same chain,
    since a release over it would be the waiver that does not exist: put off it is not settled. What
    stops it unless waived has to be settled ahead in the hold point's own group, and for the release
    that ends a list in all of it.
    """
    if not is_supervisor(fold, by):
        if fold.known.crew.get("supervisor") == by:
            return f"{by} is named supervisor, but logbook.yaml does not give {by} that role"
        return f"{by} is not the supervisor of this crew"
    held = may_answer(item, lists, states)
    if held is not None:
        return held
    left = _always_left(item, lists, states)
    if left:
        ways = ", ".join(dict.fromkeys(CLEARS.get(states[i.item].state, CLEARS["open"]) for i in left))
        return f"{_with_states(left, states)}; {ways}: what always stops the dive has no waiver"
    unsettled = _unless_waived_left(item, lists, states)
    if unsettled:
        return "answer these, or have them waived in writing: " + names_of(unsettled)
    if item == RETURN_TO_SERVICE:
        refusals = [r for r in (refusal_of_return(fold, f, by) for f in fold.faults) if r]
        return refusals[0] if refusals else None
    return None


def keeps_closed(item: str, lists: Sequence[Checklist], states: Mapping[str, ItemState]) -> tuple[Item, ...]:
    """The items that a hold point's release waits for: what always stops first, then what may be waived."""
    return (*_always_left(item, lists, states), *_unless_waived_left(item, lists, states))


def next_hold(item: str, lists: Sequence[Checklist]) -> Item | None:
    """The first hold point after this item among those that bind it, or None."""
    chain = list(_chain(item, lists))
    at = next((n for n, i in enumerate(chain) if i.item == item), len(chain))
    return next((i for i in chain[at + 1 :] if i.kind == "release"), None)


CLEARS = {
    "open": "answer it",
    "deferred": "it was put off only as far as this hold: answer it",
    "failed": "mend it and answer it again",
    "expired": "answer it again",
}
"""What settles an item that always stops, by its state."""


def _always_left(item: str, lists: Sequence[Checklist], states: Mapping[str, ItemState]) -> list[Item]:
    """What always stops and stands before this hold point unsettled; to put it off does not settle it."""
    return [
        i
        for i in _before(item, lists)
        if i.stops == "always"
        and i.kind != "release"
        and (not states[i.item].is_settled or states[i.item].state == "deferred")
        and not _is_spent(i, states)
    ]


def _unless_waived_left(item: str, lists: Sequence[Checklist], states: Mapping[str, ItemState]) -> list[Item]:
    return [
        i
        for i in _bound_by(item, lists)
        if i.stops == "unless-waived" and i.kind != "release" and not states[i.item].is_settled
    ]


def _with_states(items: Sequence[Item], states: Mapping[str, ItemState]) -> str:
    """Items by name and state, those of one state together: "A1 Swimmers and divers is deferred"."""
    said = []
    for state in dict.fromkeys(states[i.item].state for i in items):
        mine = [i for i in items if states[i.item].state == state]
        said.append(f"{names_of(mine)} {'is' if len(mine) == 1 else 'are'} {STATE_SAID.get(state, state)}")
    return ", ".join(said)


STATE_SAID = {"failed": "answered as failed"}


def ends_list(item: str, lists: Sequence[Checklist]) -> bool:
    """True for a hold point in the last group of its list: the word that lets the work go on."""
    return any(c.sections and any(i.item == item for i in c.sections[-1].items) for c in lists)


def _bound_by(item: str, lists: Sequence[Checklist]) -> list[Item]:
    """The items that a hold point waits for: ahead in its group, or ahead in its list if it ends that."""
    for checklist in lists:
        sections = list(checklist.sections)
        for place, section in enumerate(sections):
            names = [i.item for i in section.items]
            if item not in names:
                continue
            mine = list(section.items[: names.index(item)])
            if place == len(sections) - 1:
                mine = [i for s in sections[:place] for i in s.items] + mine
            return mine
    return []


def _step_ahead(item: str, lists: Sequence[Checklist], states: Mapping[str, ItemState]) -> Item | None:
    """The first step of the list after a fault that always stops and is not done before this one.

    The release says itself what it waits for.
    """
    home = next((c for c in lists if any(i.item == item for i in c.items())), None)
    if home is None or home.phase != AFTER_FAULT:
        return None
    for other in home.items():
        if other.item == item or other.kind == "release":
            return None
        if other.stops == "always" and not states[other.item].is_settled:
            return None if _is_release(item, home) else other
    return None


def _is_release(item: str, home: Checklist) -> bool:
    return any(i.item == item and i.kind == "release" for i in home.items())


def _is_spent(item: Item, states: Mapping[str, ItemState]) -> bool:
    """A word that held for one moment and was given in this dive does not have to be given again."""
    state = states[item.item]
    return "now" in item.valid_for and bool(state.entry) and state.state not in ("failed", "deferred")


def _chain(item: str, lists: Sequence[Checklist]) -> Iterator[Item]:
    """The items one after the other among which hold points bind, for the list this item stands in."""
    home = next((c for c in lists if any(i.item == item for i in c.items())), None)
    if home is None:
        return
    phases = CHAIN if home.phase in CHAIN else (home.phase,)
    bound = [c for c in lists if c.phase in phases and (c is home or home.phase in CHAIN)]
    for checklist in sorted(bound, key=lambda c: phases.index(c.phase)):
        yield from checklist.items()


def _before(item: str, lists: Sequence[Checklist]) -> list[Item]:
    before: list[Item] = []
    for other in _chain(item, lists):
        if other.item == item:
            return before
        before.append(other)
    return []


def _hold_before(item: str, lists: Sequence[Checklist], states: Mapping[str, ItemState]) -> Item | None:
    holds = [i for i in _before(item, lists) if i.kind == "release"]
    return next((h for h in holds if not states[h.item].is_settled), None)
