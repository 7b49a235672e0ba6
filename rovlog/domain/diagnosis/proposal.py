"""The next push: the one that is expected to tell most, within what may be proposed."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from rovlog.domain.allocation.thrust import thrust_and_current
from rovlog.domain.diagnosis.dry_limits import percent
from rovlog.domain.diagnosis.information import expected_bits
from rovlog.domain.diagnosis.observation import Push
from rovlog.domain.diagnosis.prediction import BARELY, Space, channel_tables, predictions
from rovlog.domain.diagnosis.pushes import scaled
from rovlog.values import dataclass, replace

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]

LEAST_BITS = 0.005
"""A push that is expected to tell less is not worth a burst; project default."""

AT_STAKE = 0.01
"""A setup of the box counts for the dry limits from this probability on; project default."""

DOUBTFUL_SHARE = 0.1
"""A push is too doubtful once explanations of this probability together see a doubtful command."""


@dataclass(frozen=True, slots=True)
class NextPush:
    """A push with its raw positions, the bits it is expected to tell, and the greatest thruster command."""

    push: Push
    expected_bits: float
    greatest_command: float


@dataclass(frozen=True, slots=True)
class Proposal:
    """A next push, or None with the reason in a clause.

    `at_zero_trim` is a push that tells once the trims are at zero, where none does as they are.
    """

    push: NextPush | None
    reason: str = ""
    at_zero_trim: NextPush | None = None


@dataclass(frozen=True, slots=True)
class Terms:
    """What a proposal keeps to: shares of command, no unit; `dry_command` is None in water."""

    misreport: float
    still_below: float
    doubtful_below: float
    dry_command: float | None = None


@dataclass(frozen=True, slots=True)
class _Choice:
    """The best push that may be proposed, else why there is none.

    `weak` are the thrusters, with their commands, that the best push of all moves too little to be told
    from still; () where no push at all tells anything. `is_dry_out`: no push keeps the dry limits.
    """

    push: NextPush | None = None
    weak: tuple[tuple[str, float], ...] = ()
    is_dry_out: bool = False


def propose(
    of: Space, pushes: Sequence[Push], tables: Floats, weights: Floats, other: float, terms: Terms
) -> Proposal:
    """The considered push with the greatest expected information.

    `tables` are the channel tables of all setups at full ends. In air the sticks are drawn back until no
    thruster gets more than the dry command, and pushes that would draw more than the fuse carries for
    ever, or whose buttons cannot be held part way, are left out. Where no push may be proposed the same
    is asked with every trim at zero: a trim may hide from the eye what a push would show.
    """
    here = _chosen(of, pushes, tables, weights, other, terms)
    if here.push is not None:
        return Proposal(here.push)
    trims = {d: t for d, t in of.configuration.trim_defaults.items() if t}
    there = _Choice()
    if trims:
        level = replace(of, configuration=replace(of.configuration, trim_defaults={}))
        there = _chosen(level, pushes, channel_tables(level, pushes, level.setups), weights, other, terms)
    return Proposal(None, _reason(here, there, bool(trims)), there.push)


def _reason(here: _Choice, there: _Choice, has_trims: bool) -> str:
    """Why nothing is proposed, in a clause; what the face adds is the push with the trims at zero."""
    if here.is_dry_out:
        why = "no push keeps every thruster within the dry limits"
        return f"{why} with this trim; put the trim to zero first" if there.push is not None else why
    if here.weak:
        names = _weak_words(here.weak)
        trim = " with this trim" if has_trims else ""
        why = (
            f"the pushes that would tell the explanations that are left apart move {names} of command{trim}, "
            "too weak to tell from still"
        )
        if there.push is not None:
            return f"{why}; put the trim to zero first, then push"
        if has_trims and not there.weak:
            return f"{why}, and with the trim at zero none tells either; only opening the wiring will"
        return f"{why}; only a closer look at them will, or opening the wiring"
    if there.push is not None:
        return "no push tells the explanations that are left apart with this trim; put the trim to zero first"
    return "no push tells the explanations that are left apart; only opening the wiring will"


def _weak_words(weak: Sequence[tuple[str, float]]) -> str:
    """Thrusters with how little they are moved: "lift-port and lift-starboard by only 10 %"."""
    by: dict[str, list[str]] = {}
    for thruster, share in weak:
        by.setdefault(percent(share), []).append(thruster)
    return ", ".join(f"{' and '.join(names)} by only {share}" for share, names in by.items())


def _chosen(
    of: Space, pushes: Sequence[Push], tables: Floats, weights: Floats, other: float, terms: Terms
) -> _Choice:
    import numpy as np

    if terms.dry_command is not None:
        pushes = _held_back(of, pushes, weights, terms.dry_command)
        if not pushes:
            return _Choice(is_dry_out=True)
        tables = channel_tables(of, pushes, of.setups)
    doubtful = _doubtful(of, tables, weights, terms.still_below, terms.doubtful_below)
    clear = [i for i in range(len(pushes)) if i not in doubtful]
    if clear:
        bits = expected_bits(
            predictions(of, tables[:, clear], terms.still_below), weights, other, terms.misreport
        )
        # argmax takes the first of equals, and single controls come first.
        best = int(np.argmax(np.round(bits, 9)))
        if bits[best] >= LEAST_BITS:
            chosen = clear[best]
            greatest = float(np.abs(tables[0, chosen, of.fed_by[0]]).max())
            return _Choice(NextPush(pushes[chosen], float(bits[best]), greatest))
    if not doubtful:
        return _Choice()
    rest = sorted(doubtful)
    bits = expected_bits(predictions(of, tables[:, rest], terms.still_below), weights, other, terms.misreport)
    best = int(np.argmax(np.round(bits, 9)))
    if bits[best] < LEAST_BITS:
        return _Choice()
    return _Choice(weak=_weak_on(of, tables[:, rest[best]], weights, terms))


def _weak_on(of: Space, table: Floats, weights: Floats, terms: Terms) -> tuple[tuple[str, float], ...]:
    """The thrusters with a doubtful command on one push: as recorded, else if the likeliest one holds.

    `table` has shape (setups, channels).
    """
    import numpy as np

    names = [t.thruster for t in of.configuration.thrusters]
    order = [0, *np.argsort(-weights, kind="stable").tolist()]
    for explanation in order:
        wiring = of.wiring_of[explanation]
        commands = np.abs(table[of.setup_of[explanation], of.fed_by[wiring]])
        is_weak = (commands >= terms.still_below - BARELY) & (commands < terms.doubtful_below - BARELY)
        is_weak &= of.fed_sign[wiring] != 0
        if is_weak.any():
            return tuple((names[i], float(commands[i])) for i in np.flatnonzero(is_weak))
    return ()


def _doubtful(of: Space, tables: Floats, weights: Floats, low: float, high: float) -> set[int]:
    """Pushes with a command between the thresholds: as recorded, or for likely explanations together."""
    import numpy as np

    sizes = np.abs(tables)
    is_doubtful = (sizes >= low - BARELY) & (sizes < high - BARELY)  # setups, pushes, channels
    as_recorded = is_doubtful[0][:, of.fed_by[0]].any(axis=1)
    likely = np.flatnonzero(weights >= 1e-4)
    fed = is_doubtful.transpose(0, 2, 1)[of.setup_of[likely][:, None], of.fed_by[of.wiring_of[likely]]]
    fed = fed & (of.fed_sign[of.wiring_of[likely]] != 0)[:, :, None]
    share = weights[likely] @ fed.any(axis=1)
    return set(np.flatnonzero(as_recorded | (share > DOUBTFUL_SHARE)).tolist())


def _held_back(of: Space, pushes: Sequence[Push], weights: Floats, limit: float) -> list[Push]:
    """The pushes with their sticks drawn back to the greatest whole percent that keeps the limits."""
    import numpy as np

    by_setup = np.bincount(of.setup_of, weights=weights, minlength=len(of.setups))
    setups = [s for i, s in enumerate(of.setups) if i == 0 or by_setup[i] >= AT_STAKE]
    used = np.flatnonzero(np.bincount(of.fed_by.ravel()))  # np.unique would import numpy.ma
    allowed = [0] * len(pushes)
    low, high = np.zeros(len(pushes), dtype=int), np.full(len(pushes), 101)
    # Bisection by whole percents: commands grow with the stick.
    for _ in range(7):
        middle = (low + high) // 2
        tables = channel_tables(of, [scaled(p, int(m)) for p, m in zip(pushes, middle, strict=True)], setups)
        is_within = (np.abs(tables[:, :, used]).max(axis=(0, 2)) <= limit + BARELY) & (middle > 0)
        low, high = np.where(is_within, middle, low), np.where(is_within, high, middle)
    allowed = low.tolist()
    held = [scaled(p, percent) for p, percent in zip(pushes, allowed, strict=True) if percent > 0]
    return [p for p in held if _total_current_a(of, p) <= _continuous_a(of)]


def _total_current_a(of: Space, push: Push) -> float:
    """Nominal current of all thrusters as recorded and the standing loads, ampere."""
    configuration = of.configuration
    commands = dict(zip(of.channels, channel_tables(of, [push], [()])[0, 0], strict=True))
    loads = sum(load.current_a for load in configuration.electrical.standing_loads)
    return loads + sum(
        thrust_and_current(configuration.models[t.model], t.sign * float(commands[t.channel]))[1]
        for t in configuration.thrusters
    )


def _continuous_a(of: Space) -> float:
    fuse = of.configuration.electrical.fuse
    return fuse.rating_a * fuse.continuous_share
