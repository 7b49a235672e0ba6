"""How sure a ranking can be, in words."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Protocol

from rovlog.domain.audit.score import SAME_DAY

CLOSE = 1 / 3
"""Suspects within this share of the first one's score are called not separated (project default)."""


class Ranked(Protocol):
    """What is needed of a ranked group."""

    @property
    def score(self) -> float:
        """The score of the group's first."""

    @property
    def grouped_with(self) -> Sequence[object]:
        """The others of the group."""


def certainty(
    ranked: Sequence[Ranked], shows: Sequence[bool], days: Sequence[str], none: float
) -> tuple[str, ...]:
    """What may be concluded, a sentence each.

    Args:
        ranked: the groups, the first on top.
        shows: for each dive whether it had the symptom; days: the day of each dive.
        none: the score of "none of these".
    """
    count = sum(shows)
    if not count:
        return ("the symptom was never logged on a dive: there is nothing to rank",)
    if not ranked:
        return ("nothing was in force on some dives and not on others: there is nothing to compare",)
    said = []
    close = [r for r in ranked if r.score >= CLOSE * ranked[0].score]
    together = 1 + len(ranked[0].grouped_with)
    if len(close) > 1:
        said.append(f"{dives_words(count)} with the symptom cannot separate the first {len(close)}")
    if together > 1:
        said.append(
            f"{together} changes flew on exactly the same dives: no record can separate them, "
            "an experiment can"
        )
    if none > ranked[0].score:
        said.append("that none of these is to blame is as likely as any of them")
    with_days = {d for d, s in zip(days, shows, strict=True) if s}
    if len(set(days)) < len(days):
        said.append(
            f"{dives_words(len(days))} on {len(set(days))} days, the symptom on {len(with_days)} of these: "
            "dives of one day are not independent, so each counts for less "
            f"(correlation {SAME_DAY:g} assumed); p values take no account of it"
        )
    return tuple(said)


def dives_words(count: int) -> str:
    """A number of dives: "1 dive", "4 dives"."""
    return f"{count} dive" if count == 1 else f"{count} dives"
