"""A team's files as a person would write them: two vehicles of different shape, their boxes and models.

Everything is invented. `auk` has four thrusters on four channels of a box of its own; `dipper` six on
six. Both answer as commanded, balance in fresh water and stay within their fuses.
"""

# ruff: noqa: E501 - the lines of these files are as long as people write them
from __future__ import annotations

from pathlib import Path

AUK_BOX = """\
format: rovlog/box/1
box: jetty-box
firmware: "2.4"
channels: 4
restarts_on_open: true
accepts_setting: false
how_to_set: {steering_scheme: hold SET and turn the left knob, thruster_map: hold SET and turn the right knob}
steering_schemes:
  3:
    name: two sticks
    controls:
      - {control: left-stick-y, drives: surge, reversed: true, dead_band: 0.06}
      - {control: right-stick-x, drives: yaw, dead_band: 0.06, full_stick: 0.7}
      - {control: right-stick-y, drives: heave}
  5:
    name: left hand only
    controls:
      - {control: left-stick-y, drives: surge, reversed: true}
      - {control: left-stick-x, drives: yaw}
      - {control: right-stick-y, drives: heave}
thruster_maps:
  2: {name: two aft and two lift, shares: {surge: {1: 1, 2: 1}, yaw: {1: 1, 2: -1}, heave: {3: 1, 4: 1}}, when_saturated: scale}
  7: {name: as two but wired the other way, shares: {surge: {1: -1, 2: -1}, yaw: {1: -1, 2: 1}, heave: {3: 1, 4: 1}}, when_saturated: scale}
other_firmwares:
  "1.9":
    steering_schemes:
      1: {name: two sticks, controls: [{control: left-stick-y, drives: surge, reversed: true}]}
    thruster_maps:
      1: {name: two aft, shares: {surge: {1: 1, 2: 1}}, when_saturated: scale}
"""

DIPPER_BOX = """\
format: rovlog/box/1
box: punt-box
firmware: "0.31"
channels: 6
steering_schemes:
  1:
    name: two sticks
    controls:
      - {control: left-stick-y, drives: surge, reversed: true}
      - {control: left-stick-x, drives: sway}
      - {control: right-stick-x, drives: yaw, full_stick: 0.6}
      - {control: right-stick-y, drives: heave}
thruster_maps:
  4:
    name: four at the corners and two lift
    shares:
      surge: {1: 1, 2: 1, 3: 1, 4: 1}
      sway: {1: 1, 2: -1, 3: -1, 4: 1}
      yaw: {1: 1, 2: -1, 3: 1, 4: -1}
      heave: {5: 1, 6: 1}
    when_saturated: scale
"""

MODELS = {
    "guppy-12": """\
format: rovlog/thruster-model/1
model: guppy-12
rated_v: 12
points:
  - {command: -1, thrust_n: -4.1, current_a: 1.9}
  - {command: -0.5, thrust_n: -1.2, current_a: 0.62}
  - {command: 0.5, thrust_n: 1.5, current_a: 0.66}
  - {command: 1, thrust_n: 5.2, current_a: 2.1}
stall_current_a: 9.5
""",
    "minnow-9": """\
format: rovlog/thruster-model/1
model: minnow-9
rated_v: 12
points:
  - {command: -1, thrust_n: -2.6, current_a: 1.05}
  - {command: 1, thrust_n: 2.9, current_a: 1.15}
""",
}

