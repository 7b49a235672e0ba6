"""The shipped lists hold every item of the trade list, whole, and name only what exists."""

from __future__ import annotations

import json
import pathlib
import re

import jsonschema
import pytest

from rovlog.documents.checklist import checklist_from
from rovlog.documents.tree import read
from rovlog.domain.checks.checklist import KINDS, PHASES
from rovlog.domain.checks.computed import COMPUTED
from rovlog.domain.checks.defaults import LIMITS
from rovlog.domain.dive import ROLES, VOID_EVENTS

ROOT = pathlib.Path(__file__).parents[3]
FILES = sorted((ROOT / "checklists").glob("*.yaml"))

# The trade list's codes with its stop levels: S! always, S unless waived, n noted. Common practice and
# project decisions; the numbers' sources stand in the items.
STOPS = {
    "bench": "BN1 S BN2 S BN3 S BN4 S! BN5 S BN6 S BN7 S BN8 S! BN9 S BN10 n BN11 n BN- S",
    "pre-dive": """A1 S! A2 S! A3 S! A4 S! A5 S! A6 S A7 S A8 S  B1 S! B2 S! B3 S! B4 S B5 S B6 S B7 S!
        C1 n C2 S C3 S C4 S C5 S C6 S!  D1 S! D2 S D3 S! D4 S D5 n D6 S!  E1 S E2 S E3 S
        F1 S F2 S F3 S F4 S F5 S  G0 S! G1 S! G2 n G3 S G4 n G5 S G6 S G7 S
        H1 S H2 S H3 S H4 S H5 S H6 S H7 S H8 n  I1 S! I2 S! I3 S! I4 S! I5 S! I6 S I7 S I8 S I9 S
        J1 S J2 n J3 n J4 n  K1 S K2 S K3 S  L1 S! L2 S! L3 S! L4 S L5 S! L6 S L- S!""",
    "launch": "N1 S! N2 S! N3 S N4 S! W1 S! W2 S! W3 S W4 S W5 n W6 S W7 S W8 S W- S!",
    "recovery": "R1 S! R2 S! R3 n R4 n R5 S! R6 S",
    "post-dive": "Q1 n Q2 S Q3 S! Q4 S Q5 n Q6 n Q7 S! Q8 n Q9 S",
    "after-fault": """HR1 S! HR2 S! HR3 S HR4 S HR5 n HR6 S HR7 S HR8 S HR8a S!
        HR9 S HR10 S HR11 S HR12 S! HR13 S!""",
    "periodic": "PM1 S PM2 S PM3 S PM4 S PM5 S PM6 S PM7 S! PM8 S PM9 n PM10 S PM11 S",
    "emergency": "Z1 n Z2 n Z3 n Z4 n Z5 n Z6 n Z7 n Z8 n Z9 n",
}
LEVEL = {"S!": "always", "S": "unless-waived", "n": "no"}
BLIND = {"B2", "BN4", "C6", "I7", "H2", "BN2"}  # fuse, seal plug, direction, setup match
SECOND = BLIND | {"BN1", "B1", "C2", "E3", "G0", "G7", "H5", "H6", "HR12", "PM10"}


def items(lists):
    return [item for checklist in lists for item in checklist.items()]


@pytest.mark.parametrize("path", FILES, ids=lambda p: p.stem)
def test_each_list_keeps_its_schema(path):
    schema = json.loads((ROOT / "schemas" / "checklist-1.json").read_text(encoding="utf-8"))
    value = read(path.read_bytes(), path.name).value
    assert [e.message for e in jsonschema.Draft202012Validator(schema).iter_errors(value)] == []
    assert value["checklist"] == path.stem
    first = path.read_text(encoding="utf-8").splitlines()[0]
    assert first == "# yaml-language-server: $schema=../.rovlog/schemas/checklist-1.json"


@pytest.mark.parametrize("name", STOPS)
def test_every_item_of_the_trade_list_is_there_with_its_stop_level(all_lists, name):
    words = STOPS[name].split()
    wanted = {code: LEVEL[level] for code, level in zip(words[::2], words[1::2], strict=True)}
    checklist = next(c for c in all_lists if c.checklist == name)
    found = {i.code: i.stops for i in checklist.items() if not i.code.endswith("-hold")}
    assert found == wanted


def test_there_are_eight_lists_one_for_each_phase(all_lists):
    assert [c.phase for c in all_lists] == list(PHASES)
    assert len(FILES) == len(PHASES)


def test_item_ids_are_unique_over_all_lists(all_lists):
    names = [i.item for i in items(all_lists)]
    assert len(names) == len(set(names))
    assert all(re.fullmatch(r"[a-z][a-z0-9-]*", n) for n in names)


def test_two_people_answer_what_cannot_be_seen_later(all_lists):
    by_code = {i.code: i.witness for i in items(all_lists)}
    assert {c for c, w in by_code.items() if w == "blind"} == BLIND
    assert {c for c, w in by_code.items() if w != "none"} == SECOND


