"""Judge a vacuum hold from the readings a person gives."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from rovlog.domain.hydrostatics.vacuum import (
    GAUGE_UNCERTAINTY_KPA,
    STANDARD_OUTSIDE_KPA,
    THERMOMETER_UNCERTAINTY_K,
    USUAL_LIMIT_KPA,
    VacuumHold,
    VacuumReading,
    vacuum_hold,
)
from rovlog.values import dataclass

if TYPE_CHECKING:
    from rovlog.usecases.vacuum_holds import EarlierHolds


@dataclass(frozen=True, slots=True)
class JudgedVacuum:
    """A hold with the readings and uncertainties it was judged on, and which of them were assumed.

    `outside` is "given" (both read), "taken-as-unchanged" (one read, used for both) or "assumed"
    (the standard atmosphere at both times).
    """

    hold: VacuumHold
    start: VacuumReading
    end: VacuumReading
    outside: str
    gauge_uncertainty_kpa: float
    thermometer_uncertainty_k: float
    earlier_rises_kpa: tuple[float, ...] = ()
    earlier: EarlierHolds | None = None


def judge_vacuum(
    start_below_kpa: float,
    start_c: float,
    end_below_kpa: float,
    end_c: float,
    *,
    outside_start_kpa: float | None = None,
    outside_end_kpa: float | None = None,
    limit_kpa: float | None = None,
    gauge_uncertainty_kpa: float | None = None,
    thermometer_uncertainty_k: float | None = None,
    earlier_rises_kpa: Sequence[float] = (),
    earlier: EarlierHolds | None = None,
) -> JudgedVacuum:
    """Judge two readings below outside; what is None takes its stated default.

    `earlier` are holds of the same housing from the logbook, shown beside; their rises count as
    `earlier_rises_kpa` where those are not given.

    One outside pressure alone is used at both times: putting the standard atmosphere at the other end
    would make a leak out of the weather. Raises OutOfRangeError naming what cannot be right.
    """
    rises = tuple(earlier_rises_kpa) or (earlier.rises_kpa if earlier else ())
    read = [kpa for kpa in (outside_start_kpa, outside_end_kpa) if kpa is not None]
    outside = ("assumed", "taken-as-unchanged", "given")[len(read)]
    fallback = read[0] if read else STANDARD_OUTSIDE_KPA
    start = VacuumReading(
        start_below_kpa, start_c, fallback if outside_start_kpa is None else outside_start_kpa
    )
    end = VacuumReading(end_below_kpa, end_c, fallback if outside_end_kpa is None else outside_end_kpa)
    gauge = GAUGE_UNCERTAINTY_KPA if gauge_uncertainty_kpa is None else gauge_uncertainty_kpa
    kelvin = THERMOMETER_UNCERTAINTY_K if thermometer_uncertainty_k is None else thermometer_uncertainty_k
    limit = USUAL_LIMIT_KPA if limit_kpa is None else limit_kpa
    hold = vacuum_hold(
        start,
        end,
        limit,
        gauge_uncertainty_kpa=gauge,
        thermometer_uncertainty_k=kelvin,
        earlier_rises_kpa=rises,
    )
    return JudgedVacuum(hold, start, end, outside, gauge, kelvin, rises, earlier)
