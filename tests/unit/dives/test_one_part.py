"""A record of one laptop is joined as any other, only quicker."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from rovlog.domain.dive import Entry, Part, join_parts

AT = "2026-05-01T10:00:00+00:00"


@st.composite
def entries(draw: st.DrawFn) -> tuple[Entry, ...]:
    found = []
    for number in range(draw(st.integers(0, 6))):
        name, n = draw(st.sampled_from("abcdefg")), draw(st.sampled_from([number + 1, number + 1, number, 1]))
        kind = draw(st.sampled_from(["note", "note", "mark", "correction"]))
        fields = {"corrects": draw(st.sampled_from("abc")), "set": {"text": str(number)}}
        found.append(
            Entry(name, n, AT, 0.0, "ines", kind, "deck", fields if kind == "correction" else {"text": name})
        )
    return tuple(found)


@given(entries())
def test_one_part_alone_gives_the_entries_that_it_gives_beside_an_empty_one(rows: tuple[Entry, ...]) -> None:
    one, empty = Part("dives/a.yaml", "deck", AT, rows), Part("dives/a.other.yaml", "other", AT, (), True)
    alone = join_parts("a", "dive", "puffin", "", (one,))
    assert alone.entries == join_parts("a", "dive", "puffin", "", (one, empty)).entries
    assert (alone.started, alone.parts) == (AT, (one,))
