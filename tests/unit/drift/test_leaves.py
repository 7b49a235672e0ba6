"""Pointers into resolved objects."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rovlog.domain.drift.leaves import ABSENT, differences, leaves, value_at, with_value

RFC_6901_DOCUMENT = {
    "foo": ["bar", "baz"], "": 0, "a/b": 1, "c%d": 2, "e^f": 3, "g|h": 4, "i\\j": 5,
    'k"l': 6, " ": 7, "m~n": 8,
}  # fmt: skip


@pytest.mark.parametrize(
    ("pointer", "value"),
    [
        ("", RFC_6901_DOCUMENT), ("/foo", ["bar", "baz"]), ("/foo/0", "bar"), ("/", 0),
        ("/a~1b", 1), ("/c%d", 2),
        ("/e^f", 3), ("/g|h", 4), ("/i\\j", 5), ('/k"l', 6), ("/ ", 7), ("/m~0n", 8),
    ],
)  # fmt: skip
def test_pointers_give_the_values_of_the_published_examples(pointer, value):
    """RFC 6901 section 5."""
    assert value_at(RFC_6901_DOCUMENT, pointer) == value


def test_a_pointer_to_nothing_gives_absent_which_is_not_none():
    assert value_at({"a": None}, "/b") is ABSENT
    assert value_at({"a": None}, "/a") is None


def test_differences_stand_at_leaves_and_whole_things_that_one_side_lacks():
    before = {"hull": {"mass_kg": 5}, "thrusters": {"a": {"channel": 1}}, "trim_defaults": {}}
    after = {"hull": {"mass_kg": 6}, "thrusters": {"b": {"channel": 1}}, "trim_defaults": {"yaw": 0.1}}
    assert differences(before, after) == [
        ("/hull/mass_kg", 5, 6),
        ("/thrusters/a", {"channel": 1}, ABSENT),
        ("/thrusters/b", ABSENT, {"channel": 1}),
        ("/trim_defaults/yaw", ABSENT, 0.1),
    ]


def test_numbers_compare_as_json_and_true_is_no_number():
    assert differences({"a": 1, "b": True}, {"a": 1.0, "b": 1}) == [("/b", True, 1)]


def test_a_position_is_one_value_and_entries_are_compared_one_by_one():
    before = {"p": [0, 1, 2], "c": [{"drives": "yaw", "dead_band": 0.1}]}
    after = {"p": [0, 1, 3], "c": [{"drives": "sway", "dead_band": 0.1}]}
    assert differences(before, after) == [("/c/0/drives", "yaw", "sway"), ("/p", [0, 1, 2], [0, 1, 3])]


def test_a_missing_mapping_of_trims_is_compared_trim_by_trim():
    assert differences({}, {"trim_defaults": {"heave": 0.1}}) == [("/trim_defaults/heave", ABSENT, 0.1)]


JSON = st.recursive(
    st.integers(-3, 3) | st.booleans() | st.sampled_from(["x", "y"]),
    lambda inner: st.dictionaries(st.sampled_from(["a", "b/c", "d~e"]), inner, min_size=1, max_size=3),
    max_leaves=8,
)
OBJECTS = st.dictionaries(st.sampled_from(["a", "b/c", "d~e"]), JSON, min_size=1, max_size=3)


@given(OBJECTS, OBJECTS)
def test_putting_every_difference_in_gives_the_other_object(before, after):
    changed = before
    for pointer, _, new in differences(before, after):
        changed = with_value(changed, pointer, new)
    assert differences(changed, after) == []


@given(OBJECTS)
def test_every_leaf_is_found_at_its_pointer(resolved):
    assert all(value_at(resolved, pointer) == value for pointer, value in leaves(resolved).items())


def test_replacing_leaves_the_original_alone():
    before = {"a": {"b": 1}}
    assert with_value(before, "/a/b", 2) == {"a": {"b": 2}}
    assert before == {"a": {"b": 1}}


def test_a_share_that_one_side_lacks_is_absent_and_never_an_empty_mapping():
    before = {"thruster_map": {"shares": {"surge": {"1": 1.0}, "sway": {"1": 1.0, "2": -1.0}}}}
    after = {"thruster_map": {"shares": {"surge": {"1": 0.8}}}}
    assert differences(before, after) == [
        ("/thruster_map/shares/surge/1", 1.0, 0.8),
        ("/thruster_map/shares/sway/1", 1.0, ABSENT),
        ("/thruster_map/shares/sway/2", -1.0, ABSENT),
    ]


def test_a_share_that_only_one_side_has_is_absent_on_the_other_and_nothing_else():
    before = {"thruster_map": {"shares": {"sway": {"1": 1.0, "2": -1.0}, "surge": {"1": 1.0}}}}
    after = {"thruster_map": {"shares": {"surge": {"1": 1.0, "2": 0.5}}}}
    found = differences(before, after)
    assert found == [
        ("/thruster_map/shares/surge/2", ABSENT, 0.5),
        ("/thruster_map/shares/sway/1", 1.0, ABSENT),
        ("/thruster_map/shares/sway/2", -1.0, ABSENT),
    ]
    assert differences(after, before) == [(pointer, new, old) for pointer, old, new in found]


def test_taking_the_last_share_or_limit_takes_its_mapping_so_that_the_digest_is_that_of_the_files():
    before = {
        "limits": {"pull_n": 90},
        "thruster_map": {"shares": {"sway": {"1": 1.0, "2": -1.0}, "yaw": {"1": 1}}},
    }
    after = {"thruster_map": {"shares": {"yaw": {"1": 1}}}}
    changed = before
    for pointer, _, new in differences(before, after):
        changed = with_value(changed, pointer, new)
    assert changed == after
