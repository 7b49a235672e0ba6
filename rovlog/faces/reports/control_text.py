"""Each control in the pilot's words: what it really does, with the sign in words."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from rovlog.domain.allocation.authority import AXIS_OF
from rovlog.domain.allocation.demand import channel_of
from rovlog.domain.vehicle import AXES
from rovlog.faces.reports.motion_text import axis_words

if TYPE_CHECKING:
    from rovlog.domain.allocation.controls import ControlEffect, ControlEnd
    from rovlog.domain.vehicle import ControlEntry

ALSO_SHARE = 0.20
"""No unit. Other axes are named from this share of the main motion on (project default)."""


def control_texts(effects: Mapping[str, ControlEffect]) -> dict[str, str]:
    """A sentence for each control: "left stick forward: ahead; back: astern"."""
    return {name: control_text(effect) for name, effect in effects.items()}


def control_text(effect: ControlEffect) -> str:
    """What one control does at each end, then what its shaping does to the throw."""
    said = []
    for place, end in enumerate(effect.ends):
        said.append(f"{effect.control.words(end.position, is_short=place > 0)}: {_end_text(effect, end)}")
    notes = _notes(effect)
    return "; ".join(said) + (f" ({'; '.join(notes)})" if notes else "")


def _end_text(effect: ControlEffect, end: ControlEnd) -> str:
    largest = max(abs(v) for v in end.even.values())
    if not largest:
        return "nothing"
    own = [AXIS_OF[d] for d in dict.fromkeys(e.drives for e in effect.entries) if d in AXIS_OF]
    main = [a for a in own if end.even[a]]
    other = [a for a in AXES if a not in own and abs(end.even[a]) >= ALSO_SHARE * largest]
    words = " and ".join(axis_words(a, end.wrench[a]) for a in main)
    also = " and ".join(axis_words(a, end.wrench[a]) for a in other)
    if not own:
        return f"{_channels_words(end)} by itself: {also}"
    if not words:
        missing = " and ".join(d for d in AXIS_OF if AXIS_OF[d] in own)
        return f"no {missing}, but {also}" if also else f"no {missing}"
    by_itself = f", with {_channels_words(end)} by itself" if end.direct else ""
    return words + (f", also {also}" if also else "") + by_itself


def _channels_words(end: ControlEnd) -> str:
    return "channel " + " and ".join(str(c) for c in sorted(end.direct))


def _notes(effect: ControlEffect) -> list[str]:
    notes = []
    for demand in effect.unmapped:
        notes.append(f"{demand} has no share in the thruster map")
    if effect.unwired:
        channels = " and ".join(str(c) for c in effect.unwired)
        notes.append(f"nothing is wired to channel {channels}")
    if not notes and not any(any(end.wrench.values()) for end in effect.ends):
        notes.append("what it asks of the thrusters comes to nothing")
    shapes = dict.fromkeys(shape for entry in effect.entries for shape in _shape(entry))
    return notes + list(shapes)


def _shape(entry: ControlEntry) -> list[str]:
    said = []
    channel = channel_of(entry.drives)
    drives = entry.drives if channel is None else f"channel {channel}"
    size = abs(entry.full_stick)
    if size == 0.5:
        said.append(f"full throw asks only half of {drives}")
    elif size != 1:
        said.append(f"full throw asks {'only ' if size < 1 else ''}{size * 100:.3g} % of {drives}")
    if entry.dead_band:
        said.append(f"nothing in the first {entry.dead_band * 100:.3g} % of the throw")
    if entry.cubic_share:
        said.append(f"gentle near the centre, {entry.cubic_share * 100:.3g} % cubic")
    return said
