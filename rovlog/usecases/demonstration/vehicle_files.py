"""The files of the demonstration's vehicles, boxes and thruster models, as a person would write them.

Everything here is invented; the numbers are plausible for the 12 V class and measured by nobody.
"""

from __future__ import annotations

GREBE = """\
# yaml-language-server: $schema=../.rovlog/schemas/vehicle-1.json
format: rovlog/vehicle/1
vehicle: grebe
name: Grebe
notes: Four thrusters set at 45 degrees, two vertical. The big one, for the outer basin.
hull:
  mass_kg: 9.15              # ready to dive, ballast fitted, weighed on 4 April
  displaced_volume_m3: 0.009212
  ballast_density_kg_m3: 7850
  drag_area_m2: 0.062
housings:
  - {housing: main, depth_rating_m: 35, air_volume_m3: 0.0016, vacuum_port: true}
  - {housing: camera, depth_rating_m: 50, air_volume_m3: 0.0002, vacuum_port: false}
control_box: {box: amber-box, steering_scheme: 2, thruster_map: 1}
thrusters:
  - {thruster: bow-port, model: reed-40, channel: 1, polarity: normal,
     position_m: [0.16, -0.13, 0.0], thrust_direction: [0.7071, 0.7071, 0.0]}
  - {thruster: bow-starboard, model: reed-40, channel: 2, polarity: normal,
     position_m: [0.16, 0.13, 0.0], thrust_direction: [0.7071, -0.7071, 0.0]}
  - {thruster: stern-port, model: reed-40, channel: 3, polarity: normal,
     position_m: [-0.17, -0.13, 0.0], thrust_direction: [0.7071, -0.7071, 0.0]}
  - {thruster: stern-starboard, model: reed-40, channel: 4, polarity: normal,
     position_m: [-0.17, 0.13, 0.0], thrust_direction: [0.7071, 0.7071, 0.0]}
  - {thruster: vertical-port, model: sedge-25, channel: 5, polarity: normal,
     position_m: [0.0, -0.10, -0.02], thrust_direction: [0.0, 0.0, 1.0]}
  - {thruster: vertical-starboard, model: sedge-25, channel: 6, polarity: normal,
     position_m: [0.0, 0.10, -0.02], thrust_direction: [0.0, 0.0, 1.0]}
trim_defaults: {heave: 0.04}   # down: she floats up by herself
electrical:
  supply: {kind: battery, open_circuit_v: 12.9, resting_v: 12.5, internal_resistance_ohm: 0.022,
           capacity_ah: 38, rated_hours: 20, peukert_exponent: 1.2, chemistry: lead-acid, part: battery-a}
  fuse: {rating_a: 15, resistance_ohm: 0.006, characteristic: iso-8820-3-blade, continuous_share: 0.75,
         distance_from_source_mm: 180}
  leads: {resistance_ohm: 0.008}
  drivers: {on_resistance_ohm: 0.03, channel_limit_a: 6.0, temperature_limit_c: 85, chopping_hz: 18000}
  tether: {length_m: 25, conductor_area_mm2: 1.5, carries: motor-pairs, weight_in_water_n_per_m: 0.015,
           part: tether-long}
  standing_loads: [{load: camera, current_a: 0.3}, {load: lamps, current_a: 0.5}]
  least_working_v: 9.0
limits: {closures: 6, connectors: 7, blanks: 1, ballast_pieces: 5, site_depth_m: 18}
"""

WIGEON = """\
# yaml-language-server: $schema=../.rovlog/schemas/vehicle-1.json
format: rovlog/vehicle/1
vehicle: wigeon
name: Wigeon
notes: Two thrusters aft, one vertical. For the pool and for new pilots.
hull: {mass_kg: 3.62, displaced_volume_m3: 0.003658, ballast_density_kg_m3: 7850, drag_area_m2: 0.031}
housings:
  - {housing: main, depth_rating_m: 20, air_volume_m3: 0.0006, vacuum_port: true}
control_box: {box: slate-box, steering_scheme: 1, thruster_map: 1}
thrusters:
  - {thruster: port-aft, model: reed-60, channel: 1, polarity: normal,
     position_m: [-0.12, -0.09, 0.01], thrust_direction: [1.0, 0.0, 0.0]}
  - {thruster: starboard-aft, model: reed-60, channel: 2, polarity: normal,
     position_m: [-0.12, 0.09, 0.01], thrust_direction: [1.0, 0.0, 0.0]}
  - {thruster: vertical, model: sedge-25, channel: 3, polarity: reversed,
     position_m: [0.02, 0.0, -0.03], thrust_direction: [0.0, 0.0, 1.0]}   # other hand of propeller
trim_defaults: {}
electrical:
  supply: {kind: battery, open_circuit_v: 12.8, resting_v: 12.4, internal_resistance_ohm: 0.035,
           capacity_ah: 17, rated_hours: 20, peukert_exponent: 1.2, chemistry: lead-acid, part: battery-b}
  fuse: {rating_a: 20, resistance_ohm: 0.004, characteristic: iso-8820-3-blade, continuous_share: 0.75,
         distance_from_source_mm: 220}
  leads: {resistance_ohm: 0.01}
  drivers: {on_resistance_ohm: 0.04, channel_limit_a: 7.0, temperature_limit_c: 80, chopping_hz: 16000}
  tether: {length_m: 14, conductor_area_mm2: 2.5, carries: supply-pair, weight_in_water_n_per_m: 0.01,
           part: tether-short}
  standing_loads: [{load: camera, current_a: 0.3}, {load: electronics, current_a: 0.2}]
  least_working_v: 8.5
limits: {closures: 4, connectors: 4, blanks: 0, ballast_pieces: 3, site_depth_m: 4}
"""

