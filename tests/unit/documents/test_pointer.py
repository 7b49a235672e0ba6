"""JSON Pointers: reading, putting, comparing."""

from __future__ import annotations

import json
from copy import deepcopy

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rovlog.documents.pointer import MISSING, find, is_pointer, lookup
from rovlog.domain.drift.leaves import differences, escaped, is_same, with_value
from rovlog.problems import UsageError

# RFC 6901 (2013), section 5: the document and what each pointer gives
RFC_6901_DOCUMENT = json.loads(
    r'{"foo": ["bar", "baz"], "": 0, "a/b": 1, "c%d": 2, "e^f": 3, "g|h": 4,'
    r' "i\\j": 5, "k\"l": 6, " ": 7, "m~n": 8}'
)
RFC_6901_SECTION_5 = [
    ("", RFC_6901_DOCUMENT),
    ("/foo", ["bar", "baz"]),
    ("/foo/0", "bar"),
    ("/", 0),
    ("/a~1b", 1),
    ("/c%d", 2),
    ("/e^f", 3),
    ("/g|h", 4),
    ("/i\\j", 5),
    ('/k"l', 6),
    ("/ ", 7),
    ("/m~0n", 8),
]


@pytest.mark.parametrize(("pointer", "value"), RFC_6901_SECTION_5)
def test_pointers_give_what_rfc_6901_section_5_prints(pointer, value):
    assert lookup(RFC_6901_DOCUMENT, pointer) == value


@pytest.mark.parametrize("pointer", ["foo", "/foo/01", "/foo/2", "/a~2b", "/foo/-", "/foo/bar", "/foo/0/1"])
def test_pointers_that_rfc_6901_calls_errors_are_refused(pointer):
    with pytest.raises(UsageError):
        lookup(RFC_6901_DOCUMENT, pointer)


def test_a_token_of_tilde_zero_one_means_tilde_one():
    """RFC 6901, section 4: first ~1, then ~0."""
    assert lookup({"~1": 5}, "/~01") == 5


def test_a_misspelt_member_is_answered_with_the_nearest():
    with pytest.raises(UsageError) as caught:
        lookup({"electrical": {"fuse": {"rating_a": 10}}}, "/electrical/fuze/rating_a")
    assert caught.value.mend == "did you mean /electrical/fuse?"


def test_find_says_missing_where_lookup_refuses():
    assert find({"a": {}}, "/a/b") is MISSING
    assert find({"a": 3}, "/a/b") is MISSING


@given(st.text())
def test_an_escaped_name_finds_its_member(name):
    assert is_pointer("/" + escaped(name))
    assert lookup({name: 1}, "/" + escaped(name)) == 1


def test_put_changes_a_copy_and_makes_what_is_missing():
    before = {"trim_defaults": {}, "rows": [{"full_stick": 1}]}
    kept = deepcopy(before)
    assert with_value(before, "/trim_defaults/heave", 0.2)["trim_defaults"] == {"heave": 0.2}
    assert with_value(before, "/rows/0/full_stick", 0.5)["rows"] == [{"full_stick": 0.5}]
    assert with_value(before, "/limits/pull_n", 4)["limits"] == {"pull_n": 4}
    assert before == kept


def test_putting_what_is_missing_takes_the_member_out():
    assert with_value({"a": 1, "b": 2}, "/a", MISSING) == {"b": 2}
    assert with_value({"a": [{"x": 1}, {"x": 2}]}, "/a/0", MISSING) == {"a": [{"x": 2}]}


def test_differences_name_the_smallest_places_and_which_side_lacks_a_value():
    a = {"fuse": {"rating_a": 10}, "position_m": [0, 1, 2], "controls": [{"drives": "yaw", "dead_band": 0.1}]}
    b = {
        "fuse": {"rating_a": 15.0},
        "position_m": [0, 1, 3],
        "controls": [{"drives": "yaw"}],
        "trim": {"yaw": 1},
    }
    assert differences(a, b) == [
        ("/controls/0/dead_band", 0.1, MISSING),
        ("/fuse/rating_a", 10, 15.0),
        ("/position_m", [0, 1, 2], [0, 1, 3]),
        ("/trim", MISSING, {"yaw": 1}),
    ]


def test_three_is_the_same_as_three_point_nought_but_true_is_not_one():
    assert differences({"a": 3}, {"a": 3.0}) == []
    assert not is_same(True, 1)
    assert not is_same([1], [1, 2])


LEAVES = st.integers(0, 3) | st.booleans() | st.text(max_size=2)
TREES = st.recursive(LEAVES, lambda x: st.dictionaries(st.text(max_size=2), x, max_size=3), max_leaves=10)


@given(
    st.dictionaries(st.text(max_size=2), TREES, max_size=3),
    st.dictionaries(st.text(max_size=2), TREES, max_size=3),
)
def test_putting_every_difference_makes_one_document_into_the_other(a, b):
    changed = a
    for pointer, _, after in differences(a, b):
        changed = with_value(changed, pointer, after)
    assert differences(changed, b) == []
