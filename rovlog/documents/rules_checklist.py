"""Rules of a checklist by itself: names that must exist, limits that can be judged, honest witnesses."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING, Any

from rovlog.documents.pointer import is_pointer, tokens
from rovlog.documents.rows import mapping, number, rows, said, text
from rovlog.documents.rules_times import time_problems
from rovlog.documents.rules_vehicle import duplicates
from rovlog.documents.rules_witness import witness_problems
from rovlog.documents.schema_places import missing_step
from rovlog.domain.checks.computed import COMPUTED
from rovlog.domain.dive import VOID_EVENTS
from rovlog.domain.nearest import did_you_mean, listed
from rovlog.problems import Problem

if TYPE_CHECKING:
    from rovlog.documents.tree import Tree

VALID_WORDS = ("dive", "setup", "day", "until-voided", "now")
_DURATION = re.compile(r"[0-9]+(\.[0-9]+)? ?(s|min|h|d|days?|months?|running h)")


def checklist_problems(tree: Tree, approval_schema: Mapping[str, Any]) -> Iterator[Problem]:
    """Everything the rules find in a checklist. The approval's schema says which pointers can exist."""
    value = tree.value
    yield from time_problems(tree, "/at", value.get("at"))
    yield from duplicates(tree, rows(value, "", "sections"), "title")
    yield from duplicates(tree, rows(value, "", "sections"), "section")
    items = [pair for place, section in rows(value, "", "sections") for pair in rows(section, place, "items")]
    yield from duplicates(tree, iter(items), "item")
    for place, item in items:
        yield from _item_problems(tree, place, item)
        yield from _limit_problems(tree, place, item)
        for pointer, found in _pointers(item, place):
            yield from pointer_problems(tree, pointer, found, approval_schema)


def _item_problems(tree: Tree, place: str, item: Mapping[str, Any]) -> Iterator[Problem]:
    name, kind = text(item, "item"), text(item, "kind")
    yield from duplicates(tree, rows(item, place, "asks"), "value")
    yield from _validity_problems(tree, place, item)
    events = item.get("voided_by")
    for index, event in enumerate(events if isinstance(events, list) else ()):
        if isinstance(event, str) and event not in VOID_EVENTS:
            mend = did_you_mean(event, VOID_EVENTS) or f"events are {', '.join(VOID_EVENTS)}"
            yield tree.problem(
                f"{place}/voided_by/{index}",
                "unknown-event",
                f"item {name} is voided by '{event}'",
                f"'{event}'",
                "an event that voids answers",
                mend,
            )
    asks, options = list(rows(item, place, "asks")), item.get("options")
    yield from witness_problems(tree, place, item)
    if kind == "choose" and not asks and not options:
        yield tree.problem(
            place,
            "missing-key",
            f"item {name} is a choice without options",
            "no options",
            "options: […]",
            "write the words to choose from under options",
        )
    if kind == "measure" and not asks:
        yield tree.problem(
            place,
            "missing-key",
            f"item {name} is measured and asks for no value",
            "no asks",
            "asks: […]",
            "write the values with their units under asks",
        )
    yield from _none_problems(tree, place, item, name)
    condition = item.get("applies_when")
    if isinstance(condition, Mapping) and condition:
        yield from _condition_problems(tree, f"{place}/applies_when", condition, name)


def _none_problems(tree: Tree, place: str, item: Mapping[str, Any], name: str) -> Iterator[Problem]:
    """Counts that judge the choice none have to be values that the program proposes for this item."""
    counted, options = item.get("none_while_zero"), item.get("options")
    proposed = [text(ask, "value") for _, ask in rows(item, place, "asks") if ask.get("proposed")]
    for index, value in enumerate(counted if isinstance(counted, list) else ()):
        if isinstance(value, str) and value not in proposed:
            yield tree.problem(
                f"{place}/none_while_zero/{index}",
                "missing-reference",
                f"none_while_zero of item {name} names '{value}'",
                f"'{value}'",
                "a value of this item with proposed: {computed: …}",
                did_you_mean(value, proposed) or "ask for it, with what the program proposes",
            )
    if counted and not (isinstance(options, list) and "none" in options):
        yield tree.problem(
            f"{place}/none_while_zero",
            "missing-key",
            f"item {name} has none_while_zero and no choice none",
            "options without none" if options else "no options",
            "options: [none, …]",
            "write none among the options, or leave none_while_zero out",
        )


def _condition_problems(tree: Tree, place: str, condition: Mapping[str, Any], name: str) -> Iterator[Problem]:
    if {"pointer", "is"} <= condition.keys() and "symptom" not in condition:
        return
    if set(condition) == {"symptom"}:
        return
    yield tree.problem(
        place,
        "condition-incomplete",
        f"applies_when of item {name} has {listed(condition, 'and')}",
        listed(condition, "and"),
        "pointer and is, or symptom alone",
        "write applies_when: {pointer: /…, is: …}",
    )


