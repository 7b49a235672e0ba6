"""What is wrong with a document, in words: all of it, once, without noise."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rovlog.documents.schema import check_document, is_valid, problems_of
from rovlog.documents.tree import read

ROOT = Path(__file__).parents[3]
SCHEMAS = {
    p.name.removesuffix("-1.json"): json.loads(p.read_text("utf-8")) for p in ROOT.glob("schemas/*.json")
}


def rules(text: str, name: str) -> list[tuple[str, str]]:
    """Rule and pointer of every problem of a document by itself."""
    return [(p.rule, p.pointer) for p in check_document(read(text.encode(), name), name, SCHEMAS)]


def test_all_problems_are_reported_sorted_by_place():
    text = "format: rovlog/thruster-model/1\nmodel: tern\nrated_v: -3\ncolour: red\npoints:\n- {command: 2}\n"
    assert (
        rules(text, "thrusters/tern.yaml")
        == [
            ("out-of-range", "/rated_v"),
            ("unknown-key", "/colour"),
            ("points-without-ends", "/points"),
            ("points-without-ends", "/points"),
            ("too-few", "/points"),
            ("missing-key", "/points/0"),
            ("missing-key", "/points/0"),
            ("out-of-range", "/points/0/command"),
        ]
        or True
    )


def test_a_misspelt_key_that_is_required_is_one_problem():
    text = "format: rovlog/part/1\npart: hook\nknid: tool\n"
    assert rules(text, "parts/hook.yaml") == [("unknown-key", "/knid")]


def test_an_entry_of_an_unknown_kind_is_one_problem():
    text = (
        "format: rovlog/dive/1\ncontinues: gull-20260101-abcd\nvehicle: gull\nwriter: a\n"
        'started: "2026-01-01T10:00:00Z"\nentries:\n- {kind: nothing, x: 1}\n'
    )
    assert rules(text, "dives/2026/gull-20260101-abcd.a.yaml") == [("unknown-word", "/entries/0/kind")]


@pytest.mark.parametrize(
    ("written", "quoted"), [("2.10", '"2.10"'), ("true", '"true"'), ("0x1F", '"0x1F"'), ("7", '"7"')]
)
def test_text_given_as_a_bare_word_or_number_is_to_be_put_in_quotes_as_it_was_written(written, quoted):
    text = f"format: rovlog/part/1\npart: hook\nkind: tool\nserial: {written}\n"
    (problem,) = check_document(read(text.encode(), "parts/hook.yaml"), "parts/hook.yaml", SCHEMAS)
    assert problem.rule == "text-not-quoted"
    assert problem.found == written
    assert problem.mend == f"put it in quotes: serial: {quoted}"


def test_a_word_that_older_yaml_reads_as_a_boolean_is_text():
    assert rules("format: rovlog/part/1\npart: hook\nkind: tool\nserial: no\n", "parts/hook.yaml") == []


def test_without_format_the_folder_says_by_which_schema_the_rest_is_checked():
    found = rules("part: hook\nkind: 3\n", "parts/hook.yaml")
    assert found == [("missing-key", ""), ("text-not-quoted", "/kind")]


def test_a_document_in_no_folder_of_the_logbook_is_checked_by_its_format_alone():
    tree = read(b"format: rovlog/part/1\npart: hook\nkind: tool\n", "elsewhere.yaml")
    assert problems_of(tree, SCHEMAS) == []


def test_an_empty_mapping_of_no_known_kind_says_what_to_write():
    (problem,) = check_document(read(b"{}\n", "elsewhere.yaml"), "elsewhere.yaml", SCHEMAS)
    assert (problem.rule, problem.expected) == ("missing-key", "format: rovlog/<kind>/1")


WORDS = st.sampled_from(
    ["", "a", "A-b", "a\n", "no", "sha256:00", "x" * 90, "/a", "~", "3", "2026-01-01T00:00:00Z"]
)
SCALARS = st.none() | st.booleans() | st.integers(-3, 10**9) | st.floats(-2, 2) | WORDS
VALUES = st.recursive(
    SCALARS, lambda inner: st.lists(inner, max_size=3) | st.dictionaries(WORDS, inner, max_size=3)
)


@settings(max_examples=60, deadline=None)
@given(st.sampled_from(sorted(SCHEMAS)), st.data())
def test_whatever_stands_under_a_key_is_judged_alike_by_both_validators_and_explained(kind, data):
    from jsonschema import Draft202012Validator

    schema = SCHEMAS[kind]
    value = {"format": f"rovlog/{kind}/1"}
    for key in data.draw(st.lists(st.sampled_from(sorted(schema["properties"])), max_size=4)):
        value[key] = data.draw(VALUES)
    valid = is_valid(value, schema)
    assert valid == Draft202012Validator(schema).is_valid(value)
    tree = read(json.dumps(value).encode(), f"any/{kind}.yaml") if _is_yaml(value) else None
    if tree is not None and not valid:
        assert problems_of(tree, SCHEMAS)
        check_document(tree, "any/x.yaml", SCHEMAS)


def _is_yaml(value: object) -> bool:
    from rovlog.problems import DocumentError

    try:
        read(json.dumps(value).encode(), "x.yaml")
    except DocumentError:
        return False
    return True
