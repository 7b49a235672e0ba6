"""The audit in words and as data: suspects, last known good, two dives, a field's life."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, Any

from rovlog.domain.drift.leaves import ABSENT
from rovlog.domain.drift.words import place_words, value_words
from rovlog.faces.reports.columns import table, wrapped
from rovlog.faces.reports.plain import clean
from rovlog.faces.reports.since_text import since_lines

if TYPE_CHECKING:
    from rovlog.domain.audit.between import Between
    from rovlog.domain.audit.flights import Fault, Happening
    from rovlog.domain.audit.history import FieldValue, FlownValue
    from rovlog.domain.audit.known_good import LastKnownGood
    from rovlog.domain.audit.ranking import Ranking, Row
    from rovlog.usecases.changes_since import ChangesSince

Names = Callable[[str], str]
"""A person's name by id."""

SHOWN = 8
"""Groups of suspects shown unless all are asked for."""


def json_value(value: Any) -> Any:
    """A value for JSON: null where there is none."""
    return None if value is ABSENT else value


# -- suspects ----------------------------------------------------------------------------------


def suspects_data(ranking: Ranking) -> dict[str, Any]:
    """The ranking as data."""
    experiment = ranking.experiment
    return {
        "symptom": ranking.symptom,
        "dives": {"with": ranking.with_symptom, "without": ranking.without_symptom},
        "ranked": [row_data(r) for r in ranking.ranked],
        "none_of_these": ranking.none,
        "certainty": list(ranking.certainty),
        "next_experiment": None
        if experiment is None
        else {
            "what": experiment.what,
            "kind": experiment.kind,
            "pointer": experiment.pointer or None,
            "where": experiment.where,
            "text": experiment.text,
            "expected_bits": experiment.expected_bits,
            "single_change": experiment.deed,
            "symptom_if_to_blame": experiment.if_to_blame,
            "symptom_if_not": experiment.if_not,
        },
        "notes": list(ranking.notes),
    }


STANDS_OUT = 0.5
"""A score from which a change is called most likely to blame (project default)."""


def row_data(row: Row) -> dict[str, Any]:
    """One suspect as data, with its group."""
    s = row.suspect
    return {
        "what": s.what,
        "kind": s.kind,
        "pointer": s.pointer or None,
        "from": json_value(s.before),
        "to": json_value(s.after),
        "commit": s.commit or None,
        "text": row.text,
        "score": row.score,
        "ochiai": row.ochiai,
        "tarantula": row.tarantula,
        "p": row.p,
        "p_adjusted": row.p_adjusted,
        "plausibility": row.plausibility,
        "with": row.with_symptom,
        "without": row.without_symptom,
        "rate_interval": list(row.rate_interval),
        "dives_until": row.dives_until,
        "fault": row.fault or None,
        "group_score": row.group_score,
        "grouped_with": [row_data(r) for r in row.grouped_with],
    }


def headline(ranking: Ranking) -> str:
    """The answer in one sentence; no more certain than the ranking is."""
    if not ranking.ranked:
        return "No change is on record to suspect"
    first = ranking.ranked[0]
    share = first.group_score if first.grouped_with else first.score
    others = len(first.grouped_with)
    said = f"{first.suspect.what}, at {share:.0%}"
    if others:
        same = "one other change that" if others == 1 else f"{others} other changes that"
        said = (
            f"{first.suspect.what}, or {same} flew on exactly the same dives, together at {share:.0%};"
            " counting dives cannot part them"
        )
    if share < STANDS_OUT:
        return f"No change stands out; the likeliest is {said}"
    return f"Most likely to blame: {said}"


def score_words(ranking: Ranking) -> str:
    """What the score is, with that of none of them."""
    return (
        "Score: the chance that it alone is to blame, taking it that one of these or none "
        f"is ({ranking.none:.2f} for none)."
    )


def suspects_text(ranking: Ranking, shown: int = SHOWN) -> str:
    """The ranking for a terminal of 80 columns."""
    symptom = f"the symptom {clean(ranking.symptom)}" if ranking.symptom else "any fault"
    total = ranking.with_symptom + ranking.without_symptom
    lines = [f"Suspects for {symptom}: on {ranking.with_symptom} of {total} dives"]
    lines += [*wrapped(f"{clean(headline(ranking))}.", hanging=2), ""]
    for place, row in enumerate(ranking.ranked[:shown], start=1):
        lines += [*_suspect(place, row), ""]
    if len(ranking.ranked) > shown:
        lines += [f"… and {len(ranking.ranked) - shown} more, each less likely than these.", ""]
    for sentence in ranking.certainty:
        lines += wrapped(f"How sure: {clean(sentence)}.", hanging=10)
    lines += wrapped(score_words(ranking), hanging=7)
    if ranking.experiment is not None:
        lines += ["", *wrapped(f"Next experiment: {clean(ranking.experiment.text)}.", hanging=17)]
    lines += [line for note in ranking.notes for line in wrapped(f"note: {clean(note)}", hanging=6)]
    return "\n".join(lines).rstrip() + "\n"


