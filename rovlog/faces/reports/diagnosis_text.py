"""A diagnosis in words and as data."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from rovlog.faces.reports.dry_text import dry_data, dry_words

if TYPE_CHECKING:
    from rovlog.domain.diagnosis.diagnose import Ranked
    from rovlog.domain.diagnosis.edits import Edit, Explanation
    from rovlog.domain.diagnosis.evidence import Report
    from rovlog.domain.diagnosis.proposal import NextPush
    from rovlog.usecases.diagnose import Diagnosed

LEAST_SHOWN = 1e-6
"""Groups below this posterior are summed up as one figure."""

SHOWN_IN_WORDS = 5

IF_AS_RECORDED = "Computed from the configuration as recorded and what was seen."

ISOLATE_FIRST = (
    "Before anyone touches wiring: sticks at rest, thrusters isolated, supply off, and say so aloud."
)

CLEAR_CAUTION = (
    'Clamped, hands and hair clear, "clear" called before the burst; ribbon on a rod, never a hand.'
)


def edit_data(edit: Edit) -> dict[str, Any]:
    """One edit as JSON; only the key that its kind has."""
    data: dict[str, Any] = {"edit": edit.edit}
    if edit.thruster is not None:
        data["thruster"] = edit.thruster
    if edit.channel is not None:
        data["channel"] = edit.channel
    if edit.channels is not None:
        data["channels"] = list(edit.channels)
    if edit.number is not None:
        data["number"] = edit.number
    if edit.control is not None:
        data["control"] = edit.control
    return data


def edit_words(edit: Edit, *, is_short: bool = False) -> str:
    """One edit in the trade's words; the short form leaves the likely causes out."""
    if is_short and edit.edit in ("reversed", "still"):
        return f"{edit.thruster} {'runs backwards' if edit.edit == 'reversed' else 'does not run'}"
    match edit.edit:
        case "reversed":
            return f"{edit.thruster} runs backwards (leads crossed, or a propeller of the other hand)"
        case "still":
            return f"{edit.thruster} does not run (thruster, its leads or its propeller)"
        case "dead":
            return f"channel {edit.channel} gives nothing"
        case "swapped":
            first, second = edit.channels or (0, 0)
            return f"the leads of channels {first} and {second} are swapped"
        case "wrong-thruster-map":
            return f"the box uses thruster map {edit.number}"
        case "wrong-steering-scheme":
            return f"the box uses steering scheme {edit.number}"
        case "control-reversed":
            return f"{edit.control} is reversed"
        case _:
            return "something that no single fault or pair of faults explains"


def explanation_words(edits: Explanation) -> str:
    """All edits of an explanation in one clause."""
    is_short = len(edits) > 1
    return " and ".join(edit_words(e, is_short=is_short) for e in edits) if edits else "nothing is wrong"


def push_words(push: Sequence[tuple[str, float]]) -> str:
    """A push as it is called out: "left stick forward, right stick right at 30 %"."""
    from rovlog.domain.allocation.gamepad import CONTROLS

    return ", ".join(
        CONTROLS[control].words(at) + ("" if abs(at) == 1.0 else f" at {_share(at)}") for control, at in push
    )


def diagnosis_data(found: Diagnosed) -> dict[str, Any]:
    """The diagnosis as `rovlog diagnose --json` gives it."""
    diagnosis = found.diagnosis
    shown = [r for i, r in enumerate(diagnosis.ranked) if r.posterior >= LEAST_SHOWN or i < SHOWN_IN_WORDS]
    rest = diagnosis.ranked[len(shown) :]
    return {
        "configuration": found.name,
        "observations": len(found.observations),
        "set_aside": found.set_aside,
        "reports": diagnosis.reports,
        "ranked": [_ranked_data(r) for r in shown],
        "left_out": {"groups": len(rest), "posterior": sum(r.posterior for r in rest)},
        "certain": diagnosis.is_certain,
        "unexplained": diagnosis.is_unexplained,
        "next_push": _push_data(diagnosis.next_push),
        "why_no_push": diagnosis.why_no_push or None,
        "at_zero_trim": _push_data(diagnosis.at_zero_trim),
        "dry": found.is_dry,
        "dry_running": None if found.dry is None else dry_data(found.dry),
    }


def _ranked_data(ranked: Ranked) -> dict[str, Any]:
    data: dict[str, Any] = {
        "edits": [edit_data(e) for e in ranked.edits],
        "posterior": ranked.posterior,
        "same_as": [[edit_data(e) for e in edits] for edits in ranked.same_as],
        "text": explanation_words(ranked.edits),
    }
    if ranked.evidence is not None:
        data["for"] = [_report_data(r) for r in ranked.evidence.speaks_for]
        data["against"] = [_report_data(r) for r in ranked.evidence.speaks_against]
    return data


