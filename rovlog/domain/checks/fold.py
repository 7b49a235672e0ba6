"""The fold: walks a vehicle's entries once and keeps, item by item, what answers it and what undid that."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime
from typing import Any

from rovlog.domain.checks import faults
from rovlog.domain.checks.checklist import Checklist, Item
from rovlog.domain.checks.happenings import TRIM_CHANGED, Happening, Policy, happenings
from rovlog.domain.checks.moments import Moment, in_order
from rovlog.domain.checks.naming import names_part, words_of_part
from rovlog.domain.checks.validity import instant
from rovlog.domain.checks.walk import Fold, Track, begin, is_before_launch, is_supervisor, running_s
from rovlog.domain.dive import Record
from rovlog.values import dataclass


@dataclass(frozen=True, slots=True)
class Memory:
    """The walk over all earlier records, so that each new entry costs no more than its own record.

    `ends_s` is the latest time seen in them, in seconds since 1970.
    """

    fold: Fold
    ends_s: float


def remember(
    lists: Sequence[Checklist],
    earlier: Sequence[Record],
    resolved: Mapping[str, Any],
    now: datetime | None,
    *,
    roles: Mapping[str, frozenset[str]] | None = None,
    policy: Policy | None = None,
) -> Memory:
    """Walk the earlier dives and work of the vehicle once; good until one of them, the lists, the
    configuration or the day of `now` changes: times of other days are told with their day."""
    fold = begin(lists, resolved, roles, policy)
    fold.now = now
    ends = float("-inf")
    for moment in in_order(earlier):
        step(fold, moment)
        ends = max(ends, moment.at.timestamp()) if moment.at is not None else ends
    return Memory(fold, ends)


def fold_entries(
    lists: Sequence[Checklist],
    record: Record,
    earlier: Sequence[Record],
    resolved: Mapping[str, Any],
    now: datetime | None,
    *,
    digest: str = "",
    roles: Mapping[str, frozenset[str]] | None = None,
    policy: Policy | None = None,
    memory: Memory | None = None,
) -> Fold:
    """Walk the earlier dives and work of the vehicle, then this record.

    `earlier` in the order they were started; answers of records left out are simply not known, and
    their items are open. `digest` is that of the configuration now, where the record is still open:
    an answer given under another is voided as a changed configuration is. `memory` of the same
    earlier records saves walking them again; where the record overlaps one of them in time it is
    not used, since their entries then belong in between.
    """
    if memory is not None and _is_after(record, memory):
        fold, moments = memory.fold.copy(), in_order([record])
    else:
        fold, moments = begin(lists, resolved, roles, policy), in_order([*earlier, record])
    fold.now = now
    for moment in moments:
        step(fold, moment)
    fold.record, fold.record_kind = record.id, record.kind
    if digest and fold.known.digest and digest != fold.known.digest:
        _void(fold, Happening("configuration-changed", "configuration changed since"))
        fold.known.digest = digest
    return fold


def _is_after(record: Record, memory: Memory) -> bool:
    times = [instant(e.at) for e in record.entries]
    return all(t is not None and t.timestamp() > memory.ends_s for t in times)


def step(fold: Fold, moment: Moment) -> None:
    """Take one entry into the fold."""
    entry = moment.entry
    if entry.kind == "start":
        _begin_record(fold, moment)
    site = fold.known.site
    voided: set[str] = set()
    for happening in happenings(moment, fold.known, fold.policy):
        voided |= _void(fold, happening, moment)
    if site and fold.known.site != site:
        _end_setup(fold, f"the kit was moved to {fold.known.site}")
    if entry.kind == "fault":
        faults.open_fault(fold, moment, voided)
    kind = entry.kind
    if kind in ("check", "release"):
        if fold.pause is not None:
            _resume(fold, moment)
        _answer(fold, moment)
    elif kind == "fitted":
        fold.fitted_to[str(entry.fields.get("part", ""))] = str(entry.fields.get("to", ""))
        faults.note_repair(fold, entry.by)
    elif kind == "mark":
        _mark(fold, moment)
    elif kind == "pause":
        fold.pause = moment
    elif kind == "resume" and fold.pause is not None:
        _resume(fold, moment)
    elif kind == "completion":
        key = (str(entry.fields.get("checklist", "")), str(entry.fields.get("section", "")))
        fold.completions[key] = moment
    elif kind in ("deferral", "not-applicable", "waiver"):
        _set_aside(fold, moment)
    faults.note_people(fold)
    fold.last_at = moment.at or fold.last_at


def _begin_record(fold: Fold, moment: Moment) -> None:
    if moment.record == fold.record:
        return
    fold.record = moment.record
    fold.pause, fold.last_answer = None, ""
    if moment.record_kind == "dive":
        fold.launched, fold.has_left_surface, fold.has_come_out = None, False, False
        _power(fold, False, fold.last_at)


def _void(fold: Fold, happening: Happening, moment: Moment | None = None) -> set[str]:
    """Void what this voids, and tell which items those are."""
    voided: set[str] = set()
    words = words_of_part(happening.part, fold.resolved, fold.fitted_to) if happening.part else frozenset()
    by = f", {moment.entry.by} at {_clock(fold, moment)}" if moment is not None else ""
    for name, item in fold.items.items():
        if item.housing and _names_other_housing(fold, item.housing, happening.part):
            continue
        if happening.event == TRIM_CHANGED and fold.launched is not None and is_before_launch(fold, item):
            continue  # it has served its turn: in the water the trim check asks
        is_named = happening.event == "fault" and names_part(item, words)
        if happening.event in item.voided_by or is_named:
            track = fold.tracks[name]
            if (track.first or track.second) and not track.void:
                track.void = happening.words + by
                voided.add(name)
    return voided


def _names_other_housing(fold: Fold, housing: str, part: str) -> bool:
    """True where what happened is told of a housing by its id, and of another one than this."""
    last = part.casefold().strip().rsplit("/", 1)[-1]
    return last in fold.resolved.get("housings", {}) and last != housing


def _clock(fold: Fold, moment: Moment) -> str:
    if moment.at is None:
        return moment.entry.at
    is_today = fold.now is None or moment.at.date() == fold.now.date()
    return moment.at.strftime("%H:%M" if is_today else "%Y-%m-%d %H:%M")


def _answer(fold: Fold, moment: Moment) -> None:
    fields = moment.entry.fields
    name = str(fields.get("item") or fields.get("point") or "")
    item, track = fold.items.get(name), fold.tracks.get(name)
    if item is None or track is None:
        if moment.entry.kind == "release" and name == faults.RETURN_TO_SERVICE:
            # A logbook without the list after a fault can still end a quarantine.
            faults.release_counts(fold, name, moment.entry.by)
        return
    is_release = item.kind == "release" and fields.get("outcome", "pass") == "pass"
    if moment.entry.kind == "release" and item.kind != "release":
        return
    if is_release and not faults.release_counts(fold, name, moment.entry.by):
        return
    is_second = bool(fields.get("witness", False)) and item.witness != "none"
    if track.void or track.again or (track.first and track.second) or (track.first and not is_second):
        kept = None if is_second or track.first or track.void or track.again else track.second
        fresh = Track(waivers=track.waivers, second=kept)
    else:
        fresh = track
    if is_second:
        fresh.second = moment
    else:
        fresh.first = moment
    fresh.is_alone = len(set(fold.known.crew.values())) == 1
    fresh.running_s, fresh.digest = running_s(fold, moment.at), fold.known.digest
    fresh.setup_over = ""
    fresh.deferral = fresh.excused = None
    fold.tracks[name] = fresh
    fold.last_answer = name
    if not is_second and item.reopens:
        _reopen(fold, item, moment)
    faults.note_redone(fold, item, fresh, moment.entry.by)


def _reopen(fold: Fold, item: Item, moment: Moment) -> None:
    """End the answers that were stated of what this new answer replaces."""
    words = f"{item.name} answered anew, {moment.entry.by} at {_clock(fold, moment)}"
    for name, other in fold.items.items():
        listed = other.item.removesuffix(f"-{other.housing}") if other.housing else other.item
        if not {listed, other.item} & set(item.reopens):
            continue
        if item.housing and other.housing and item.housing != other.housing:
            continue
        track = fold.tracks[name]
        if (track.first or track.second) and not track.void:
            track.void = words


def _mark(fold: Fold, moment: Moment) -> None:
    which = moment.entry.fields.get("mark")
    if which == "power-on":
        _power(fold, True, moment.at)
    elif which == "power-off":
        _power(fold, False, moment.at)
        _end_setup(fold, f"unplugged at power off {_clock(fold, moment)}")
    elif which in ("in-water", "off-surface"):
        fold.launched, fold.has_come_out = fold.launched or moment, False
        fold.has_left_surface = fold.has_left_surface or which == "off-surface"
    elif which == "out-of-water":
        fold.has_come_out = fold.has_come_out or fold.launched is not None
        fold.launched, fold.has_left_surface = None, False


def _power(fold: Fold, is_on: bool, at: datetime | None) -> None:
    if fold.powered_at is not None and at is not None:
        fold.running_s += max(0.0, (at - fold.powered_at).total_seconds())
    fold.powered_at = at if is_on else None


def _end_setup(fold: Fold, words: str) -> None:
    for name, track in fold.tracks.items():
        if "setup" in fold.items[name].valid_for and (track.first or track.second) and not track.setup_over:
            track.setup_over = words


def _resume(fold: Fold, moment: Moment) -> None:
    """The end of a pause: past the gap the group starts again, before it the last answer is asked again."""
    pause = fold.pause
    assert pause is not None
    fold.pause = None
    gap = _gap_s(pause, moment)
    place = str(pause.entry.fields.get("item") or fold.last_answer)
    item = fold.items.get(place)
    if gap > fold.policy.pause_gap_s:
        words = f"pause of {gap / 60:.0f} min, over the limit of {fold.policy.pause_gap_s / 60:.0f} min"
        _void(fold, Happening("paused-too-long", words), moment)
        for name, other in fold.items.items():
            track = fold.tracks[name]
            same_group = item is not None and (other.checklist, other.section) == (
                item.checklist,
                item.section,
            )
            if (
                same_group
                and track.first is not None
                and track.first.record == moment.record
                and not track.void
            ):
                track.void = f"the group starts again after a {words}"
    elif fold.last_answer and fold.last_answer in fold.tracks:
        track = fold.tracks[fold.last_answer]
        is_same_list = item is None or fold.items[fold.last_answer].checklist == item.checklist
        is_here = track.is_held and track.first is not None and track.first.record == moment.record
        if is_same_list and is_here and fold.items[fold.last_answer].kind != "release":
            track.again = "asked again after the pause"


def _gap_s(pause: Moment, end: Moment) -> float:
    wall = (end.at - pause.at).total_seconds() if end.at and pause.at else 0.0
    is_same_run = end.entry.writer == pause.entry.writer and end.entry.mono_s >= pause.entry.mono_s
    steady = end.entry.mono_s - pause.entry.mono_s if is_same_run else 0.0
    return max(0.0, wall, steady)


def _set_aside(fold: Fold, moment: Moment) -> None:
    track = fold.tracks.get(str(moment.entry.fields.get("item", "")))
    if track is None:
        return
    if moment.entry.kind == "deferral":
        track.deferral = moment
    elif moment.entry.kind == "not-applicable":
        track.excused = moment
    elif is_supervisor(fold, moment.entry.by):
        track.waivers = (*track.waivers, moment)
