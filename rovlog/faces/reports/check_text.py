"""Checklist items, their limits and states in words: one wording for the screens, the terminal and paper."""

from __future__ import annotations

import re
import textwrap
from collections.abc import Callable, Mapping, Sequence
from datetime import datetime
from typing import Any

from rovlog.domain.checks.checklist import Ask, Checklist, Item, Reference, Value
from rovlog.domain.checks.computed import READ_OFF_BOX
from rovlog.domain.checks.groups import GroupState
from rovlog.domain.checks.limits import Judged, resolve
from rovlog.domain.checks.state import KIND_WORDS, ItemState, State
from rovlog.domain.checks.stops import NOTHING_STOPS, Stop, stop_words
from rovlog.faces.reports.plain import clean

MARKS: Mapping[State, str] = {
    "open": "·",
    "answered": "✓",
    "failed": "✗",
    "deferred": "›",
    "not-applicable": "–",
    "waived": "~",
    "expired": "!",
}
"""A mark for each state; it never stands without the word."""

STOP_WORDS = {
    "always": "always stops the dive, no waiver",
    "unless-waived": "stops the dive unless waived",
    "no": "noted, stops nothing",
}

WITNESS_WORDS = {
    "none": "",
    "concurrent": "a second person watches and answers too",
    "blind": "a second person answers without seeing the first answer",
}

SOURCE_WORDS = {
    "seen": "seen",
    "measured": "measured",
    "computed": "computed, accepted by",
    "box-read": "read from the box, accepted by",
    "paper": "from paper",
}

TWICE = "one person, looked twice"
"""What is said where a crew of one gave both answers."""

READ_OUT_WORDS = {
    "put-off-items": "the items that are deferred or expired, named by the program",
    "open-faults": "the open faults and the items under a waiver, named by the program",
    "last-notes": "the notes of the last dive, shown by the program",
    "hardest-manoeuvre": "the sticks of the manoeuvre that draws the most, computed",
}

VALID_TEXT = {
    "dive": "this dive",
    "setup": "until the kit is moved or unplugged",
    "day": "today",
    "until-voided": "until something voids it",
    "now": "this moment",
}


def figures(value: float) -> str:
    """A number to four significant figures, which is more than anything here is known to; none of the
    figures before the decimal point is dropped."""
    return f"{value:.0f}" if 1000 <= abs(value) < 1e6 else f"{value:.4g}"


def value_words(value: Value | None, unit: str = "") -> str:
    """A value with its unit: 15 A, yes, —."""
    if value is None:
        return "not known"
    if isinstance(value, bool):
        return "yes" if value else "no"
    text = figures(value) if isinstance(value, float) else clean(str(value))
    return f"{text} {unit}" if unit else text


def limit_words(ask: Ask, resolved: Mapping[str, Any], computed: Mapping[str, float | None]) -> list[str]:
    """Each part of an ask's limit with its value and where that comes from; [] without a limit."""
    return [
        f"{words} ({origin})" if origin else words for words, origin in _limit_parts(ask, resolved, computed)
    ]


def limit_sentence(
    ask: Ask, resolved: Mapping[str, Any], computed: Mapping[str, float | None], is_short: bool = False
) -> str:
    """An ask's limit in one sentence; parts of one origin name it once. "" without a limit.

    `is_short` says where a number comes from by its kind alone: "(computed)", "(configuration)".
    """
    parts = _limit_parts(ask, resolved, computed)
    if is_short:
        parts = [(words, SHORT_ORIGIN.sub(_short_origin, origin)) for words, origin in parts]
    if len(parts) > 1 and len({origin for _, origin in parts}) == 1 and parts[0][1]:
        return f"{', '.join(words for words, _ in parts)} ({parts[0][1]})"
    return "; ".join(f"{words} ({origin})" if origin else words for words, origin in parts)


SHORT_ORIGIN = re.compile(r"(?:the (configuration)|(computed)): [^;]*")


def _short_origin(found: re.Match[str]) -> str:
    return found[1] or found[2]


