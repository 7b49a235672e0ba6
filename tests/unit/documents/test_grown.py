"""A record read line by line as it grows is the record read as a whole."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rovlog.documents.grown import grown
from rovlog.documents.misfits import without_misfits
from rovlog.documents.records import entry_line, header_text, read_part

SCHEMAS = {
    p.name.removesuffix("-1.json"): json.loads(p.read_text(encoding="utf-8"))
    for p in (Path(__file__).parents[3] / "schemas").glob("*-1.json")
}
NAME = "dives/2026/smew-20260711-abcd.yaml"
HEADER = "# a comment\n" + header_text(
    "dive", "smew-20260711-abcd", writer="pier-laptop", started="2026-07-11T14:02:10+02:00", vehicle="smew"
)


def line_of(n: int, text: str) -> str:
    common = {
        "id": f"01KXB7M2Q{n:017d}",
        "n": n,
        "at": "2026-07-11T14:02:10+02:00",
        "mono_s": 1.5,
        "by": "ines",
    }
    return entry_line({**common, "kind": "note", "text": text})


@given(
    st.lists(
        st.text(min_size=1, max_size=20).filter(lambda t: t.strip() and t.isprintable()),
        min_size=1,
        max_size=8,
    ),
    st.data(),
)
def test_what_is_read_as_it_grows_is_what_is_read_at_once(texts: list[str], data: st.DataObject) -> None:
    lines = [line_of(n, text) for n, text in enumerate(texts, 1)]
    split = data.draw(st.integers(0, len(lines) - 1))
    before = (HEADER + "".join(lines[:split])).encode()
    whole = (HEADER + "".join(lines)).encode()
    if not split:
        return  # a record without an entry is no record yet
    part = read_part(before, NAME).part
    assert grown(part, "dive", whole, len(before), SCHEMAS) == read_part(whole, NAME).part


@pytest.mark.parametrize(
    "behind",
    [
        '    - {id: "01KXB7M2Q", n: 2, at: "2026',
        "    - nonsense\n",
        line_of(2, "x").replace("kind: note", "kind: event"),
        line_of(2, "x").replace("kind: note", "kind: torn"),
        "\0\0\0\0",
    ],
)
def test_whatever_is_torn_or_wrong_is_left_to_reading_the_whole(behind: str) -> None:
    before = (HEADER + line_of(1, "first")).encode()
    part = without_misfits(read_part(before, NAME), SCHEMAS).part
    assert grown(part, "dive", before + behind.encode(), len(before), SCHEMAS) is None
