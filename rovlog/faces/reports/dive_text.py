"""A dive or work record in words and as data: what was started, how its lists stand, what stops it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, Any

from rovlog.faces.reports.plain import clean

if TYPE_CHECKING:
    from rovlog.domain.checks.checklist import Item
    from rovlog.domain.checks.limits import Judged
    from rovlog.domain.checks.state import ItemState
    from rovlog.domain.dive import Entry, Record
    from rovlog.usecases.answer_item import Answered
    from rovlog.usecases.dive_state import DiveState
    from rovlog.usecases.dive_steps import StartedDive
    from rovlog.usecases.list_dives import ListedRecord
    from rovlog.usecases.parts_due import PartDue

Names = Callable[[str], str]

REOPENED_SHOWN = 8
"""So many codes are named in one line; the list itself shows them all."""


def started_text(started: StartedDive) -> str:
    """What was started, and how it stands to the baseline."""
    kind = "Dive" if "-work-" not in started.record else "Work"
    lines = [f"{kind} {started.record} is started."]
    if started.working is not None:
        digest = started.working.digest.removeprefix("sha256:")[:4].upper()
        if started.revision is None:
            lines.append(f"  configuration {digest}: {started.why_no_baseline or 'no baseline is in force'}")
        elif started.deviations:
            count = len(started.deviations)
            lines.append(
                f"  configuration {digest} departs from revision {started.revision} in {count} "
                f"place{'s' if count > 1 else ''}: rovlog drift {started.record}"
            )
        else:
            lines.append(f"  configuration {digest}: revision {started.revision}, as approved")
    return "\n".join(lines) + "\n"


def answer_text(answered: Answered) -> str:
    """One answer, how it was judged, and the item's state with it."""
    from rovlog.faces.reports.check_text import judged_words

    if answered.item.witness == "blind" and answered.state == "open":
        # What the first person saw is not told before the second one has looked.
        return f"kept: {clean(answered.item.challenge)} (a second person answers it without seeing this)\n"
    apart = differs_words(answered)
    if apart:
        return f"kept: {clean(answered.item.challenge)}\n  {apart}\n"
    word = "kept" if answered.outcome == "pass" else "kept as FAILED"
    state = answered.state.replace("-", " ")
    if answered.outcome == "pass" and answered.state == "open" and answered.item.witness != "none":
        state = "a second person answers it too"
    lines = [f"{word}: {clean(answered.item.challenge)} ({state})"]
    lines += [f"  {judged_words(j)}" for j in answered.judged]
    return "\n".join(lines) + "\n"


def differs_words(answered: Answered) -> str:
    """That the two people disagree, with what each said, and what that means; "" where they do not."""
    if not answered.differs:
        return ""
    return f"{clean(answered.differs)}; it counts as not done: both look and answer again"


def reopened_words(items: Sequence[Item]) -> str:
    """Which items have to be answered again: by their codes, the first few of many and how many there are."""
    if not items:
        return "reopens nothing that was answered"
    if len(items) == 1:
        return f"reopens {clean(items[0].name)}"
    codes = [clean(i.code or i.item) for i in items]
    shown = ", ".join(codes[:REOPENED_SHOWN])
    more = f" and {len(codes) - REOPENED_SHOWN} more" if len(codes) > REOPENED_SHOWN else ""
    return f"reopens {len(codes)} items: {shown}{more}"


def reopened_data(items: Sequence[Item]) -> list[dict[str, str]]:
    """The same as data."""
    return [{"item": i.item, "code": i.code} for i in items]


def judged_data(judged: Judged) -> dict[str, Any]:
    """One judgement as data; null where there is no number or no verdict."""
    return {
        "value": judged.value,
        "observed": judged.observed,
        "kind": judged.kind,
        "limit": judged.limit,
        "margin": judged.margin,
        "unit": judged.unit,
        "origin": judged.origin,
        "passed": judged.passed,
        "reason": judged.reason,
    }


def item_data(state: ItemState) -> dict[str, Any]:
    """One item's state as data; the first of two blind answers is not shown while the second waits."""
    hidden = state.waits_for_second
    return {
        "state": state.state,
        "by": state.by,
        "at": state.at,
        "values": {} if hidden else dict(state.values),
        "source": state.source,
        "carried_from": state.carried_from,
        "reason": state.reason,
        "void_reason": state.void_reason,
        "second_by": state.second_by,
        "second_at": state.second_at,
        "second_values": dict(state.second_values),
        "is_alone": state.is_alone,
        "expires_at": state.expires_at.isoformat() if state.expires_at else None,
        "until": state.until,
        "waits_for_second": state.waits_for_second,
        "limits": [] if hidden else [judged_data(j) for j in state.limits],
        "entry": state.entry,
    }


