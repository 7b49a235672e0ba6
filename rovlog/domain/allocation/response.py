"""What the thrusters do for some demands: channels, thrusts, currents and the resulting wrench."""

from __future__ import annotations

from collections.abc import Mapping

from rovlog.domain.allocation.channels import channel_commands
from rovlog.domain.allocation.demand import Demanded, demands_from_sticks
from rovlog.domain.allocation.thrust import thrust_and_current
from rovlog.domain.allocation.wrench import columns, wrench_of
from rovlog.domain.vehicle import DEMANDS, Configuration
from rovlog.values import dataclass


@dataclass(frozen=True, slots=True)
class ThrusterState:
    """One thruster: thrust in newton along its direction, nominal current in ampere at rated voltage."""

    thrust_n: float
    current_a: float


@dataclass(frozen=True, slots=True)
class Response:
    """What some demands do. `demands` has all six; `direct` what was put on channels by itself.

    `channels` holds commands, no unit, -1 to 1; `wrench` X, Y, Z in newton, K, M, N in newton metre.
    """

    demands: Mapping[str, float]
    direct: Mapping[int, float]
    channels: Mapping[int, float]
    thrusters: Mapping[str, ThrusterState]
    wrench: Mapping[str, float]

    @property
    def current_a(self) -> float:
        """The thrusters' nominal current together, ampere; standing loads are not in it."""
        return sum(t.current_a for t in self.thrusters.values())


def response(
    configuration: Configuration, demands: Mapping[str, float], direct: Mapping[int, float] | None = None
) -> Response:
    """What these demands (absent ones 0) and direct channel commands do.

    Neither shaping nor trim is applied: see `response_to_sticks` for those.
    """
    u = channel_commands(configuration, demands, direct or {})
    states: dict[str, ThrusterState] = {}
    for t in configuration.thrusters:
        thrust_n, current_a = thrust_and_current(configuration.models[t.model], t.sign * u[t.channel])
        states[t.thruster] = ThrusterState(thrust_n, current_a)
    thrusts = {name: state.thrust_n for name, state in states.items()}
    wrench = wrench_of(configuration.thrusters, columns(configuration), thrusts)
    return Response({d: demands.get(d, 0.0) for d in DEMANDS}, dict(direct or {}), u, states, wrench)


def response_to_sticks(configuration: Configuration, sticks: Mapping[str, float]) -> Response:
    """What these positions of the controls do, shaping and trims included; absent controls at rest."""
    asked: Demanded = demands_from_sticks(configuration, sticks)
    return response(configuration, asked.demands, asked.direct)
