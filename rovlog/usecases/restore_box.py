"""Putting the approved setup back into the surface box, step by step, and proving that it took.

The box is unknown from the first step on, since an entry `box-changed` is written before it: an
interrupted restore leaves it so, and that stops the dive until a fresh readback.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Protocol

from rovlog.domain.dive import Record
from rovlog.domain.vehicle import DEMANDS
from rovlog.problems import RovlogError, UsageError
from rovlog.usecases.box_codes import tables_of
from rovlog.usecases.box_port import BoxLine, BoxPort
from rovlog.usecases.hear_box import PATIENCE_S, Heard, hear_frame
from rovlog.usecases.logbook import Logbook
from rovlog.usecases.read_box import ReadBox, record_box, refuse_in_water

if TYPE_CHECKING:
    from rovlog.documents.readback_frame import BoxFrame

SAME = 0.0005
"""Shares closer than this are the same: the line carries thousandths of full."""

BACK_S = 30.0
"""How long to wait for the port after the box was powered off, seconds (project default)."""

TRIES = 4
"""Frames looked at for a number that was just set (project default)."""


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


@dataclass(frozen=True, slots=True)
class Restored:
    """How it ended. `is_proven`: a fresh start of the box shows the approved setup, in use and stored.

    `still` says what is not as approved, a sentence each; `before` and `after` are the readbacks.
    """

    wanted: Wanted
    steps: tuple[Step, ...]
    before: ReadBox
    after: ReadBox | None
    is_proven: bool
    still: tuple[str, ...] = ()


class Hands(Protocol):
    """The person at the box."""

    def confirms(self, step: Step, number: int, of: int, *, is_sent: bool) -> bool:
        """Show one step; True once the person says it is to be sent (`is_sent`), or that it is set."""

    def has_power_cycled(self) -> bool:
        """Ask for the box to be switched off and on; True once it is done."""


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
        if _differs(in_use, value) or (stored is not None and _differs(stored, value)):
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


def restore(
    logbook: Logbook,
    record: Record,
    *,
    by: str,
    ports: BoxPort,
    device: str,
    baud: int,
    hands: Hands,
    patience_s: float = PATIENCE_S,
) -> Restored:
    """Put the approved setup back. Raises RovlogError where it must not begin, or breaks off.

    Identity and boot count are read immediately before each number is set, and so is that nothing can
    turn. Once something was to be set, the box counts as unknown until the last readback here.
    """
    wanted = approved_setup(logbook, record)
    document = logbook.box(wanted.box)
    refuse_in_water(logbook, wanted.box, even_if_gentle=True)
    with ports.open(device, baud) as line:
        heard = hear_frame(line, name=device, patience_s=patience_s, baud=baud)
        _require_same(wanted, heard.frame)
        before = record_box(logbook, record, heard, by=by, text="before the approved setup is put back")
        steps = steps_to(wanted, heard.frame, document.get("how_to_set", ""))
        if not steps:
            return Restored(wanted, (), before, before, True)
        require_outputs_off(heard.frame)
        _make_unknown(logbook, record, by, steps)
        try:
            is_done = _set_all(
                line, device, wanted, steps, heard, hands, document.get("accepts_setting") is True, patience_s
            )
        except RovlogError as error:
            raise RovlogError(
                f"{error.message}; the box's setup is unknown now", error.mend or "read the box again"
            ) from error
    if not is_done or not hands.has_power_cycled():
        return Restored(
            wanted, steps, before, None, False, ("it was broken off: what the box holds is unknown",)
        )
    heard = _after_start(ports, device, baud, before.frame.boots, patience_s)
    after = record_box(logbook, record, heard, by=by, text=f"after revision {wanted.revision} was put back")
    still = tuple(_still(wanted, heard.frame))
    return Restored(wanted, steps, before, after, not still, still)


def _require_same(wanted: Wanted, frame: BoxFrame, boots: int | None = None) -> None:
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


def _make_unknown(logbook: Logbook, record: Record, by: str, steps: tuple[Step, ...]) -> None:
    from rovlog.usecases.dive_steps import log_event

    what = ", ".join(f"{s.name} {s.wanted:g}" for s in steps)
    log_event(logbook, record, "box-changed", by=by, text=f"putting the approved setup back: {what}")


def _set_all(
    line: BoxLine,
    device: str,
    wanted: Wanted,
    steps: tuple[Step, ...],
    heard: Heard,
    hands: Hands,
    accepts_setting: bool,
    patience_s: float,
) -> bool:
    """Every step in turn; False where the person breaks off."""
    for number, step in enumerate(steps, 1):
        if not accepts_setting:
            drain(line)
            fresh = hear_frame(line, name=device, patience_s=patience_s).frame
            _require_same(wanted, fresh)
            require_outputs_off(fresh)
        if not hands.confirms(step, number, len(steps), is_sent=accepts_setting):
            return False
        if accepts_setting:
            _send(line, device, wanted, step, number, heard.frame.boots, patience_s)
    return True


def _send(
    line: BoxLine, device: str, wanted: Wanted, step: Step, number: int, boots: int, patience_s: float
) -> None:
    """Send one number to a box that was looked at a moment ago, and wait until a frame shows it."""
    from rovlog.documents.readback_writing import set_sentence

    drain(line)
    fresh = hear_frame(line, name=device, patience_s=patience_s).frame
    _require_same(wanted, fresh, boots)
    require_outputs_off(fresh)
    line.write(set_sentence(number, step.name, step.wanted))
    for _ in range(TRIES):
        fresh = hear_frame(line, name=device, patience_s=patience_s).frame
        if not _differs(setting_value(fresh.in_use, step.name), step.wanted):
            return
    raise RovlogError(
        f"the box did not take {step.name} {step.wanted:g}: it still says "
        f"{setting_value(fresh.in_use, step.name):g}",
        "set it by hand, or look why the box refuses; then read it again",
    )


def drain(line: BoxLine) -> None:
    """Throw away what arrived while a person was asked, so that what is read next is of this moment."""
    for _ in range(1000):
        if not line.read(0.0):
            return


def _after_start(ports: BoxPort, device: str, baud: int, boots: int, patience_s: float) -> Heard:
    """The first frame of a later start; what is in use then came from what is stored."""
    if not ports.wait_for(device, BACK_S):
        raise RovlogError(
            f"{device} did not come back; the box's setup is unknown now",
            "plug it in and read it: rovlog box read",
        )
    with ports.open(device, baud) as line:
        for _ in range(TRIES):
            heard = hear_frame(line, name=device, patience_s=patience_s, baud=baud)
            if heard.frame.boots > boots:
                return heard
    raise RovlogError(
        f"the box was not started again (it says start {heard.frame.boots}); what it has stored is unproven",
        "switch it off and on, then read it: rovlog box read",
    )


def _still(wanted: Wanted, frame: BoxFrame) -> list[str]:
    """What a fresh start shows that is not as approved, a sentence each."""
    found = []
    if frame.box != wanted.box or frame.firmware != wanted.firmware:
        found.append(f"it is {frame.box} with firmware {frame.firmware} now")
    for step in steps_to(wanted, frame, ""):
        held = "nothing" if step.in_use is None else f"{step.in_use:g}"
        stored = "" if step.stored is None else f", stored {step.stored:g}"
        found.append(f"{step.name} is {held} in use{stored}, approved {step.wanted:g}")
    return found


def _differs(held: float | None, wanted: float) -> bool:
    return held is None or abs(held - wanted) > SAME


def _words(how_to_set: str | Mapping[str, str], name: str) -> str:
    if isinstance(how_to_set, str):
        return how_to_set
    return how_to_set.get(name) or (how_to_set.get("trim", "") if name.startswith("trim_") else "")