def dive_data(state: DiveState) -> dict[str, Any]:
    """A record as data: items, stops, groups, configuration and what else is shown of it."""
    record = state.record
    return {
        record.kind: record.id,
        "vehicle": record.vehicle or None,
        "box": record.box or None,
        "number": state.number,
        "started": record.started,
        "closed": record.is_closed,
        "site": state.site or None,
        "water": dict(state.water) if state.water else None,
        "depth_m": state.depth_m,
        "crew": dict(state.crew),
        "items": {name: item_data(s) for name, s in state.items.items()},
        "groups": [
            {
                "checklist": g.checklist,
                "section": g.section,
                "title": g.title,
                "items": g.items,
                "open": list(g.unsettled),
                "deferred": list(g.deferred),
                "complete": g.is_complete,
                "called_by": g.called_by or None,
            }
            for g in state.groups
        ],
        "stops": [{"reason": s.reason, "clears": s.clears, "id": s.id, "rank": s.rank} for s in state.stops],
        "quarantine": None
        if state.quarantine is None
        else {"since": state.quarantine.since, "left": list(state.quarantine.left)},
        "configuration": _configuration_data(state),
        "marks": [
            {
                "mark": m.fields.get("mark"),
                "at": m.at,
                "by": m.by,
                "from_memory": m.fields.get("clock") == "memory",
            }
            for m in state.marks
        ],
        "faults": [
            {
                "symptom": f.fields.get("symptom"),
                "part": f.fields.get("part"),
                "text": f.fields.get("text"),
                "at": f.at,
            }
            for f in record.of_kind("fault")
        ],
        "paused": state.pause is not None,
        "writers": [p.writer for p in record.parts],
        "problems": list(state.problems),
    }


def _configuration_data(state: DiveState) -> dict[str, Any]:
    start = next(iter(state.record.of_kind("start")), None)
    fields = start.fields if start else {}
    force = state.drift.in_force.approval if state.drift else None
    flown = state.as_flown
    return {
        "baseline": fields.get("baseline"),
        "revision": fields.get("revision"),
        "working": fields.get("working"),
        "in_force": force.revision if force else None,
        "deviations": list(fields.get("deviations") or []),
        "as_flown": dict(flown.resolved) if flown and flown.resolved is not None else None,
        "as_flown_sources": dict(flown.sources) if flown else {},
        "gaps": list(flown.gaps) if flown else [],
    }


def dive_text(state: DiveState, names: Names, notes: str = "") -> str:
    """A record in words: head, what stops it, `notes` that stop nothing, marks, then every list."""
    from rovlog.faces.reports.check_text import list_text

    record = state.record
    subject = record.vehicle or record.box
    head = f"{subject} {record.kind} {state.number}  {record.id}"
    lines = [head + ("  closed" if record.is_closed else "")]
    crew = ", ".join(f"{role} {clean(names(who))}" for role, who in state.crew.items())
    place = "  ".join(x for x in (clean(state.site), water_line(state)) if x)
    lines += [x for x in (place, crew) if x]
    if record.kind == "dive" or state.quarantine is not None:
        lines += ["", stops_summary(state), *notes.splitlines()]
    if state.marks:
        lines += [
            "",
            "  ".join(
                f"{str(m.fields.get('mark')).replace('-', ' ')} {memory_mark(m)}{m.at[11:16]}"
                for m in state.marks
            ),
        ]
    for fault in record.of_kind("fault"):
        text = f": {clean(str(fault.fields['text']))}" if fault.fields.get("text") else ""
        lines.append(f"fault {clean(str(fault.fields.get('symptom')))} at {fault.at[11:16]}{text}")
    close = next((e for e in reversed(record.entries) if e.kind == "close"), None)
    if close is not None:
        day = close.at[:16].replace("T", " ")
        lines.append(f"closed {memory_mark(close)}{day} by {clean(names(close.by))}")
    if any(memory_mark(e) for e in record.entries):
        lines.append("~ a time from memory")
    for problem in state.problems:
        lines.append(f"note: {clean(problem)}")
    for checklist in state.lists:
        mine = [g for g in state.groups if g.checklist == checklist.checklist]
        lines += ["", list_text(checklist, state.items, mine)]
    return "\n".join(lines) + "\n"