def test_a_blind_witness_has_a_value_to_answer(all_lists):
    assert all(any(not a.is_optional for a in i.asks) for i in items(all_lists) if i.witness == "blind")


def test_every_item_is_complete(all_lists):
    for item in items(all_lists):
        assert item.why, item.item
        assert item.kind in KINDS
        assert set(item.by) <= {*ROLES, "all"}
        assert set(item.voided_by) <= set(VOID_EVENTS)
        if item.kind in ("measure", "computed", "readback", "choose"):
            assert item.asks, item.item


def test_no_response_can_be_said_without_looking(all_lists):
    for item in items(all_lists):
        assert not re.search(r"\b(checked|ok|okay|done|set)\b", item.response, re.IGNORECASE), item.item


def references(lists):
    for item in items(lists):
        for ask in item.asks:
            limit = ask.limit
            parts = (ask.proposed,) + (
                (limit.at_least, limit.at_most, limit.equals, limit.middle, limit.share, limit.by)
                if limit
                else ()
            )
            yield from ((item, ask, p) for p in parts if p is not None)


def test_every_computed_name_is_known_and_every_known_name_is_used_or_for_the_builder(all_lists):
    used = {r.computed for _, _, r in references(all_lists) if r.computed}
    assert used <= set(COMPUTED)
    assert set(COMPUTED) - used == {"box_v"}


def test_the_table_of_limits_is_complete(all_lists):
    used = {
        r.pointer.removeprefix("/limits/")
        for _, _, r in references(all_lists)
        if r.pointer.startswith("/limits/")
    }
    assert used <= set(LIMITS)
    # What the lists reach only through a computed quantity.
    assert set(LIMITS) - used == {"lift_kg_each", "vacuum_rise_kpa", "tether_slack_share", "capacity_share"}


def test_a_value_and_its_computed_limit_have_one_unit(all_lists):
    for item, ask, reference in references(all_lists):
        if reference.computed:
            assert COMPUTED[reference.computed].unit == ask.unit, (item.item, ask.value)
        name = reference.pointer.removeprefix("/limits/")
        if name in LIMITS and ask.limit and reference is not ask.limit.share:
            assert LIMITS[name].unit == ask.unit, (item.item, ask.value)


def test_a_number_from_this_project_says_so(all_lists):
    for item in items(all_lists):
        names = [r.pointer for i, _, r in references([*all_lists]) if i is item]
        judged = [n for n in names if n.startswith("/limits/")]
        if judged:
            assert item.source, item.item


def test_an_emergency_card_has_at_most_six_short_lines_and_asks_nothing(all_lists):
    for card in next(c for c in all_lists if c.phase == "emergency").items():
        assert 3 <= len(card.actions) <= 6
        assert all(len(a) <= 38 for a in card.actions)
        assert card.stops == "no"
        assert not card.asks


def test_the_hold_points_are_few_and_known(all_lists):
    assert [i.item for i in items(all_lists) if i.kind == "release"] == [
        "release-power-on",
        "release-setup",
        "release-dry-run",
        "clear-to-launch",
        "clear-to-dive",
        "return-to-service",
    ]


def test_a_caution_stands_where_somebody_could_be_hurt(all_lists):
    cautioned = {i.code: i.caution.word for i in items(all_lists) if i.caution}
    wanted = {
        "A1": "danger", "B1": "danger", "G0": "danger", "PM7": "danger", "B2": "warning", "BN4": "warning",
        "Z4": "warning", "I1": "warning", "N1": "warning", "R1": "warning", "BN8": "warning", "C4": "warning",
        "PM2": "warning", "Q3": "warning", "Z5": "warning", "Q7": "warning", "B3": "warning", "Z8": "warning",
        "A8": "caution", "N2": "caution", "R2": "caution", "A5": "caution", "D6": "caution", "Z6": "caution",
        "F3": "caution", "J3": "caution", "G1": "caution", "W7": "caution", "I7": "notice", "BN7": "notice",
    }  # fmt: skip
    assert {c: cautioned.get(c) for c in wanted} == wanted


def test_repeats_name_an_item_of_the_same_list(all_lists):
    for checklist in all_lists:
        names = {i.item for i in checklist.items()}
        assert all(i.repeats in names for i in checklist.items() if i.repeats)


def test_then_names_lists_or_items(all_lists):
    known = {i.item for i in items(all_lists)} | {c.checklist for c in all_lists}
    assert all(set(i.then) <= known for i in items(all_lists))


def test_a_list_for_some_vehicles_is_not_for_others():
    document = {
        "checklist": "tool", "title": "Tool", "phase": "pre-dive", "style": "do-list", "revision": 2,
        "applies_to": ["heron"],
        "sections": [{"title": "One", "items": [
            {"item": "jaw", "challenge": "Jaw", "response": "shut", "kind": "confirm", "by": "pilot",
             "stops": "no"},
        ]}],
    }  # fmt: skip
    checklist = checklist_from(document)
    assert checklist.is_for("heron")
    assert not checklist.is_for("wren")
    assert next(checklist.items()).valid_for == ("dive",)
