"""The dive record: everything a dive log must hold, in the order in which a dive goes."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from rovlog.domain.audit.timeline import entry_words
from rovlog.domain.drift.words import trim_words
from rovlog.faces.reports.check_text import answer_words, group_words, judged_words, people_words, state_words
from rovlog.faces.reports.pages.dive_answers import reading_blocks, sight_words, unusual_blocks
from rovlog.faces.reports.pages.dive_blocks import readback_blocks, stop_blocks, time_blocks, trim_blocks
from rovlog.faces.reports.pages.dive_watch import watch_blocks
from rovlog.faces.reports.pages.model import Block, Grid, Heading, Page, Pairs, Paragraph, Points, Signatures
from rovlog.faces.reports.pages.words import (
    Names,
    crew_of,
    differences_grid,
    digest_letters,
    marked_time,
    minutes,
    slug_words,
    water_of,
    when,
)

if TYPE_CHECKING:
    from rovlog.domain.dive import Entry
    from rovlog.usecases.report_dive import DiveReport


def dive_page(report: DiveReport, names: Names) -> Page:
    """The dive record as a page."""
    record, state = report.record, report.state
    blocks: list[Block] = [Pairs(tuple(_head_rows(report, names)))]
    blocks += stop_blocks(report)
    blocks += _configuration(report)
    blocks += readback_blocks(report)
    blocks += _leave(report, names)
    blocks += time_blocks(report, names)
    blocks += _checks(report, names)
    blocks += unusual_blocks(report, names)
    blocks += trim_blocks(report, names)
    blocks += reading_blocks(report, names)
    blocks += _happened(report, names)
    blocks += _kit(report)
    blocks += _left(report, names)
    blocks += watch_blocks(report)
    blocks += _signed(report, names)
    blocks += _small_print(report)
    return Page(
        "Dive record",
        f"{report.name}, dive {state.number}",
        tuple(blocks),
        f"{record.started[:10]} at {state.site or 'a place not recorded'}; {record.id}",
        f"{record.id}, as recorded up to {when(state.now, True)}",
    )


def _head_rows(report: DiveReport, names: Names) -> list[tuple[str, str]]:
    state, start = report.state, report.start
    fields: dict[str, Any] = dict(start.fields) if start else {}
    places = report.record.of_kind("place")
    depths = [f"{e.fields['depth_m']:g} m" for e in places if e.fields.get("depth_m") is not None]
    planned = f"{fields['depth_m']:g} m planned" if fields.get("depth_m") is not None else "none planned"
    minutes_planned = f", {fields['minutes']:g} min planned" if fields.get("minutes") else ""
    crews = report.record.of_kind("crew")
    rows = [
        ("Vehicle", f"{report.name} ({report.record.vehicle}), dive {state.number}"),
        ("Site", state.site or "not recorded"),
        ("Task", str(fields.get("task") or "not recorded") + minutes_planned),
        ("Water", water_of(state.water)),
        ("Depth", f"{planned}; reached {', '.join(depths) or 'not recorded'}"),
        ("Visibility", sight_words(report)),
        ("Crew", crew_of(state.crew, names)),
    ]
    if crews:
        changes = [f"{when(e.at)} {crew_of(dict(e.fields.get('crew') or {}), names)}" for e in crews]
        rows.append(("Crew changes", "\n".join(changes)))
    rows.append(
        (
            "Running time",
            f"{minutes(report.running_s)} on this dive, {report.hours:.1f} h in all on {report.name}"
            + (" (power off was not marked)" if report.is_power_open else ""),
        )
    )
    return rows


def _configuration(report: DiveReport) -> list[Block]:
    start = report.start
    fields: dict[str, Any] = dict(start.fields) if start else {}
    rows = []
    if report.baseline is not None:
        a = report.baseline
        rows.append(("Baseline", f"revision {a.spoken}, approved {a.at[:10]}: {a.reason}"))
    else:
        rows.append(("Baseline", "none was in force when the dive started"))
    digest = fields.get("working")
    rows.append(("On the vehicle", digest_letters(str(digest)) if digest else "not recorded"))
    blocks: list[Block] = [Heading("Configuration"), Pairs(tuple(rows))]
    deviations = [d for d in fields.get("deviations") or [] if d.get("pointer")]
    if deviations:
        blocks += [
            Heading("Departures from the baseline at the start", True),
            differences_grid(deviations, report.tables, ("baseline", "on the vehicle")),
        ]
    elif report.baseline is not None:
        blocks.append(Paragraph("The vehicle was as approved when the dive started."))
    flown = report.state.as_flown
    if flown is not None and flown.gaps:
        blocks.append(Points(flown.gaps))
    return blocks


def _leave(report: DiveReport, names: Names) -> list[Block]:
    waivers = report.record.of_kind("waiver")
    rows = tuple(
        (
            str(w.fields.get("item") or w.fields.get("pointer") or w.fields.get("stop") or ""),
            str(w.fields.get("reason", "")),
            str(w.fields.get("until", "")),
            f"{names(w.by)}, {when(w.at)}",
        )
        for w in waivers
    )
    if not rows:
        return [Heading("Waivers"), Paragraph("None was given on this dive.")]
    return [Heading("Waivers"), Grid(("what", "reason", "until", "by"), rows)]


def _checks(report: DiveReport, names: Names) -> list[Block]:
    """The lists: pre-dive as at the launch, launch as the surface was left, others as they stand."""
    blocks: list[Block] = [Heading("Checklists")]
    groups: list[tuple[str, ...]] = []
    rows: list[tuple[str, ...]] = []
    twice: list[tuple[str, ...]] = []
    for checklist in report.state.lists:
        state = report.state
        before = {"pre-dive": report.at_launch, "launch": report.at_leaving}.get(checklist.phase)
        if before is not None and any(c.checklist == checklist.checklist for c in before.lists):
            state = before
        mine = [g for g in state.groups if g.checklist == checklist.checklist]
        if not any(state.items[i.item].entry or state.items[i.item].by for i in checklist.items()):
            groups.append((checklist.title, "whole list", f"0 of {sum(g.items for g in mine)}", "not begun"))
            continue
        groups += [(checklist.title, g.title, f"{g.settled} of {g.items}", group_words(g)) for g in mine]
        for item in checklist.items():
            s = state.items[item.item]
            if s.state == "answered" and s.second_by:
                head = f"{item.code} {item.challenge}".strip()
                twice.append((head, answer_words(item, s), people_words(s, names)))
            is_plain = s.state == "answered" and all(j.passed is not False for j in s.limits)
            if (
                is_plain
                or (s.state == "open" and not s.void_reason)
                or (s.state == "not-applicable" and not s.by)
            ):
                continue
            said = [answer_words(item, s), *(judged_words(j) for j in s.limits if not s.waits_for_second)]
            head = f"{item.code} {item.challenge}".strip()
            rows.append((head, state_words(s), "; ".join(x for x in said if x)))
    blocks.append(Grid(("list", "group", "settled", "how it stands"), tuple(groups), (2,)))
    if rows:
        blocks.append(Heading("Items that do not stand as answered", True))
        blocks.append(Grid(("item", "state", "answer"), tuple(rows)))
    if twice:
        blocks.append(Heading("Items answered twice", True))
        blocks.append(Grid(("item", "answer", "by"), tuple(twice)))
    return blocks


def _happened(report: DiveReport, names: Names) -> list[Block]:
    def rows(*kinds: str) -> tuple[tuple[str, ...], ...]:
        return tuple((marked_time(e), _told(e), names(e.by)) for e in report.record.of_kind(*kinds))

    blocks: list[Block] = [Heading("Faults")]
    faults = rows("fault")
    blocks.append(Grid(("time", "fault", "by"), faults) if faults else Paragraph("None was logged."))
    events = rows("event", "fitted")
    blocks.append(Heading("Events: snags, knocks, things opened or fitted"))
    blocks.append(Grid(("time", "event", "by"), events) if events else Paragraph("None was logged."))
    notes = rows("note")
    if notes:
        blocks += [Heading("Notes"), Grid(("time", "note", "by"), notes)]
    kept = report.record.of_kind("attachment")
    if kept:
        files = tuple(
            (str(e.fields.get("file")), str(e.fields.get("what")), str(e.fields.get("digest"))[:23] + "…")
            for e in kept
        )
        blocks += [Heading("Files kept"), Grid(("file", "what", "digest"), files)]
    return blocks


def _told(entry: Entry) -> str:
    if entry.kind == "note":
        return str(entry.fields.get("text", ""))
    text = entry_words(entry)
    return text + (" (corrected)" if entry.corrected_by else "")


def _kit(report: DiveReport) -> list[Block]:
    from rovlog.faces.reports.part_text import hours_words

    noted = {life.part for life in report.parts}
    rows = [
        (
            life.part,
            life.name,
            next((s.to for s in reversed(life.stays) if s.vehicle), ""),
            hours_words(life.hours),
        )
        for life in report.parts
    ]
    rows += [(p, "", w, "") for p, w in report.named_parts.items() if p not in noted]
    electrical = dict(report.state.resolved.get("electrical", {}))
    fuse = dict(electrical.get("fuse") or {}).get("rating_a")
    blocks: list[Block] = [Heading("What was on it")]
    if fuse is not None:
        blocks.append(Paragraph(f"Main fuse by the configuration: {fuse:g} A."))
    if not rows:
        return [*blocks, Paragraph("No part with an identity is recorded.")]
    return [*blocks, Grid(("part", "name", "where", "running hours now"), tuple(rows), (3,))]


def _left(report: DiveReport, names: Names) -> list[Block]:
    state = report.state
    said = []
    for checklist in state.lists:
        if checklist.phase not in ("post-dive", "recovery"):
            continue
        left = [
            f"{i.code} {i.challenge}".strip() for i in checklist.items() if not state.items[i.item].is_settled
        ]
        if left:
            said.append(f"{checklist.title}: {len(left)} open: {'; '.join(left)}")
    for item, s in state.items.items():
        if s.state == "deferred":
            said.append(f"{slug_words(item)} is deferred: {s.reason}")
    for entry in report.record.of_kind("close"):
        if entry.fields.get("text"):
            said.append(f"{entry.fields['text']} ({names(entry.by)})")
    trim = state.as_flown.resolved if state.as_flown else None
    if trim and report.record.of_kind("trim"):
        words = ", ".join(trim_words(d, float(v)) for d, v in dict(trim.get("trim_defaults") or {}).items())
        said.append(f"the trim was left at {words or 'none'}")
    head = Heading("Left for the next crew")
    return [head, Points(tuple(said)) if said else Paragraph("Nothing is recorded as left.")]


def _signed(report: DiveReport, names: Names) -> list[Block]:
    rows = [
        (f"released: {e.fields.get('point') or e.fields.get('item')}", names(e.by), when(e.at, True))
        for e in report.record.of_kind("release")
    ]
    rows += [("closed", names(e.by), when(e.at, True)) for e in report.record.of_kind("close")]
    blocks: list[Block] = [Heading("Signed")]
    blocks.append(
        Grid(("what", "by", "when"), tuple(rows))
        if rows
        else Paragraph("Not closed, and nothing is released.")
    )
    return [*blocks, Signatures(("Supervisor", "Pilot"))]


def _small_print(report: DiveReport) -> list[Block]:
    record = report.record
    said = [f"written by {', '.join(p.writer for p in record.parts)}"]
    said += [f"note: {p}" for p in report.state.problems]
    if report.late:
        said.append(f"{len(report.late)} entries are covered by no close: they were written after it")
    if not record.is_closed:
        said.append("this dive was never closed; it counts as it stands")
    if any(e.fields.get("clock") == "memory" for e in record.entries):
        said.append("~ beside a time: from memory")
    for close in record.of_kind("close"):
        covers = dict(close.fields.get("covers") or {})
        said += [
            f"the close covers {w} up to entry {c['upto']}, {c['sha256'][:23]}…" for w, c in covers.items()
        ]
    return [Paragraph("\n".join(said), "quiet")]
