"""Forces and moments in the words of the trade, the sign always in words."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from rovlog.domain.vehicle import AXES, DEMANDS
from rovlog.faces.reports.tables import Tabler, plain_table

if TYPE_CHECKING:
    from rovlog.domain.allocation.response import Response

MOTION_WORDS = {
    "X": ("ahead", "astern"),
    "Y": ("sideways to starboard", "sideways to port"),
    "Z": ("down", "up"),
    "K": ("rolls starboard side down", "rolls port side down"),
    "M": ("pitches the bow up", "pitches the bow down"),
    "N": ("turns the bow to starboard", "turns the bow to port"),
}
"""Per axis the words for a positive and for a negative force or moment."""

SMALLEST_SHARE = 0.005
"""No unit. What is smaller than this share of the largest force, or moment, is left unsaid."""


def axis_words(axis: str, value: float) -> str:
    """The words for a push on one axis, by its sign."""
    return MOTION_WORDS[axis][0 if value > 0 else 1]


def demand_words(demand: str, value: float) -> str:
    """A demand with its sign in words: "heave 40 % up"; at 0 "surge 0 %"."""
    words = {"sway": ("to starboard", "to port"), "yaw": ("to starboard", "to port"),
             "roll": ("starboard side down", "port side down"), "pitch": ("bow up", "bow down")}  # fmt: skip
    size = f"{demand} {abs(value) * 100:.3g} %"
    if not value:
        return size
    ahead, astern = words.get(demand) or MOTION_WORDS[AXES[DEMANDS.index(demand)]]
    return f"{size} {ahead if value > 0 else astern}"


def wrench_words(wrench: Mapping[str, float]) -> str:
    """A wrench in words: "ahead 12.3 N; turns the bow to starboard 1.2 N m".

    Forces in newton, moments in newton metre, three figures; what is very small beside the
    largest of its kind is left out.
    """
    said = []
    for axes, unit in (("XYZ", "N"), ("KMN", "N m")):
        largest = max((abs(wrench[a]) for a in axes), default=0.0)
        said += [
            f"{axis_words(a, wrench[a])} {figures(abs(wrench[a]))} {unit}"
            for a in axes
            if wrench[a] and abs(wrench[a]) > SMALLEST_SHARE * largest
        ]
    return "; ".join(said) or "nothing moves the vehicle"


def figures(value: float) -> str:
    """Three significant figures, never in powers of ten: 12.3, 1.20, 0.0450, 1230."""
    if value == 0:
        return "0"
    decimals = 2
    size = abs(value)
    while size >= 9.995 and decimals > 0:
        size, decimals = size / 10, decimals - 1
    while size < 0.9995 and decimals < 6:
        size, decimals = size * 10, decimals + 1
    return f"{value:.{decimals}f}"


def response_words(found: Response, wrench: Mapping[str, float]) -> str:
    """One sentence on what a response does; `wrench` has what counts as nothing at 0."""
    current = figures(found.current_a)
    return f"{wrench_words(wrench)}; the thrusters draw {current} A (computed, at rated voltage, loads apart)"


def response_data(found: Response, wrench: Mapping[str, float]) -> dict[str, object]:
    """The response as JSON: demands (and channels driven directly), channels, thrusters, wrench, text."""
    direct = {f"channel-{c}": v for c, v in sorted(found.direct.items()) if v}
    return {
        "demands": {**found.demands, **direct},
        "channels": {str(c): u for c, u in found.channels.items()},
        "thrusters": {
            name: {"thrust_n": t.thrust_n, "current_a": t.current_a} for name, t in found.thrusters.items()
        },
        "wrench": dict(found.wrench),
        "text": response_words(found, wrench),
    }


def response_text(found: Response, wrench: Mapping[str, float], table: Tabler = plain_table) -> str:
    """The response as lines: what is asked, each channel and thruster, and the sentence."""
    asked = [demand_words(d, v) for d, v in found.demands.items() if v]
    asked += [f"channel {c} by itself {v * 100:+.3g} %" for c, v in sorted(found.direct.items()) if v]
    lines = ["asked:     " + (", ".join(asked) or "nothing")]
    busy = [f"{c}: {u:+.3f}" for c, u in found.channels.items() if u]
    lines.append("channels:  " + (", ".join(busy) or "all at rest"))
    rows = []
    for name, state in found.thrusters.items():
        way = "along its direction" if state.thrust_n > 0 else "against its direction"
        push = way if state.thrust_n else "at rest"
        rows.append([name, figures(abs(state.thrust_n)), push, figures(state.current_a)])
    if rows:
        lines += table(("thruster", "thrust N", "pushes", "current A"), rows)
    lines.append("together:  " + response_words(found, wrench))
    lines.append(
        "from:      thrusters, their models' tables, the thruster map; with sticks also scheme and trims"
    )
    return "\n".join(lines)