def _report_data(report: Report) -> dict[str, Any]:
    return {
        "observation": report.observation,
        "thruster": report.thruster,
        "seen": report.seen,
        "expected": report.expected,
    }


def _push_data(push: NextPush | None) -> dict[str, Any] | None:
    if push is None:
        return None
    return {
        "push": dict(push.push),
        "expected_bits": push.expected_bits,
        "greatest_command": push.greatest_command,
        "text": push_words(push.push),
    }


def diagnosis_text(found: Diagnosed) -> str:
    """The diagnosis in words: what is likely, what speaks for and against it, the next push."""
    diagnosis = found.diagnosis
    count = len(found.observations)
    lines = [
        f"{found.name}: {count} observation{'' if count == 1 else 's'}, {diagnosis.reports} thruster reports."
        + (f" {found.set_aside} from before the wiring was touched are set aside." if found.set_aside else "")
    ]
    if diagnosis.is_unexplained:
        lines.append("What was seen is UNEXPLAINED: no fault thought of here, nor two together, does that.")
    for place, ranked in enumerate(diagnosis.ranked[:SHOWN_IN_WORDS], start=1):
        if ranked.posterior < 0.005 and place > 1:
            break
        lines += _ranked_lines(place, ranked)
    lines += ["", *next_lines(found), IF_AS_RECORDED]
    return "\n".join(lines)


def short_lines(found: Diagnosed, count: int = 3) -> list[tuple[str, str]]:
    """The first groups of a diagnosis for a small page: how probable, and in words what is wrong."""
    rows = []
    for place, ranked in enumerate(found.diagnosis.ranked[:count]):
        if ranked.posterior < 0.01 and place:
            break
        alike = [e for e in ranked.same_as if len(e) <= max(1, len(ranked.edits))]
        more = f", or {len(alike)} more that look the same" if alike else ""
        said = " and ".join(edit_words(e, is_short=True) for e in ranked.edits) or "nothing is wrong"
        rows.append((_percent(ranked.posterior).strip(), said + more))
    return rows


def _ranked_lines(place: int, ranked: Ranked) -> list[str]:
    lines = [f"{place:>2}. {_percent(ranked.posterior)}  {explanation_words(ranked.edits)}"]
    # A pair that looks the same as one fault is not worth a line: it is never the likelier one.
    alike = [edits for edits in ranked.same_as if len(edits) <= max(1, len(ranked.edits))]
    for edits in alike[:3]:
        lines.append(f"            or {explanation_words(edits)}: no push tells them apart")
    if len(alike) > 3:
        lines.append(f"            or {len(alike) - 3} more that look the same")
    if ranked.evidence is not None:
        if ranked.evidence.speaks_for:
            lines.append("            for      " + _reports_words(ranked.evidence.speaks_for, "recorded"))
        if ranked.evidence.speaks_against:
            lines.append("            against  " + _reports_words(ranked.evidence.speaks_against, "expected"))
    return lines


def _share(value: float) -> str:
    return f"{abs(value) * 100:.0f} %"


def _percent(posterior: float) -> str:
    """A probability that is never called 100 % or 0 % though it is not quite."""
    if posterior > 0.99:
        return "over 99 %"
    return f"{posterior:8.0%}".replace("%", " %") if posterior >= 0.01 else " under 1 %"


def _reports_words(reports: Sequence[Report], expected: str) -> str:
    said = [f"push {r.observation}: {r.thruster} {r.seen} ({expected}: {r.expected})" for r in reports[:4]]
    more = f"; {len(reports) - 4} more" if len(reports) > 4 else ""
    return "; ".join(said) + more


def next_lines(found: Diagnosed) -> list[str]:
    """The proposed push with its caution, or why there is none and what to do instead."""
    diagnosis = found.diagnosis
    where = "out of the water, a short burst" if found.is_dry else "in the water"
    if diagnosis.next_push is None:
        lines = [f"No further push: {diagnosis.why_no_push}."]
        if diagnosis.at_zero_trim is not None:
            lines += [
                f"With every trim at zero, logged as such, {where}: {_proposed(diagnosis.at_zero_trim)}",
                CLEAR_CAUTION,
            ]
        elif any(r.edits for r in diagnosis.ranked[:1]):
            lines.append(ISOLATE_FIRST)
    else:
        lines = [f"Next push, {where}: {_proposed(diagnosis.next_push)}", CLEAR_CAUTION]
    is_push = diagnosis.next_push is not None or diagnosis.at_zero_trim is not None
    if found.dry is not None and is_push:
        words = dry_words(found.dry)
        lines.append(words[0].upper() + words[1:] + ".")
    return lines


def _proposed(push: NextPush) -> str:
    return (
        f"{push_words(push.push)} (thrusters to {_share(push.greatest_command)} of command,"
        f" expected to tell {push.expected_bits:.1f} bits)."
    )
