"""Putting a setup back: the approved numbers, the steps to them, and what must hold before each."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from rovlog.domain.dive import Record
from rovlog.domain.vehicle import DEMANDS
from rovlog.problems import UsageError
from rovlog.usecases.box_codes import tables_of
from rovlog.usecases.logbook import Logbook
from rovlog.values import dataclass

if TYPE_CHECKING:
    from rovlog.documents.readback_frame import BoxFrame

SAME = 0.0005
"""Shares closer than this are the same: the line carries thousandths of full."""


@dataclass(frozen=True, slots=True)
class Step:
    """One number to put back: `in_use` and `stored` as the box has them (None: it does not say).

    `words` is how it is set by hand, in the builder's words ("" where the record has none).
    """

    name: str
    wanted: float
    in_use: float | None
    stored: float | None
    words: str


@dataclass(frozen=True, slots=True)
class Wanted:
    """The setup that is approved: the box, its firmware, the numbers, and the revision in words."""

    box: str
    firmware: str
    values: Mapping[str, float]
    revision: str


def approved_setup(logbook: Logbook, record: Record) -> Wanted:
    """What is approved for the record's vehicle.

    Raises:
        UsageError: no vehicle, no baseline in force, or its numbers mean something else by now.
    """
    if not record.vehicle:
        raise UsageError(
            f"{record.id} is work on a box, and a box has no setup of its own",
            "name a dive or work on the vehicle whose approved setup is to be put back",
        )
    force = logbook.in_force(record.vehicle)
    if force.approval is None:
        raise UsageError(
            f"nothing can be put back for {record.vehicle}: {force.why_none}",
            f"approve a configuration first: rovlog vehicle approve {record.vehicle} --by … --reason …",
        )
    approved = force.approval.configuration
    control = approved["control_box"]
    box, firmware = str(control["box"]), str(control["firmware"])
    tables = tables_of(logbook, box)
    for name, look_up in (("steering_scheme", tables.scheme), ("thruster_map", tables.map)):
        entry = look_up(firmware, int(control[name]))
        if entry is None or dict(entry.value) != dict(approved[name]):
            words = name.replace("_", " ")
            raise UsageError(
                f"{words} {control[name]} does not mean what was approved: boxes/{box}.yaml has changed "
                f"for firmware {firmware}",
                f"compare: rovlog drift {record.vehicle}; then mend the table, or approve anew",
            )
    trims = approved.get("trim_defaults", {})
    values = {name: control[name] for name in ("steering_scheme", "thruster_map")}
    values |= {f"trim_{d}": float(trims.get(d, 0.0)) for d in DEMANDS}
    return Wanted(box, firmware, values, force.approval.spoken)


def steps_to(wanted: Wanted, frame: BoxFrame, how_to_set: str | Mapping[str, str]) -> tuple[Step, ...]:
    """What has to be set, in the order of setting: numbers first, since they decide what a trim does."""
    steps = []
    for name, value in wanted.values.items():
        in_use = setting_value(frame.in_use, name)
        stored = None if frame.stored is None else setting_value(frame.stored, name)
        if differs(in_use, value) or (stored is not None and differs(stored, value)):
            steps.append(Step(name, value, in_use, stored, _words(how_to_set, name)))
    return tuple(steps)


def setting_value(setting: Mapping[str, Any], name: str) -> float | None:
    """A number of a setup by the name it is set by; a trim that is not there is 0."""
    if name.startswith("trim_"):
        return float(dict(setting.get("trim", {})).get(name.removeprefix("trim_"), 0.0))
    value = setting.get(name)
    return None if value is None else float(value)


def require_outputs_off(frame: BoxFrame) -> None:
    """Raise UsageError unless the control link is disconnected or the thrusters are isolated."""
    if frame.link != "disconnected" and frame.outputs != "isolated":
        raise UsageError(
            f"the box says: control link {frame.link}, thrusters {frame.outputs}; nothing is set like that",
            "unplug the hand controller or isolate the thrusters, hands clear, then begin again",
        )


def require_same(wanted: Wanted, frame: BoxFrame, boots: int | None = None) -> None:
    if frame.box != wanted.box:
        raise UsageError(
            f"another box answers: {frame.box}, and {wanted.box} is approved", "take the box that is approved"
        )
    if frame.firmware != wanted.firmware:
        raise UsageError(
            f"{frame.box} has firmware {frame.firmware}, and {wanted.firmware} is approved: its numbers may "
            "mean other things",
            "enter the new firmware's tables and approve, or load the approved firmware",
        )
    if boots is not None and frame.boots != boots:
        raise UsageError(
            f"{frame.box} was started again meanwhile (start {frame.boots}, it was {boots})",
            "begin again: what was not stored is lost",
        )


def still_apart(wanted: Wanted, frame: BoxFrame) -> list[str]:
    """What a fresh start shows that is not as approved, a sentence each."""
    found = []
    if frame.box != wanted.box or frame.firmware != wanted.firmware:
        found.append(f"it is {frame.box} with firmware {frame.firmware} now")
    for step in steps_to(wanted, frame, ""):
        held = "nothing" if step.in_use is None else f"{step.in_use:g}"
        stored = "" if step.stored is None else f", stored {step.stored:g}"
        found.append(f"{step.name} is {held} in use{stored}, approved {step.wanted:g}")
    return found


def differs(held: float | None, wanted: float) -> bool:
    return held is None or abs(held - wanted) > SAME


def _words(how_to_set: str | Mapping[str, str], name: str) -> str:
    if isinstance(how_to_set, str):
        return how_to_set
    return how_to_set.get(name) or (how_to_set.get("trim", "") if name.startswith("trim_") else "")
