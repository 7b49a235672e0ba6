"""Did the housing hold its vacuum: two readings, corrected for temperature and outside pressure."""

from __future__ import annotations

from collections.abc import Sequence
from math import sqrt
from statistics import median
from typing import Literal

from rovlog.domain.ranges import require_finite, require_within
from rovlog.problems import OutOfRangeError
from rovlog.values import dataclass

STANDARD_OUTSIDE_KPA = 101.325
"""One standard atmosphere, taken for the outside pressure unless it was read."""

USUAL_LIMIT_KPA = 1.0
"""Greatest corrected rise of a hold; project default, no published figure was found."""

GAUGE_UNCERTAINTY_KPA = 0.1
"""Standard uncertainty of one gauge reading; project default: the last digit of a common gauge."""

THERMOMETER_UNCERTAINTY_K = 0.5
"""Standard uncertainty of one temperature of the air inside; project default."""

COVERAGE = 2.0
"""Standard uncertainties are widened by this for a confidence of about 95 % (GUM, JCGM 100:2008, 6.2)."""

LOOKS_ABSOLUTE_KPA = 60.0
"""A reading above this is taken for an absolute pressure: nobody should pull so much on a small housing."""

LIKELY_WARMING_KPA = 10.0
"""An inside this far above outside is no vacuum hold any more; 30 K of warming do as much."""

ZERO_CELSIUS_K = 273.15

EARLIER_HOLDS = 5
"""How many earlier holds of the same housing a hold is shown beside."""

Verdict = Literal["held", "lost", "cannot-judge"]


@dataclass(frozen=True, slots=True)
class VacuumReading:
    """One reading: `below_kpa` below the outside pressure, air inside at `temperature_c`.

    `outside_kpa` is the outside pressure at that moment, absolute.
    """

    below_kpa: float
    temperature_c: float
    outside_kpa: float = STANDARD_OUTSIDE_KPA

    @property
    def absolute_kpa(self) -> float:
        """Pressure of the air inside, absolute."""
        return self.outside_kpa - self.below_kpa


@dataclass(frozen=True, slots=True)
class VacuumHold:
    """The verdict on one hold, all pressures in kPa.

    `corrected_rise_kpa` is how much the air inside rose once it is brought back to the temperature
    at the start; `apparent_rise_kpa` what the gauge alone seems to say; `uncertainty_kpa` is expanded
    (about 95 %). `margin_kpa` is limit less rise. `reason` is a whole sentence. `usual_kpa` is the
    median of the earlier holds given, None without any; `is_unusual` where the rise is over twice that.
    """

    corrected_rise_kpa: float
    apparent_rise_kpa: float
    uncertainty_kpa: float
    limit_kpa: float
    margin_kpa: float
    verdict: Verdict
    reason: str
    start_absolute_kpa: float
    end_absolute_kpa: float
    usual_kpa: float | None
    is_unusual: bool


