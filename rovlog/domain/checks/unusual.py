"""What of a record's answers was not the usual one: one that was passed later is told all the same."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any, Literal

from rovlog.domain.checks.blind import is_covered
from rovlog.domain.checks.checklist import Item
from rovlog.domain.checks.happenings import Policy
from rovlog.domain.checks.moments import Moment
from rovlog.domain.checks.seconds import agreement
from rovlog.domain.checks.validity import instant
from rovlog.domain.dive import Entry, Record
from rovlog.values import dataclass

Way = Literal["failed", "the two differ", "kept after a question", "deferred", "not applicable", "waived"]

ASIDE: Mapping[str, Way] = {"deferral": "deferred", "not-applicable": "not applicable", "waiver": "waived"}
"""Entries that put an item aside, and the word for each."""


@dataclass(frozen=True, slots=True)
class Unusual:
    """One answer that was not the usual one, in which way, and what is to be said of it.

    `item` is None where no list that is in use has it. `later` is the answer that passed it later in the
    same record, None where none did.
    """

    entry: Entry
    item: Item | None
    way: Way
    words: str = ""
    later: Entry | None = None


def unusual_answers(record: Record, items: Mapping[str, Item], policy: Policy) -> tuple[Unusual, ...]:
    """Failed answers, two that differ, answers kept after a question, and what was put aside, in order."""
    found: list[Unusual] = []
    rounds: dict[str, dict[bool, Moment]] = {}
    for number, entry in enumerate(record.entries):
        name = _name(entry)
        item = items.get(name)
        if entry.kind in ASIDE:
            found.append(Unusual(entry, item, ASIDE[entry.kind], _aside_words(entry)))
        if entry.kind not in ("check", "release") or is_covered(entry):
            continue
        if entry.fields.get("outcome") == "fail":
            later = _passed_later(record.entries[number + 1 :], name)
            found.append(Unusual(entry, item, "failed", str(entry.fields.get("text") or ""), later))
        if entry.fields.get("confirmed"):
            asked = "; ".join(str(q) for q in entry.fields.get("questions") or ())
            found.append(Unusual(entry, item, "kept after a question", asked))
        differs = _differs(rounds, record, entry, item, policy)
        if differs:
            later = _passed_later(record.entries[number + 1 :], name)
            found.append(Unusual(entry, item, "the two differ", differs, later))
    return tuple(found)


def _name(entry: Entry) -> str:
    return str(entry.fields.get("item") or entry.fields.get("point") or "")


def _aside_words(entry: Entry) -> str:
    until: Any = entry.fields.get("until")
    reason = str(entry.fields.get("reason") or "no reason given")
    return f"{reason}, until {until}" if until else reason


def _passed_later(entries: Sequence[Entry], name: str) -> Entry | None:
    """The first later answer of the item that passed; a second person's alone does not answer it."""
    return next(
        (
            e
            for e in entries
            if e.kind in ("check", "release")
            and not is_covered(e)
            and _name(e) == name
            and e.fields.get("outcome", "pass") == "pass"
            and not e.fields.get("witness")
        ),
        None,
    )


def _differs(
    rounds: dict[str, dict[bool, Moment]], record: Record, entry: Entry, item: Item | None, policy: Policy
) -> str:
    """In words how the second person's answer differs from the first one of the same round, or ""."""
    if item is None or item.witness == "none":
        return ""
    is_second = bool(entry.fields.get("witness", False))
    mine = rounds.get(item.item, {})
    if is_second in mine:
        mine = {}
    mine[is_second] = Moment(entry, record.id, record.kind, instant(entry.at))
    if len(mine) < 2:
        rounds[item.item] = mine
        return ""
    rounds.pop(item.item, None)
    return agreement(item, mine[False], mine[True], True, policy).differs
