"""Plan and side view of the thrusters in characters, to scale: place, channel, thrust as an arrow, wash."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Mapping

from rovlog.domain.vehicle import Configuration, Thruster
from rovlog.values import dataclass

CELL_RATIO = 2.0
"""A terminal's character is about twice as high as it is wide."""

LONGEST = 3
"""Characters of the longest arrow; one less where the page is low."""

LOW = 14
"""Lines below which the page counts as low."""

WAYS = ((0, -1), (1, -1), (1, 0), (1, 1), (0, 1), (-1, 1), (-1, 0), (-1, -1))
"""Steps on the page for the eight ways, clockwise from upward."""

SHAFTS = ("│", "╱", "─", "╲", "│", "╱", "─", "╲")
ALONG = ("▲", "◥", "▶", "◢", "▼", "◣", "◀", "◤")
AGAINST = ("△", "◹", "▷", "◿", "▽", "◺", "◁", "◸")
"""Heads by way: filled where the thruster pushes along its direction, hollow against it."""


@dataclass(frozen=True, slots=True)
class View:
    """Which body axes go right and down on the page, each with its sign, and the names of the edges."""

    title: str
    right: int
    right_sign: float
    down: int
    down_sign: float


PLAN = View("plan from above: bow up, starboard right", 1, 1.0, 0, -1.0)
SIDE = View("side from starboard: bow right", 0, 1.0, 2, 1.0)


def draw(
    configuration: Configuration, thrust_n: Mapping[str, float], view: View, width: int, height: int
) -> list[str]:
    """The view as lines of text. `thrust_n` is each thruster's thrust now; 0 draws its direction dotted."""
    grid = [[" "] * width for _ in range(height)]
    reach = max((abs(v) for v in thrust_n.values()), default=0.0)
    scale = _scale(configuration, view, width, height)
    _hull(grid, configuration, view, scale)
    spots = [_spot(t.position_m, view, scale, width, height) for t in configuration.thrusters]
    crowd, placed = Counter(spots), Counter[tuple[int, int]]()
    for thruster, spot in zip(configuration.thrusters, spots, strict=True):
        # Thrusters at one spot of the page stand side by side, the spot in their middle.
        shift = 2 * placed[spot] - (crowd[spot] - 1)
        placed[spot] += 1
        thrust = thrust_n.get(thruster.thruster, 0.0)
        _thruster(grid, thruster, thrust, reach, view, (spot[0] + shift, spot[1]))
    return ["".join(row).rstrip() for row in grid]


def _scale(configuration: Configuration, view: View, width: int, height: int) -> float:
    """Metres a column, the same both ways on the page."""
    places = Counter((t.position_m[view.right], t.position_m[view.down]) for t in configuration.thrusters)
    margin = longest(height) + 2 + max(places.values(), default=1)
    widest = max((abs(t.position_m[view.right]) for t in configuration.thrusters), default=0.1) or 0.05
    tallest = max((abs(t.position_m[view.down]) for t in configuration.thrusters), default=0.1) or 0.05
    across = widest / max(1.0, width / 2 - margin)
    along = tallest / max(1.0, ((height - 1) / 2 - longest(height) - 1) * CELL_RATIO)
    return max(across, along, 1e-3)


def longest(height: int) -> int:
    """Characters of the longest arrow on a page of this height."""
    return LONGEST if height >= LOW else LONGEST - 1


def _spot(
    position: tuple[float, float, float], view: View, scale: float, width: int, height: int
) -> tuple[int, int]:
    column = width / 2 + view.right_sign * position[view.right] / scale
    row = (height - 1) / 2 + view.down_sign * position[view.down] / (scale * CELL_RATIO)
    return round(column), round(row)


def _hull(grid: list[list[str]], configuration: Configuration, view: View, scale: float) -> None:
    """A box through the outermost thrusters: not the hull's shape, which nobody wrote down."""
    width, height = len(grid[0]), len(grid)
    spots = [_spot(t.position_m, view, scale, width, height) for t in configuration.thrusters]
    left, right = min(c for c, _ in spots), max(c for c, _ in spots)
    top, bottom = min(r for _, r in spots), max(r for _, r in spots)
    for column in range(left, right + 1):
        for row in (top, bottom):
            _put(grid, column, row, "·")
    for row in range(top, bottom + 1):
        for column in (left, right):
            _put(grid, column, row, "·")
    _put(grid, width // 2, height // 2, "+")


def _thruster(
    grid: list[list[str]],
    thruster: Thruster,
    thrust_n: float,
    reach: float,
    view: View,
    spot: tuple[int, int],
) -> None:
    height, (column, row) = len(grid), spot
    sign = -1.0 if thrust_n < 0 else 1.0
    across = sign * view.right_sign * thruster.thrust_direction[view.right]
    down = sign * view.down_sign * thruster.thrust_direction[view.down]
    size = math.hypot(across, down)
    label = str(thruster.channel)
    if size < 0.3:
        mark = _end_on(thruster, sign, thrust_n, view)
        _write(grid, column, row, f"{label}{mark}")
        return
    way = round(math.degrees(math.atan2(across, -down)) / 45) % 8
    step_x, step_y = WAYS[way]
    length = max(1, round(longest(height) * abs(thrust_n) / reach)) if reach and thrust_n else 1
    for number in range(1, length + 1):
        _put(grid, column + step_x * number, row + step_y * number, SHAFTS[way] if thrust_n else "·")
    head = (ALONG if thrust_n > 0 else AGAINST)[way] if thrust_n else "∙"
    _put(grid, column + step_x * (length + 1), row + step_y * (length + 1), head)
    if thrust_n:
        _put(grid, column - step_x, row - step_y, "≈")
        if length > 1:
            _put(grid, column - 2 * step_x, row - 2 * step_y, "≈")
    _write(grid, column, row, label)


def _end_on(thruster: Thruster, sign: float, thrust_n: float, view: View) -> str:
    """A thruster seen end on: whether it pushes away from the reader or towards them."""
    if not thrust_n:
        return "○"
    # From above the reader looks along +z (down); from starboard along -y (to port).
    away = thruster.thrust_direction[2] if view is PLAN else -thruster.thrust_direction[1]
    return "⊗" if sign * away > 0 else "⊙"


def _write(grid: list[list[str]], column: int, row: int, text: str) -> None:
    for offset, character in enumerate(text):
        if 0 <= row < len(grid) and 0 <= column + offset < len(grid[0]):
            grid[row][column + offset] = character


def _put(grid: list[list[str]], column: int, row: int, character: str) -> None:
    """Draw a character where nothing but the outline stands."""
    if 0 <= row < len(grid) and 0 <= column < len(grid[0]) and grid[row][column] in " ·+":
        grid[row][column] = character
