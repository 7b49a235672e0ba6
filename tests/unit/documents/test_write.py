"""Text that reads back equal: scalars, whole documents, modelines."""

from __future__ import annotations

import json

import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st

from rovlog.documents.tree import read, read_value
from rovlog.documents.write import COLUMNS, document_text, flow_text, key_text, modeline, quoted, scalar_text
from rovlog.problems import UsageError

# fmt: off
HARD_TEXTS = [
    "no", "Yes", "null", "~", "012", "1e3", "deadbee", "1234567", "a: b", "a #b", "- a", "a,b", "", " a",
    "a ", "=", "#", "2026-07-11T14:02:10+02:00", "1.8", "rovlog/dive/1", "a\nb\n", "\x1b[2J", "\u2028",
    "\ufeff", "'", '"', "\\", "!x", "a:", "?", "? a", "@a", "%a", "&a", "*a", "|", ">", "true", ".inf",
    "0x1F", "O'Neil's", "y", "n",
]
# fmt: on
TEXTS = st.text(st.characters(codec="utf-8"), max_size=40) | st.sampled_from(HARD_TEXTS)
NUMBERS = st.integers(-(10**29) + 1, 10**29) | st.floats(allow_nan=False, allow_infinity=False)
SCALARS = st.none() | st.booleans() | NUMBERS | TEXTS
KEYS = st.from_regex(r"[A-Za-z0-9_-][A-Za-z0-9_.-]{0,8}", fullmatch=True) | st.sampled_from(
    ["no", "3", "012", "1.8", "null", "-", "--", "---", "-5", "0x10", "y", "true", "1e3", "_"]
)
VALUES = st.recursive(
    SCALARS,
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(KEYS, inner, max_size=4),
    max_leaves=12,
)
DOCUMENTS = st.dictionaries(KEYS, VALUES, min_size=1, max_size=5)


@given(TEXTS)
def test_quoted_text_is_one_printable_line_and_reads_back(text):
    line = quoted(text)
    assert line.isprintable()
    assert read_value(f"a: {line}\n".encode(), "a.yaml") == {"a": text}


@given(st.text(st.characters(codec="utf-8", max_codepoint=0xFFFF)))
def test_quoted_text_is_json_up_to_the_basic_plane(text):
    assert json.loads(quoted(text)) == text


def test_half_a_character_is_refused_in_words():
    with pytest.raises(UsageError, match=r"U\+D800"):
        quoted("a\ud800")


@pytest.mark.parametrize("number", [float("inf"), float("nan"), 10**30])
def test_a_number_no_record_may_hold_is_not_written(number):
    with pytest.raises(UsageError):
        scalar_text(number)


def test_scalars_are_written_as_json_writes_them():
    assert [scalar_text(v) for v in (None, True, False, 3, -0.5, "no")] == [
        "null",
        "true",
        "false",
        "3",
        "-0.5",
        '"no"',
    ]


@given(KEYS)
def test_a_key_reads_back_as_the_same_name_in_block_and_flow(key):
    assert read_value(f"{key_text(key)}: 1\n".encode(), "a.yaml") == {key: 1}
    assert read_value(f"- {{{key_text(key)}: 1}}\n".encode(), "a.yaml") == [{key: 1}]


@pytest.mark.parametrize("value", [5e-05, 1e22, 1e-310, -2e16, 0.1, 3, -0.0, 1.5e-7])
def test_a_number_is_the_same_number_to_a_reader_of_yaml_1_1(value):
    text = document_text({"a": value, "b": [{"c": value}]}, "")
    assert yaml.safe_load(text) == {"a": value, "b": [{"c": value}]}
    assert type(yaml.safe_load(text)["a"]) is type(value)