def _suspect(place: int, row: Row) -> list[str]:
    lines = wrapped(f"{place:>2}. {row.suspect.kind}  {clean(row.text)}", hanging=4)
    low, high = row.rate_interval
    score = f"{row.score:.2f}"
    if row.grouped_with:
        score = f"{row.group_score:.2f} with its group, {row.score:.2f} alone"
    lines += wrapped(
        f"score {score}, Ochiai {row.ochiai:.2f}, Tarantula {row.tarantula:.2f}, "
        f"p {row.p:.2g} (by Holm {row.p_adjusted:.2g}), plausibility {row.plausibility:.2f}; "
        f"rate with it {low:.0%} to {high:.0%}",
        4,
    )
    if row.suspect.commit:
        lines.append(f"    first written in commit {row.suspect.commit[:10]}")
    for other in row.grouped_with:
        why = f": {clean(other.fault)}" if other.fault else ""
        what = clean(other.suspect.what)
        text = f"flown on the same dives: {what} (plausibility {other.plausibility:.2f}{why})"
        lines += wrapped(text, 4, 6)
    return lines


# -- last known good ---------------------------------------------------------------------------


def known_good_data(found: LastKnownGood | None) -> dict[str, Any] | None:
    """The last known good as data; null where the symptom was never logged."""
    if found is None:
        return None
    return {
        "symptom": found.symptom,
        "first_fault": fault_data(found.first_fault),
        "fault_dive": found.fault_dive or None,
        "dive": found.dive or None,
        "grade": found.grade or None,
        "evidence": found.evidence,
        "better": None
        if found.better is None
        else dict(zip(("dive", "grade", "evidence"), found.better, strict=True)),
    }


def known_good_text(found: LastKnownGood | None) -> str:
    """The last known good in a few sentences."""
    if found is None:
        return "That symptom was never logged.\n"
    first = found.first_fault
    where = f"in {first.record}" if not found.fault_dive else f"on {found.fault_dive}"
    lines = wrapped(f"{clean(first.symptom)} was first logged {where}, {first.at[:10]}.")
    if not found.dive:
        lines += wrapped(f"Last known good: none; {clean(found.evidence)}.")
    else:
        lines += wrapped(
            f"Last known good: {found.dive} ({found.grade}): {clean(found.evidence)}.", hanging=2
        )
    if found.better is not None:
        dive, grade, evidence = found.better
        lines += wrapped(f"Better evidence, but earlier: {dive} ({grade}): {clean(evidence)}.", hanging=2)
    return "\n".join(lines) + "\n"


def fault_data(fault: Fault) -> dict[str, Any]:
    """A fault as data."""
    return {
        "record": fault.record,
        "entry": fault.entry,
        "at": fault.at,
        "symptom": fault.symptom,
        "part": fault.part or None,
        "text": fault.text or None,
    }


# -- two dives ---------------------------------------------------------------------------------


def between_data(found: Between) -> dict[str, Any]:
    """Two dives side by side as data."""

    def changed(rows: Sequence[tuple[str, str, str]]) -> list[dict[str, Any]]:
        return [{"what": what, "from": before or None, "to": after or None} for what, before, after in rows]

    return {
        "first": found.first,
        "second": found.second,
        "configuration": [
            {"pointer": p, "from": json_value(a), "to": json_value(b)} for p, a, b in found.configuration
        ],
        "parts": changed(found.parts),
        "crew": changed(found.crew),
        "place": changed(found.place),
        "happenings": [happening_data(h) for h in found.happenings],
        "faults": [fault_data(f) for f in found.faults],
        "dives_between": list(found.dives_between),
        "unknown": list(found.unknown),
    }


def happening_data(happening: Happening) -> dict[str, Any]:
    """An event or a piece of work as data."""
    return {
        "kind": happening.kind,
        "what": happening.what,
        "record": happening.record,
        "at": happening.at,
        "part": happening.part or None,
        "text": happening.text,
    }


