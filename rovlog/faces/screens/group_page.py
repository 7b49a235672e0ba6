"""The group around an item, a line an item: mark, code, challenge, answer; and the overview of all lists."""

from __future__ import annotations

from collections.abc import Callable

from rich.style import Style
from rich.text import Text

from rovlog.domain.checks.checklist import Item, Section
from rovlog.domain.checks.groups import GroupState
from rovlog.domain.checks.state import ItemState
from rovlog.domain.drift.words import trim_words
from rovlog.faces.reports.check_text import MARKS, answer_words, group_words, people_words, value_words
from rovlog.faces.screens.drawing import Pen
from rovlog.faces.screens.walk import Step
from rovlog.usecases.dive_state import DiveState

Names = Callable[[str], str]
"""A person's name by id."""


def item_line(item: Item, state: ItemState, width: int, pen: Pen, is_here: bool, names: Names = str) -> Text:
    """One item in one line; the item in hand is on a band of its own and has a pointer."""
    word = state.state.replace("-", " ")
    right = shorter = word
    if state.state == "answered":
        shorter = f"{people_words(state, names)} {state.at[11:16]}"
        right = f"{answer_words(item, state) or 'as stated'}  {shorter}"
        if state.carried_from:
            right = f"carried over  {right}"
    style = state.state
    mark = f"{'>' if is_here else ' '} {MARKS[state.state]} "
    left = f"{mark}{item.code + ' ' if item.code else ''}{item.challenge}"
    room = max(8, width - min(len(left), width // 2 + 4) - 2)
    if len(right) > room and state.second_by and len(shorter) <= room:
        # Who looked goes before what was said, which the item itself shows.
        right = shorter
    if len(right) > room:
        right = word if len(word) <= room else right[: room - 1] + "…"
    if is_here:
        whole = pen.beside(pen.line((left, "picked")), pen.line((f" {right} ", "picked")), width)
        whole.stylize(pen.look.style("picked"))
        return whole
    return pen.beside(pen.line((left, style)), pen.line((f" {right} ", style)), width)


def group_head(step: Step, group: GroupState, width: int, pen: Pen) -> Text:
    """The group's name and how far it is."""
    title = f"{step.section.code} {step.section.title}".strip()
    words = group_words(group)
    return pen.beside(
        pen.line((title, "strong")),
        pen.line((f" {words} ", "answered" if group.is_complete else "quiet")),
        width,
    )


def call_line(group: GroupState, width: int, pen: Pen, is_here: bool) -> Text:
    """The completion call as the last line of a group."""
    if group.is_complete:
        words, style = f"  {MARKS['answered']} completion call: {group_words(group)}", "answered"
    else:
        words, style = f"  {MARKS['open']} completion call", "open"
    line = pen.line((words if not is_here else ">" + words[1:], "picked" if is_here else style))
    line.truncate(width)
    return line


def overview(state: DiveState, step: Step, width: int, pen: Pen) -> list[Text]:
    """All lists with their groups, one line a group; the group in hand is pointed at."""
    lines: list[Text] = []
    groups = {(g.checklist, g.section): g for g in state.groups}
    for checklist in state.lists:
        settled = sum(groups[(checklist.checklist, s.section)].settled for s in checklist.sections)
        total = sum(1 for _ in checklist.items())
        right = pen.line((f" {settled} of {total} ", "quiet"))
        lines.append(pen.beside(pen.line((checklist.title, "strong")), right, width))
        for section in checklist.sections:
            group = groups[(checklist.checklist, section.section)]
            lines.append(_group_row(section, group, width, pen, section is step.section))
    return lines


def _group_row(section: Section, group: GroupState, width: int, pen: Pen, is_here: bool) -> Text:
    mark, right = MARKS["open"], f"{len(group.unsettled)} open"
    if group.is_complete:
        mark, right = MARKS["answered"], "complete"
    elif not group.unsettled:
        mark, right = (MARKS["deferred"] if group.deferred else MARKS["open"]), "call it complete"
    name = f"{section.code} {section.title}".strip()
    left = f"{'>' if is_here else ' '} {mark} {name}"
    style = "picked" if is_here else ("answered" if group.is_complete else "text")
    line = pen.beside(pen.line((left, style)), pen.line((f" {right} ", style)), width)
    if is_here:
        line.stylize(pen.look.style("picked"))
    if section.items:
        line.stylize(Style(meta={"deed": f"item:{section.items[0].item}"}))
    return line


def setup_lines(state: DiveState, width: int, pen: Pen) -> list[Text]:
    """The configuration the items are judged against, in a few lines."""
    box = state.resolved.get("control_box", {})
    if not box:
        return []
    electrical = state.resolved.get("electrical", {})
    rows = [
        ("box", f"{box.get('box')}, scheme {box.get('steering_scheme')}, map {box.get('thruster_map')}"),
        ("fuse", value_words(electrical.get("fuse", {}).get("rating_a"), "A")),
        ("trims", _trims(state)),
    ]
    for name, words, unit in COMPUTED_SHOWN:
        value = state.computed.get(name)
        if value is not None:
            rows.append((words, f"{value:.3g} {unit}, computed"))
    lines = [pen.line(("Configuration", "strong"))]
    for name, words in rows:
        lines += pen.fold(words, width, "text", (f"  {name:<12}", "label"))
    return lines


COMPUTED_SHOWN = (
    ("worst_case_current_a", "worst case", "A"),
    ("vehicle_v", "at vehicle", "V"),
    ("net_up_n", "floats with", "N"),
)
"""Computed quantities shown beside the lists: their name, words and unit."""


def _trims(state: DiveState) -> str:
    trims = state.resolved.get("trim_defaults") or {}
    return ", ".join(trim_words(d, float(v)) for d, v in trims.items()) or "none"
