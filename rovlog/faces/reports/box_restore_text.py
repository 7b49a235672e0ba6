"""Putting a setup back into the surface box, in words: the caution, each step, and how it ended."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from rovlog.domain.drift.words import way
from rovlog.faces.reports.columns import wrapped
from rovlog.faces.reports.plain import clean

if TYPE_CHECKING:
    from rovlog.usecases.restore_box import Restored
    from rovlog.usecases.restore_steps import Step

SET_CAUTION = (
    "CAUTION  Setting the box changes what the sticks do. Hand controller unplugged or thrusters isolated, "
    "hands clear; nothing is set in the water."
)


def step_text(step: Step, number: int, of: int, *, is_sent: bool) -> str:
    """One number to put back: what it is, what it has to be, and how it is set."""
    held = "unknown" if step.in_use is None else _value(step.name, step.in_use)
    stored = "" if step.stored is None or step.stored == step.in_use else (
        f", stored {_value(step.name, step.stored)}"
    )  # fmt: skip
    lines = wrapped(
        f"{number} of {of}  {_name(step.name)}: {held} in use{stored}; "
        f"approved: {_value(step.name, step.wanted)}",
        hanging=8,
    )
    if is_sent:
        lines += wrapped("it is sent to the box once you confirm it", 8)
    else:
        how = step.words or "the box's record does not say how it is set (how_to_set): set it as you know"
        lines += wrapped(clean(how, lines=False), 8)
    return "\n".join(lines) + "\n"


def _name(name: str) -> str:
    return f"{name.removeprefix('trim_')} trim" if name.startswith("trim_") else name.replace("_", " ")


def _value(name: str, value: float) -> str:
    if not name.startswith("trim_"):
        return f"{value:g}"
    direction = way(name.removeprefix("trim_"), value)
    return f"{value:+.3g} ({direction})" if value else "0"


def restored_data(restored: Restored) -> dict[str, Any]:
    """How a restore ended, as data."""
    return {
        "record": restored.before.record,
        "box": restored.wanted.box,
        "revision": restored.wanted.revision,
        "steps": [
            {"set": s.name, "in_use": s.in_use, "stored": s.stored, "approved": s.wanted}
            for s in restored.steps
        ],
        "proven": restored.is_proven,
        "still": list(restored.still),
        "before": restored.before.entry.id,
        "after": restored.after.entry.id if restored.after else None,
    }


def restored_text(restored: Restored) -> str:
    """How a restore ended, in words."""
    box, revision = restored.wanted.box, restored.wanted.revision
    if not restored.steps:
        return f"{box} holds revision {revision} already; nothing was set, and the readback is kept\n"
    if restored.is_proven:
        lines = wrapped(
            f"{box} holds revision {revision}: proven by a readback after a fresh start. What a changed box "
            "voids is open again, the direction test among it.",
            hanging=2,
        )
        return "\n".join(lines) + "\n"
    lines = wrapped(f"NOT PUT BACK  {box} does not hold revision {revision}:", hanging=14)
    lines += [line for s in restored.still for line in wrapped(clean(s), 2, 4)]
    if restored.after is None:
        lines += wrapped("The box counts as unknown, and that stops the dive until it is read again.")
    return "\n".join(lines) + "\n"
