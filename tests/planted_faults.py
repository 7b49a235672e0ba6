"""Vehicles with faults planted in them, by brute force: change the vehicle, then ask the ordinary response.

Shares nothing with the diagnosis but the names of the edits, so that it can judge it.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from rovlog.domain.allocation.response import response_to_sticks
from rovlog.domain.diagnosis.edits import Edit
from rovlog.domain.vehicle import Configuration, SteeringScheme, ThrusterMap


def broken(
    configuration: Configuration,
    schemes: Mapping[int, SteeringScheme],
    maps: Mapping[int, ThrusterMap],
    edits: Sequence[Edit],
) -> Configuration:
    """The configuration with the setup edits, swaps and reversals done to it."""
    for edit in edits:
        if edit.edit == "wrong-steering-scheme":
            configuration = replace(configuration, steering_scheme=schemes[edit.number])
        if edit.edit == "wrong-thruster-map":
            configuration = replace(configuration, thruster_map=maps[edit.number])
    for edit in edits:
        if edit.edit == "swapped":
            a, b = edit.channels
            to = {a: b, b: a}
            rewired = [replace(t, channel=to.get(t.channel, t.channel)) for t in configuration.thrusters]
            configuration = replace(configuration, thrusters=tuple(rewired))
        if edit.edit == "reversed":
            turned = [
                replace(t, sign=-t.sign) if t.thruster == edit.thruster else t
                for t in configuration.thrusters
            ]
            configuration = replace(configuration, thrusters=tuple(turned))
        if edit.edit == "control-reversed":
            entries = [
                replace(e, is_reversed=not e.is_reversed) if e.control == edit.control else e
                for e in configuration.steering_scheme.entries
            ]
            configuration = replace(configuration, steering_scheme=SteeringScheme(tuple(entries)))
    return configuration


def what_happens(
    configuration: Configuration,
    schemes: Mapping[int, SteeringScheme],
    maps: Mapping[int, ThrusterMap],
    edits: Sequence[Edit],
    push: Mapping[str, float],
) -> dict[str, str]:
    """What a perfect observer sees of each thruster on that push: ahead, astern or still."""
    vehicle = broken(configuration, schemes, maps, edits)
    dead = {e.channel for e in edits if e.edit == "dead"}
    still = {e.thruster for e in edits if e.edit == "still"}
    commands = response_to_sticks(vehicle, push).channels
    words = {}
    for t in vehicle.thrusters:
        command = 0.0 if t.channel in dead or t.thruster in still else t.sign * commands[t.channel]
        words[t.thruster] = "still" if abs(command) < 0.08 else "ahead" if command > 0 else "astern"
    return words
