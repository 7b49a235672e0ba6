"""The next push: the one that is expected to tell most, within what may be proposed."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from rovlog.domain.allocation.thrust import thrust_and_current
from rovlog.domain.diagnosis.information import expected_bits
from rovlog.domain.diagnosis.observation import Push
from rovlog.domain.diagnosis.prediction import BARELY, Space, channel_tables, predictions
from rovlog.domain.diagnosis.pushes import scaled
from rovlog.values import dataclass

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
    """A next push, or None with the reason in a clause."""

    push: NextPush | None
    reason: str = ""


def propose(
    of: Space,
    pushes: Sequence[Push],
    tables: Floats,
    weights: Floats,
    other: float,
    *,
    misreport: float,
    still_below: float,
    doubtful_below: float,
    dry_command: float | None,
) -> Proposal:
    """The considered push with the greatest expected information.

    `tables` are the channel tables of all setups at full ends. With `dry_command` the sticks are
    drawn back until no thruster gets more, and pushes that would draw more than the fuse carries
    for ever, or whose buttons cannot be held part way, are left out.
    """
    import numpy as np

    if dry_command is not None:
        pushes = _held_back(of, pushes, weights, dry_command)
        if not pushes:
            return Proposal(None, "no push keeps every thruster within the dry limits")
        tables = channel_tables(of, pushes, of.setups)
    doubtful = _doubtful(of, tables, weights, still_below, doubtful_below)
    clear = [i for i in range(len(pushes)) if i not in doubtful]
    if not clear:
        return Proposal(None, "every push left gives some thruster a command too weak to tell from still")
    seen = predictions(of, tables[:, clear], still_below)
    bits = expected_bits(seen, weights, other, misreport)
    # argmax takes the first of equals, and single controls come first.
    best = int(np.argmax(np.round(bits, 9)))
    if bits[best] < LEAST_BITS:
        return Proposal(
            None, "no push tells the explanations that are left apart; only opening the wiring will"
        )
    chosen = clear[best]
    greatest = float(np.abs(tables[0, chosen, of.fed_by[0]]).max())
    return Proposal(NextPush(pushes[chosen], float(bits[best]), greatest))


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
