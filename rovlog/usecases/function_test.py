"""The function test of a record: which push comes next, calling its burst, and keeping what was seen.

Facts are never refused: an observation is kept also where its burst went beyond the limits in air, and the
excess is named. What is refused is to begin such a burst.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any, Literal

from rovlog.domain.checks.dry_running import (
    BURST_CALLED,
    DryRunning,
    burst_called,
    dry_running,
    pending_burst,
    push_text,
)
from rovlog.domain.checks.elapsed import Instant
from rovlog.domain.checks.watched_pushes import since_voided, watched
from rovlog.domain.diagnosis.dry_limits import dry_limits
from rovlog.domain.diagnosis.function_test import (
    ListedPush,
    PushName,
    driven_ends,
    function_test,
    greatest_command,
    name_of,
)
from rovlog.domain.dive import Entry, Record
from rovlog.problems import RovlogError, UsageError
from rovlog.usecases.fold_record import check_policy
from rovlog.usecases.logbook import Logbook
from rovlog.usecases.one_line import require_word
from rovlog.usecases.read_box import is_in_water
from rovlog.usecases.recording import Written, append
from rovlog.usecases.times import instant
from rovlog.values import dataclass

if TYPE_CHECKING:
    from rovlog.domain.diagnosis.observation import Push
    from rovlog.domain.vehicle import Configuration, Thruster

Medium = Literal["dry", "wet"]

SEEN_WORDS = ("ahead", "astern", "still", "unseen")


@dataclass(frozen=True, slots=True)
class CalledBurst:
    """The burst that was called last and of which nothing is recorded yet."""

    entry: Entry
    push: Mapping[str, float]
    medium: Medium


@dataclass(frozen=True, slots=True)
class WatchedTest:
    """How much of the function test was watched: its controls with each end position, and those seen."""

    ends: tuple[tuple[str, float], ...]
    seen: frozenset[PushName]

    @property
    def left(self) -> tuple[tuple[str, float], ...]:
        """The ends nobody has pushed to and watched yet."""
        return tuple((c, end) for c, end in self.ends if name_of({c: end}) not in self.seen)

    @property
    def watched(self) -> int:
        """How many pushes of the test were watched."""
        return len(self.ends) - len(self.left)


@dataclass(frozen=True, slots=True)
class FunctionTest:
    """The function test as it stands: its pushes, those watched since the last voiding event, what is next.

    `medium` is where the vehicle is: wet in water or in a tub, else dry. `observations` are those that
    count; `called` is a burst that waits for what was seen of it.
    """

    record: Record
    configuration: Configuration
    pushes: tuple[ListedPush, ...]
    seen: frozenset[PushName]
    observations: tuple[Entry, ...]
    medium: Medium
    dry: DryRunning
    called: CalledBurst | None

    @property
    def is_dry(self) -> bool:
        """True out of the water."""
        return self.medium == "dry"

    @property
    def progress(self) -> WatchedTest:
        """How much of it was watched."""
        return WatchedTest(tuple((p.control, p.end) for p in self.pushes), self.seen)

    @property
    def left(self) -> tuple[ListedPush, ...]:
        """The pushes nobody has watched yet."""
        return tuple(p for p in self.pushes if p.name not in self.seen)

    @property
    def watched(self) -> int:
        """How many pushes of the test were watched."""
        return len(self.pushes) - len(self.left)

    @property
    def next(self) -> ListedPush | None:
        """The next push that nobody has watched and that can be made here."""
        return next((p for p in self.left if p.positions(is_dry=self.is_dry) is not None), None)

    @property
    def only_wet(self) -> tuple[ListedPush, ...]:
        """Pushes nobody has watched that cannot be made in air."""
        return tuple(p for p in self.left if p.dry is None)


@dataclass(frozen=True, slots=True)
class Observed:
    """An observation that is on the disk. `excesses` names by what its burst went beyond the limits in air,
    `across` the thrusters whose flow did not lie along their recorded direction, each with the word."""

    written: Written
    push: Mapping[str, float]
    seen: Mapping[str, str]
    medium: Medium
    excesses: tuple[str, ...]
    across: tuple[str, ...]


def function_test_of(logbook: Logbook, record: Record, medium: Medium | None = None) -> FunctionTest:
    """The function test of a record, against what it flies; `medium` where it is said, else as recorded.

    Raises UsageError where the record is on a box alone, or does not say what it flies.
    """
    configuration = flown_configuration(logbook, record)
    observations = since_voided(record, check_policy(logbook))
    dry = dry_running_of(logbook, record)
    pushes = function_test(configuration, dry.limits.command_share)
    found = pending_burst(record)
    called = None
    if found is not None:
        said = found.fields["values"].get("medium", "dry")
        called = CalledBurst(found, burst_called(found) or {}, "wet" if said == "wet" else "dry")
    return FunctionTest(
        record,
        configuration,
        pushes,
        watched(observations) & {p.name for p in pushes},
        observations,
        medium or medium_of(record),
        dry,
        called,
    )


def watched_test(logbook: Logbook, record: Record) -> WatchedTest | None:
    """How much of its function test a record holds, without a look at the clock; None where what it flies
    cannot be told."""
    try:
        ends = driven_ends(flown_configuration(logbook, record)) if record.vehicle else ()
    except RovlogError:
        # Whoever shows the record says already that its configuration cannot be used.
        return None
    observations = since_voided(record, check_policy(logbook))
    return WatchedTest(ends, watched(observations)) if record.vehicle else None


def flown_configuration(logbook: Logbook, record: Record) -> Configuration:
    """What the record flies, readbacks and trims laid over it; UsageError where it cannot be told."""
    from rovlog.documents.configuration import configuration

    return configuration(flown_resolved(logbook, record))


def flown_resolved(logbook: Logbook, record: Record) -> Mapping[str, Any]:
    """The same as a resolved object."""
    from rovlog.usecases.audit_history import as_flown_of

    if not record.vehicle:
        raise UsageError(
            f"{record.id} is work on a box, not on a vehicle", "name a dive, or work on a vehicle"
        )
    resolved = as_flown_of(logbook, record).resolved
    if resolved is None:
        raise UsageError(
            f"{record.id} does not say which configuration it flew",
            "put the observations in a file: rovlog diagnose --observations FILE --vehicle VEHICLE",
        )
    return resolved


def dry_running_of(logbook: Logbook, record: Record, at: str | None = None) -> DryRunning:
    """The vehicle's dry running now, or at a time that was typed, over all its records of that day."""
    book = logbook.book
    now = Instant(instant(at or book.clock.now()), book.clock.mono_s(), book.writer, book.run)
    if at is not None:
        # A typed time is compared by the wall clock alone, with whatever was written.
        now = Instant(instant(at), 0.0, "", "")
    others = [r for r in logbook.records(record.vehicle) if r.id != record.id]
    return dry_running([*others, record], now, dry_limits(logbook.settings().policy))


