"""How a configuration moves, as data and as a report in words."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from rovlog.domain.allocation.authority import AXIS_OF
from rovlog.domain.allocation.limits import limit_numbers
from rovlog.domain.vehicle import AXES, DEMANDS
from rovlog.faces.reports.control_text import control_texts
from rovlog.faces.reports.motion_text import axis_words, figures

if TYPE_CHECKING:
    from rovlog.domain.allocation.authority import Authority
    from rovlog.domain.allocation.limits import Limit
    from rovlog.domain.allocation.shares import BestShares
    from rovlog.domain.findings import Finding
    from rovlog.usecases.show_vehicle import Motion

ANSWER_WORDS = {
    "as-commanded": "answers as commanded",
    "backwards": "answers BACKWARDS",
    "one-way": "answers one way only",
    "not-at-all": "does not answer",
}
"""The four ways a demand answers, in words."""

SMALLEST_COUPLING = 0.05
"""No unit. Coupling below this share is left out of the words, never out of the data (project default)."""


def motion_data(motion: Motion) -> dict[str, Any]:
    """Authority, limits, controls, best shares, rank and findings as JSON."""
    return {
        "authority": {demand: _authority_data(row) for demand, row in motion.authority.items()},
        "limit": limit_numbers(motion.limit),
        "controls": control_texts(motion.controls),
        "rank": {"rank": motion.rank.rank, "axes": list(motion.rank.axes)},
        "best_shares": {
            demand: {"shares": {str(c): v for c, v in row.shares.items()}, "unwanted": dict(row.unwanted)}
            for demand, row in motion.best_shares.items()
        },
        "findings": [finding_data(f) for f in motion.findings],
    }


def _authority_data(row: Authority) -> dict[str, Any]:
    return {
        "positive": row.positive,
        "negative": row.negative,
        "answers": row.answers,
        "coupling": dict(row.coupling),
        "is_asked": row.is_asked,
    }


def finding_data(finding: Finding) -> dict[str, Any]:
    """One finding as JSON; null where there is no number."""
    return {
        "finding": finding.finding,
        "severity": finding.severity,
        "text": finding.text,
        "pointer": finding.pointer,
        "observed": finding.observed,
        "limit": finding.limit,
        "margin": finding.margin,
        "unit": finding.unit,
        "clears": finding.clears,
    }


def motion_report(motion: Motion, shares_in_force: Mapping[str, Mapping[int, float]]) -> str:
    """The report: controls, demands, limits, shares beside the best ones, findings."""
    parts = [
        _section("What each control does", control_texts(motion.controls).values()),
        _section("How each demand answers (computed, at rated voltage)", _authority_lines(motion.authority)),
        _section("The most it could give, the other three of these at zero", _limit_lines(motion.limit)),
        _section("Shares in force, and the best for these thrusters", _share_lines(motion, shares_in_force)),
        _section("Findings", [f"{_severity_words(f)}: {f.text}" for f in motion.findings]),
    ]
    return "\n\n".join(part for part in parts if part)


def _section(title: str, lines: Any) -> str:
    body = [f"  {line}" for line in lines]
    return "\n".join([title, *body]) if body else ""


def _severity_words(finding: Finding) -> str:
    return "stops the dive" if finding.severity == "stops" else "note"


def _authority_lines(authority: Mapping[str, Authority]) -> list[str]:
    lines = []
    for demand, row in authority.items():
        if not row.is_asked:
            continue
        axis = AXIS_OF[demand]
        ways = [_way(axis, "full", row.positive), _way(axis, "full negative", row.negative)]
        said = "" if row.answers == "not-at-all" else ": " + ", ".join(ways)
        lines.append(f"{demand} {ANSWER_WORDS[row.answers]}{said}{_coupling_words(row)}")
    idle = [d for d, row in authority.items() if not row.is_asked]
    if idle:
        lines.append(f"nobody asks for {', '.join(idle)}: no share in the map, no control")
    return lines


def _way(axis: str, demand: str, value: float) -> str:
    if not value:
        return f"{demand} nothing"
    return f"{demand} {axis_words(axis, value)} {figures(abs(value))} {_unit(axis)}"


def _unit(axis: str) -> str:
    return "N" if axis in "XYZ" else "N m"


def _coupling_words(row: Authority) -> str:
    own_way = 1.0 if row.positive > 0 else -1.0
    said = [
        f"{axis_words(a, row.coupling[a] * own_way)} {abs(row.coupling[a]) * 100:.0f} %"
        for a in AXES
        if abs(row.coupling.get(a, 0.0)) >= SMALLEST_COUPLING
    ]
    return f"; with it, at full: {', '.join(said)}" if said else ""


def _limit_lines(limit: Mapping[str, Limit]) -> list[str]:
    lines = []
    for axis, row in limit.items():
        ways = [_way(axis, "", v).strip() for v in (row.positive, row.negative) if v]
        lines.append(f"{DEMANDS[AXES.index(axis)]}: {', '.join(ways) or 'nothing'}")
    return [*lines, "roll and pitch are left to the righting moment"]


def _share_lines(motion: Motion, in_force: Mapping[str, Mapping[int, float]]) -> list[str]:
    lines = []
    for demand in DEMANDS:
        now, best = in_force.get(demand, {}), motion.best_shares.get(demand)
        if not any(now.values()) and best is None:
            continue
        lines.append(f"{demand}: {_shares_words(now)}")
        if best is None:
            lines.append(f"{' ' * len(demand)}  best: none, these thrusters cannot move it")
        elif not _are_same(now, best):
            rest = "".join(
                f"; still {axis_words(a, v)} {abs(v) * 100:.0f} %" for a, v in best.unwanted.items()
            )
            lines.append(f"{' ' * len(demand)}  best: {_shares_words(best.shares)}{rest}")
        else:
            lines.append(f"{' ' * len(demand)}  best: the same")
    return lines


def _shares_words(shares: Mapping[int, float]) -> str:
    return ", ".join(f"channel {c} {v:+.3g}" for c, v in sorted(shares.items()) if v) or "none"


def _are_same(now: Mapping[int, float], best: BestShares) -> bool:
    channels = {c for c, v in (*now.items(), *best.shares.items()) if v}
    return all(abs(now.get(c, 0.0) - best.shares.get(c, 0.0)) < 0.0015 for c in channels)
