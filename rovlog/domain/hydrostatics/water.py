"""The water a dive is made in: its kind, and its density."""

from __future__ import annotations

from math import sqrt
from typing import Literal

from rovlog.domain.ranges import require_within
from rovlog.values import dataclass

WaterKind = Literal["fresh", "brackish", "salt"]

WATER_KINDS: tuple[WaterKind, ...] = ("fresh", "brackish", "salt")
"""The three words a crew uses, from light to heavy."""

LEAST_BRACKISH_SALINITY = 0.5
"""Below this salinity water counts as fresh: the Venice system for brackish waters (1958), from memory."""

OPEN_SEA_SALINITY = 35.0
"""Taken for salt water whose salinity nobody gave, and then said to be assumed."""

IPTS68_PER_ITS90 = 1.00024
"""The density fit uses the 1968 temperature scale, T68 = 1.00024 T90 (Saunders 1990)."""


@dataclass(frozen=True, slots=True)
class Water:
    """One water. `temperature_c` on the ITS-90 scale; `salinity` is practical salinity (no unit).

    `salinity` is None where nobody gave one: fresh then counts as 0, salt as the open sea's 35;
    brackish has no usual value.
    """

    kind: WaterKind
    temperature_c: float
    salinity: float | None = None

    @property
    def salinity_taken(self) -> float | None:
        """The salinity to compute with; None for brackish water of unknown salinity."""
        if self.salinity is not None:
            return self.salinity
        return {"fresh": 0.0, "brackish": None, "salt": OPEN_SEA_SALINITY}[self.kind]

    @property
    def is_assumed(self) -> bool:
        """True where the salinity computed with is a usual value and not a given one."""
        return self.salinity is None and self.kind == "salt"


def water_density(salinity: float, temperature_c: float) -> float:
    """Density of fresh, brackish or sea water at the surface, kg/m^3.

    Pressure is left out on purpose: 100 m of depth adds under 0.05 %, a fiftieth of the step
    from fresh water to the open sea.

    Args:
        salinity: practical salinity (PSS-78), no unit, 0 (fresh) to 43.
        temperature_c: degrees Celsius on the ITS-90 scale, 0 to 40.

    Raises:
        OutOfRangeError: an argument is outside those limits, or is not a number.

    Source: Millero and Poisson (1981), Deep-Sea Res. 28A, 625-629 (EOS-80 at one atmosphere);
        coefficients as printed in UNESCO Tech. Pap. Mar. Sci. 44 (1983), eqs. 13-14.
    Accuracy: standard error of the fit 0.0036 kg/m^3 (Millero and Poisson, abstract).
    """
    require_within("salinity", salinity, 0.0, 43.0)
    require_within("temperature_c", temperature_c, 0.0, 40.0)
    t = temperature_c * IPTS68_PER_ITS90
    fresh = _polynomial(t, 999.842594, 6.793952e-2, -9.095290e-3, 1.001685e-4, -1.120083e-6, 6.536332e-9)
    a = _polynomial(t, 8.24493e-1, -4.0899e-3, 7.6438e-5, -8.2467e-7, 5.3875e-9)
    b = _polynomial(t, -5.72466e-3, 1.0227e-4, -1.6546e-6)
    return fresh + salinity * (a + b * sqrt(salinity) + 4.8314e-4 * salinity)


def _polynomial(t: float, *coefficients: float) -> float:
    """Sum of coefficients[k] * t**k, by Horner's rule."""
    total = 0.0
    for coefficient in reversed(coefficients):
        total = total * t + coefficient
    return total
