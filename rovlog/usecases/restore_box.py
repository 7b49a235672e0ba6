"""Putting the approved setup back into the surface box, step by step, and proving that it took.

The box is unknown from the first step on, since an entry `box-changed` is written before it: an
interrupted restore leaves it so, and that stops the dive until a fresh readback.
"""

from __future__ import annotations

from typing import Protocol

from rovlog.domain.dive import Record
from rovlog.problems import RovlogError
from rovlog.usecases.box_port import BoxLine, BoxPort
from rovlog.usecases.hear_box import PATIENCE_S, Heard, hear_frame
from rovlog.usecases.logbook import Logbook
from rovlog.usecases.read_box import ReadBox, record_box, refuse_in_water
from rovlog.usecases.restore_steps import (
    Step,
    Wanted,
    approved_setup,
    differs,
    require_outputs_off,
    require_same,
    setting_value,
    steps_to,
    still_apart,
)
from rovlog.values import dataclass

BACK_S = 30.0
"""How long to wait for the port after the box was powered off, seconds (project default)."""

TRIES = 4
"""Frames looked at for a number that was just set (project default)."""


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
        require_same(wanted, heard.frame)
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
    still = tuple(still_apart(wanted, heard.frame))
    return Restored(wanted, steps, before, after, not still, still)


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
            require_same(wanted, fresh)
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
    require_same(wanted, fresh, boots)
    require_outputs_off(fresh)
    line.write(set_sentence(number, step.name, step.wanted))
    for _ in range(TRIES):
        fresh = hear_frame(line, name=device, patience_s=patience_s).frame
        if not differs(setting_value(fresh.in_use, step.name), step.wanted):
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
