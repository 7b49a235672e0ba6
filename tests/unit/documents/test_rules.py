"""Rules between documents, and rules on documents that are wrong in other ways as well."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rovlog.documents.rules import check_together, problems_in_document
from rovlog.documents.source import Source
from rovlog.documents.tree import Tree, read

ROOT = Path(__file__).parents[3]
GOOD = ROOT / "tests" / "documents" / "good"
SCHEMAS = {
    p.name.removesuffix("-1.json"): json.loads(p.read_text("utf-8")) for p in ROOT.glob("schemas/*.json")
}


def texts() -> dict[str, str]:
    """The good logbook as text by name."""
    return {p.relative_to(GOOD).as_posix(): p.read_text("utf-8") for p in sorted(GOOD.rglob("*.yaml"))}


def together(changed: dict[str, str | None]) -> list[tuple[str, str, str]]:
    """File, rule and pointer of what is wrong between documents, some of them changed or taken out."""
    found = {**texts(), **changed}
    trees = {name: read(text.encode(), name) for name, text in found.items() if text is not None}
    return [(p.place.file, p.rule, p.pointer) for p in check_together(trees)]


def test_a_model_that_is_taken_away_is_missed_where_it_is_named():
    found = together({"thrusters/dunlin-16.yaml": None})
    assert found == [
        ("vehicles/grebe.yaml", "missing-reference", "/thrusters/0/model"),
        ("vehicles/shearwater.yaml", "missing-reference", "/thrusters/2/model"),
    ]


def test_a_share_on_a_channel_without_thruster_is_a_problem_for_the_map_in_force_alone():
    box = texts()["boxes/slip-box.yaml"]
    spare = box.replace(
        "6: {name: one aft, shares: {surge: {1: 1}}", "6: {name: one aft, shares: {surge: {1: 1, 5: 1}}"
    )
    assert together({"boxes/slip-box.yaml": spare}) == [
        ("vehicles/grebe.yaml", "share-without-thruster", "/control_box/thruster_map")
    ]
    grebe = texts()["vehicles/grebe.yaml"]
    assert together({"boxes/slip-box.yaml": spare, "vehicles/grebe.yaml": None}) == []
    assert "thruster_map: 6" in grebe


def test_a_share_of_nought_needs_no_thruster():
    box = texts()["boxes/slip-box.yaml"].replace(
        "{surge: {1: 1}}, when_saturated: scale", "{surge: {1: 1, 5: 0}}, when_saturated: scale"
    )
    assert together({"boxes/slip-box.yaml": box}) == []


def test_a_channel_that_a_control_drives_directly_needs_no_thruster():
    assert "drives: channel-6" in texts()["boxes/slip-box.yaml"]
    assert together({}) == []


def test_people_are_not_judged_without_a_logbook_file():
    assert together({"logbook.yaml": None}) == []


def test_a_part_written_by_another_laptop_needs_its_first_part():
    name = "dives/2026/shearwater-20260509-qwer"
    found = together({f"{name}.yaml": None})
    assert found == [(f"{name}.skua.yaml", "missing-reference", "/continues")]


def test_a_correction_may_name_an_entry_of_another_part():
    name = "dives/2026/shearwater-20260509-qwer.skua.yaml"
    more = (
        '- {id: "01KZ9V3Q7M5D8F2H6J4N000131", n: 31, at: "2026-05-09T10:30:00+01:00", mono_s: 3, by: wim,'
        ' kind: correction, corrects: "01KZ9V3Q7M5D8F2H6J4N000021", set: {text: green}, reason: clearer}\n'
    )
    assert together({name: texts()[name] + more}) == []


WORDS = st.sampled_from(
    ["", "a", "no", "port", "channel-9", "-1", "3", "/x", "sha256:0", "start", "blind", "measure"]
)
SCALARS = st.none() | st.booleans() | st.integers(-2, 30) | st.floats(allow_nan=False) | WORDS
VALUES = st.recursive(
    SCALARS, lambda inner: st.lists(inner, max_size=2) | st.dictionaries(WORDS, inner, max_size=2)
)


def places(value: Any, at: tuple[Any, ...] = ()) -> list[tuple[Any, ...]]:
    """Every place in a document."""
    inner = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    return [at, *(place for key, child in inner for place in places(child, (*at, key)))]


@pytest.mark.parametrize("name", sorted(texts()))
@settings(max_examples=12, deadline=None)
@given(data=st.data())
def test_no_rule_stumbles_over_a_document_with_anything_anywhere(name, data):
    value = read(texts()[name].encode(), name).value
    kind = value["format"].split("/")[1]
    place = data.draw(st.sampled_from(places(value)[1:]))
    holder = value
    for step in place[:-1]:
        holder = holder[step]
    holder[place[-1]] = data.draw(VALUES)
    tree = Tree(Source(name, "x\n"), value, read(b"x: 1\n", name)._nodes)
    problems_in_document(tree, kind, name, SCHEMAS)
    others = {
        other: read(text.encode(), other) for other, text in texts().items() if not other.startswith("dives")
    }
    check_together({**others, name: tree})


def test_a_reference_to_a_file_that_cannot_be_read_is_not_missing():
    trees = {name: read(text.encode(), name) for name, text in texts().items()}
    del trees["thrusters/dunlin-16.yaml"]
    assert any(p.rule == "missing-reference" for p in check_together(trees))
    assert check_together(trees, ["thrusters/dunlin-16.yaml"]) == []


def test_a_row_of_a_table_that_is_nothing_does_not_stop_the_rules():
    box = texts()["boxes/slip-box.yaml"]
    broken = box.replace("thruster_maps:", 'thruster_maps:\n  "99": null', 1)
    grebe = texts()["vehicles/grebe.yaml"].replace("thruster_map: 6", "thruster_map: 98")
    found = together({"boxes/slip-box.yaml": broken, "vehicles/grebe.yaml": grebe})
    assert ("vehicles/grebe.yaml", "number-not-in-table", "/control_box/thruster_map") in found
