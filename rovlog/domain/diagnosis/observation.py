"""What an observer saw: a push, and for each thruster which way it threw water."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Literal

from rovlog.domain.allocation.gamepad import require_control
from rovlog.domain.nearest import did_you_mean
from rovlog.domain.vehicle import Configuration
from rovlog.problems import UsageError
from rovlog.values import dataclass

Seen = Literal["ahead", "astern", "still", "unseen"]

SEEN: tuple[Seen, ...] = ("ahead", "astern", "still", "unseen")
"""ahead is a push along the recorded thrust direction; unseen says nothing at all."""

Push = tuple[tuple[str, float], ...]
"""Controls with their raw positions (W3C Gamepad), those at rest left out, in a fixed order."""


@dataclass(frozen=True, slots=True)
class Observation:
    """One push and what was seen of the thrusters; a thruster left out counts as unseen.

    `trims` are those in force at the push, by demand; None where they are the configuration's.
    """

    push: Push
    seen: tuple[tuple[str, Seen], ...]
    medium: str = "wet"
    trims: Mapping[str, float] | None = None


def observation(
    configuration: Configuration,
    push: Mapping[str, float],
    seen: Mapping[str, str],
    medium: str = "wet",
    trims: Mapping[str, float] | None = None,
) -> Observation:
    """A checked observation.

    Raises UsageError for a control or thruster that does not exist (with the nearest name), a
    position outside its range, or a word that is not one of `SEEN`.
    """
    for control, position in push.items():
        require_control(control, position)
    thrusters = [t.thruster for t in configuration.thrusters]
    words: list[tuple[str, Seen]] = []
    for thruster, word in seen.items():
        if thruster not in thrusters:
            raise UsageError(
                f"{configuration.vehicle} has no thruster {thruster!r}", _nearest(thruster, thrusters)
            )
        known = next((w for w in SEEN if w == word), None)
        if known is None:
            raise UsageError(
                f"thruster {thruster} was seen {word!r}; expected ahead, astern, still or unseen",
                "ahead is a push along the thruster's recorded thrust_direction",
            )
        words.append((thruster, known))
    moved = tuple(sorted((control, float(at)) for control, at in push.items() if at))
    return Observation(moved, tuple(words), medium, trims)


def _nearest(word: str, names: Sequence[str]) -> str:
    return did_you_mean(word, names) or "its thrusters are: " + ", ".join(names)