_AMBER_HEAD = """\
# yaml-language-server: $schema=../.rovlog/schemas/box-1.json
format: rovlog/box/1
box: amber-box
name: Amber box
firmware: "{firmware}"
channels: 8
baud: 57600
restarts_on_open: true
accepts_setting: false
how_to_set: >-
  Isolate the thrusters. Hold SETUP until the lamp blinks once; turn the knob to the scheme's number,
  press; turn it to the map's number, press; hold SETUP until the lamp stays on. Power off and on; read back.
"""

_AMBER_SCHEMES = """\
{indent}steering_schemes:
{indent}  "1":
{indent}    name: two sticks, split
{indent}    controls:
{indent}      - {{control: left-stick-y, drives: surge, dead_band: 0.06, reversed: true}}
{indent}      - {{control: left-stick-x, drives: yaw, dead_band: 0.06}}
{indent}      - {{control: right-stick-x, drives: sway, dead_band: 0.06}}
{indent}      - {{control: right-stick-y, drives: heave, dead_band: 0.06}}
{indent}  "2":
{indent}    name: right hand drives
{indent}    controls:
{indent}      - {{control: right-stick-y, drives: surge, dead_band: 0.06, cubic_share: 0.3, reversed: true}}
{indent}      - {{control: right-stick-x, drives: sway, dead_band: 0.06, full_stick: 0.8}}
{indent}      - {{control: left-stick-x, drives: yaw, dead_band: 0.06, full_stick: 0.7}}
{indent}      - {{control: left-stick-y, drives: heave, dead_band: 0.06}}
"""

_AMBER_MAP_ROWS = """\
{indent}  "{vectored}":
{indent}    name: four at 45 degrees, two vertical
{indent}    when_saturated: scale
{indent}    shares:
{indent}      surge: {{1: 1.0, 2: 1.0, 3: 1.0, 4: 1.0}}
{indent}      sway: {{1: 1.0, 2: -1.0, 3: -1.0, 4: 1.0}}
{indent}      yaw: {{1: 1.0, 2: -1.0, 3: 1.0, 4: -1.0}}
{indent}      heave: {{5: 1.0, 6: 1.0}}
"""

_AMBER_BENCH_MAP = """\
{indent}  "{bench}":
{indent}    name: bench, surge alone at a third
{indent}    when_saturated: clip
{indent}    shares:
{indent}      surge: {{1: 0.33, 2: 0.33, 3: 0.33, 4: 0.33}}
"""

_AMBER_LATERAL_MAP = """\
{indent}  "{lateral}":
{indent}    name: four at 45 degrees without sway, two vertical
{indent}    when_saturated: clip
{indent}    shares:
{indent}      surge: {{1: 1.0, 2: 1.0, 3: 1.0, 4: 1.0}}
{indent}      yaw: {{1: 1.0, 2: -1.0, 3: 1.0, 4: -1.0}}
{indent}      heave: {{5: 1.0, 6: 1.0}}
"""


def _amber_maps(indent: str, vectored: int, bench: int, lateral: int | None) -> str:
    rows = {vectored: _AMBER_MAP_ROWS, bench: _AMBER_BENCH_MAP}
    if lateral is not None:
        rows[lateral] = _AMBER_LATERAL_MAP
    text = f"{indent}thruster_maps:\n"
    for number in sorted(rows):
        text += rows[number].format(indent=indent, vectored=vectored, bench=bench, lateral=lateral)
    return text


def amber_box(firmware: str) -> str:
    """The amber box's file with firmware 1.4, or with 1.5, which put a new map first and renumbered."""
    text = _AMBER_HEAD.format(firmware=firmware) + _AMBER_SCHEMES.format(indent="")
    if firmware == "1.4":
        return text + _amber_maps("", vectored=1, bench=2, lateral=None)
    text += _amber_maps("", vectored=2, bench=3, lateral=1)
    text += 'other_firmwares:\n  "1.4":\n' + _AMBER_SCHEMES.format(indent="    ")
    return text + _amber_maps("    ", vectored=1, bench=2, lateral=None)


