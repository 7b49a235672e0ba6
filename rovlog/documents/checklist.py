"""Checklist documents as domain values; the document has passed its schema before."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from rovlog.domain.checks.checklist import (
    Ask,
    Caution,
    Checklist,
    Condition,
    Item,
    Limit,
    Reference,
    Section,
    Timer,
    Value,
)
from rovlog.domain.checks.validity import parse_duration

CHOICE = "choice"
"""The name under which the answer of an item with options is kept among its values."""


def checklist_from(document: Mapping[str, Any]) -> Checklist:
    """The checklist a document holds. Raises UsageError for a duration that cannot be read."""
    name = str(document["checklist"])
    applies = document.get("applies_to", "all")
    sections = tuple(_section(s, name, number) for number, s in enumerate(document["sections"], start=1))
    return Checklist(
        checklist=name,
        title=str(document.get("title", name)),
        phase=str(document["phase"]),
        style=document["style"],
        revision=int(document["revision"]),
        sections=sections,
        reason=str(document.get("reason", "")),
        approved_by=str(document.get("approved_by", "")),
        at=str(document.get("at", "")),
        applies_to=() if applies == "all" else _texts(applies),
    )


def _section(section: Mapping[str, Any], checklist: str, number: int) -> Section:
    name = str(section.get("section", f"{checklist}-{number}"))
    return Section(
        section=name,
        title=str(section["title"]),
        items=tuple(_item(i, checklist, name) for i in section["items"]),
        code=str(section.get("code", "")),
        completion=str(section.get("completion", "")),
        hold_point=str(section.get("hold_point", "")),
        style=section.get("style"),
    )


def _item(item: Mapping[str, Any], checklist: str, section: str) -> Item:
    options = _texts(item.get("options", ()))
    asks = tuple(_ask(a) for a in item.get("asks", ()))
    if options:
        asks = (Ask(CHOICE, label="answer", type="choice", options=options), *asks)
    caution = item.get("caution")
    valid_for = _texts(item.get("valid_for", "dive"))
    for age in valid_for:
        parse_duration(age)
    return Item(
        item=str(item["item"]),
        checklist=checklist,
        section=section,
        challenge=str(item["challenge"]),
        response=str(item["response"]),
        kind=str(item["kind"]),
        by=_texts(item["by"]),
        code=str(item.get("code", "")),
        witness=item.get("witness", "none"),
        stops=item.get("stops", "no"),
        valid_for=valid_for,
        voided_by=_texts(item.get("voided_by", ())),
        applies_when=_condition(item.get("applies_when")),
        asks=asks,
        why=str(item.get("why", "")),
        touch=str(item.get("touch", "")),
        source=str(item.get("source", "")),
        caution=Caution(caution["word"], str(caution["text"])) if caution else None,
        parts=_texts(item.get("parts", ())),
        timers=tuple(_timer(t) for t in item.get("timers", ())),
        actions=_texts(item.get("actions", ())),
        then=_texts(item.get("then", ())),
        repeats=str(item.get("repeats", "")),
        reopens=_texts(item.get("reopens", ())),
        reads_out=str(item.get("reads_out", "")),
        none_while_zero=_texts(item.get("none_while_zero", ())),
        marks=str(item.get("marks", "")),
    )


def _ask(ask: Mapping[str, Any]) -> Ask:
    options = _texts(ask.get("options", ()))
    return Ask(
        value=str(ask["value"]),
        unit=str(ask.get("unit", "")),
        label=str(ask.get("label", "")),
        type="choice" if options else ask.get("type", "number"),
        options=options,
        limit=_limit(ask.get("limit")),
        proposed=_reference(ask.get("proposed")),
        is_optional=bool(ask.get("optional", False)),
        varies=bool(ask.get("varies", False)),
    )


def _limit(limit: Mapping[str, Any] | None) -> Limit | None:
    if limit is None:
        return None
    within = limit.get("within", {})
    return Limit(
        at_least=_reference(limit.get("at_least")),
        at_most=_reference(limit.get("at_most")),
        equals=_reference(limit.get("equals")),
        middle=_reference(within.get("of")),
        share=_reference(within.get("share")),
        by=_reference(within.get("by")),
        origin=str(limit.get("origin", "")),
    )


def _reference(bound: Any) -> Reference | None:
    if bound is None:
        return None
    if isinstance(bound, Mapping):
        return Reference(pointer=str(bound.get("pointer", "")), computed=str(bound.get("computed", "")))
    return Reference(value=_value(bound))


def _condition(applies: Mapping[str, Any] | None) -> Condition | None:
    if applies is None:
        return None
    value = applies.get("is")
    return Condition(
        pointer=str(applies.get("pointer", "")),
        value=None if value is None else _value(value),
        symptom=str(applies.get("symptom", "")),
    )


def _timer(timer: Mapping[str, Any]) -> Timer:
    duration = parse_duration(str(timer["duration"]))
    return Timer(str(timer["timer"]), duration.seconds if duration else 0.0)


def _value(value: Any) -> Value:
    return value if isinstance(value, bool | int | float | str) else str(value)


def _texts(value: str | Sequence[Any]) -> tuple[str, ...]:
    return (value,) if isinstance(value, str) else tuple(str(v) for v in value)
