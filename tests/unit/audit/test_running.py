"""Running time: stretches that no clock can have seen count for nothing, and are named."""

from __future__ import annotations

import pytest
from diving import day, record

from rovlog.domain.audit.running import not_counted, powered, running_s


def dive(*marks: tuple[str, str], **fields: object):
    rows = [("mark", {"mark": which, "at": at, **fields}) for which, at in marks]
    return record("puffin-1", day(3, "10:00:00"), *rows)


def test_an_ordinary_stretch_is_counted_and_nothing_is_named():
    found = dive(("power-on", day(3, "10:05:00")), ("power-off", day(3, "10:35:00")))
    assert running_s(found) == 1800.0
    assert not_counted(found) == ()


@pytest.mark.parametrize(
    ("on", "off", "word"),
    [
        ("2020-01-01T00:00:00Z", day(3, "10:35:00"), "h under power is not plausible"),
        (day(3, "10:05:00"), day(5, "10:06:00"), "48 h under power is not plausible"),
    ],
)
def test_days_under_power_are_not_counted_unless_somebody_said_that_it_is_right(on: str, off: str, word: str):
    marks = (("power-on", on), ("power-off", off))
    found = dive(*marks)
    assert running_s(found) == 0.0
    assert [word in w and "is not counted" in w for w in not_counted(found)] == [True]
    sure = dive(*marks, confirmed=True)
    assert running_s(sure) > 24 * 3600.0
    assert not_counted(sure) == ()


def test_a_stretch_that_runs_backwards_is_named_and_not_counted():
    found = dive(("power-on", day(3, "10:35:00")), ("power-off", day(3, "10:05:00")))
    # Another program's steady clock tells nothing.
    rows = [e if e.kind != "mark" else e.__class__(*_swapped(e)) for e in found.entries]
    other = found.__class__(**{**_fields(found), "entries": tuple(rows)})
    assert running_s(other) == 0.0
    assert ["runs backwards" in w for w in not_counted(other)] == [True]


def test_a_record_left_open_under_power_counts_nothing_beyond_a_day():
    found = record(
        "puffin-2",
        day(3),
        ("mark", {"mark": "power-on", "at": day(3, "10:05:00")}),
        ("note", {"text": "found it open", "at": day(20)}),
        closed=False,
    )
    assert [p.is_open for p in powered(found)] == [True]
    assert running_s(found) == 0.0
    assert ["the last entry" in w for w in not_counted(found)] == [True]


def _swapped(entry):
    return (entry.id, entry.n, entry.at, 0.0, entry.by, entry.kind, entry.writer, entry.fields)


def _fields(found):
    return {name: getattr(found, name) for name in found.__slots__}
