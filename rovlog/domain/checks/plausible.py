"""Entries that look like a slip: asked about once, kept either way.

Asked about is a value far beyond its limit or far from the last readings of the same value on this
vehicle, a slip of a thousand in the unit, a slip of the sign, and the same reading to the last digit
three dives running. The factor of 5 is a project default.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from rovlog.domain.checks.checklist import Ask, Item, Value
from rovlog.domain.checks.limits import Judged, is_same
from rovlog.domain.dive import Record
from rovlog.values import dataclass

LAST = 3
"""How many of the last readings are looked at, and how many alike in a row are asked about."""

FACTOR = 5.0
"""Project default: this many times over, or this part of, the limit or the last readings."""

UNIT_SLIP = 1000.0
"""From one prefix of a unit to the next: milli to whole, whole to kilo."""


@dataclass(frozen=True, slots=True)
class Reading:
    """An earlier reading of the same value on this vehicle; `is_confirmed` where it was asked about."""

    value: float
    record: str
    is_confirmed: bool = False


@dataclass(frozen=True, slots=True)
class Question:
    """What is asked about one value before it is kept."""

    value: str
    text: str


def last_readings(item: str, records: Sequence[Record]) -> dict[str, tuple[Reading, ...]]:
    """The last three readings of each value of an item, newest first.

    `records` are of one vehicle, oldest first. The second person's answers are left out.
    """
    found: dict[str, list[Reading]] = {}
    for record in reversed(records):
        for entry in reversed(record.entries):
            if entry.kind != "check" or entry.fields.get("item") != item or entry.fields.get("witness"):
                continue
            values = entry.fields.get("values")
            for name, value in (values if isinstance(values, Mapping) else {}).items():
                number = _number(value)
                kept = found.setdefault(name, [])
                if number is not None and len(kept) < LAST:
                    kept.append(Reading(number, record.id, bool(entry.fields.get("confirmed"))))
        if found and all(len(kept) >= LAST for kept in found.values()):
            break
    return {name: tuple(kept) for name, kept in found.items()}


def questions_of(
    item: Item,
    values: Mapping[str, Value],
    judged: Sequence[Judged],
    last: Mapping[str, Sequence[Reading]],
    record: str,
    factor: float = FACTOR,
) -> tuple[Question, ...]:
    """At most one question for each typed number; () where everything looks like a reading.

    `judged` are the judgements of these values, `last` the last readings, `record` where it is given.
    """
    found = []
    for ask in item.asks:
        value = _number(values.get(ask.value))
        if value is None or ask.type != "number":
            continue
        bounds = _bounds([j for j in judged if j.value == ask.value])
        text = _question(ask, value, bounds, last.get(ask.value, ()), record, factor)
        if text:
            found.append(Question(ask.value, text))
    return tuple(found)


@dataclass(frozen=True, slots=True)
class _Bounds:
    """The least and the greatest value the limit lets pass; `is_exact` where only one value does."""

    least: float | None = None
    most: float | None = None
    is_exact: bool = False


def _bounds(judged: Sequence[Judged]) -> _Bounds:
    least: float | None = None
    most: float | None = None
    for one in judged:
        limit, observed = _number(one.limit), _number(one.observed)
        if limit is None or observed is None:
            continue
        if one.kind == "equals":
            return _Bounds(limit, limit, True)
        width = (one.margin or 0.0) + abs(observed - limit) if one.kind == "within" else 0.0
        if one.kind in ("at_least", "within"):
            least = limit - width if least is None else max(least, limit - width)
        if one.kind in ("at_most", "within"):
            most = limit + width if most is None else min(most, limit + width)
    return _Bounds(least, most)


def _question(
    ask: Ask, value: float, bounds: _Bounds, last: Sequence[Reading], record: str, factor: float
) -> str:
    usual = [r.value for r in last]
    said = f"{ask.words} {value:g}" + (f" {ask.unit}" if ask.unit else "")
    return (
        _sign(said, value, bounds, usual)
        or _far(said, ask, value, bounds, usual, factor)
        or _again(said, ask, value, bounds, last, record)
    )


def _sign(said: str, value: float, bounds: _Bounds, usual: Sequence[float]) -> str:
    """The other sign would do, this one does not; or all of the last readings have the other sign."""
    if value and _holds(-value, bounds) and not _holds(value, bounds):
        return f"{said}: with the other sign it would keep its limit; was the sign read as it is?"
    if len(usual) == LAST and all(u * value < 0 for u in usual):
        return f"{said}: the last {LAST} readings have the other sign; was the sign read as it is?"
    return ""


def _far(said: str, ask: Ask, value: float, bounds: _Bounds, usual: Sequence[float], factor: float) -> str:
    """Many times over or a small part of the limit, on the side where it does not hold, or of the
    last readings. On the side where the limit holds a good reading may lie far away (a hundred
    megohms where one is enough): there only a slip of the unit is asked about."""
    size = abs(value)
    sizes = [abs(u) for u in usual if u]
    if sizes:
        # Between the smallest and the largest of the last readings nothing is odd.
        over, under = size / max(sizes), size / min(sizes)
        if size and (over > factor or under < 1.0 / factor):
            ratio = over if over > factor else under
            last = f"the last reading, {usual[0]:g}" + (f" {ask.unit}" if ask.unit else "")
            return _far_words(said, ratio, factor, last)
        if over <= factor and under >= 1.0 / factor and _holds(value, bounds):
            return ""
    for bound, is_least in ((bounds.most, False), (bounds.least, True)):
        if not bound:
            continue
        ratio = value / bound
        limit = f"its limit, {bound:g}" + (f" {ask.unit}" if ask.unit else "")
        is_one_sided = bounds.least is None or bounds.most is None
        is_beyond = ratio > factor if is_least == (bound < 0) else 0 <= ratio < 1.0 / factor
        is_odd = is_one_sided and (ratio >= UNIT_SLIP or 0 < ratio <= 1.0 / UNIT_SLIP)
        if is_beyond or is_odd:
            return _far_words(said, ratio, factor, limit)
    return ""


def _far_words(said: str, ratio: float, factor: float, than: str) -> str:
    for slip, words in ((UNIT_SLIP, "a thousand times"), (1.0 / UNIT_SLIP, "a thousandth of")):
        if 1.0 / FACTOR <= ratio / slip <= FACTOR:
            return f"{said} is about {words} {than}; was it read in another unit?"
    if ratio > factor:
        return f"{said} is over {factor:g} times {than}; is it right?"
    return f"{said} is under a {_part(factor)} of {than}; is it right?"


def _part(factor: float) -> str:
    return "fifth" if factor == FACTOR else f"{factor:g}th"


def _again(said: str, ask: Ask, value: float, bounds: _Bounds, last: Sequence[Reading], record: str) -> str:
    """The same to the last digit, three dives running, of a reading that the list says varies: a plan, a
    setting or a count may be the same every time, and so may nothing at all. A run that was asked about
    once is not asked about again."""
    if not ask.varies or not value or bounds.is_exact or ask.proposed is not None:
        return ""
    runs: dict[str, Reading] = {}
    for reading in last:
        if reading.record != record:
            runs.setdefault(reading.record, reading)
    before = list(runs.values())[: LAST - 1]
    alike = len(before) == LAST - 1 and all(is_same(r.value, value) for r in before)
    if not alike or any(r.is_confirmed for r in before):
        return ""
    return f"{said} for the third dive running, the same to the last digit; was it read anew?"


def _holds(value: float, bounds: _Bounds) -> bool:
    if bounds.least is None and bounds.most is None:
        return False
    return (bounds.least is None or value >= bounds.least) and (bounds.most is None or value <= bounds.most)


def _number(value: Value | None) -> float | None:
    return float(value) if isinstance(value, int | float) and not isinstance(value, bool) else None
