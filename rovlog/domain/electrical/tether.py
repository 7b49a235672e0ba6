"""Copper in the tether: resistance by cross-section or gauge, and what a wire may carry."""

from __future__ import annotations

from math import pi

from rovlog.domain.ranges import require_within
from rovlog.domain.vehicle import Tether

COPPER_OHM_MM2_PER_M = 1.0 / 58.0
"""Resistivity of annealed copper at 20 degrees C, ohm mm^2/m. Source: IEC 60028; NBS Handbook 100, 2.1."""

COPPER_PER_K = 0.00393
"""Temperature coefficient of copper at 20 degrees C, 1/K. Source: NBS Handbook 100 (1966), 2.1."""

GREATEST_DROP_SHARE = 0.10
"""No unit. Source: ISO 10133 / ISO 13297 (small craft, direct current), seen second-hand."""

WIRE_RATING_A = (
    (0.75, 10.0),
    (1.0, 14.0),
    (1.5, 18.0),
    (2.5, 25.0),
    (4.0, 35.0),
    (6.0, 45.0),
    (10.0, 65.0),
    (16.0, 90.0),
)
"""Area in mm^2 and the current one wire may carry for ever, ampere. From memory (ISO 10133, table A.1,
insulation for 70 degrees C, wires not bundled): to be checked against the standard before it is quoted."""


def awg_area_mm2(gauge: int) -> float:
    """Copper area of a solid wire by American wire gauge, mm^2 (0 is 1/0, -3 is 4/0).

    Source: ASTM B258: 0.127 mm at gauge 36, and 39 equal ratios up to 11.684 mm at 4/0.
    """
    require_within("gauge", gauge, -3, 50)
    diameter_mm = 0.127 * 92.0 ** ((36 - gauge) / 39)
    return float(pi / 4 * diameter_mm**2)


def conductor_resistance_ohm(length_m: float, area_mm2: float, temperature_c: float = 20.0) -> float:
    """Resistance of one copper conductor, ohm.

    Solid annealed copper; a stranded or tinned conductor of the same area has some per cent more
    (IEC 60228 allows 5 to 14 % more for class 5).

    Raises:
        OutOfRangeError: length_m, conductor_area_mm2 or conductor_temperature_c out of range.
    """
    require_within("length_m", length_m, 0.0, 1e5)
    require_within("conductor_area_mm2", area_mm2, 1e-4, 1e4)
    require_within("conductor_temperature_c", temperature_c, -60.0, 250.0)
    at_20_c = COPPER_OHM_MM2_PER_M * length_m / area_mm2
    return at_20_c * (1.0 + COPPER_PER_K * (temperature_c - 20.0))


def loop_resistance_ohm(tether: Tether) -> float:
    """Resistance of one pair of the tether out and back, ohm.

    Raises:
        OutOfRangeError: as `conductor_resistance_ohm`.
    """
    return 2.0 * conductor_resistance_ohm(
        tether.length_m, tether.conductor_area_mm2, tether.conductor_temperature_c
    )


def wire_rating_a(area_mm2: float) -> float:
    """What a wire of this area may carry for ever, ampere: the table's next smaller size.

    Below the smallest size in proportion to the area (project default). See `WIRE_RATING_A` for
    where the numbers come from.
    """
    require_within("wire area", area_mm2, 1e-4, 1e4)
    smallest, least = WIRE_RATING_A[0]
    if area_mm2 < smallest:
        return least * area_mm2 / smallest
    return max(rating for area, rating in WIRE_RATING_A if area <= area_mm2 * (1 + 1e-9))
