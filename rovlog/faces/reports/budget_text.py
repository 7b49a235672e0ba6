"""The budget in words: current, voltage under load, fuse, endurance, buoyancy, pressure, what stops."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from rovlog.domain.allocation.gamepad import sticks_words
from rovlog.domain.electrical.unrecorded import unrecorded_resistances
from rovlog.faces.reports.budget_data import sizing_rule, when_hot
from rovlog.faces.reports.columns import wrapped
from rovlog.faces.reports.plain import clean
from rovlog.faces.reports.tables import Tabler, plain_table

if TYPE_CHECKING:
    from rovlog.domain.electrical.fuse import FuseVerdict
    from rovlog.domain.electrical.sag import Sag
    from rovlog.usecases.compute_budget import Budget
    from rovlog.usecases.measured_current import MeasuredCurrent

COMPUTED = "Everything here is computed from the record, never measured."
COMPUTED_BESIDE = "Everything here is computed from the record, but for the clamp meter's readings, so named."
STEADY = (
    "Steady figures: a full reversal, or weed or line in several propellers, draws more for a short time."
)
TABLE_NOTE = (
    "Below a table's first point the motor's current is taken as constant; that is the table's doing."
)
INPUT_WORDS = {
    "nominal": "thrusters, their models, thruster map, steering scheme, trims, standing loads",
    "with_sag": "the same, with supply, fuse, leads, drivers and tether",
    "fuse": "the greater of both currents, the fuse's class table, tether and wires",
    "endurance": "supply, and the currents with sticks centred and at the worst manoeuvre",
    "buoyancy": "hull, housings, tether, and the thrusters that heave",
}

VERDICT_WORDS = {
    "within-continuous": "the fuse carries it for ever",
    "above-continuous": "more than the fuse may carry for ever, though it will hardly open",
    "may-open": "the fuse may open",
    "opens": "the fuse opens",
}


def budget_text(budget: Budget, measured: Sequence[MeasuredCurrent] = (), table: Tabler = plain_table) -> str:
    """The budget for a builder and pilot: what it draws, what is left, what the fuse does, what stops.

    `measured` are clamp readings to stand beside the computed figures; `table` draws the tables.
    """
    lines = [f"{clean(budget.vehicle)}: budget", COMPUTED_BESIDE if measured else COMPUTED, STEADY, ""]
    lines += _current_lines(budget, table)
    if measured:
        from rovlog.faces.reports.measured_text import measured_lines

        lines += [*measured_lines(measured, table), ""]
    lines += _voltage_lines(budget, table)
    lines += _fuse_lines(budget)
    lines += _endurance_lines(budget)
    lines += _water_lines(budget)
    lines += _finding_lines(budget)
    return "\n".join(lines)


def _from(section: str) -> str:
    """The line that names what a section is computed from; the pointers themselves are in the data."""
    return f"  computed from    {INPUT_WORDS[section]}"


def _demand_words(demand: Mapping[str, float]) -> str:
    from rovlog.faces.reports.motion_text import demand_words

    asked = {name: value for name, value in demand.items() if abs(value) > 0.0005}
    words = [
        f"{name} at {100 * value:.0f} %" if name.startswith("channel-") else demand_words(name, value)
        for name, value in asked.items()
    ]
    return ", ".join(words) or "nothing"


def _current_lines(budget: Budget, table: Tabler) -> list[str]:
    e = budget.electrics
    at_most = "at most " if e.worst.is_at_most else ""
    lines = [
        "Current at rated voltage",
        f"  worst manoeuvre  {at_most}{e.worst.total_a:.1f} A, with {e.idle.standing_a:.1f} A standing loads",
        f"                   {sticks_words(e.worst.sticks)}",
        f"                   which asks for {_demand_words(e.worst.demand)}",
    ]
    if e.worst.is_at_most:
        lines.append("                   (a bound: a control drives several things in different shapes)")
    trims = f", {e.idle.trim_a:.1f} A of it for trim" if e.idle.demand else ""
    lines.append(f"  sticks centred   {e.idle.current_a:.1f} A{trims}")
    if e.stall is not None:
        lines.append(
            f"  one stalled      {e.stall.total_a:.1f} A with {clean(e.stall.thruster)} stalled at the worst"
            f" manoeuvre; {VERDICT_WORDS[e.stall.fuse.verdict]}"
        )
    else:
        lines.append("  one stalled      not known: no thruster model gives a stall current")
    return [*lines, _from("nominal"), *_channel_lines(budget, table), ""]


def _channel_lines(budget: Budget, table: Tabler) -> list[str]:
    """Each channel's own greatest current against the limit of its driver."""
    limit = budget.configuration.electrical.drivers.channel_limit_a
    rows = []
    for channel, current in budget.electrics.per_channel_a.items():
        on = ", ".join(clean(t.thruster) for t in budget.configuration.thrusters if t.channel == channel)
        left = ["none given", ""] if limit is None else [f"{limit:g}", f"{limit - current:+.1f}"]
        rows.append([str(channel), on, f"{current:.1f}", *left])
    if not rows:
        return ["  no channel has a thruster"]
    return table(("channel", "thrusters", "greatest A", "limit A", "margin A"), rows)


