"""What a box or a pilot says is set, laid over a resolved configuration."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from rovlog.domain.axes import DEMANDS
from rovlog.domain.drift.leaves import ABSENT
from rovlog.domain.drift.tables import BoxTables
from rovlog.values import dataclass


@dataclass(frozen=True, slots=True)
class Readback:
    """What the surface box says it holds.

    `in_use` and `stored` may hold steering_scheme, thruster_map, trim and power_limit; `stored` is
    None where the box did not say. `stale` says why the readback no longer counts, or is None.
    """

    box: str
    firmware: str
    in_use: Mapping[str, Any]
    stored: Mapping[str, Any] | None = None
    stale: str | None = None
    at: str = ""


@dataclass(frozen=True, slots=True)
class Laid:
    """A resolved object with a statement laid over it.

    `spoken` are the pointers the statement speaks of; `undecoded` says, a sentence each, which
    numbers the code tables do not explain; `unused` names the keys that were not understood.
    """

    resolved: Mapping[str, Any]
    spoken: frozenset[str]
    undecoded: tuple[str, ...] = ()
    unused: tuple[str, ...] = ()


CODES = {"steering_scheme": "steering scheme", "thruster_map": "thruster map"}
"""The two numbers a box keeps, in words."""


def merged_statements(earlier: Mapping[str, Any], later: Mapping[str, Any]) -> dict[str, Any]:
    """A pilot's later word over an earlier one: key by key, trims demand by demand."""
    merged = {**earlier, **later}
    if "trim" in earlier and "trim" in later:
        merged["trim"] = {**earlier["trim"], **later["trim"]}
    return merged


def lay_over(
    resolved: Mapping[str, Any],
    said: Mapping[str, Any],
    tables: BoxTables | None,
    *,
    box: str | None = None,
    firmware: str | None = None,
    is_whole_trim: bool,
) -> Laid:
    """The configuration as the statement has it; what it does not speak of stays as it was.

    Args:
        resolved: the configuration the statement is about.
        said: steering_scheme, thruster_map, trim, power_limit; firmware and box too.
        tables: the code tables of the box; what a number means is read under `firmware`.
        box, firmware: the box and the firmware that spoke; the configuration's own where None.
        is_whole_trim: True where trims not named are 0 (a readback), False where they are unknown.
    """
    control = dict(resolved.get("control_box", {}))
    laid: dict[str, Any] = {**resolved}
    spoken: set[str] = set()
    undecoded: list[str] = []
    own_firmware, own_box = str(control.get("firmware", "")), str(control.get("box", ""))
    box = box or (str(said["box"]) if "box" in said else None)
    firmware = firmware or (str(said["firmware"]) if "firmware" in said else None)
    if box is not None:
        control["box"] = box
        spoken.add("/control_box/box")
    if firmware is not None:
        control["firmware"] = firmware
        spoken.add("/control_box/firmware")
    for code, words in CODES.items():
        if code not in said and firmware is None:
            continue
        before = control.get(code)
        if code in said:
            spoken.add(f"/control_box/{code}")
            control[code] = said[code]
        number = control.get(code)
        is_same_box = (firmware or own_firmware) == own_firmware and (box or own_box) == own_box
        if number == before and is_same_box:
            spoken.add(f"/{code}")
            continue
        under = f"firmware {firmware or own_firmware} of box {box or own_box}"
        entry = _entry(tables, code, firmware or own_firmware, number, box or own_box)
        if entry is None:
            undecoded.append(f"what {words} {number} means under {under} is not in the code tables")
        else:
            laid[code] = entry
            spoken.add(f"/{code}")
    laid["control_box"] = control
    if "trim" in said:
        laid["trim_defaults"] = _trims(resolved, said["trim"], is_whole_trim)
        named = DEMANDS if is_whole_trim else tuple(said["trim"])
        spoken |= {f"/trim_defaults/{demand}" for demand in named}
    if "power_limit" in said:
        laid["power_limit"] = said["power_limit"]
        spoken.add("/power_limit")
    known = {*CODES, "trim", "power_limit", "box", "firmware"}
    return Laid(laid, frozenset(spoken), tuple(undecoded), tuple(sorted(set(said) - known)))


def speaks_of(laid: Laid, pointer: str) -> bool:
    """True where the statement says something about the value at this pointer."""
    return any(pointer == place or pointer.startswith(place + "/") for place in laid.spoken)


def _trims(resolved: Mapping[str, Any], said: Mapping[str, Any], is_whole: bool) -> dict[str, Any]:
    trims = {**({} if is_whole else resolved.get("trim_defaults", {})), **said}
    return {demand: share for demand, share in trims.items() if share != 0}


def _entry(
    tables: BoxTables | None, code: str, firmware: str, number: Any, box: str
) -> Mapping[str, Any] | None:
    if tables is None or tables.box != box or isinstance(number, bool) or not isinstance(number, int):
        return None
    look_up = tables.scheme if code == "steering_scheme" else tables.map
    entry = look_up(firmware, number)
    return entry.value if entry else None


def trim_at(resolved: Mapping[str, Any], demand: str) -> float:
    """The trim on a demand, a share of full demand; an absent trim is 0."""
    value = dict(resolved.get("trim_defaults", {})).get(demand, 0.0)
    return float(value) if value is not ABSENT else 0.0
