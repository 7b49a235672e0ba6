"""Bench load steps and a proposed factor for a thruster model, in words and as data."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from rovlog.faces.reports.plain import clean
from rovlog.faces.reports.tables import Tabler, plain_table
from rovlog.values import asdict

if TYPE_CHECKING:
    from rovlog.domain.electrical.bench import Fitted
    from rovlog.usecases.bench_steps import BenchSteps, ChannelSteps, LineCheck, WarmingSteps
    from rovlog.usecases.scale_model import ScaleProposal

ORIGIN = (
    "fitted to readings; the record's own values stay as they are until somebody changes and approves them"
)

SCATTER = "Uncertainties are of the scatter of the readings alone; what the meters are off by comes on top."


def steps_data(found: BenchSteps) -> dict[str, Any]:
    """The load steps as `rovlog bench --json` gives them; a part nobody read is null."""
    return {
        "record": found.record,
        "vehicle": found.vehicle or None,
        "supply": _line_data(found.supply),
        "to_box": _line_data(found.to_box),
        "channels": [_channel_data(c) for c in found.channels],
        "warming": _warming_data(found.warming),
        "notes": list(found.notes),
        "origin": ORIGIN,
    }


def _line_data(line: LineCheck | None) -> dict[str, Any] | None:
    if line is None:
        return None
    fit = line.fit
    return {
        "resistance_ohm": None if fit is None else asdict(fit.resistance_ohm),
        "open_circuit_v": None if fit is None else asdict(fit.open_circuit_v),
        "recorded_ohm": line.expected_ohm,
        "pointer": line.pointer or None,
        "agrees": line.agrees,
        "steps": line.count,
        "reason": line.reason or None,
    }


def _channel_data(steps: ChannelSteps) -> dict[str, Any]:
    check = steps.check
    return {
        "channel": steps.channel,
        "resistance_ohm": None if check is None else asdict(check.measured_ohm),
        "expected_ohm": None if check is None else check.expected_ohm,
        "tolerance_share": None if check is None else check.tolerance_share,
        "agrees": None if check is None else check.agrees,
        "loss_w": None if check is None else check.loss_w,
        "steps": steps.count,
        "reason": steps.reason or None,
    }


def _warming_data(steps: WarmingSteps | None) -> dict[str, Any] | None:
    if steps is None:
        return None
    fit = steps.fit
    shape = {} if fit is None else {**asdict(fit), "end_c": fit.end_c}
    return {
        **shape,
        "limit_c": steps.limit_c,
        "time_to_limit_s": steps.time_to_limit_s,
        "times_by_clock": steps.is_by_clock,
        "readings": steps.count,
        "reason": steps.reason or None,
    }


def steps_text(found: BenchSteps) -> str:
    """What the load steps say, part by part, each beside the record."""
    lines = [f"{found.record}: bench load steps", ORIGIN[0].upper() + ORIGIN[1:] + ".", SCATTER]
    if found.supply is not None:
        lines += _line_lines("supply", found.supply, found.vehicle)
    if found.to_box is not None:
        lines += _line_lines("way to the box", found.to_box, found.vehicle)
    for channel in found.channels:
        lines += _channel_lines(channel)
    if found.warming is not None:
        lines += _warming_lines(found.warming)
    lines += [f"note: {clean(note)}" for note in found.notes]
    return "\n".join(lines)


def ohm_words(fitted: Fitted) -> str:
    """A resistance in milliohm with its standard uncertainty doubled (about 95 %)."""
    if fitted.uncertainty is None:
        return f"{1000 * fitted.value:.1f} mohm, uncertainty not to be seen from so few readings"
    return f"{1000 * fitted.value:.1f} ± {2000 * fitted.uncertainty:.1f} mohm"


def _line_lines(name: str, line: LineCheck, vehicle: str) -> list[str]:
    head = f"  {name:<15}"
    if line.fit is None:
        return [f"{head} CANNOT JUDGE: {clean(line.reason)}", f"    mend: {clean(line.mend)}"]
    fit = line.fit
    found = [
        f"{head} {ohm_words(fit.resistance_ohm)}, {fit.open_circuit_v.value:.2f} V without load,"
        f" {fit.count} steps"
    ]
    if line.expected_ohm is None:
        return found
    recorded = f"    the record says {1000 * line.expected_ohm:.1f} mohm"
    if line.agrees:
        return [*found, f"{recorded}: agrees"]
    found.append(f"{recorded}: DOES NOT AGREE")
    if line.pointer and vehicle:
        value = f"{max(0.0, fit.resistance_ohm.value):.3g}"
        found.append(f"    to change it: rovlog vehicle set {vehicle} {line.pointer} {value}")
    return found


def _channel_lines(steps: ChannelSteps) -> list[str]:
    name = "channel" if steps.channel is None else f"channel {steps.channel}"
    check = steps.check
    if check is None:
        return [f"  {name:<15} CANNOT JUDGE: {clean(steps.reason)}"]
    verdict = "agrees" if check.agrees else "DOES NOT AGREE: look at plugs, joints and the pair"
    return [
        f"  {name:<15} {ohm_words(check.measured_ohm)}, {steps.count} steps;"
        f" {check.loss_w:.1f} W of heat at the greatest current read",
        f"    driver and pair of the record: {1000 * check.expected_ohm:.1f} mohm,"
        f" ± {100 * check.tolerance_share:.0f} % (project default): {verdict}",
    ]


def _warming_lines(steps: WarmingSteps) -> list[str]:
    fit = steps.fit
    if fit is None:
        return [f"  driver          CANNOT JUDGE: {clean(steps.reason)}", f"    mend: {clean(steps.mend)}"]
    clock = ", times by the clock of the entries" if steps.is_by_clock else ""
    lines = [
        f"  driver          {fit.start_c:.1f} °C, settles at {fit.end_c:.1f} °C, time constant"
        f" {fit.time_constant_s:.0f} s, readings within {fit.scatter_k:.1f} K of the curve{clock}"
    ]
    if not fit.is_settled:
        lines.append("    read for less than one time constant: where it settles is a guess; read on")
    if steps.limit_c is None:
        lines.append("    no limit: the record gives no /electrical/drivers/temperature_limit_c")
    elif steps.time_to_limit_s is None:
        lines.append(f"    the limit of {steps.limit_c:g} °C is not reached at this load")
    elif steps.time_to_limit_s == 0.0:
        lines.append(f"    the limit of {steps.limit_c:g} °C is passed at the start already")
    else:
        lines.append(
            f"    the limit of {steps.limit_c:g} °C is reached after {steps.time_to_limit_s:.0f} s"
            " at this load"
        )
    return lines


def scale_data(found: ScaleProposal) -> dict[str, Any]:
    """The proposed factor as `rovlog bench scale --json` gives it; nothing is written."""
    return {
        "model": found.model,
        "factor": found.factor.value,
        "uncertainty": found.factor.uncertainty,
        "within_scatter": found.is_within_scatter,
        "readings": [asdict(row) for row in found.rows],
        "left_out": list(found.left_out),
        "points": [asdict(p) for p in found.points],
        "vehicles": [asdict(e) for e in found.effects],
        "apply": apply_commands(found),
        "written": False,
        "origin": ORIGIN,
    }


def apply_commands(found: ScaleProposal) -> list[str]:
    """The commands that would put the proposal into the files, one a point, then the approvals."""
    if not found.effects:
        return []
    vehicle = found.effects[0].vehicle
    sets = [
        f"rovlog vehicle set {vehicle} /models/{found.model}/points/{p.index}/current_a {p.proposed_a:g}"
        for p in found.points
        if p.proposed_a != p.current_a
    ]
    return [*sets, *(f"rovlog vehicle approve {e.vehicle} --by PERSON --reason TEXT" for e in found.effects)]


def scale_text(found: ScaleProposal, table: Tabler = plain_table) -> str:
    """The proposal in words: readings, factor, points, what it does to which vehicle, how to apply it."""
    unsure = found.factor.uncertainty
    spread = "one reading shows no uncertainty" if unsure is None else f"± {2 * unsure:.3f} (about 95 %)"
    lines = [f"{found.model}: every current_a times {found.factor.value:.3f}, {spread}"]
    lines.append("A proposal: nothing is written. Thrust is left as it is: a clamp meter says nothing of it.")
    rows = [[clean(r.where), f"{r.read_a:.2f}", f"{r.computed_a:.2f}", f"{r.read_a / r.computed_a:.2f}"]
            for r in found.rows]  # fmt: skip
    lines += table(("read at", "measured A", "computed A", "ratio"), rows)
    lines += [f"  left out: {clean(reason)}" for reason in found.left_out]
    if found.is_within_scatter:
        lines.append("The readings do not tell this factor from 1: there is nothing to change.")
    lines.append("points:")
    lines += [
        f"  - {{command: {p.command:g}, thrust_n: {p.thrust_n:g}, current_a: {p.proposed_a:g}}}"
        f"   # was {p.current_a:g}"
        for p in found.points
    ]
    lines += [
        f"{e.vehicle}: worst manoeuvre {e.worst_before_a:.1f} A, with it {e.worst_after_a:.1f} A;"
        f" fuse {e.verdict_before}"
        + ("" if e.verdict_before == e.verdict_after else f", with it {e.verdict_after}")
        for e in found.effects
    ]
    if found.is_within_scatter:
        return "\n".join(lines)
    if found.effects:
        lines += ["To apply it:", *(f"  {command}" for command in apply_commands(found))]
    else:
        lines.append(f"No vehicle on file carries {found.model}: write the points into its file by hand.")
    return "\n".join(lines)