@pytest.mark.parametrize("key", ["1", "16", "1.8", "012", "0x10", "-5", "no"])
def test_a_key_is_a_name_to_a_reader_of_yaml_1_1_too(key):
    assert yaml.safe_load(document_text({"shares": {key: 0.5}}, "")) == {"shares": {key: 0.5}}
    assert yaml.safe_load("- " + flow_text({key: 0.5})) == [{key: 0.5}]


@pytest.mark.parametrize("key", ["", "a b", "ü", "a/b", "<<", "~"])
def test_a_key_that_is_no_name_is_not_written(key):
    with pytest.raises(UsageError):
        key_text(key)


@given(VALUES)
def test_flow_text_is_one_line_and_reads_back_equal(value):
    text = flow_text(value)
    assert text.isprintable()
    assert repr(read_value(f"a: {text}\n".encode(), "a.yaml")) == repr({"a": value})


@settings(deadline=None, max_examples=60)
@given(DOCUMENTS)
def test_a_document_reads_back_equal_in_value_type_and_order(value):
    text = document_text(value, modeline("vehicle", 1))
    assert repr(read(text.encode(), "a.yaml").value) == repr(value)


VEHICLE = {
    "format": "rovlog/vehicle/1",
    "vehicle": "petrel",
    "name": "Petrel of 2026",
    "hull": {"mass_kg": 6.9, "displaced_volume_m3": 0.00693},
    "thrusters": [
        {
            "thruster": "aft-port",
            "channel": 2,
            "polarity": "normal",
            "position_m": [-0.2, -0.11, 0.0],
            "thrust_direction": [0.8, 0.6, 0.0],
        },
        {
            "thruster": "lift",
            "channel": 4,
            "note": "replaced after the harbour day, new seal, new lead, old nut",
        },
    ],
    "electrical": {
        "fuse": {"rating_a": 10, "characteristic": "iso-8820-3-blade"},
        "standing_loads": [{"load": "lamp", "current_a": 0.7}],
        "least_working_v": 9,
    },
    "limits": {},
    "firmware": "2.10",
    "seen": "no",
    "started": "2026-07-11T14:02:10+02:00",
    "roles": ["pilot", "tender"],
}


def test_a_document_is_laid_out_for_people():
    assert (
        document_text(VEHICLE, modeline("vehicle", 1))
        == """\
# yaml-language-server: $schema=../.rovlog/schemas/vehicle-1.json
format: rovlog/vehicle/1
vehicle: petrel
name: Petrel of 2026
hull: {mass_kg: 6.9, displaced_volume_m3: 0.00693}
thrusters:
  - thruster: aft-port
    channel: 2
    polarity: normal
    position_m: [-0.2, -0.11, 0.0]
    thrust_direction: [0.8, 0.6, 0.0]
  - thruster: lift
    channel: 4
    note: "replaced after the harbour day, new seal, new lead, old nut"
electrical:
  fuse: {rating_a: 10, characteristic: iso-8820-3-blade}
  standing_loads:
    - {load: lamp, current_a: 0.7}
  least_working_v: 9
limits: {}
firmware: "2.10"
seen: "no"
started: "2026-07-11T14:02:10+02:00"
roles: [pilot, tender]
"""
    )


@settings(deadline=None, max_examples=60)
@given(DOCUMENTS)
def test_a_collection_on_one_line_keeps_to_the_columns(value):
    for line in document_text(value, "").splitlines():
        if line.endswith(("}", "]")) and '"' not in line:
            assert len(line) <= COLUMNS


def test_the_modeline_finds_the_schema_from_any_folder():
    assert modeline("logbook", 0) == "# yaml-language-server: $schema=.rovlog/schemas/logbook-1.json"
    assert modeline("dive", 2) == "# yaml-language-server: $schema=../../.rovlog/schemas/dive-1.json"


def test_a_document_too_deep_to_be_read_is_not_written():
    value: object = 1
    for _ in range(33):
        value = [value]
    with pytest.raises(Exception, match="nested more than 32 deep"):
        document_text({"a": value}, "")
