"""Ranking the suspects for a symptom of one vehicle."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rovlog.problems import UsageError
from rovlog.usecases.audit_history import VehicleHistory, vehicle_history
from rovlog.usecases.logbook import Logbook
from rovlog.values import dataclass

if TYPE_CHECKING:
    from rovlog.domain.audit.ranking import Ranking


@dataclass(frozen=True, slots=True)
class Suspects:
    """The ranking, and the past it was made from."""

    history: VehicleHistory
    ranking: Ranking


def find_suspects(logbook: Logbook, vehicle: str, symptom: str | None = None) -> Suspects:
    """Rank what may be to blame; UsageError for a symptom that is not on record."""
    from rovlog.domain.audit.ranking import rank_suspects
    from rovlog.usecases.physics import bound_physics

    history = vehicle_history(logbook, vehicle)
    flights = history.flights
    known = sorted({f.symptom for flight in flights.flights for f in flight.faults})
    if (
        symptom is not None
        and symptom not in known
        and symptom not in {f.symptom for f in flights.loose_faults}
    ):
        raise UsageError(
            f"no fault {symptom!r} is on record for {vehicle}",
            "on record are: " + ", ".join(known) if known else "no fault at all is on record",
        )
    return Suspects(history, rank_suspects(flights, symptom, history.changes, bound_physics()))
