"""Bench load steps: what the readings say about the supply, a channel and a thruster model."""

from __future__ import annotations

from collections.abc import Sequence
from math import sqrt

from rovlog.domain.ranges import require_finite, require_within
from rovlog.problems import OutOfRangeError
from rovlog.values import dataclass


@dataclass(frozen=True, slots=True)
class LoadStep:
    """One reading: voltage across the terminals and current through them, volt and ampere."""

    voltage_v: float
    current_a: float


@dataclass(frozen=True, slots=True)
class Fitted:
    """A fitted quantity with its standard uncertainty (None where the readings leave none to see)."""

    value: float
    uncertainty: float | None


@dataclass(frozen=True, slots=True)
class SupplyFit:
    """The supply as a voltage behind a resistance, volt and ohm, from `count` readings."""

    open_circuit_v: Fitted
    resistance_ohm: Fitted
    count: int


def supply_fit(steps: Sequence[LoadStep]) -> SupplyFit:
    """The straight line V = V0 - R I through load steps, by least squares.

    The uncertainties are standard ones from the scatter about the line; with two readings the
    line goes through both and nothing can be said about it.

    Source: ordinary least squares; standard errors with n - 2 degrees of freedom.

    Raises:
        OutOfRangeError: fewer than two different currents, or a reading that is no sound number.
    """
    for n, step in enumerate(steps, start=1):
        require_within(f"voltage_v of load step {n}", step.voltage_v, 0.0, 1e4)
        require_within(f"current_a of load step {n}", step.current_a, 0.0, 1e5)
    count = len(steps)
    if count < 2 or max(s.current_a for s in steps) - min(s.current_a for s in steps) < 1e-6:
        raise OutOfRangeError(
            "the load steps hold fewer than two different currents",
            "log at least two steps that draw clearly different currents; three or more show the uncertainty",
        )
    mean_i = sum(s.current_a for s in steps) / count
    mean_v = sum(s.voltage_v for s in steps) / count
    spread = sum((s.current_a - mean_i) ** 2 for s in steps)
    slope = sum((s.current_a - mean_i) * (s.voltage_v - mean_v) for s in steps) / spread
    at_rest = mean_v - slope * mean_i
    if count == 2:
        return SupplyFit(Fitted(at_rest, None), Fitted(-slope, None), count)
    scatter = sum((s.voltage_v - at_rest - slope * s.current_a) ** 2 for s in steps) / (count - 2)
    of_slope = sqrt(scatter / spread)
    of_rest = sqrt(scatter * (1 / count + mean_i**2 / spread))
    return SupplyFit(Fitted(at_rest, of_rest), Fitted(-slope, of_slope), count)


@dataclass(frozen=True, slots=True)
class ChannelCheck:
    """Resistance of one channel as measured against the record, ohm; `agrees` within `tolerance_share`.

    `loss_w` is the heat in it at the greatest current read, watt.
    """

    measured_ohm: Fitted
    expected_ohm: float
    tolerance_share: float
    loss_w: float

    @property
    def agrees(self) -> bool:
        """True where the measured value lies within the tolerance, its uncertainty doubled and counted in."""
        allowed = self.tolerance_share * self.expected_ohm + 2 * (self.measured_ohm.uncertainty or 0.0)
        return abs(self.measured_ohm.value - self.expected_ohm) <= allowed


def channel_check(
    drops: Sequence[LoadStep], expected_ohm: float, tolerance_share: float = 0.2
) -> ChannelCheck:
    """A channel's resistance from the voltage lost across it: the line through the origin.

    Args:
        drops: voltage lost between box and motor terminals at each current.
        expected_ohm: driver, and pair where the drop was measured over it.
        tolerance_share: how far off still agrees, no unit (project default 20 %).

    Raises:
        OutOfRangeError: no current flowed, or a reading that is no sound number.
    """
    require_within("expected resistance", expected_ohm, 0.0, 1e4)
    ratio = _through_origin([(d.current_a, d.voltage_v) for d in drops], "current_a", "voltage lost")
    greatest = max(d.current_a for d in drops)
    return ChannelCheck(ratio, expected_ohm, tolerance_share, conduction_loss_w(greatest, ratio.value))


def conduction_loss_w(current_a: float, resistance_ohm: float) -> float:
    """Heat in a resistance, watt: I^2 R. Use the hot resistance; twice the current is four times the heat."""
    require_finite("current_a", current_a)
    require_within("resistance_ohm", resistance_ohm, 0.0, 1e4)
    return current_a**2 * resistance_ohm


def model_scale(computed_and_read_a: Sequence[tuple[float, float]]) -> Fitted:
    """The factor that brings a thruster model's currents to what a clamp meter read; a proposal only.

    Args:
        computed_and_read_a: pairs of computed and read current, ampere, standing loads taken off both.

    Raises:
        OutOfRangeError: nothing was computed to flow, or a reading that is no sound number.
    """
    return _through_origin(list(computed_and_read_a), "computed current", "current read")


def _through_origin(pairs: Sequence[tuple[float, float]], x_name: str, y_name: str) -> Fitted:
    for n, (x, y) in enumerate(pairs, start=1):
        require_within(f"{x_name} of reading {n}", x, 0.0, 1e6)
        require_within(f"{y_name} of reading {n}", y, 0.0, 1e6)
    weight = sum(x * x for x, _ in pairs)
    if weight < 1e-12:
        raise OutOfRangeError(f"{x_name} is 0 in every reading", "log a reading with some current")
    ratio = sum(x * y for x, y in pairs) / weight
    if len(pairs) < 2:
        return Fitted(ratio, None)
    scatter = sum((y - ratio * x) ** 2 for x, y in pairs) / (len(pairs) - 1)
    return Fitted(ratio, sqrt(scatter / weight))