def _limit_parts(
    ask: Ask, resolved: Mapping[str, Any], computed: Mapping[str, float | None]
) -> list[tuple[str, str]]:
    """The parts of a limit in words, each with its origin ("" where it cannot be judged and says so)."""
    limit = ask.limit
    if limit is None:
        return []

    def said(word: str, reference: Reference | None) -> list[tuple[str, str]]:
        if reference is None:
            return []
        known = resolve(reference, resolved, computed, limit.origin)
        if known.value is None:
            return [(f"{word} …, not judged: {known.reason}", "")]
        return [(f"{word} {value_words(known.value, ask.unit)}", clean(known.origin))]

    parts = said("at least", limit.at_least) + said("at most", limit.at_most) + said("equal to", limit.equals)
    if limit.middle is not None:
        parts.append(_band(ask, resolved, computed))
    return parts


def judged_words(judged: Judged) -> str:
    """One judgement: what was observed, the limit, the margin, and where the limit comes from."""
    observed = value_words(judged.observed, judged.unit)
    if isinstance(judged.observed, float) and observed == value_words(judged.limit, judged.unit):
        # Rounded alike, though one of them may be a hair beyond the other: then it is told as typed.
        observed = f"{judged.observed:.6g} {judged.unit}".rstrip()
    name = judged.value.replace("_", " ")
    if judged.passed is None:
        return f"{name} {observed}: not judged, {judged.reason}"
    relation = f"{KIND_WORDS[judged.kind]} {value_words(judged.limit, judged.unit)}"
    verdict = "holds" if judged.passed else "does not hold"
    margin = f", margin {value_words(judged.margin, judged.unit)}" if judged.margin is not None else ""
    return f"{name} {observed}: {relation} {verdict}{margin} ({clean(judged.origin)})"


def state_words(state: ItemState) -> str:
    """The state by word and mark, with who, when, and what ended it."""
    word = state.state.replace("-", " ")
    parts = [f"{MARKS[state.state]} {word}"]
    if state.by and state.state in ("answered", "deferred", "waived", "not-applicable"):
        parts.append(f"by {clean(state.by)} at {clock(state.at)}")
    if state.second_by:
        alone = f", {TWICE}" if state.is_alone else ""
        parts.append(f"second {clean(state.second_by)} at {clock(state.second_at)}{alone}")
    if state.carried_from is not None and state.state == "answered":
        parts.append(carried_words(state))
    if state.until:
        parts.append(f"until {clean(state.until)}" + (", past due" if state.is_past_due else ""))
    parts += [clean(r) for r in (state.reason, state.void_reason) if r]
    return "; ".join(parts)


def people_words(state: ItemState, names: Callable[[str], str] = clean) -> str:
    """Who answered: "A, then B" where a second person did, and a crew of one as what it is; "" for nobody."""
    if state.is_alone:
        return f"{names(state.by)}, {TWICE}"
    return f"{names(state.by)}, then {names(state.second_by)}" if state.second_by else names(state.by)


def carried_words(state: ItemState) -> str:
    """Where an answer of an earlier dive or work comes from, or ""."""
    if state.carried_from is None:
        return ""
    return f"carried over from {clean(state.carried_from)} at {clock(state.at, with_day=True)}"


def proposal_words(ask: Ask, resolved: Mapping[str, Any], computed: Mapping[str, float | None]) -> str:
    """What the program proposes for a value and that nobody has seen it; "" where it proposes nothing."""
    known = resolve(ask.proposed, resolved, computed) if ask.proposed is not None else None
    if known is None or ask.proposed is None or known.value is None:
        return ""
    value = float(f"{known.value:.4g}") if isinstance(known.value, float) else known.value
    how = "read from the box" if ask.proposed.computed in READ_OFF_BOX else "computed"
    return f"{how}, not seen: {value_words(value, ask.unit)}"