def _validity_problems(tree: Tree, place: str, item: Mapping[str, Any]) -> Iterator[Problem]:
    held = item.get("valid_for")
    several = isinstance(held, list)
    for index, word in enumerate(held if isinstance(held, list) else [held]):
        if isinstance(word, str) and word not in VALID_WORDS and not _DURATION.fullmatch(word):
            yield tree.problem(
                f"{place}/valid_for/{index}" if several else f"{place}/valid_for",
                "unknown-validity",
                f"valid_for of item {text(item, 'item')} is '{word}'",
                f"'{word}'",
                f"{', '.join(VALID_WORDS)} or a duration such as 24 h",
                did_you_mean(word, VALID_WORDS)
                or "write a number, a blank and s, min, h, d, months or running h",
            )
    for timer, row in rows(item, place, "timers"):
        duration = text(row, "duration")
        if duration and not _DURATION.fullmatch(duration):
            yield tree.problem(
                f"{timer}/duration",
                "unknown-validity",
                f"duration of a timer is '{duration}'",
                f"'{duration}'",
                "a duration such as 15 min",
                "write a number, a blank and s, min or h",
            )


def _limit_problems(tree: Tree, place: str, item: Mapping[str, Any]) -> Iterator[Problem]:
    for pointer, name in _computed(item, place):
        if name not in COMPUTED:
            mend = did_you_mean(name, COMPUTED) or f"names are {', '.join(COMPUTED)}"
            yield tree.problem(
                pointer,
                "unknown-computed",
                f"there is no computed quantity '{name}'",
                f"'{name}'",
                "the name of a computed quantity",
                mend,
            )
    for ask, row in rows(item, place, "asks"):
        limit = mapping(row, "limit")
        low, high = number(limit, "at_least"), number(limit, "at_most")
        if low is not None and high is not None and low > high:
            yield tree.problem(
                f"{ask}/limit/at_most",
                "limit-contradiction",
                f"at_least is {said(low)} and at_most {said(high)}",
                said(high),
                f"at least {said(low)}",
                "no value can keep this limit: correct one of the two",
            )
        band = mapping(limit, "within")
        if band and ("share" in band) == ("by" in band):
            yield tree.problem(
                f"{ask}/limit/within",
                "limit-incomplete",
                "a band has both share and by" if "by" in band else "a band has neither share nor by",
                listed(band, "and"),
                "of with one of share and by",
                "write share for a part of the middle, or by in the value's unit",
            )
        options = row.get("options")
        wanted = limit.get("equals")
        if isinstance(options, list) and isinstance(wanted, str) and wanted not in options:
            yield tree.problem(
                f"{ask}/limit/equals",
                "limit-not-an-option",
                f"the limit equals '{wanted}'",
                f"'{wanted}'",
                listed([str(option) for option in options]),
                "name one of the options",
            )


def _named(value: Any, place: str, key: str) -> Iterator[tuple[str, str]]:
    if isinstance(value, Mapping):
        for name, inner in value.items():
            if name == key and isinstance(inner, str):
                yield f"{place}/{name}", inner
            elif isinstance(inner, Mapping | list):
                yield from _named(inner, f"{place}/{name}", key)
    elif isinstance(value, list):
        for index, inner in enumerate(value):
            yield from _named(inner, f"{place}/{index}", key)


def _computed(item: Mapping[str, Any], place: str) -> Iterator[tuple[str, str]]:
    yield from _named(item.get("asks"), f"{place}/asks", "computed")


def _pointers(item: Mapping[str, Any], place: str) -> Iterator[tuple[str, str]]:
    yield from _named(item.get("asks"), f"{place}/asks", "pointer")
    yield from _named(item.get("applies_when"), f"{place}/applies_when", "pointer")


def pointer_problems(tree: Tree, place: str, found: str, schema: Mapping[str, Any]) -> Iterator[Problem]:
    """A pointer with a wrong syntax, or to a place that no configuration has."""
    if not found.startswith("/"):
        return  # the schema has said so
    if not is_pointer(found):
        yield tree.problem(
            place,
            "not-a-pointer",
            f"'{found}' is no pointer",
            f"'{found}'",
            "an RFC 6901 pointer",
            "inside a name write ~1 for / and ~0 for ~",
        )
        return
    path = tokens(found)
    miss = missing_step(schema, schema["$defs"]["configuration"], path)
    if miss is not None:
        index, names = miss
        so_far = "/" + "/".join(path[:index])
        near = did_you_mean(path[index], names)
        mend = near or (f"{so_far} has: {', '.join(sorted(names))}" if names else "stop there")
        yield tree.problem(
            place,
            "pointer-to-nothing",
            f"no configuration has anything at {found}",
            f"'{found}'",
            "a place in the resolved configuration",
            mend,
        )
