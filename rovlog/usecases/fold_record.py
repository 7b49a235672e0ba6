"""A record and those before it, folded into what the checks know: the logbook's part of the work."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from typing import TYPE_CHECKING

from rovlog.domain.dive import Record
from rovlog.usecases.judged_configuration import Found, start_or_none
from rovlog.usecases.logbook import Logbook
from rovlog.usecases.times import instant
from rovlog.values import replace

if TYPE_CHECKING:
    from rovlog.domain.checks.checklist import Checklist
    from rovlog.domain.checks.happenings import Policy
    from rovlog.domain.checks.state import ItemState
    from rovlog.domain.checks.walk import Fold


def check_policy(logbook: Logbook) -> Policy:
    """The team's numbers for pauses and agreement, project defaults where it gives none."""
    from rovlog.domain.checks.happenings import Policy

    given = logbook.settings().policy
    usual = Policy()
    return Policy(
        float(given.get("pause_gap_s", usual.pause_gap_s)),
        float(given.get("trim_tolerance", usual.trim_tolerance)),
        float(given.get("temperature_move_k", usual.temperature_step_k)),
        usual.agreement_share,
    )


def fold_record(
    logbook: Logbook, record: Record, lists: tuple[Checklist, ...], found: Found, when: datetime
) -> Fold:
    from rovlog.domain.checks.fold import fold_entries, remember

    roles, policy = _roles(logbook), check_policy(logbook)
    earlier = _earlier(logbook, record)
    memory = None
    if logbook.is_held:
        key = ("walk", tuple(map(id, lists)), found.digest, repr(roles), policy, when.date())
        memory = logbook.of_others(
            key, record.id, lambda: remember(lists, earlier, found.resolved, when, roles=roles, policy=policy)
        )
    return fold_entries(
        lists,
        record,
        earlier,
        found.resolved,
        when,
        digest="" if record.is_closed else found.digest,
        roles=roles,
        policy=policy,
        memory=memory,
    )


def _roles(logbook: Logbook) -> dict[str, frozenset[str]]:
    return {k: frozenset(p.roles) for k, p in logbook.settings().people.items()}


def _earlier(logbook: Logbook, record: Record) -> list[Record]:
    """Dives and work of the same vehicle begun before this record."""
    peers = (
        logbook.records(record.vehicle)
        if record.vehicle
        else [r for r in logbook.records() if r.box == record.box]
    )
    ids = [r.id for r in peers]
    return peers[: ids.index(record.id)] if record.id in ids else peers


def states_before(
    logbook: Logbook, record: Record, lists: tuple[Checklist, ...]
) -> Mapping[str, ItemState] | None:
    """States at the end of the dive before, whose post-dive list stops this one; None before the first."""
    roles, policy = _roles(logbook), check_policy(logbook)
    key = ("before", tuple(map(id, lists)), repr(roles), policy)
    # The lists are kept beside it: an object's id is its own only while the object lives.
    made = logbook.of_others(key, record.id, lambda: (lists, _states_of_last(logbook, record, lists)))
    return made[1]


def dive_before(logbook: Logbook, record: Record) -> Record | None:
    """The vehicle's dive before this record, or None."""
    key = ("dive-before",)
    return logbook.of_others(
        key,
        record.id,
        lambda: next((r for r in reversed(_earlier(logbook, record)) if r.kind == "dive"), None),
    )


def _states_of_last(
    logbook: Logbook, record: Record, lists: tuple[Checklist, ...]
) -> Mapping[str, ItemState] | None:
    from rovlog.domain.checks.fold import fold_entries
    from rovlog.domain.checks.state import states_of

    earlier = _earlier(logbook, record)
    dives = [r for r in earlier if r.kind == "dive"]
    if not dives:
        return None
    last = dives[-1]
    post = tuple(c for c in lists if c.phase == "post-dive")
    before = earlier[: [r.id for r in earlier].index(last.id)]
    resolved = start_or_none(logbook, last) or {}
    at = instant(last.entries[-1].at) if last.entries else None
    fold = fold_entries(post, last, before, resolved, at, roles=_roles(logbook), policy=check_policy(logbook))
    quantities: dict[str, float | None] = {}
    return states_of(replace(fold), quantities)
