"""Which way a thruster throws air or water, in words: bow, stern, port, starboard, up, down or none."""

from __future__ import annotations

import math
from collections.abc import Mapping

from rovlog.domain.diagnosis.observation import Seen
from rovlog.domain.vehicle import Thruster, Vector
from rovlog.values import dataclass

FLOWS: Mapping[str, Vector] = {
    "bow": (1.0, 0.0, 0.0),
    "stern": (-1.0, 0.0, 0.0),
    "port": (0.0, -1.0, 0.0),
    "starboard": (0.0, 1.0, 0.0),
    "up": (0.0, 0.0, -1.0),
    "down": (0.0, 0.0, 1.0),
}
"""Unit vectors in body axes (x forward, y to starboard, z down) of the words an observer has."""

NONE, UNSEEN = "none", "unseen"

FLOW_WORDS: tuple[str, ...] = (*FLOWS, NONE, UNSEEN)
"""Every short word an observer may answer with."""

ALONG = 0.35
"""A flow lies along a word from this cosine on: at 45 degrees both words do, 20 degrees off square none."""


@dataclass(frozen=True, slots=True)
class FlowSeen:
    """What an observer's word says of a thruster; `across` where the word does not lie along its axis.

    A flow across says neither ahead nor astern: it is kept as unseen, with the word beside it.
    """

    seen: Seen
    across: bool = False


def thrown_toward(thruster: Thruster, seen: Seen) -> str:
    """Where a thruster throws water that does this: "stern", "stern and port" at an angle, or "none".

    What it throws goes against its push: ahead is a push along the recorded thrust direction.
    """
    if seen not in ("ahead", "astern"):
        return NONE if seen == "still" else UNSEEN
    sign = -1.0 if seen == "ahead" else 1.0
    sizes = {word: sign * cosine for word, cosine in _cosines(thruster).items()}
    words = sorted((w for w, c in sizes.items() if c >= ALONG), key=lambda w: -round(sizes[w], 6))
    return " and ".join(words)


def seen_of(thruster: Thruster, word: str) -> FlowSeen:
    """What the observer's word means for this thruster, by its recorded thrust direction."""
    if word in (NONE, UNSEEN):
        return FlowSeen("still" if word == NONE else "unseen")
    cosine = _cosines(thruster)[word]
    if abs(cosine) < ALONG:
        return FlowSeen("unseen", across=True)
    return FlowSeen("astern" if cosine > 0 else "ahead")


def _cosines(thruster: Thruster) -> dict[str, float]:
    """Cosine between each word and the recorded thrust direction."""
    x, y, z = thruster.thrust_direction
    length = math.sqrt(x * x + y * y + z * z) or 1.0
    return {word: (a * x + b * y + c * z) / length for word, (a, b, c) in FLOWS.items()}
