"""Pointers and values of a configuration in a pilot's words."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from rovlog.domain.drift.leaves import ABSENT, tokens
from rovlog.domain.drift.tables import BoxTables

POSITIVE_WAY: Mapping[str, str] = {
    "surge": "ahead",
    "sway": "to starboard",
    "heave": "down",
    "roll": "starboard side down",
    "pitch": "bow up",
    "yaw": "bow to starboard",
}
"""What a positive demand does (SNAME 1950: x forward, y to starboard, z down, right-handed turns)."""

NEGATIVE_WAY: Mapping[str, str] = {
    "surge": "astern",
    "sway": "to port",
    "heave": "up",
    "roll": "port side down",
    "pitch": "bow down",
    "yaw": "bow to port",
}
"""What a negative demand does."""

UNITS: Mapping[str, str] = {
    "_kg_m3": "kg/m³",
    "_m3": "m³",
    "_m2": "m²",
    "_mm2": "mm²",
    "_mm": "mm",
    "_n_per_m": "N/m",
    "_ohm": "ohm",
    "_kpa": "kPa",
    "_hz": "Hz",
    "_ah": "Ah",
    "_kg": "kg",
    "_a": "A",
    "_v": "V",
    "_n": "N",
    "_c": "°C",
    "_s": "s",
    "_m": "m",
}
"""Units by the end of a key; the longer ends stand first, since `_mm` ends in `_m` too."""


def way(demand: str, share: float) -> str:
    """The way a signed demand goes, in words ("down")."""
    return (POSITIVE_WAY if share > 0 else NEGATIVE_WAY).get(demand, "")


def trim_words(demand: str, share: float) -> str:
    """A trim with its sign in words: "heave trim +0.10 (down)"."""
    return f"{demand} trim {share:+.2f} ({way(demand, share)})" if share else f"no {demand} trim"


def place_words(pointer: str) -> str:
    """What stands at a pointer: "polarity of thruster bow-port"."""
    path = tokens(pointer)
    if not path:
        return "the configuration"
    match path:
        case ("control_box", key):
            return {"steering_scheme": "steering scheme", "thruster_map": "thruster map"}.get(key, key)
        case ("trim_defaults", demand):
            return f"{demand} trim"
        case ("power_limit",):
            return "power limit"
        case ("thruster_map", "shares", demand):
            return f"shares of {demand}"
        case ("thruster_map", "shares", demand, channel):
            return f"share of {demand} on channel {channel}"
        case ("steering_scheme", "controls", control, *rest):
            return f"{_spaced(control)}{_which(rest)}"
        case ("thrusters", thruster, *rest):
            return f"{_key(rest)} of thruster {thruster}" if rest else f"thruster {thruster}"
        case ("models", model, *rest):
            return f"{_key(rest)} of thruster model {model}" if rest else f"thruster model {model}"
        case ("housings", housing, *rest):
            return f"{_key(rest)} of housing {housing}" if rest else f"housing {housing}"
        case ("electrical", "standing_loads", load, *rest):
            return f"{_key(rest)} of load {load}" if rest else f"load {load}"
        case ("electrical", *rest):
            return " ".join(_without_unit(key) for key in rest) or "electrical part"
        case _:
            return " ".join(_without_unit(key) for key in path)


def value_words(
    pointer: str, value: Any, tables: BoxTables | None = None, firmware: str | None = None
) -> str:
    """A value in words, with its unit; a number of the box with its name from the code tables."""
    path = tokens(pointer)
    if value is ABSENT or value is None:
        if path[:1] == ("trim_defaults",):
            return "none"
        return "full" if path == ("power_limit",) else "absent"
    if path in {("control_box", "steering_scheme"), ("control_box", "thruster_map")}:
        return _code_words(path[1], value, tables, firmware)
    if path[:1] == ("trim_defaults",) and isinstance(value, int | float):
        return f"{value:+.2f} ({way(path[1], value)})" if value else "none"
    if isinstance(value, Mapping):
        return ", ".join(f"{k} {setup_words(k, v)}" for k, v in value.items()) or "empty"
    if isinstance(value, list | tuple):
        return ", ".join(value_words("", v) for v in value) if value else "empty"
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, int | float):
        unit = next((u for end, u in UNITS.items() if path and path[-1].endswith(end)), "")
        return f"{value:g} {unit}".rstrip()
    return str(value)


def setup_words(key: str, value: Any) -> str:
    """One value of a setup as a box or a pilot gives it: a trim of no demand at all is none."""
    return "none" if key == "trim" and value == {} else value_words("", value)


def _code_words(code: str, number: Any, tables: BoxTables | None, firmware: str | None) -> str:
    if tables is None or isinstance(number, bool) or not isinstance(number, int):
        return str(number)
    look_up = tables.scheme if code == "steering_scheme" else tables.map
    entry = look_up(firmware or tables.firmware, number)
    if entry is None:
        return f"{number} (not in the code tables)"
    return f"{number} ({entry.name})" if entry.name else str(number)


def _key(rest: list[str]) -> str:
    return " ".join(_without_unit(key) for key in rest)


def _which(rest: list[str]) -> str:
    if not rest:
        return ""
    entry = f", entry {int(rest[0]) + 1}" if rest[0].isdigit() else f", {rest[0]}"
    return entry + (f": {_spaced(rest[1])}" if len(rest) > 1 else "")


def _without_unit(key: str) -> str:
    end = next((end for end in UNITS if key.endswith(end)), "")
    return _spaced(key.removesuffix(end))


def _spaced(key: str) -> str:
    return key.replace("_", " ").replace("-", " ")
