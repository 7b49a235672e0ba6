"""A vehicle of three thrusters as a person would write it: `smew` with its box and model, to be changed.

Everything is invented. Two thrusters aft and one that lifts, on channels 1 to 3 of a box with two sticks.
"""

from __future__ import annotations

from pathlib import Path

from calling import CommandLine

VEHICLE, BOX, MODEL = "vehicles/smew.yaml", "boxes/pier-box.yaml", "thrusters/loach-30.yaml"

FILES = {
    BOX: """\
format: rovlog/box/1
box: pier-box
firmware: "1.2"
channels: 4
steering_schemes:
  1:
    name: two sticks
    controls:
      - {control: left-stick-y, drives: surge, reversed: true, dead_band: 0.05, cubic_share: 0.4}
      - {control: left-stick-x, drives: yaw, full_stick: 0.8, dead_band: 0.05}
      - {control: right-stick-y, drives: heave, cubic_share: 0.2}
thruster_maps:
  1:
    name: two aft and one that lifts
    shares: {surge: {1: 1, 2: 1}, yaw: {1: 0.9, 2: -0.9}, heave: {3: 1}}
    when_saturated: clip
""",
    MODEL: """\
format: rovlog/thruster-model/1
model: loach-30
rated_v: 12
points:
  - {command: -1, thrust_n: -7.6, current_a: 3.4}
  - {command: -0.5, thrust_n: -2.1, current_a: 0.95}
  - {command: 0.4, thrust_n: 1.7, current_a: 0.7}
  - {command: 0.75, thrust_n: 5.3, current_a: 2.2}
  - {command: 1, thrust_n: 9.4, current_a: 3.9}
stall_current_a: 11
""",
    VEHICLE: """\
format: rovlog/vehicle/1
vehicle: smew
hull:
  mass_kg: 5.10
  displaced_volume_m3: 0.005160
  ballast_density_kg_m3: 7850
  drag_area_m2: 0.06
  centre_of_mass_m: [0.0, 0.0, 0.02]
  centre_of_buoyancy_m: [0.0, 0.0, -0.03]
housings: [{housing: tube, depth_rating_m: 30, vacuum_port: true}]
control_box: {box: pier-box, steering_scheme: 1, thruster_map: 1}
thrusters:
  - {thruster: aft-port, model: loach-30, channel: 1, polarity: normal,
     position_m: [-0.18, -0.12, 0.0], thrust_direction: [1.0, 0.0, 0.0]}
  - {thruster: aft-starboard, model: loach-30, channel: 2, polarity: reversed,
     position_m: [-0.18, 0.12, 0.0], thrust_direction: [-1.0, 0.0, 0.0]}
  - {thruster: lift, model: loach-30, channel: 3, polarity: normal,
     position_m: [0.0, 0.0, -0.05], thrust_direction: [0.0, 0.0, 1.0]}
trim_defaults: {heave: 0.06, surge: 0.03}
electrical:
  supply: {kind: battery, open_circuit_v: 12.9, internal_resistance_ohm: 0.035, capacity_ah: 20}
  fuse: {rating_a: 20, resistance_ohm: 0.004, characteristic: iso-8820-3-blade, continuous_share: 0.75}
  leads: {resistance_ohm: 0.015}
  drivers: {on_resistance_ohm: 0.06, channel_limit_a: 6, temperature_limit_c: 75}
  tether: {length_m: 26, conductor_area_mm2: 1.5, carries: motor-pairs, weight_in_water_n_per_m: 0.015}
  standing_loads: [{load: camera, current_a: 0.45}, {load: lamps, current_a: 0.9}]
  least_working_v: 9.0
""",
}

PEOPLE = ["ro=Ro Vinter:supervisor,pilot,builder", "aino=Aino Lund:pilot,tender,technician"]


def three_thrusters(root: Path) -> CommandLine:
    """A new logbook with those files, and the command line for it."""
    call = CommandLine(root)
    people = [word for person in PEOPLE for word in ("--person", person)]
    call("init", str(root), *people)
    for name, text in FILES.items():
        (root / name).parent.mkdir(exist_ok=True)
        (root / name).write_text(text, encoding="utf-8")
    return call


def change(root: Path, name: str, old: str, new: str) -> None:
    """Write one of the files anew with a piece of it replaced; the piece must be there once or more."""
    text = FILES[name]
    assert old in text, old
    (root / name).write_text(text.replace(old, new), encoding="utf-8")
