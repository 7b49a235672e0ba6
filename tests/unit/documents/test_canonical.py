"""Canonical JSON and the digest over it."""

from __future__ import annotations

import json
import math
import struct

import pytest
from hypothesis import given
from hypothesis import strategies as st
from vehicles import puffin

from rovlog.documents.canonical import canonical, digest
from rovlog.documents.configuration import resolve
from rovlog.documents.tree import read
from rovlog.problems import RovlogError

# RFC 8785 (2020), appendix B: IEEE 754 bits and the number as written
RFC_8785_APPENDIX_B = [
    ("0000000000000000", "0"),
    ("8000000000000000", "0"),
    ("0000000000000001", "5e-324"),
    ("8000000000000001", "-5e-324"),
    ("7fefffffffffffff", "1.7976931348623157e+308"),
    ("ffefffffffffffff", "-1.7976931348623157e+308"),
    ("4340000000000000", "9007199254740992"),
    ("c340000000000000", "-9007199254740992"),
    ("4430000000000000", "295147905179352830000"),
    ("44b52d02c7e14af5", "9.999999999999997e+22"),
    ("44b52d02c7e14af6", "1e+23"),
    ("44b52d02c7e14af7", "1.0000000000000001e+23"),
    ("444b1ae4d6e2ef4e", "999999999999999700000"),
    ("444b1ae4d6e2ef4f", "999999999999999900000"),
    ("444b1ae4d6e2ef50", "1e+21"),
    ("3eb0c6f7a0b5ed8c", "9.999999999999997e-7"),
    ("3eb0c6f7a0b5ed8d", "0.000001"),
    ("41b3de4355555553", "333333333.3333332"),
    ("41b3de4355555554", "333333333.33333325"),
    ("41b3de4355555555", "333333333.3333333"),
    ("41b3de4355555556", "333333333.3333334"),
    ("41b3de4355555557", "333333333.33333343"),
    ("becbf647612f3696", "-0.0000033333333333333333"),
    ("43143ff3c1cb0959", "1424953923781206.2"),
]


@pytest.mark.parametrize(("bits", "written"), RFC_8785_APPENDIX_B)
def test_numbers_are_written_as_in_rfc_8785_appendix_b(bits, written):
    (number,) = struct.unpack(">d", bytes.fromhex(bits))
    assert canonical(number) == written.encode()


@pytest.mark.parametrize("bits", ["7fffffffffffffff", "7ff0000000000000"])
def test_what_is_no_number_is_refused_as_in_rfc_8785_appendix_b(bits):
    (number,) = struct.unpack(">d", bytes.fromhex(bits))
    with pytest.raises(RovlogError, match="canonical JSON"):
        canonical({"here": [number]})


def test_the_sample_object_gives_the_published_bytes():
    """RFC 8785, sample of section 3.2.2, bytes of section 3.2.4."""
    sample = (
        '{"numbers":[333333333.33333329,1E30,4.50,2e-3,0.000000000000000000000000001],'
        '"string":"\\u20ac$\\u000F\\u000aA\'\\u0042\\u0022\\u005c\\\\\\"\\/","literals":[null,true,false]}'
    )
    published = (
        "7b226c69746572616c73223a5b6e756c6c2c747275652c66616c73655d2c226e756d62657273223a5b33333333333333"
        "33332e333333333333332c31652b33302c342e352c302e3030322c31652d32375d2c22737472696e67223a22e282ac24"
        "5c75303030665c6e4127425c225c5c5c5c5c222f227d"
    )
    written = canonical(json.loads(sample))
    assert written.hex() == published
    assert digest(json.loads(sample)) == (
        "sha256:2d5e01a318d0f0879ab568c4be289c8b1f64ef8921a53c6277d5e069978baacb"
    )


def test_members_are_ordered_by_utf_16_code_units():
    """RFC 8785, sorting sample of section 3.2.3: U+1F600 stands before U+FB33."""
    points = ["20AC", "0D", "FB33", "31", "1F600", "80", "F6"]
    keys = [chr(int(point, 16)) for point in points]
    order = [f"{ord(key):02X}" for key in json.loads(canonical(dict.fromkeys(keys, 1)))]
    assert order == ["0D", "31", "80", "F6", "20AC", "1F600", "FB33"]


@pytest.mark.parametrize("whole", [2**53 - 1, 2**53, -(2**53), 2**53 + 1, 10**29])
def test_whole_numbers_of_any_size_are_written_as_the_nearest_double(whole):
    assert float(canonical(whole)) == float(whole)
    assert canonical(whole) == canonical(float(whole))


def test_true_is_not_one():
    assert canonical([True, 1, 1.0]) == b"[true,1,1]"


@given(
    st.recursive(
        st.integers() | st.booleans() | st.text(), lambda x: st.dictionaries(st.text(), x), max_leaves=8
    )
)
def test_the_digest_does_not_hear_the_order_of_keys(value):
    def turned(node):
        return {k: turned(v) for k, v in reversed(node.items())} if isinstance(node, dict) else node

    assert digest(value) == digest(turned(value))


SPELLINGS = st.sampled_from(["{0}", "{0}.0", "{0}.00", "{0}e0", "+{0}", "0{0}"])


@given(st.integers(1, 900), SPELLINGS, st.booleans(), st.permutations(["mass_kg", "displaced_volume_m3"]))
def test_comments_layout_order_and_the_spelling_of_numbers_leave_the_digest_alone(
    mass, spelling, flow, order
):
    plain = {"mass_kg": mass, "displaced_volume_m3": 0.0063}
    written = {"mass_kg": spelling.format(mass), "displaced_volume_m3": "63e-4"}
    rows = [f"{key}: {written[key]}" for key in order]
    hull = "{" + ", ".join(rows) + "}" if flow else "\n  " + "  # as weighed\n  ".join(rows)
    tree = read(f"# first\nhull: {hull}\n".encode(), "x.yaml")
    documents = puffin()
    before = resolve(documents.vehicle | {"hull": plain}, documents.box, documents.models)
    after = resolve(documents.vehicle | tree.value, documents.box, documents.models)
    assert digest(before) == digest(after)
    assert not math.isnan(before["hull"]["mass_kg"])


def test_a_value_changed_in_place_has_another_digest() -> None:
    value = {"a": [1, {"b": 2}]}
    before = digest(value)
    value["a"][1]["b"] = 3  # type: ignore[index]
    assert digest(value) != before
    value["a"][1]["b"] = 2  # type: ignore[index]
    assert digest(value) == before


@pytest.mark.parametrize(
    ("one", "other", "is_same"),
    [
        ({"a": 1, "b": 2}, {"b": 2, "a": 1}, True),
        ({"a": 1}, {"a": 1.0}, True),
        ([1, 2], (1, 2), True),
        ({"a": 1}, {"a": True}, False),
        ({"a": 0.1}, {"a": 0.10000000000000002}, False),
        ({"a": "1"}, {"a": 1}, False),
        ({"a": None}, {}, False),
    ],
)
def test_digests_are_the_same_just_where_values_are(one: object, other: object, is_same: bool) -> None:
    assert (digest(one) == digest(other)) is is_same
    assert digest(one) == digest(one)


def test_what_has_no_digest_has_none_the_second_time_either() -> None:
    for _ in range(2):
        with pytest.raises(RovlogError, match="canonical JSON"):
            digest({"a": math.nan})
