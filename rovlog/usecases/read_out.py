"""What the program names for an item, so that it can be read out: put off items, faults, notes, sticks."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rovlog.domain.dive import Record
from rovlog.usecases.logbook import Logbook

if TYPE_CHECKING:
    from rovlog.domain.checks.checklist import Item
    from rovlog.usecases.dive_state import DiveState

NOTE = "note"
"""The value under which the list after a dive keeps what the next crew should know."""


def read_out(state: DiveState, item: Item) -> tuple[str, ...]:
    """The lines to read out for this item, each a sentence; () where it names nothing."""
    tells = {
        "put-off-items": _put_off,
        "open-faults": _faults,
        "last-notes": lambda s: s.last_notes or ("no note was left",),
        "hardest-manoeuvre": _hardest,
    }
    tell = tells.get(item.reads_out)
    return tell(state) if tell is not None else ()


def notes_of(record: Record) -> tuple[str, ...]:
    """What a dive left for the next crew: the notes of its last list, then those written in between."""
    asked, written = [], []
    for entry in record.entries:
        values = entry.fields.get("values")
        if entry.kind == "check" and isinstance(values, dict) and values.get(NOTE):
            asked.append(str(values[NOTE]))
        elif entry.kind == "note" and not entry.fields.get("item"):
            written.append(str(entry.fields.get("text", "")))
    said = [text for text in asked if text.strip().casefold() != "none"]
    return tuple(dict.fromkeys(text for text in (*said[-1:], *written) if text))


def last_notes(logbook: Logbook, record: Record) -> tuple[str, ...]:
    """The notes of the vehicle's dive before this one; () where there are none."""
    from rovlog.usecases.fold_record import dive_before

    last = dive_before(logbook, record)
    return notes_of(last) if last is not None else ()


def _put_off(state: DiveState) -> tuple[str, ...]:
    from rovlog.usecases.checklists_of import items_put_off

    found = []
    for item in items_put_off(state.lists, state.items):
        now = state.items[item.item]
        why = now.void_reason or now.reason
        found.append(f"{item.name}, {now.state}" + (f": {why}" if why else ""))
    return tuple(found) or ("nothing is deferred or expired",)


def _faults(state: DiveState) -> tuple[str, ...]:
    held = state.quarantine.faults if state.quarantine is not None else ()
    faults = [f"fault {f.symptom}" + (f" of {f.part}" if f.part else "") for f in held]
    waived = [i for c in state.lists for i in c.items() if state.items[i.item].state == "waived"]
    waivers = [f"waived: {i.name}: {state.items[i.item].reason}" for i in waived]
    return (*faults, *waivers) or ("no fault is open, no item is waived",)


def _hardest(state: DiveState) -> tuple[str, ...]:
    from rovlog.domain.allocation.gamepad import CONTROLS, sticks_words
    from rovlog.usecases.computed_quantities import STICK

    sticks = {k.removeprefix(STICK): v for k, v in state.computed.items() if k.startswith(STICK)}
    known = {control: v for control, v in sticks.items() if control in CONTROLS and v is not None}
    return (f"the manoeuvre that draws the most: {sticks_words(known)}",) if known else ()
