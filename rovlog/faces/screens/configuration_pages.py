"""The three pages of the place Configuration: words, thrusters, sticks."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from rich.text import Text

from rovlog.domain.drift.words import trim_words
from rovlog.faces.reports.control_text import control_text
from rovlog.faces.reports.measured_text import of_words
from rovlog.faces.reports.motion_report import ANSWER_WORDS
from rovlog.faces.reports.motion_text import figures, wrench_words
from rovlog.faces.reports.plain import clean
from rovlog.faces.screens.drawing import Pen
from rovlog.faces.screens.plan_view import PLAN, SIDE, draw

if TYPE_CHECKING:
    from rovlog.usecases.compute_budget import Budget
    from rovlog.usecases.compute_response import Answered
    from rovlog.usecases.measured_current import MeasuredCurrent
    from rovlog.usecases.show_vehicle import Shown

BESIDE = 70
"""Columns from which the two views stand side by side."""

THEN_LINES, LEAST_PLAN, LEAST_SIDE = 2, 11, 7
"""Lines kept for what the vehicle does, and the least lines of a view that can still be read."""

SIGNS = (
    "number: channel; ▲ pushes along its direction, △ against it, as long as the thrust (computed); "
    "≈ the water thrown; end on: ⊗ pushes away from you, ⊙ towards you, ○ at rest"
)

MOST_READINGS = 4
"""Readings of a clamp meter that are shown here; the budget has more."""


def words_page(
    shown: Shown, budget: Budget, measured: Sequence[MeasuredCurrent], width: int, pen: Pen
) -> list[Text]:
    """What each control does, how each demand answers, trims, supply, fuse, tether, findings."""
    named, configuration = shown.named, shown.named.configuration
    box, electrical = configuration.control_box, configuration.electrical
    standing = f"approved as revision {named.revision}" if named.revision else "not approved"
    lines = pen.fold(f"{named.name} {named.digest[7:11].upper()}, {standing}", width, "challenge")
    lines += _row("box", f"{box.box}, firmware {box.firmware}", width, pen)
    lines += _row("scheme", f"{box.steering_scheme} {clean(shown.scheme_name)}".strip(), width, pen)
    lines += _row("map", f"{box.thruster_map} {clean(shown.map_name)}".strip(), width, pen)
    lines += _head("What each control does", pen)
    for effect in shown.motion.controls.values():
        lines += pen.fold(control_text(effect), width, "text", ("· ", "label"))
    backwards = [d for d, a in shown.motion.authority.items() if a.is_asked and a.answers != "as-commanded"]
    for demand in backwards:
        words = f"{demand} {ANSWER_WORDS[shown.motion.authority[demand].answers]}"
        lines += pen.fold(words, width, "failed")
    lines += _head("Trim, supply, fuse, tether", pen)
    trims = ", ".join(trim_words(d, v) for d, v in configuration.trim_defaults.items()) or "none"
    lines += _row("trim", trims, width, pen)
    supply = electrical.supply
    lines += _row("supply", f"{supply.kind}, {supply.open_circuit_v:g} V open circuit", width, pen)
    verdict = budget.electrics.fuse.verdict if budget.electrics.fuse else "not judged"
    worst = budget.electrics.worst.total_a
    fuse = f"rating {electrical.fuse.rating_a:g} A, at worst {worst:.1f} A (computed): "
    lines += _row("fuse", fuse + verdict.replace("-", " "), width, pen)
    greatest = max(shown.per_channel_a.values(), default=0.0)
    most = electrical.drivers.channel_limit_a
    limit = f"limit {most:g} A each, " if most else "no limit on record, "
    lines += _row("channels", f"{limit}at worst {greatest:.1f} A (computed)", width, pen)
    lines += _measured_row(measured, width, pen)
    carries = electrical.tether.carries.replace("-", " ")
    tether = (
        f"{electrical.tether.length_m:g} m of {electrical.tether.conductor_area_mm2:g} mm², carries {carries}"
    )
    lines += _row("tether", tether, width, pen)
    lines += _head("Findings", pen)
    if not shown.findings:
        lines += pen.fold("none", width, "clear")
    for finding in shown.findings:
        style = "failed" if finding.severity == "stops" else "text"
        word = "stops a dive: " if finding.severity == "stops" else "note: "
        lines += pen.fold(word + finding.text, width, style, ("· ", "label"))
    return lines


def thrusters_page(shown: Shown, answered: Answered, width: int, height: int, pen: Pen) -> list[Text]:
    """Plan and side view, arrows as long as the thrust with the sticks as they are; what the signs mean.

    What is said below has its lines first; the views take what is left of the page.
    """
    configuration = shown.named.configuration
    thrust = {name: state.thrust_n for name, state in answered.response.thrusters.items()}
    then = pen.fold(f"then: {wrench_words(answered.motion)}", width, "strong")
    then += [pen.line("")] * (THEN_LINES - len(then))
    below = [*then, *pen.fold(SIGNS, width, "quiet")]
    lines = []
    if width >= BESIDE:
        rows, half = max(LEAST_PLAN, min(21, height - 1 - len(below))), width // 2 - 1
        lines.append(pen.line((f"{PLAN.title:<{half}}  {SIDE.title}", "label")))
        plan = draw(configuration, thrust, PLAN, half, rows)
        side = draw(configuration, thrust, SIDE, half, rows)
        lines += [
            pen.line((f"{one:<{half}}  {other}", "strong")) for one, other in zip(plan, side, strict=True)
        ]
    else:
        room = height - 2 - len(below)
        side_rows = max(LEAST_SIDE, min(13, room * 2 // 5))
        plan_rows = max(LEAST_PLAN, min(21, room - side_rows))
        for view, rows in ((PLAN, plan_rows), (SIDE, side_rows)):
            lines.append(pen.line((view.title, "label")))
            lines += [
                pen.line((r, "strong")) for r in draw(configuration, thrust, view, min(width, 46), rows)
            ]
    return [*lines, *below]


def sticks_page(
    shown: Shown,
    budget: Budget,
    measured: Sequence[MeasuredCurrent],
    answered: Answered,
    sticks: Mapping[str, float],
    picked: int,
    width: int,
    pen: Pen,
) -> list[Text]:
    """The controls with their positions, and what the vehicle does then."""
    configuration = shown.named.configuration
    lines = [pen.line(("Sticks in hand", "strong"))]
    for number, (name, effect) in enumerate(shown.motion.controls.items()):
        position = sticks.get(name, 0.0)
        words = effect.control.words(position) if position else "at rest"
        style = "picked" if number == picked else ("strong" if position else "text")
        lines.append(
            pen.band(f"{'>' if number == picked else ' '} {name.replace('-', ' ')}: {words}", width, style)
        )
    lines += _head("The vehicle then", pen)
    lines += pen.fold(wrench_words(answered.motion), width, "challenge")
    trims = {d: v for d, v in configuration.trim_defaults.items() if v}
    if not sticks and trims:
        lines += pen.fold("sticks centred: only the trim acts", width, "quiet")
    lines += _head("Current against the fuse", pen)
    standing = sum(load.current_a for load in configuration.electrical.standing_loads)
    total = answered.response.current_a + standing
    fuse = configuration.electrical.fuse
    lines.append(pen.line((current_bar(total, fuse.rating_a, max(10, min(width - 2, 40))), "strong")))
    share = total / fuse.rating_a
    if share <= fuse.continuous_share:
        band = "the fuse carries it for ever"
    elif share <= 1.1:
        band = "above what the fuse carries for ever"
    else:
        band = "the fuse may open: F6, key b says how soon"
    words = f"{total:.1f} A with {standing:g} A standing loads of {fuse.rating_a:g} A: {band} (computed)"
    lines += pen.fold(words, width, "text")
    worst = budget.electrics.worst.total_a
    lines += pen.fold(f"worst of all positions: {worst:.1f} A (computed)", width, "text")
    lines += [pen.line(""), *_thruster_rows(shown, answered, width, pen)]
    return [*lines, *_readings(measured, width, pen)]


def _thruster_rows(shown: Shown, answered: Answered, width: int, pen: Pen) -> list[Text]:
    """A line a thruster: channel, name, command, thrust, current; the limit of a channel in the head."""
    configuration = shown.named.configuration
    most = configuration.electrical.drivers.channel_limit_a
    lines = [pen.line(("Each thruster (computed, at rated voltage)", "strong"))]
    current = f"A of {most:g}" if most else "A"
    head = f"{'command':>7} {'thrust N':>8} {current:>6}"
    lines.append(pen.beside(pen.line(("channel", "label")), pen.line((head, "label")), width))
    for thruster in configuration.thrusters:
        state = answered.response.thrusters[thruster.thruster]
        command = answered.response.channels.get(thruster.channel, 0.0)
        sign = "+" if state.thrust_n > 0 else "−"
        push = f"{sign}{figures(abs(state.thrust_n))}" if state.thrust_n else "at rest"
        figures_of = f"  {command:+7.2f} {push:>8} {state.current_a:6.1f}"
        left = pen.line((f"{thruster.channel} {thruster.thruster}", "text"))
        lines.append(pen.beside(left, pen.line((figures_of, "text")), width))
    limit = f"; {most:g} A is the limit of a channel" if most else ""
    return [*lines, *pen.fold(f"+ along its direction, − against it{limit}", width, "quiet")]


def _readings(measured: Sequence[MeasuredCurrent], width: int, pen: Pen) -> list[Text]:
    """What a clamp meter read, each beside the figure computed for what flew then: which is which."""
    if not measured:
        return []
    lines = _head("Read with the clamp meter, ampere", pen)
    head = "measured computed"
    lines.append(pen.beside(pen.line(("day, at what", "label")), pen.line((head, "label")), width))
    for row in measured[:MOST_READINGS]:
        computed = "-" if row.computed_a is None else f"{row.computed_a:.1f}"
        left = pen.line((f"{row.at[5:10]} {clean(row.what).replace('-', ' ')}", "text"))
        right = pen.line((f"  {row.measured_a:>8.1f}", "strong"), (f" {computed:>8}", "computed"))
        lines.append(pen.beside(left, right, width))
    words = "computed for what flew that day; b shows all of it"
    return [*lines, *pen.fold(words, width, "quiet")]


def _measured_row(measured: Sequence[MeasuredCurrent], width: int, pen: Pen) -> list[Text]:
    """The newest reading of a clamp meter in one line; what it stands beside is named."""
    if not measured:
        return _row("measured", "nothing yet: no clamp meter reading is on record", width, pen)
    row = measured[0]
    computed = f"{row.computed_a:.1f} A computed" if row.computed_a is not None else "nothing computed"
    words = f"{row.measured_a:.1f} A by clamp meter on {row.at[:10]}, beside {computed}: {of_words(row)}"
    return _row("measured", words, width, pen)


def current_bar(current_a: float, rating_a: float, width: int) -> str:
    """A bar of the current; the fuse's rating is the upright line in it."""
    full = 1.5 * rating_a
    filled = min(width, round(width * current_a / full))
    mark = min(width - 1, round(width * rating_a / full))
    bar = ["█"] * filled + ["░"] * (width - filled)
    bar[mark] = "┃"
    return "".join(bar)


def _head(title: str, pen: Pen) -> list[Text]:
    return [pen.line(""), pen.line((title, "strong"))]


def _row(name: str, words: str, width: int, pen: Pen) -> list[Text]:
    return pen.fold(words, width, "text", (f"{name:<9}", "label"))