SLATE_BOX = """\
# yaml-language-server: $schema=../.rovlog/schemas/box-1.json
format: rovlog/box/1
box: slate-box
name: Slate box
firmware: "0.9"
channels: 4
baud: 9600
restarts_on_open: false
accepts_setting: false
how_to_set: "Two rows of switches inside the lid: left row is the scheme, right row the map. Power off first."
steering_schemes:
  "1":
    name: one stick, throttle on the left
    controls:
      - {control: right-stick-y, drives: surge, dead_band: 0.08, reversed: true}
      - {control: right-stick-x, drives: yaw, dead_band: 0.08, full_stick: 0.6}
      - {control: left-stick-y, drives: heave, dead_band: 0.08}
  "2":
    name: tracks, a stick a side
    controls:
      - {control: left-stick-y, drives: channel-1, reversed: true}
      - {control: right-stick-y, drives: channel-2, reversed: true}
      - {control: right-front-bottom, drives: heave}
      - {control: left-front-bottom, drives: heave, reversed: true}
thruster_maps:
  "1":
    name: two aft, one vertical with the other propeller
    when_saturated: clip
    shares:
      surge: {1: 1.0, 2: 1.0}
      yaw: {1: 1.0, 2: -1.0}
      heave: {3: -1.0}
  "2":
    name: two aft, one vertical
    when_saturated: clip
    shares:
      surge: {1: 1.0, 2: 1.0}
      yaw: {1: 1.0, 2: -1.0}
      heave: {3: 1.0}
"""

MODELS = {
    "reed-60": """\
# yaml-language-server: $schema=../.rovlog/schemas/thruster-model-1.json
format: rovlog/thruster-model/1
model: reed-60
name: Reed 60
notes: Bollard pull in the school's tub, each way, at 12 V on the terminals.
rated_v: 12
points:
  - {command: -1.0, thrust_n: -11.2, current_a: 5.3}
  - {command: -0.5, thrust_n: -3.9, current_a: 1.9}
  - {command: 0.5, thrust_n: 4.8, current_a: 1.8}
  - {command: 1.0, thrust_n: 13.6, current_a: 5.1}
stall_current_a: 14.5
""",
    "reed-40": """\
# yaml-language-server: $schema=../.rovlog/schemas/thruster-model-1.json
format: rovlog/thruster-model/1
model: reed-40
name: Reed 40
notes: Bollard pull in the school's tub, each way, at 12 V on the terminals.
rated_v: 12
points:
  - {command: -1.0, thrust_n: -4.7, current_a: 1.95}
  - {command: -0.5, thrust_n: -1.6, current_a: 0.7}
  - {command: 0.5, thrust_n: 2.0, current_a: 0.67}
  - {command: 1.0, thrust_n: 5.6, current_a: 1.9}
stall_current_a: 5.4
""",
    "sedge-25": """\
# yaml-language-server: $schema=../.rovlog/schemas/thruster-model-1.json
format: rovlog/thruster-model/1
model: sedge-25
name: Sedge 25
rated_v: 12
points:
  - {command: -1.0, thrust_n: -3.4, current_a: 1.2}
  - {command: -0.5, thrust_n: -1.15, current_a: 0.43}
  - {command: 0.5, thrust_n: 1.4, current_a: 0.42}
  - {command: 1.0, thrust_n: 4.0, current_a: 1.15}
stall_current_a: 3.6
""",
}

_QUARTERLY = "due: [{what: resistance and insulation, every_days: 90}]"
_HALF_YEARLY = "due: [{what: capacity test, every_days: 180}]"
_SEALS = "due: [{what: seals replaced, every_hours: 50, every_days: 182}]"

PARTS = {
    "tether-long": ("tether", "Long tether, yellow", "2025-11-02", _QUARTERLY),
    "tether-short": ("tether", "Short tether, black", "2025-09-14", _QUARTERLY),
    "tether-spare": ("tether", "Spare tether, 25 m, orange", "2026-02-20", _QUARTERLY),
    "battery-a": ("battery", "Battery A, 38 Ah", "2025-10-11", _HALF_YEARLY),
    "battery-b": ("battery", "Battery B, 17 Ah", "2025-10-11", _HALF_YEARLY),
    "seals-grebe": ("seal-set", "Grebe's main seals", "2026-03-20", _SEALS),
    "seals-wigeon": ("seal-set", "Wigeon's main seals", "2026-03-20", _SEALS),
    "propellers-bow": ("propeller", "Bow propellers of Grebe, second set", "2026-08-30", ""),
}
"""Kind, name, when made, and what is due, by part."""


def part_file(part: str) -> str:
    """A part's file."""
    kind, name, made, due = PARTS[part]
    lines = [
        "# yaml-language-server: $schema=../.rovlog/schemas/part-1.json",
        "format: rovlog/part/1",
        f"part: {part}",
        f"kind: {kind}",
        f"name: {name}",
        f'made: "{made}"',
        *([due] if due else []),
    ]
    return "\n".join(lines) + "\n"