def medium_of(record: Record) -> Medium:
    """Wet while the dive is marked in water, else as the last push was; dry before any."""
    if is_in_water(record):
        return "wet"
    last = next((e for e in reversed(record.entries) if e.kind == "observation"), None)
    return "wet" if last is not None and last.fields.get("medium", "wet") == "wet" else "dry"


def call_burst(
    logbook: Logbook,
    record: Record,
    push: Mapping[str, float] | None = None,
    *,
    by: str,
    medium: Medium | None = None,
    at: str | None = None,
) -> Written:
    """ "Clear" was called and the burst begins; without a push it is the next one of the test.

    In air it is refused above the share of command, before the rest is over, and past the day's seconds,
    each with what to wait for or to do instead; anywhere past a hold point that is not released.
    """
    test = function_test_of(logbook, record, medium)
    _refuse_held(logbook, record, test.medium)
    chosen = dict(push) if push is not None else _next_push(test)
    greatest = _require_push(test.configuration, chosen)
    refusal = test.dry.refusal(greatest) if test.is_dry else ""
    if refusal:
        raise UsageError(f"no burst in air now: {refusal}", _way_out(test, chosen))
    values = {
        "push": push_text(chosen),
        "medium": test.medium,
        "duration_s": test.dry.limits.burst_s,
        "run": logbook.book.run or None,
    }
    fields = {
        "reading": BURST_CALLED,
        "values": {k: v for k, v in values.items() if v is not None},
        "source": "seen",
    }
    return append(logbook, record, "reading", by, fields, at=at)


def observe_push(
    logbook: Logbook,
    record: Record,
    seen: Mapping[str, str],
    push: Mapping[str, float] | None = None,
    *,
    by: str,
    medium: Medium | None = None,
    at: str | None = None,
) -> Observed:
    """Keep what was seen of a push: of the one that was called last, else of the next one of the test.

    `seen` has a word a thruster: where it threw air or water (bow, stern, port, starboard, up, down, none,
    unseen), or ahead, astern, still. A flow across a thruster's recorded direction is kept as unseen with
    its word in the text. Nothing that was seen is refused; the excess in air is named.
    """
    test = function_test_of(logbook, record, medium) if push is None else None
    called = pending_burst(record)
    if test is not None and test.called is not None:
        chosen, where = dict(test.called.push), medium or test.called.medium
    elif test is not None:
        chosen, where = _next_push(test), test.medium
    else:
        chosen, where = dict(push or {}), medium or ("wet" if is_in_water(record) else "dry")
    said, across = _read(logbook, record, seen)
    is_called = called is not None and push_text(burst_called(called) or {}) == push_text(chosen)
    excesses = _excesses(logbook, record, chosen, is_called=is_called, at=at) if where == "dry" else ()
    text = "; ".join((*across, *(f"beyond the limits in air: {e}" for e in excesses)))
    fields = {"push": chosen, "seen": said, "medium": where, "text": text or None}
    written = append(logbook, record, "observation", by, fields, at=at)
    return Observed(written, chosen, said, where, excesses, across)