def answer_words(item: Item, state: ItemState) -> str:
    """The values of the answer, each with its unit; "as stated" where the item asks for none.

    While the second person has not answered, the first answer is not shown.
    """
    if state.waits_for_second and item.witness == "blind":
        return f"answered by {clean(state.by)}, not shown until the second person has answered"
    if not item.asks:
        return "as stated" if state.state == "answered" else ""
    said = [valued_words(item, name, value) for name, value in state.values.items()]
    how = SOURCE_WORDS.get(state.source, clean(state.source))
    if how.endswith("accepted by"):
        how = f"{how} {clean(state.by)}"
    return ", ".join(said) + (f" ({how})" if said and how else "")


def item_block(
    item: Item,
    state: ItemState,
    resolved: Mapping[str, Any],
    computed: Mapping[str, float | None],
    width: int = 78,
) -> str:
    """One item in full, for the terminal: the caution first, then challenge, response, limits and why."""
    lines: list[str] = []
    if item.caution is not None:
        lines += _wrap(f"{item.caution.word.upper()}: {item.caution.text}", width, "")
    head = f"{item.code} {item.challenge}" if item.code else item.challenge
    lines += _wrap(head, width, "")
    lines += _row("response", item.response, width)
    for ask in item.asks:
        lines += _row("value", _asked(ask, resolved, computed), width)
        for words in limit_words(ask, resolved, computed):
            lines += _row("limit", f"{ask.words}: {words}", width)
    lines += _row("typed", typed_words(item), width)
    lines += _row("touch", item.touch, width)
    lines += _row("by", " and ".join(item.by), width)
    lines += _row("second", WITNESS_WORDS[item.witness], width)
    lines += _row("mark", marks_words(item), width)
    lines += _row("holds for", validity_words(item), width)
    lines += _row("reopens", ", ".join(item.reopens), width)
    lines += _row("reads out", READ_OUT_WORDS.get(item.reads_out, ""), width)
    lines += _row("why", f"{item.why}; {STOP_WORDS[item.stops]}", width)
    lines += _row("source", item.source, width)
    lines += _row("state", state_words(state), width)
    lines += _row("answer", answer_words(item, state), width)
    for judged in state.limits:
        if not state.waits_for_second:
            lines += _row("judged", judged_words(judged), width)
    for number, action in enumerate(item.actions, start=1):
        lines += _row(str(number), action, width)
    return "\n".join(lines)


def typed_words(item: Item) -> str:
    """The values as the command line takes them, with the words a choice has; "" where none is asked for."""
    said = []
    for ask in item.asks:
        words = {"choice": "|".join(ask.options), "yes-no": "yes|no"}.get(ask.type, "") or "…"
        pair = f"--value {ask.value}={words}"
        said.append(f"[{pair}]" if ask.is_optional else pair)
    return " ".join(said)


def marks_words(item: Item) -> str:
    """Which moment of the dive the answer marks, or ""."""
    return f"also marks {item.marks.replace('-', ' ')}" if item.marks else ""


def validity_words(item: Item) -> str:
    """How long an answer holds, and which events void it."""
    ages = " or ".join(VALID_TEXT.get(w, w) for w in item.valid_for)
    events = ", ".join(e.replace("-", " ") for e in item.voided_by)
    return f"{ages}; voided by {events}" if events else ages


def deferral_words(item: Item, hold: Item | None) -> str:
    """Where an item that is put off comes back; `hold` is the hold point it keeps closed, or None."""
    if hold is None:
        return "it comes back at the end of the list and at the last look"
    return f"it comes back before {clean(hold.name)}, which is not released without it"


def caller(items: Mapping[str, Item]) -> Callable[[str], str]:
    """What turns an item's id into what a crew calls it, the id itself where no list has it."""
    return lambda name: items[name].name if name in items else name


def list_text(
    checklist: Checklist, states: Mapping[str, ItemState], groups: Sequence[GroupState] = ()
) -> str:
    """A whole list, one line an item, with the completion calls that were made."""
    called = {g.section: g for g in groups}
    lines = [f"{clean(checklist.title)}, revision {checklist.revision}"]
    for section in checklist.sections:
        head = f"{section.code} {section.title}".strip()
        lines += ["", clean(head)]
        for item in section.items:
            state = states[item.item]
            lines.append(
                f"  {MARKS[state.state]} {item.code:<5} {clean(item.challenge)}: {_short(item, state)}"
            )
        group = called.get(section.section)
        if group is not None:
            lines.append(f"  {group_words(group)}")
    return "\n".join(lines)