def between_text(found: Between, names: Names = str, changes: ChangesSince | None = None) -> str:
    """Two dives side by side, and what happened between them; with `changes` also what each change does."""
    lines = [f"From {clean(found.first)} to {clean(found.second)}", ""]
    if changes is not None and changes.rows:
        lines += ["Configuration as flown, and what each change does", *since_lines(changes)]
    elif found.configuration:
        lines.append("Configuration as flown")
        for pointer, before, after in found.configuration:
            words = f"{place_words(pointer)}: {value_words(pointer, before)} -> {value_words(pointer, after)}"
            lines += wrapped(clean(words), 2, 4)
    elif not found.unknown:
        lines.append("The configuration as flown is the same.")
    for title, rows, person in (
        ("Parts", found.parts, str),
        ("Crew", found.crew, names),
        ("Place", found.place, str),
    ):
        if rows:
            lines.append(title)
        for what, before, after in rows:
            old, new = (
                ", ".join(person(p) for p in v.split(", ")) if v else "nobody noted" for v in (before, after)
            )
            if title != "Crew":
                old, new = (
                    old.replace("nobody noted", "none noted"),
                    new.replace("nobody noted", "none noted"),
                )
            lines += wrapped(clean(f"{what}: {old} -> {new}"), 2, 4)
    if found.happenings or found.faults:
        lines.append("Between them, in order")
    told = [(h.at, f"{h.text}{f' ({h.part})' if h.part else ''}, {h.record}") for h in found.happenings]
    told += [(f.at, f"fault {f.symptom}{f': {f.text}' if f.text else ''}, {f.record}") for f in found.faults]
    for at, text in sorted(told):
        lines += wrapped(clean(f"{at[:10]}  {text}"), 2, 14)
    lines += [line for u in found.unknown for line in wrapped(f"note: {clean(u)}", hanging=6)]
    return "\n".join(lines).rstrip() + "\n"


# -- who flew with what, and a field's life ----------------------------------------------------


def flown_data(pointer: str, rows: Sequence[FlownValue]) -> dict[str, Any]:
    """The dives with their values at a pointer as data."""
    return {
        "pointer": pointer,
        "dives": [
            {
                "dive": r.dive,
                "number": r.number,
                "started": r.started,
                "values": [json_value(v) for v in r.values],
                "source": r.source,
            }
            for r in rows
        ],
    }


def flown_text(pointer: str, rows: Sequence[FlownValue]) -> str:
    """The dives with their values at a pointer, a line each."""
    if not rows:
        return f"No dive is known to have flown with that at {clean(pointer)}.\n"
    head = [("dive", "day", "from", clean(place_words(pointer)))]
    body = [
        (
            clean(r.dive),
            r.started[:10],
            r.source,
            clean(", then ".join(value_words(pointer, v) for v in r.values)),
        )
        for r in rows
    ]
    return "\n".join([*table(head + body), "", f"{len(rows)} dive{'' if len(rows) == 1 else 's'}"]) + "\n"


def field_data(pointer: str, rows: Sequence[FieldValue]) -> dict[str, Any]:
    """A field's life as data."""
    return {
        "pointer": pointer,
        "values": [
            {
                "value": json_value(r.value),
                "source": r.source,
                "written_at": r.at or None,
                "written_by": r.by or r.set_by or None,
                "commit": r.commit or None,
                "message": r.message or None,
                "revision": r.revision,
                "approved_at": r.approved_at or None,
                "approved_by": r.approved_by or None,
                "reason": r.reason or r.set_why or None,
                "set_at": r.set_at or None,
                "set_in": r.set_in or None,
                "first_dive": r.first_dive or None,
                "first_in_water": r.first_in_water or None,
                "dives": list(r.dives),
            }
            for r in rows
        ],
    }


NAMED_DIVES = 4
"""Dives that a text names one by one; the rest is counted, and named in the data."""


def _named(dives: Sequence[str]) -> str:
    more = f" and {len(dives) - NAMED_DIVES} more" if len(dives) > NAMED_DIVES else ""
    return ", ".join(dives[:NAMED_DIVES]) + more


def _set_words(row: FieldValue, names: Names) -> str:
    """Who set or found a value that no file ever held, when and why."""
    if not row.set_by:
        return f"known from {row.source}"
    why = f": {row.set_why}" if row.set_why else ""
    did = "read off the box" if row.source == "readback" else "set"
    return f"{did} {row.set_at[:10]} by {names(row.set_by)} in {row.set_in}{why}"


def field_text(pointer: str, rows: Sequence[FieldValue], names: Names = str) -> str:
    """A field's life: each value, written, approved, first in the water."""
    if not rows:
        return f"Nothing is on record for {clean(pointer)}.\n"
    lines = [f"{clean(place_words(pointer))}  ({clean(pointer)})"]
    for row in rows:
        lines += ["", f"  {clean(value_words(pointer, row.value))}"]
        if row.commit:
            first = row.message.splitlines()[0] if row.message else ""
            lines += wrapped(
                clean(f"written   {row.at[:10]} by {names(row.by)}, commit {row.commit[:10]}: {first}"), 4, 14
            )
        elif row.source != "file":
            lines += wrapped(clean(f"never written in a file: {_set_words(row, names)}"), 4, 14)
        if row.revision is not None:
            approved = (
                f"approved  {row.approved_at[:10]} by {names(row.approved_by)}, revision {row.revision}"
            )
            lines += wrapped(clean(f"{approved}: {row.reason}"), 4, 14)
        else:
            lines.append("    never approved")
        if row.first_dive:
            count = f"{len(row.dives)} dive{'' if len(row.dives) == 1 else 's'}"
            lines += wrapped(
                clean(f"in water  {row.first_in_water[:10]}, {count}: {_named(row.dives)}"), 4, 14
            )
        else:
            lines.append("    never in the water")
    return "\n".join(lines) + "\n"
