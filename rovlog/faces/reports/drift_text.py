"""Drift in words and as data: each difference, what it does, and what stops the dive."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from rovlog.domain.drift.leaves import ABSENT
from rovlog.faces.reports.columns import table, wrapped
from rovlog.faces.reports.plain import clean

if TYPE_CHECKING:
    from rovlog.domain.drift.compare import Deviation, DriftReport
    from rovlog.domain.drift.effect import Effect

COLUMNS = ("baseline", "working", "readback", "stored", "logged")
"""The sources of a difference in the order they are shown."""

COLUMN_WORDS = {"readback": "box", "stored": "box, stored", "logged": "pilot", "working": "files"}
"""Shorter words for the sources at the head of a column."""


def drift_data(report: DriftReport) -> dict[str, Any]:
    """The differences as data; null where a source says nothing, named in `absent_in` where it has none."""
    return {
        "deviations": [deviation_data(d) for d in report.deviations],
        "stops": [{"finding": f.finding, "text": f.text, "clears": f.clears} for f in report.stops],
        "notes": list(report.notes),
        "effect": effect_data(report.together),
    }


def deviation_data(deviation: Deviation) -> dict[str, Any]:
    """One difference as data."""
    values = {column: getattr(deviation, column) for column in COLUMNS}
    return {
        "pointer": deviation.pointer,
        **{column: None if value is ABSENT else value for column, value in values.items()},
        "absent_in": [column for column, value in values.items() if value is ABSENT],
        "apart": list(deviation.apart),
        "effect": effect_data(deviation.effect),
        "stops_dive": deviation.stops_dive,
        "waived": deviation.waived,
        "reasons": list(deviation.reasons),
        "text": deviation.text,
    }


def effect_data(effect: Effect | None) -> dict[str, Any] | None:
    """A physical effect as data; null where none was computed."""
    if effect is None:
        return None
    current = effect.worst_case_current_a
    return {
        "text": effect.text,
        "reversed": list(effect.reversed),
        "lost": dict(effect.lost),
        "worst_case_current_a": {"before": current.before, "after": current.after} if current else None,
    }


def drift_text(report: DriftReport) -> str:
    """The differences for a terminal of 80 columns, what stops the dive first."""
    lines: list[str] = []
    general = [f for f in report.stops if not f.finding.startswith("drift-")]
    for finding in general:
        lines += wrapped(f"STOPS THE DIVE  {clean(finding.text)}", hanging=16)
        lines += wrapped(f"ends when: {clean(finding.clears)}", 4, 6)
    if general:
        lines.append("")
    for deviation in report.deviations:
        lines += [*_deviation(deviation), ""]
    if report.together is not None and len(report.deviations) > 1:
        lines += [*wrapped(f"All together: {clean(report.together.text)}", hanging=14), ""]
    if not report.deviations:
        lines += ["No difference was found between what was compared.", ""]
    lines += [line for note in report.notes for line in wrapped(f"note: {clean(note)}", hanging=6)]
    lines += wrapped(headline(report))
    return "\n".join(lines).rstrip() + "\n"


def headline(report: DriftReport) -> str:
    """The drift in one sentence, for the strip."""
    count, stops = len(report.deviations), len(report.stops)
    if not count and not stops:
        return "No drift: what was compared agrees; other things may stop the dive."
    differences = f"{count} difference{'' if count == 1 else 's'}" if count else "No difference"
    if not stops:
        waived = sum(d.waived for d in report.deviations)
        return f"{differences}{f', {waived} of them waived' if waived else ''}; none of them stops this dive."
    return f"{differences}; {stops} reason{'' if stops == 1 else 's'} to stop the dive."


def verdict(deviation: Deviation) -> str:
    """One difference's standing in words: STOPS, waived, or differs."""
    if deviation.stops_dive:
        return "STOPS"
    return "waived" if deviation.waived else "differs"


def cells(deviation: Deviation) -> list[tuple[str, str]]:
    """What each source that speaks says, in words: (source, value)."""
    return [(column, clean(deviation.words[column])) for column in COLUMNS if column in deviation.words]


def _deviation(deviation: Deviation) -> list[str]:
    from rovlog.domain.drift.words import place_words

    head = f"{verdict(deviation):<8}{clean(place_words(deviation.pointer))}  ({clean(deviation.pointer)})"
    lines = wrapped(head, hanging=8)
    rows = [(COLUMN_WORDS.get(source, source), value) for source, value in cells(deviation)]
    lines += table(rows, 8)
    lines += wrapped(clean(deviation.effect.text if deviation.effect else ""), 8) if deviation.effect else []
    reasons = "; ".join(deviation.reasons)
    if reasons:
        lines += wrapped(
            f"{'stops because' if deviation.stops_dive else 'waived, though'}: {clean(reasons)}", 8, 10
        )
    return lines