def _next_push(test: FunctionTest) -> dict[str, float]:
    if test.next is None:
        if test.only_wet and test.is_dry:
            first = test.only_wet[0]
            raise UsageError(
                f"what is left of the test cannot be made in air: {first.why_not_dry}",
                "make it in water or in a tub, with --medium wet",
            )
        raise UsageError(
            "every push of the test has been watched", "name another one: --push CONTROL=POSITION"
        )
    return dict(test.next.positions(is_dry=test.is_dry) or ())


def _require_push(configuration: Configuration, push: Mapping[str, float]) -> float:
    """The greatest thruster command of a push; UsageError for controls or positions that do not exist."""
    from rovlog.domain.diagnosis.observation import observation

    moved: Push = observation(configuration, push, {}).push
    if not moved:
        raise UsageError("the push moves no control", "write --push left-stick-y=-0.3")
    return greatest_command(configuration, moved)


def _way_out(test: FunctionTest, push: Mapping[str, float]) -> str:
    from rovlog.domain.diagnosis.function_test import dry_position

    limits = test.dry.limits
    if _require_push(test.configuration, push) > limits.command_share:
        full = tuple((c, p) for c, p in sorted(push.items()) if p)
        held, _ = dry_position(test.configuration, full, limits.command_share)
        if held is not None:
            return f"push no further than {push_text(dict(held))}, or do it in water with --medium wet"
        return "do it in water, with --medium wet"
    return "air does not cool a thruster or grease its seal; in water, with --medium wet, nothing is counted"


def _excesses(
    logbook: Logbook, record: Record, push: Mapping[str, float], *, is_called: bool, at: str | None
) -> tuple[str, ...]:
    try:
        greatest = _require_push(flown_configuration(logbook, record), push)
    except UsageError:
        # What it flies is not known, so its command is not; rest and seconds are counted all the same.
        greatest = None
    return dry_running_of(logbook, record, at).excesses(greatest, is_called=is_called)


def _read(
    logbook: Logbook, record: Record, seen: Mapping[str, str]
) -> tuple[dict[str, str], tuple[str, ...]]:
    """The words as ahead, astern, still or unseen, and the thrusters whose flow lies across."""
    from rovlog.domain.diagnosis.flow import FLOW_WORDS, seen_of

    if not seen:
        raise UsageError("nothing is said of any thruster", "write --seen bow-port=stern lift=none")
    known: dict[str, Thruster | None]
    try:
        known = {t.thruster: t for t in flown_configuration(logbook, record).thrusters}
    except UsageError:
        # What it flies is not known: ahead and astern can be kept, a flow cannot be read without directions.
        if not record.vehicle or set(seen.values()) - set(SEEN_WORDS):
            raise
        known = {t["thruster"]: None for t in logbook.vehicle(record.vehicle)["thrusters"]}
    found, across = {}, []
    for thruster, word in seen.items():
        require_word("thruster", thruster, list(known))
        require_word(f"observation of {thruster}", word, list(dict.fromkeys((*FLOW_WORDS, *SEEN_WORDS))))
        fitted = known[thruster]
        if word in SEEN_WORDS or fitted is None:
            found[thruster] = word
            continue
        meant = seen_of(fitted, word)
        found[thruster] = meant.seen
        if meant.across:
            across.append(f"{thruster} threw toward {word}, across its recorded direction")
    return found, tuple(across)


def _refuse_held(logbook: Logbook, record: Record, medium: Medium) -> None:
    """Raise UsageError on a dive where every item that counts these pushes lies past a closed hold point.

    Work outside a dive walks no list to a hold point: who does it answers for it.
    """
    if record.kind != "dive":
        return
    from rovlog.domain.checks.groups import may_answer
    from rovlog.usecases.dive_state import dive_state
    from rovlog.usecases.find_item import refuse_held

    state = dive_state(logbook, record)
    counts = "water_pushes_seen" if medium == "wet" else "direction_pushes_seen"
    mine = [
        item
        for checklist in state.lists
        for item in checklist.items()
        if any(ask.proposed is not None and ask.proposed.computed == counts for ask in item.asks)
    ]
    if mine and all(may_answer(i.item, state.lists, state.items) is not None for i in mine):
        refuse_held(state, mine[0])