def stops_summary(state: DiveState, shown: int = 12) -> str:
    """What stops the dive, with items that are merely open gathered in a line for each group."""
    from rovlog.domain.checks.stops import stop_words

    if not state.stops:
        return stop_words(state.stops)
    open_items = [s.id for s in state.stops if _is_merely_open(state, s.id)]
    others = [s for s in state.stops if s.id not in open_items]
    lines = [stop_words(state.stops) + ":"]
    for number, stop in enumerate(others[:shown], start=1):
        lines += [f"{number:>3}. {clean(stop.reason)}", f"     clears: {clean(stop.clears)}"]
    if len(others) > shown:
        lines.append(f"     and {len(others) - shown} more")
    for group in state.groups:
        mine = [i for i in group.unsettled if i in open_items]
        if mine:
            names = [state.fold.items[i].code or state.fold.items[i].challenge for i in mine]
            words = clean(", ".join(names[:4])) + (f" and {len(mine) - 4} more" if len(mine) > 4 else "")
            lines.append(f"     open in {clean(group.title)}: {words}")
    return "\n".join(lines)


def due_text(due: Sequence[PartDue]) -> str:
    """Parts past due, a note each with what clears it; "" where there is none."""
    lines = []
    for one in due:
        lines += [f"note: {clean(one.text)}; it stops nothing", f"     clears: {clean(one.clears)}"]
    return "\n".join(lines) + "\n" if lines else ""


def due_data(due: Sequence[PartDue]) -> list[dict[str, Any]]:
    """The same as data."""
    return [{"part": d.part, "what": d.what, "text": d.text, "clears": d.clears} for d in due]


def _is_merely_open(state: DiveState, name: str) -> bool:
    found = state.items.get(name)
    return found is not None and found.state == "open" and not found.reason


def water_line(state: DiveState) -> str:
    """The dive's water in a few words: salt 11 °C."""
    if not state.water:
        return ""
    text = f"{state.water.get('kind')} {float(state.water.get('temperature_c', 0.0)):g} °C"
    salinity = state.water.get("salinity")
    return f"{text} salinity {salinity:g}" if salinity else text


def memory_mark(entry: Entry) -> str:
    """`~` before a time that was given from memory, as the timeline has it."""
    return "~" if entry.fields.get("clock") == "memory" else ""


def entries_text(record: Record, names: Names) -> str:
    """Every entry of a record in order, one line each, by number."""
    import json

    lines = []
    for e in record.entries:
        hidden = ("limits", "configuration", "deviations", "lists", "clock")
        fields = {k: v for k, v in e.fields.items() if k not in hidden}
        words = clean(json.dumps(fields, ensure_ascii=False)) if fields else ""
        mark = " (corrected)" if e.corrected_by else ""
        lines.append(
            f"{e.n:>4} {memory_mark(e) or ' '}{e.at[11:19]}  {e.kind:<12} {clean(names(e.by))}: {words}{mark}"
        )
    return "\n".join(lines) + "\n"


def list_data(rows: Sequence[ListedRecord]) -> list[dict[str, Any]]:
    """Records as data, newest first."""
    return [
        {
            r.kind: r.id,
            "box" if r.is_on_box else "vehicle": r.subject,
            "number": r.number,
            "started": r.started,
            "where": r.where,
            "crew": dict(r.crew),
            "revision": r.revision,
            "departs": r.departs,
            "faults": list(r.faults),
            "closed": r.is_closed,
            "entries": r.entries,
        }
        for r in rows
    ]


def list_text(rows: Sequence[ListedRecord]) -> str:
    """Records, one line each, newest first."""
    if not rows:
        return "Nothing is on record.\n"
    lines = []
    for r in rows:
        state = "" if r.is_closed else "  open"
        faults = f"  fault {', '.join(map(clean, r.faults))}" if r.faults else ""
        revision = f"r{r.revision}" if r.revision else "r–"
        departs = "*" if r.departs else " "
        lines.append(
            f"{r.started[:16].replace('T', ' ')}  {r.subject} {r.number:>3}  {revision}{departs} "
            f"{r.id}  {clean(r.where)}{faults}{state}"
        )
    if any(r.departs for r in rows):
        lines.append("* the working files departed from the baseline when it started")
    return "\n".join(lines) + "\n"