def _voltage_lines(budget: Budget, table: Tabler) -> list[str]:
    e = budget.electrics
    rows, reasons = [], []
    states = [(f"full {e.full.open_circuit_v:g} V", e.full)]
    if e.at_rest is not None:
        states.append((f"at rest {e.at_rest.open_circuit_v:g} V", e.at_rest))
    for words, loaded in states:
        for where, at in (("worst manoeuvre", loaded.worst), ("full ahead", loaded.ahead)):
            if at is None:
                reasons.append(f"  {where}: no control drives surge ahead")
                continue
            rows.append([where, words, *_sag_cells(at)])
            if at.point is None:
                reasons.append(f"  {where}, {words}: no answer: {at.reason}")
            elif not at.point.is_unique:
                reasons.append(f"  {where}, {words}: one of several answers, that of the highest voltage")
            elif at.point.is_limited:
                reasons.append(f"  {where}, {words}: the supply's current limit rules")
    headings = ("at", "supply", "A", "source V", "box V", "motors V", "thrust lost", "in wires")
    lines = [
        f"Voltage under load (tether loop {1000 * e.tether_loop_ohm:.0f} mohm)",
        *table(headings, rows),
        *dict.fromkeys(reasons),
    ]
    least = budget.configuration.electrical.least_working_v
    if least is not None:
        lines.append(f"  the electronics need {least:g} V, where the box is")
    left_out = unrecorded_resistances(budget.configuration)
    if left_out:
        told = f"not in the record, taken as 0 ohm: {', '.join(left_out)}; the real sag is greater"
        lines += wrapped(told, 2, 4)
    return [*lines, f"  {TABLE_NOTE}", _from("with_sag"), ""]


def _sag_cells(sag: Sag) -> list[str]:
    """Current, voltages, thrust lost against rated voltage (negative: more), share lost in wires."""
    point = sag.point
    if point is None:
        return ["-"] * 6
    turning = [v for v in point.thruster_v.values() if v]
    least, most = (f"{v:.1f}" for v in (min(turning, default=0.0), max(turning, default=0.0)))
    lost = "" if point.thrust_lost_share is None else f"{100 * point.thrust_lost_share:.0f} %"
    return [
        f"{point.current_a:.1f}",
        f"{point.supply_v:.1f}",
        f"{point.box_v:.1f}",
        least if least == most else f"{least} to {most}",
        lost,
        f"{100 * point.drop_share:.0f} %",
    ]


