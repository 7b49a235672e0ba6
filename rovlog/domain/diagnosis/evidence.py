"""Which observations speak for an explanation, and which against it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from rovlog.domain.diagnosis.observation import Seen
from rovlog.values import dataclass

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

WORDS: dict[int, Seen] = {1: "ahead", -1: "astern", 0: "still"}


@dataclass(frozen=True, slots=True)
class Report:
    """One thruster in one observation (counted from 1): what was seen, and what was to be expected."""

    observation: int
    thruster: str
    seen: Seen
    expected: Seen


@dataclass(frozen=True, slots=True)
class Evidence:
    """`speaks_for`: reports it explains that the recorded wiring does not, `expected` being the latter's.

    `speaks_against`: reports it does not explain, `expected` being its own. For nothing wrong the
    first is empty.
    """

    speaks_for: tuple[Report, ...]
    speaks_against: tuple[Report, ...]


def evidence(
    predicted: NDArray[np.int8],
    recorded: NDArray[np.int8],
    seen: NDArray[np.int8],
    was_seen: NDArray[np.bool_],
    thrusters: Sequence[str],
) -> Evidence:
    """Compare the reports with an explanation and with the wiring as recorded.

    All arrays have shape (observations, thrusters); directions are -1, 0, 1.
    """
    import numpy as np

    def reports(where: NDArray[np.bool_], expected: NDArray[np.int8]) -> tuple[Report, ...]:
        return tuple(
            Report(
                int(row) + 1,
                thrusters[column],
                WORDS[int(seen[row, column])],
                WORDS[int(expected[row, column])],
            )
            for row, column in np.argwhere(where & was_seen)
        )

    explains = predicted == seen
    return Evidence(reports(explains & (recorded != seen), recorded), reports(~explains, predicted))