def vacuum_hold(
    start: VacuumReading,
    end: VacuumReading,
    limit_kpa: float = USUAL_LIMIT_KPA,
    *,
    gauge_uncertainty_kpa: float = GAUGE_UNCERTAINTY_KPA,
    thermometer_uncertainty_k: float = THERMOMETER_UNCERTAINTY_K,
    earlier_rises_kpa: Sequence[float] = (),
) -> VacuumHold:
    """Judge a hold on absolute pressures: rise = p2 T1 / T2 - p1, T in kelvin (Amontons' law).

    `earlier_rises_kpa` are the corrected rises of earlier holds of the same housing, oldest first;
    the last five count. Raises OutOfRangeError naming the reading that cannot be right.
    """
    _require_reading("start", start)
    _require_reading("end", end)
    if start.below_kpa <= 0.0:
        raise OutOfRangeError(
            f"start_below_kpa is {start.below_kpa:g}; no vacuum was pulled",
            "give how far the inside was below the outside pressure, as a positive number",
        )
    require_within("limit_kpa", limit_kpa, 0.001, LOOKS_ABSOLUTE_KPA)
    require_within("gauge_uncertainty_kpa", gauge_uncertainty_kpa, 0.0, 10.0)
    require_within("thermometer_uncertainty_k", thermometer_uncertainty_k, 0.0, 10.0)
    for earlier in earlier_rises_kpa:
        require_finite("earlier_rises_kpa", earlier)
    ratio = (start.temperature_c + ZERO_CELSIUS_K) / (end.temperature_c + ZERO_CELSIUS_K)
    rise = end.absolute_kpa * ratio - start.absolute_kpa
    wide = COVERAGE * _standard_uncertainty(
        start, end, ratio, gauge_uncertainty_kpa, thermometer_uncertainty_k
    )
    verdict, reason = _verdict(rise, limit_kpa, wide, start.below_kpa)
    usual = median(earlier_rises_kpa[-EARLIER_HOLDS:]) if earlier_rises_kpa else None
    return VacuumHold(
        corrected_rise_kpa=rise,
        apparent_rise_kpa=start.below_kpa - end.below_kpa,
        uncertainty_kpa=wide,
        limit_kpa=limit_kpa,
        margin_kpa=limit_kpa - rise,
        verdict=verdict,
        reason=reason,
        start_absolute_kpa=start.absolute_kpa,
        end_absolute_kpa=end.absolute_kpa,
        usual_kpa=usual,
        # Beside a usual of nearly nothing, twice it is noise: the rise must also stand out of that.
        is_unusual=usual is not None and rise > 2.0 * max(usual, 0.0) and rise - usual > wide,
    )


def _standard_uncertainty(
    start: VacuumReading, end: VacuumReading, ratio: float, gauge_kpa: float, thermometer_k: float
) -> float:
    """Uncertainty of the corrected rise by first-order propagation (GUM, JCGM 100:2008, 5.1.2)."""
    per_kelvin_start = end.absolute_kpa / (end.temperature_c + ZERO_CELSIUS_K)
    per_kelvin_end = per_kelvin_start * ratio
    return sqrt(
        gauge_kpa**2 * (1.0 + ratio**2) + thermometer_k**2 * (per_kelvin_start**2 + per_kelvin_end**2)
    )


def _verdict(rise: float, limit: float, wide: float, start_below: float) -> tuple[Verdict, str]:
    if rise - wide > limit:
        return "lost", f"the corrected rise of {rise:.2f} kPa is above the limit of {limit:g} kPa"
    if start_below <= limit + wide:
        return (
            "cannot-judge",
            f"a vacuum of {start_below:g} kPa is too small to show a rise of {limit:g} kPa:"
            " pull more and hold again",
        )
    if rise + wide > limit:
        return (
            "cannot-judge",
            f"the readings are uncertain by ±{wide:.2f} kPa, wider than the {abs(limit - rise):.2f} kPa"
            " between the rise and the limit: let the temperature settle and hold again",
        )
    if rise < -max(limit, wide):
        return (
            "cannot-judge",
            f"the vacuum became {-rise:.2f} kPa deeper than the temperature explains: a reading is wrong",
        )
    return "held", f"the corrected rise of {rise:.2f} kPa is within the limit of {limit:g} kPa"


def _require_reading(which: str, reading: VacuumReading) -> None:
    require_finite(f"{which}_below_kpa", reading.below_kpa)
    require_within(f"{which}_c", reading.temperature_c, -20.0, 60.0)
    require_within(f"outside_{which}_kpa", reading.outside_kpa, 50.0, 110.0)
    if reading.below_kpa > LOOKS_ABSOLUTE_KPA:
        raise OutOfRangeError(
            f"{which}_below_kpa is {reading.below_kpa:g}, which looks like an absolute pressure;"
            " expected how far the inside is below the outside",
            f"if the gauge shows absolute pressure, give {which}_below_kpa"
            f" {max(0.0, reading.outside_kpa - reading.below_kpa):.1f} (outside less reading)",
        )
    # The end may lie a little above outside: a housing that leaked and then warmed.
    if reading.below_kpa < (0.0 if which == "start" else -LIKELY_WARMING_KPA):
        raise OutOfRangeError(
            f"{which}_below_kpa is {reading.below_kpa:g}; expected a positive number",
            f"below outside is positive here: give {-reading.below_kpa:g}",
        )