def _fuse_lines(budget: Budget) -> list[str]:
    e = budget.electrics
    lines = [
        f"Fuse, {e.fuse.rating_a:g} A (may carry {e.continuous_limit_a:.1f} A for ever)",
        f"  at {e.fuse.current_a:.1f} A         {VERDICT_WORDS[e.fuse.verdict]}{_times_words(e.fuse)}",
    ]
    short = e.short
    ends = "a driver cuts off first" if short.driver_cuts_off else VERDICT_WORDS[short.fuse.verdict]
    lines.append(f"  short far end    {short.current_a:.1f} A: {ends}{_times_words(short.fuse)}")
    which = "tether conductor" if e.wire.is_tether else "thinnest wire"
    lines.append(
        f"  {which:<16} {e.wire.area_mm2:.2f} mm2, about {e.wire.rating_a:.0f} A"
        " (from memory, ISO 10133: check it)"
    )
    hot = ", ".join(f"{a:.1f} A at {c} °C" for c, a in when_hot(budget)["continuous_limit_a"].items())
    lines.append(f"  when it is hot   {hot} for ever (a stand-in: figures of a larger blade fuse)")
    lines.append(f"  sizing rule      {_rule_words(budget)}")
    if e.less is not None:
        lines.append(f"  less demand      {_less_words(budget)}")
    never = "  Never a larger fuse than the wires and the record allow; ask for less instead."
    return [*lines, never, _from("fuse"), ""]


def _times_words(verdict: FuseVerdict) -> str:
    if verdict.shortest_s is None:
        return ""
    longest = (
        "or not at all" if verdict.longest_s is None else f"at the latest after {seconds(verdict.longest_s)}"
    )
    return f": plan on {seconds(verdict.shortest_s)}; {longest}"


def _rule_words(budget: Budget) -> str:
    rule = sizing_rule(budget)
    size = "above the cap" if rule["size_a"] is None else f"{rule['size_a']:g} A"
    return (
        f"full load x {rule['factor']:g}, next size, at most {rule['cap_a']:g} A: {size}"
        f" (a competition-style rule of {rule['year']}, to compare with)"
    )


def _less_words(budget: Budget) -> str:
    less = budget.electrics.less
    assert less is not None
    if less.share is None:
        return f"trims and standing loads alone draw {less.current_a:.1f} A, above {less.limit_a:.1f} A"
    return f"every full_stick times {less.share:.2f}: {less.current_a:.1f} A, within {less.limit_a:.1f} A"


def _endurance_lines(budget: Budget) -> list[str]:
    found = budget.electrics.endurance
    if found is None:
        return []
    assumed = f"; assumed: {', '.join([*found.is_assumed, 'profile'])}"
    return [
        "Endurance",
        f"  {found.run_time_min:.0f} min with {100 * found.reserve_share:.0f} % left in the battery, at"
        f" {found.mean_current_a:.1f} A on average (Peukert {found.peukert_exponent:g}{assumed})",
        _from("endurance"),
        "",
    ]


def _water_lines(budget: Budget) -> list[str]:
    if budget.water is None:
        return []
    from rovlog.faces.reports.water_text import floating_lines

    return [*floating_lines(budget.water), _from("buoyancy"), ""]


def _finding_lines(budget: Budget) -> list[str]:
    if not budget.findings:
        return ["Nothing here stops the dive."]
    lines = []
    for finding in budget.findings:
        head = "STOPS THE DIVE" if finding.severity == "stops" else "note"
        lines.append(f"{head}: {clean(finding.text)} [{finding.finding}]")
        if finding.clears:
            lines.append(f"  clears: {clean(finding.clears)}")
    if not budget.stops:
        lines.append("Nothing here stops the dive.")
    return lines


def seconds(value: float) -> str:
    """A time in the unit people would say it in."""
    if value >= 7200:
        return f"{value / 3600:.0f} hours"
    if value >= 120:
        return f"{value / 60:.0f} minutes"
    return f"{value:.2g} s" if value < 10 else f"{value:.0f} s"
