"""How long the exact worst case takes, beside a dense random search that stops at 99 % of it.

Run: python tests/benchmarks/worst_case.py
"""

from __future__ import annotations

import statistics
import time

import numpy as np

from rovlog.domain.electrical.curves import Curve
from rovlog.domain.electrical.programme import Problem
from rovlog.domain.electrical.reduction import greatest_in_parts

CASES = ((6, 4, 20.0), (8, 6, 500.0))  # thrusters, axes, the time allowed in ms
COUNT = 12
BATCH = 20_000
MOST_S = 20.0


def problem(rng: np.random.Generator, channels: int, demands: int, is_scaled: bool) -> Problem:
    """Invented: shares anywhere from -1 to 1, tables that rise with the square of the command or so."""
    curves = []
    for _ in range(channels):
        ahead, astern = rng.uniform(3.0, 6.0, 2)
        bend = rng.uniform(0.2, 0.6, 2)
        curves.append(
            Curve((-1.0, -0.5, 0.0, 0.5, 1.0), (astern, astern * bend[0], 0.0, ahead * bend[1], ahead))
        )
    trims = rng.uniform(-0.3, 0.3, demands)
    return Problem(
        np.clip(-1.0 + trims, -1.0, 1.0),
        np.clip(1.0 + trims, -1.0, 1.0),
        np.eye(demands),
        np.zeros(demands),
        rng.uniform(-1.0, 1.0, (channels, demands)),
        np.zeros((channels, demands)),
        tuple(curves),
        is_scaled,
    )


def random_search_s(asked: Problem, target: float, rng: np.random.Generator) -> float | None:
    """Seconds until random positions reach the target; None where they do not in time."""
    start = time.perf_counter()
    while time.perf_counter() - start < MOST_S:
        y = rng.uniform(asked.lowest, asked.highest, (BATCH, len(asked.lowest)))
        if asked.current(y).max() >= target:
            return time.perf_counter() - start
    return None


def main() -> None:
    """Print one line for each size and each kind of saturation."""
    rng = np.random.default_rng(11)
    greatest_in_parts(problem(rng, 3, 2, False))  # load what is loaded late
    print(f"{'case':<26}{'exact, ms':>22}{'allowed':>10}{'random search to 99 %, ms':>30}")
    for channels, demands, allowed_ms in CASES:
        for is_scaled in (False, True):
            exact, searched, never = [], [], 0
            for _ in range(COUNT):
                asked = problem(rng, channels, demands, is_scaled)
                start = time.perf_counter()
                found = greatest_in_parts(asked)
                exact.append(1e3 * (time.perf_counter() - start))
                assert found.is_exact, "the gap was not closed"
                took = random_search_s(asked, 0.99 * found.value, rng)
                never += took is None
                searched.append(1e3 * (MOST_S if took is None else took))
            name = f"{channels} thrusters, {demands} axes, {'scale' if is_scaled else 'clip'}"
            times = f"{statistics.median(exact):.1f} (most {max(exact):.1f})"
            beside = f"{statistics.median(searched):.0f} (most {max(searched):.0f})"
            late = f", {never} of {COUNT} not within {MOST_S:.0f} s" if never else ""
            print(f"{name:<26}{times:>22}{allowed_ms:>10.0f}{beside:>30}{late}")


if __name__ == "__main__":
    main()
