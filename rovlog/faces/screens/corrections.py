"""Correcting the last answer of an item: a further entry with a reason; nothing is taken away."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from rovlog.faces.screens.desk import Desk
from rovlog.faces.screens.dialogs import Blank
from rovlog.problems import UsageError
from rovlog.usecases.judge_anew import said_failed

if TYPE_CHECKING:
    from rovlog.domain.checks.checklist import Ask
    from rovlog.faces.screens.item_deeds import ItemDeeds


def correct_answer(place: ItemDeeds) -> None:
    """Ask what should stand there: the values, or the outcome where the item asks for none."""
    item = place.item_in_hand()
    state = place.hand.state if place.hand else None
    if item is None or state is None:
        return
    entries = [e for e in state.record.of_kind("check") if e.fields.get("item") == item.item]
    if not entries:
        place.rov.tell_trouble("this item has no answer in this record to correct")
        return
    entry, by = entries[-1], place.answering()
    is_hidden = state.items[item.item].waits_for_second and item.witness == "blind"
    values: dict[str, Any] = {} if is_hidden else dict(entry.fields.get("values") or {})
    blanks = [_blank(ask, values.get(ask.value)) for ask in item.asks]
    outcome = str(entry.fields.get("outcome", "pass"))
    # Whether a value keeps its limit is the program's word; only what a person said is theirs to take back.
    is_asked = not item.asks or said_failed(entry)
    if is_asked:
        blanks.append(Blank("outcome", "outcome", outcome, ("pass", "fail")))
    blanks.append(Blank("reason", "why it is corrected"))

    def keep(desk: Desk, typed: dict[str, str]) -> None:
        from rovlog.domain.checks.answer import parse_answer
        from rovlog.usecases.dive_steps import correct
        from rovlog.usecases.one_line import require_word

        if is_asked:
            require_word("outcome", typed["outcome"], ("pass", "fail"))
        changes: dict[str, Any] = {}
        found = {
            a.value: parse_answer(a, typed[f"value-{a.value}"])
            for a in item.asks
            if typed[f"value-{a.value}"]
        }
        if found != values:
            changes["values"] = found
        if is_asked and typed["outcome"] != outcome:
            changes["outcome"] = typed["outcome"]
        if not changes:
            raise UsageError("nothing is changed", "write what should stand there, or leave with escape")
        correct(
            desk.logbook, desk.logbook.record(desk.record), entry.id, changes, by=by, reason=typed["reason"]
        )

    title = f"Correct the answer of {entry.at[11:16]}: {item.challenge}"
    place.ask(title, blanks, keep, "kept: corrected by a further entry; the first one stays", moves_on=False)


def _blank(ask: Ask, value: Any) -> Blank:
    return Blank(f"value-{ask.value}", ask.words, _typed(value), ask.options, ask.unit)


def _typed(value: Any) -> str:
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    return f"{value:g}" if isinstance(value, float) else str(value)