def group_words(group: GroupState) -> str:
    """How far a group is, in one line."""
    if group.is_complete:
        return f"complete, called by {clean(group.called_by)} at {clock(group.called_at)}"
    if group.unsettled:
        return f"{len(group.unsettled)} of {group.items} open"
    return "all settled; the completion call is missing"


def stops_text(stops: Sequence[Stop]) -> str:
    """Everything that stops the dive, most serious first, each with what would clear it."""
    if not stops:
        return NOTHING_STOPS
    lines = [stop_words(stops) + ":"]
    for number, stop in enumerate(stops, start=1):
        lines += [f"{number:>3}. {clean(stop.reason)}", f"     clears: {clean(stop.clears)}"]
    return "\n".join(lines)


def clock(at: str, with_day: bool = False) -> str:
    """An entry's time for a person: 09:41, or 2026-06-13 09:41."""
    try:
        time = datetime.fromisoformat(at.upper())
    except ValueError:
        return clean(at)
    return time.strftime("%Y-%m-%d %H:%M" if with_day else "%H:%M")


def _short(item: Item, state: ItemState) -> str:
    if state.state == "answered":
        answer = answer_words(item, state)
        carried = f", {carried_words(state)}" if state.carried_from else ""
        return f"{answer}; {people_words(state)} {clock(state.at)}{carried}"
    return state_words(state).removeprefix(f"{MARKS[state.state]} ")


def _band(ask: Ask, resolved: Mapping[str, Any], computed: Mapping[str, float | None]) -> tuple[str, str]:
    limit = ask.limit
    assert limit is not None
    assert limit.middle is not None
    middle = resolve(limit.middle, resolved, computed, limit.origin)
    half = resolve(limit.by or limit.share or Reference(value=0.0), resolved, computed, limit.origin)
    if middle.value is None or half.value is None:
        return f"in a band, not judged: {middle.reason or half.reason}", ""
    width = value_words(half.value, ask.unit)
    if limit.by is None and isinstance(half.value, int | float):
        width = f"{half.value * 100:g} %"
    origin = (
        clean(middle.origin)
        if middle.origin == half.origin
        else f"{clean(middle.origin)}; {clean(half.origin)}"
    )
    return f"within {width} of {value_words(middle.value, ask.unit)}", origin


def _asked(ask: Ask, resolved: Mapping[str, Any], computed: Mapping[str, float | None]) -> str:
    words = clean(ask.words) + (f", {ask.unit}" if ask.unit else "")
    if ask.options:
        words += ": " + ", ".join(ask.options)
    if ask.proposed is not None:
        known = resolve(ask.proposed, resolved, computed)
        words += f"; proposed {value_words(known.value, ask.unit)} ({known.reason or clean(known.origin)})"
    return words + ("; may be left out" if ask.is_optional else "")


def valued_words(item: Item, name: str, value: Value) -> str:
    """One value of an answer with its unit: "voltage 12.6 V"; of a choice the choice alone."""
    ask = item.ask(name)
    if ask is not None and ask.type == "choice":
        return clean(str(value)).replace("-", " ")
    words = name.replace("_", " ")
    return f"{clean(words)} {value_words(value, ask.unit if ask else '')}"


def _row(name: str, text: str, width: int) -> list[str]:
    return _wrap(text, width, f"  {name:<10}") if text else []


def _wrap(text: str, width: int, head: str) -> list[str]:
    said = clean(text)
    if said and len(head) + len(said) <= width and said.isprintable() and said == said.strip():
        return [head + said]  # as most are; textwrap takes a hundred times as long to find that out
    return textwrap.wrap(
        said, width, initial_indent=head, subsequent_indent=" " * len(head), break_long_words=True
    )