AUK = """\
# the small one
format: rovlog/vehicle/1
vehicle: auk
name: Auk
hull: {mass_kg: 4.62, displaced_volume_m3: 0.004685, ballast_density_kg_m3: 11340}
housings:
  - {housing: tube, depth_rating_m: 30, air_volume_m3: 0.0009, vacuum_port: true}
control_box: {box: jetty-box, steering_scheme: 3, thruster_map: 2}
thrusters:
  - {thruster: aft-port, model: guppy-12, channel: 1, polarity: normal, position_m: [-0.2, -0.11, 0.0], thrust_direction: [1, 0, 0]}
  - {thruster: aft-starboard, model: guppy-12, channel: 2, polarity: normal, position_m: [-0.2, 0.11, 0.0], thrust_direction: [1, 0, 0]}
  - {thruster: lift-port, model: minnow-9, channel: 3, polarity: normal, position_m: [0.0, -0.09, -0.02], thrust_direction: [0, 0, 1]}
  - {thruster: lift-starboard, model: minnow-9, channel: 4, polarity: normal, position_m: [0.0, 0.09, -0.02], thrust_direction: [0, 0, 1]}
trim_defaults: {heave: 0.07}
electrical:
  supply: {kind: battery, open_circuit_v: 12.7, internal_resistance_ohm: 0.028, capacity_ah: 22, chemistry: lead-acid}
  fuse: {rating_a: 15, resistance_ohm: 0.005, characteristic: iso-8820-3-blade, continuous_share: 0.75}
  leads: {resistance_ohm: 0.012}
  drivers: {on_resistance_ohm: 0.05, channel_limit_a: 6}
  tether: {length_m: 18, conductor_area_mm2: 1.5, carries: motor-pairs, weight_in_water_n_per_m: 0.01}
  standing_loads: [{load: camera, current_a: 0.35}]
  least_working_v: 9.4
"""

DIPPER = """\
format: rovlog/vehicle/1
vehicle: dipper
name: Dipper
hull: {mass_kg: 9.35, displaced_volume_m3: 0.00948, ballast_density_kg_m3: 7850}
housings:
  - {housing: main, depth_rating_m: 45, air_volume_m3: 0.0021}
  - {housing: lamp, depth_rating_m: 60}
control_box: {box: punt-box, steering_scheme: 1, thruster_map: 4}
thrusters:
  - {thruster: bow-port, model: guppy-12, channel: 1, polarity: normal, position_m: [0.22, -0.17, 0], thrust_direction: [0.7071, 0.7071, 0]}
  - {thruster: bow-starboard, model: guppy-12, channel: 2, polarity: normal, position_m: [0.22, 0.17, 0], thrust_direction: [0.7071, -0.7071, 0]}
  - {thruster: stern-port, model: guppy-12, channel: 3, polarity: normal, position_m: [-0.22, -0.17, 0], thrust_direction: [0.7071, -0.7071, 0]}
  - {thruster: stern-starboard, model: guppy-12, channel: 4, polarity: reversed, position_m: [-0.22, 0.17, 0], thrust_direction: [-0.7071, -0.7071, 0]}
  - {thruster: lift-fore, model: minnow-9, channel: 5, polarity: normal, position_m: [0.15, 0, 0], thrust_direction: [0, 0, 1]}
  - {thruster: lift-aft, model: minnow-9, channel: 6, polarity: normal, position_m: [-0.15, 0, 0], thrust_direction: [0, 0, 1]}
electrical:
  supply: {kind: battery, open_circuit_v: 12.9, internal_resistance_ohm: 0.02, capacity_ah: 30}
  fuse: {rating_a: 20, resistance_ohm: 0.004, characteristic: iso-8820-3-blade}
  leads: {resistance_ohm: 0.01}
  drivers: {on_resistance_ohm: 0.04, channel_limit_a: 5}
  tether: {length_m: 25, conductor_area_mm2: 1.5, carries: motor-pairs, weight_in_water_n_per_m: 0.02}
  standing_loads: [{load: camera, current_a: 0.5}, {load: lamps, current_a: 1.2}]
  least_working_v: 9
limits: {tether_pull_n: 90}
"""

FILES = {
    "boxes/jetty-box.yaml": AUK_BOX,
    "boxes/punt-box.yaml": DIPPER_BOX,
    "thrusters/guppy-12.yaml": MODELS["guppy-12"],
    "thrusters/minnow-9.yaml": MODELS["minnow-9"],
    "vehicles/auk.yaml": AUK,
    "vehicles/dipper.yaml": DIPPER,
}

PEOPLE = [
    "nora=Nora Vik:supervisor,pilot",
    "tomas=Tomas Brek:pilot,tender",
    "ife=Ife Sand:tender,technician",
]


def write_files(root: Path, only: tuple[str, ...] = tuple(FILES)) -> None:
    """Write those of the team's files into a logbook that `rovlog init` made."""
    for name in only:
        path = root / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(FILES[name], encoding="utf-8")
