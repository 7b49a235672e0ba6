"""A sheet typed off paper, in words: what is asked for at each item, and what became of it all."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from rovlog.faces.reports.check_text import judged_words
from rovlog.faces.reports.columns import wrapped
from rovlog.faces.reports.dive_text import judged_data
from rovlog.faces.reports.plain import clean
from rovlog.usecases.sheet_words import required, wanted
from rovlog.usecases.times import instant

if TYPE_CHECKING:
    from rovlog.domain.checks.checklist import Item, Section
    from rovlog.usecases.dive_state import DiveState
    from rovlog.usecases.transcribe_sheet import CheckedSheet, Kept

HOW_TO_TYPE = """\
Type each line as it stands on the paper: the time, who answered, the values in their order, as
14:05 jory 15. Enter alone leaves an item open and goes on; Ctrl-D ends. Each line is kept at once.
"""

WHAT = ("answered", "failed", "deferred", "not-applicable", "released", "called")


def transcribed_text(checked: CheckedSheet, state: DiveState) -> str:
    """What was kept, what failed, and what is open still in the lists the sheet is of."""
    new = checked.new
    shown = [_shown(k, state) for k in new]
    counts = [(shown.count(what), _what(what)) for what in WHAT]
    said = ", ".join(f"{n} {word}" for n, word in counts if n) or "nothing new"
    lines = [f"kept from paper: {said}"]
    known = len(checked.lines) - len(new)
    if known:
        lines.append(
            f"{known} line{'s were' if known > 1 else ' was'} on record already and not written again"
        )
    for kept in new:
        if _shown(kept, state) == "failed":
            lines += wrapped(f"FAILED: {_head(kept)}")
            lines += [row for j in kept.judged if j.passed is False for row in wrapped(judged_words(j), 2, 4)]
    for name, left in open_items(checked, state):
        if left:
            lines += wrapped(f"open still in {clean(name)}: {', '.join(clean(x) for x in left)}", 0, 2)
    return "\n".join(lines) + "\n"


def transcribed_data(checked: CheckedSheet, state: DiveState) -> dict[str, Any]:
    """The same as data: every line in the order of its time, new or on record already."""
    return {
        "record": checked.record.id,
        "typed_by": checked.typed_by,
        "lines": [_line_data(kept, state) for kept in checked.lines],
        "open": {name: left for name, left in open_items(checked, state)},
    }


def open_items(checked: CheckedSheet, state: DiveState) -> list[tuple[str, list[str]]]:
    """The lists the sheet is of, each with the codes of its items that are not settled."""
    names = {k.known.item.checklist for k in checked.lines if k.known.item is not None}
    names |= {k.known.group[0].checklist for k in checked.lines if k.known.group is not None}
    return [
        (c.checklist, [i.code or i.item for i in c.items() if not state.items[i.item].is_settled])
        for c in state.lists
        if c.checklist in names
    ]


def item_prompt(item: Item, code: str, who: Sequence[str], first: str = "") -> str:
    """What a person who types off paper is told of one item before its line is asked for.

    `first` is who gave the first answer where the second person's line is asked for.
    """
    lines = wrapped(f"{clean(code)}  {clean(item.challenge)}: {clean(item.response)}", 0, 4)
    if first:
        lines += wrapped(f"the second person's line; the first was {clean(first)}'s", 4, 4)
    elif item.kind == "release":
        lines += wrapped("a release: the time, and who released", 4, 4)
    if item.kind != "release":
        asks = [] if first and item.witness == "concurrent" else required(item)
        what = f", and {wanted(asks)}" if asks else ""
        lines += wrapped(f"the time, who answered ({', '.join(who)}){clean(what)}", 4, 4)
    return "\n".join(lines) + "\n"


def call_prompt(section: Section, code: str) -> str:
    """What is told before a completion call is asked for."""
    lines = wrapped(f"{clean(code)}  Completion call: {clean(section.completion)}", 0, 4)
    return "\n".join([*lines, *wrapped("the time, and who called", 4, 4)]) + "\n"


def _line_data(kept: Kept, state: DiveState) -> dict[str, Any]:
    known = kept.known
    is_hidden = _is_hidden(kept, state)
    return {
        "line": known.line.code.line,
        "item": known.item.item if known.item is not None else None,
        "group": known.group[1].section if known.group is not None else None,
        "what": _shown(kept, state),
        "by": known.by,
        "at": known.at,
        "is_new": bool(kept.rows),
        "judged": [] if is_hidden else [judged_data(j) for j in kept.judged],
        "questions": [{"value": q.value, "text": q.text} for q in kept.questions],
        "notes": list(kept.notes),
    }


def _shown(kept: Kept, state: DiveState) -> str:
    """What became of a line, as far as it is told before the second person has answered."""
    return "answered" if kept.what == "failed" and _is_hidden(kept, state) else kept.what


def _is_hidden(kept: Kept, state: DiveState) -> bool:
    """True for a first answer that a second person has yet to give without seeing it."""
    item = kept.known.item
    if item is None or item.witness != "blind":
        return False
    seconds = [e for e in state.record.of_kind("check") if e.fields.get("witness")]
    began = instant(kept.known.at)
    return not any(
        e.fields.get("item") == item.item and began is not None and (instant(e.at) or began) >= began
        for e in seconds
    )


def _head(kept: Kept) -> str:
    item = kept.known.item
    return clean(f"{item.code} {item.challenge}".strip()) if item is not None else ""


def _what(what: str) -> str:
    return {"called": "called complete", "not-applicable": "not applicable"}.get(what, what)
