"""The demonstration's people and waters. All of them are invented."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from rovlog.values import dataclass, replace

TITLE = "Larkwater sixth-form underwater vehicles"
FOUNDER = "oona"
"""The person in whose name the logbook is started."""

PEOPLE: Mapping[str, Mapping[str, object]] = {
    "oona": {"name": "Oona Wickstead", "roles": ["supervisor", "builder"], "email": "oona@larkwater.example"},
    "bashir": {
        "name": "Bashir Noor",
        "roles": ["technician", "builder", "supervisor"],
        "email": "bashir@larkwater.example",
    },
    "tamsin": {"name": "Tamsin Gale", "roles": ["pilot", "tender"], "email": "tamsin@larkwater.example"},
    "elke": {"name": "Elke Varga", "roles": ["pilot", "tender"], "email": "elke@larkwater.example"},
    "jory": {"name": "Jory Penhale", "roles": ["pilot", "tender"], "email": "jory@larkwater.example"},
}

WRITER = "club-laptop"
"""The one laptop that wrote all of it."""


@dataclass(frozen=True, slots=True)
class Water:
    """A place on one day: depth in metres, temperatures in degrees Celsius, flow and wind in m/s."""

    site: str
    kind: str
    temperature_c: float
    depth_m: float
    visibility_m: float
    salinity: float | None = None
    flow_m_s: float = 0.0
    wind_m_s: float = 0.0

    @property
    def fields(self) -> dict[str, Any]:
        """As a start entry holds it."""
        salt = {} if self.salinity is None else {"salinity": self.salinity}
        return {"kind": self.kind, "temperature_c": self.temperature_c, **salt}

    def on(self, temperature_c: float, wind_m_s: float | None = None, flow_m_s: float | None = None) -> Water:
        """The same place on another day."""
        return replace(
            self,
            temperature_c=temperature_c,
            wind_m_s=self.wind_m_s if wind_m_s is None else wind_m_s,
            flow_m_s=self.flow_m_s if flow_m_s is None else flow_m_s,
        )


POOL = Water("school-pool", "fresh", 27.5, 2.0, 12.0)
LOCK = Water("lock-pool", "fresh", 11.0, 3.5, 1.4, wind_m_s=2.0)
BASIN = Water("outer-basin", "brackish", 10.5, 8.0, 1.1, salinity=6.0, flow_m_s=0.1, wind_m_s=4.0)
