"""Changing a person's YAML: only the one value changes, the rest stays as it was written."""

from __future__ import annotations

from collections import Counter

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rovlog.documents.edit import add_key, remove_key, replace_value
from rovlog.documents.edit_check import all_comments
from rovlog.documents.tree import read
from rovlog.documents.write import document_text
from rovlog.problems import DocumentError

VEHICLE = """\
# yaml-language-server: $schema=../.rovlog/schemas/vehicle-1.json
format: rovlog/vehicle/1
vehicle: petrel      # the small one

name: 'Petrel'
hull: {mass_kg: 6.9, displaced_volume_m3: 0.00693}   # weighed in June
control_box: {box: north, steering_scheme: 2,
              thruster_map: 1}   # second line
thrusters:
  # port side first
  - {thruster: aft-port, channel: 2, polarity: normal}
  - thruster: aft-starboard   # new lead
    channel: 3
    note: |
      two
      lines

    polarity: "normal"
trim_defaults:
  # found in the harbour
  heave: 0.10
  surge: -0.02   # drifts back
limits:
note: >-
  folded text
  of two lines
# the end
"""


def lines_changed(before: str, after: str) -> list[tuple[str, str]]:
    one, other = before.splitlines(), after.splitlines()
    assert len(one) == len(other)
    return [(a, b) for a, b in zip(one, other, strict=True) if a != b]


def replaced(pointer: str, new: object, text: str = VEHICLE) -> str:
    return replace_value(text.encode(), "vehicles/petrel.yaml", pointer, new).decode()


@pytest.mark.parametrize(
    ("pointer", "new", "before", "after"),
    [
        ("/vehicle", "tern", "vehicle: petrel      # the small one", "vehicle: tern      # the small one"),
        ("/name", "It's", "name: 'Petrel'", 'name: "It\'s"'),
        (
            "/hull/mass_kg",
            7.05,
            "hull: {mass_kg: 6.9, displaced_volume_m3: 0.00693}   # weighed in June",
            "hull: {mass_kg: 7.05, displaced_volume_m3: 0.00693}   # weighed in June",
        ),
        (
            "/control_box/thruster_map",
            2,
            "              thruster_map: 1}   # second line",
            "              thruster_map: 2}   # second line",
        ),
        (
            "/thrusters/0/polarity",
            "reversed",
            "  - {thruster: aft-port, channel: 2, polarity: normal}",
            "  - {thruster: aft-port, channel: 2, polarity: reversed}",
        ),
        ("/thrusters/1/channel", "no", "    channel: 3", '    channel: "no"'),
        ("/thrusters/1/polarity", "reversed", '    polarity: "normal"', '    polarity: "reversed"'),
        ("/trim_defaults/surge", 0, "  surge: -0.02   # drifts back", "  surge: 0   # drifts back"),
        ("/trim_defaults/heave", 0.1, "  heave: 0.10", "  heave: 0.10"),
        ("/limits", 3, "limits:", "limits: 3"),
        ("/limits", {"depth_m": 12}, "limits:", "limits: {depth_m: 12}"),
        (
            "/trim_defaults",
            {"surge": 0.5, "heave": 0.1},
            "  surge: -0.02   # drifts back",
            "  surge: 0.5   # drifts back",
        ),
        (
            "/thrusters",
            [
                {"thruster": "aft-port", "channel": 5, "polarity": "normal"},
                {"thruster": "aft-starboard", "channel": 3, "note": "two\nlines\n", "polarity": "normal"},
            ],
            "  - {thruster: aft-port, channel: 2, polarity: normal}",
            "  - {thruster: aft-port, channel: 5, polarity: normal}",
        ),
    ],
)
def test_one_line_changes_and_no_other(pointer, new, before, after):
    changed = lines_changed(VEHICLE, replaced(pointer, new))
    assert changed == ([(before, after)] if before != after else [])


def test_a_block_scalar_is_written_anew_and_what_surrounds_it_stays():
    assert replaced("/thrusters/1/note", "one") == VEHICLE.replace(
        "note: |\n      two\n      lines\n\n", "note: one\n\n"
    )
    assert replaced("/note", "short") == VEHICLE.replace(
        "note: >-\n  folded text\n  of two lines\n", "note: short\n"
    )


def test_comments_inside_a_value_written_anew_stand_above_it():
    assert replaced("/trim_defaults", 7) == VEHICLE.replace(
        "trim_defaults:\n  # found in the harbour\n  heave: 0.10\n  surge: -0.02   # drifts back\n",
        "# found in the harbour\ntrim_defaults: 7   # drifts back\n",
    )


def test_a_value_too_long_for_one_line_becomes_a_block():
    loads = {"loads": [{"load": "lamp", "why": "x" * 50}, {"load": "camera", "why": "y" * 60}]}
    assert replaced("/limits", loads) == VEHICLE.replace(
        "limits:\n",
        "limits:\n  loads:\n"
        f"    - {{load: lamp, why: {'x' * 50}}}\n"
        f"    - {{load: camera, why: {'y' * 60}}}\n",
    )


def test_crlf_and_byte_order_mark_stay():
    data = b"\xef\xbb\xbf" + VEHICLE.replace("\n", "\r\n").encode()
    for pointer, new in [("/vehicle", "tern"), ("/limits", {"a": [{"b": {"c": 1}}]}), ("/note", "short")]:
        after = replace_value(data, "a.yaml", pointer, new)
        assert after.startswith(b"\xef\xbb\xbf# yaml")
        assert after.count(b"\n") == after.count(b"\r\n")
    added = add_key(data, "a.yaml", "", "notes", "new")
    assert added == data.replace(b"# the end\r\n", b"notes: new\r\n# the end\r\n")


@pytest.mark.parametrize(
    ("pointer", "before", "after"),
    [
        ("/trim_defaults", "# drifts back\n", "# drifts back\n  yaw: 0.3\n"),
        ("/hull", "0.00693}", "0.00693, yaw: 0.3}"),
        ("/control_box", "thruster_map: 1}", "thruster_map: 1, yaw: 0.3}"),
        ("/thrusters/0", "polarity: normal}", "polarity: normal, yaw: 0.3}"),
        ("/thrusters/1", '    polarity: "normal"\n', '    polarity: "normal"\n    yaw: 0.3\n'),
        ("", "  of two lines\n", "  of two lines\nyaw: 0.3\n"),
    ],
)
def test_a_key_is_added_at_the_end_of_its_mapping(pointer, before, after):
    changed = add_key(VEHICLE.encode(), "a.yaml", pointer, "yaw", 0.3).decode()
    assert changed == VEHICLE.replace(before, after)


def test_a_key_is_added_to_an_empty_mapping_and_without_a_last_line_end():
    assert add_key(b"a: {}", "a.yaml", "/a", "b", [1]) == b"a: {b: [1]}"
    assert add_key(b"a: 1", "a.yaml", "", "b", 2) == b"a: 1\nb: 2"
    assert add_key(b"a: 1\n", "a.yaml", "", "3", 2) == b'a: 1\n"3": 2\n'


@pytest.mark.parametrize(
    ("pointer", "before", "after"),
    [
        ("/trim_defaults/heave", "  heave: 0.10\n", ""),
        ("/trim_defaults/surge", "  surge: -0.02   # drifts back\n", "  # drifts back\n"),
        ("/hull/mass_kg", "{mass_kg: 6.9, ", "{"),
        ("/hull/displaced_volume_m3", ", displaced_volume_m3: 0.00693", ""),
        ("/thrusters/1/note", "    note: |\n      two\n      lines\n", ""),
        ("/limits", "limits:\n", ""),
        ("/note", "note: >-\n  folded text\n  of two lines\n", ""),
    ],
)
def test_a_key_is_removed_and_its_comment_stays(pointer, before, after):
    assert remove_key(VEHICLE.encode(), "a.yaml", pointer).decode() == VEHICLE.replace(before, after)


def test_the_last_key_of_a_mapping_leaves_an_empty_mapping():
    assert remove_key(b"a: {b: 1}\nc: 2\n", "a.yaml", "/a/b") == b"a: {}\nc: 2\n"
    assert remove_key(b"a:\n  b: 1   # why\nc: 2\n", "a.yaml", "/a/b") == b"a: {}   # why\nc: 2\n"


def test_the_first_key_of_a_list_item_is_removed():
    assert remove_key(b"- a: 1\n  b: 2\n", "a.yaml", "/0/a") == b"- b: 2\n"


@pytest.mark.parametrize(
    ("change", "rule"),
    [
        (lambda d: replace_value(d, "a.yaml", "/nothing", 1), "missing-key"),
        (lambda d: replace_value(d, "a.yaml", "", 5), "not-rewritable"),
        (lambda d: add_key(d, "a.yaml", "/vehicle", "b", 1), "not-a-mapping"),
        (lambda d: add_key(d, "a.yaml", "", "vehicle", 1), "duplicate-key"),
        (lambda d: remove_key(d, "a.yaml", "/thrusters/0"), "missing-key"),
        (lambda d: remove_key(d, "a.yaml", "/nothing"), "missing-key"),
        (lambda d: remove_key(d, "a.yaml", ""), "missing-key"),
    ],
)
def test_a_change_that_cannot_be_made_is_refused_with_its_place(change, rule):
    with pytest.raises(DocumentError) as refused:
        change(VEHICLE.encode())
    (problem,) = refused.value.problems
    assert problem.rule == rule
    assert problem.line_text != ""


def test_a_document_that_cannot_be_read_is_not_changed():
    with pytest.raises(DocumentError, match="duplicate-key"):
        replace_value(b"a: 1\na: 2\n", "a.yaml", "/a", 3)


def test_a_document_of_explicit_keys_is_changed_where_the_values_stand():
    assert replace_value(b"? a\n: 1\n? b\n: 2\n", "a.yaml", "/a", 5) == b"? a\n: 5\n? b\n: 2\n"


TREE = read(VEHICLE.encode(), "a.yaml")
POINTERS = [p for p in TREE.pointers() if p]
MAPPINGS = [p for p in TREE.pointers() if TREE.node(p).kind == "mapping"]  # type: ignore[union-attr]
SCALARS = (
    st.none()
    | st.booleans()
    | st.integers(-(10**9), 10**9)
    | st.floats(allow_nan=False, allow_infinity=False)
    | st.text(st.characters(codec="utf-8"), max_size=15)
    | st.sampled_from(["a: b", "a #b", "#", "x\n", "", "no", "- a", "{", "}", ", ", "012", "x" * 120])
)
KEYS = st.sampled_from(["a", "yes", "3", "1.8", "long_key_m", "heave", "polarity"])
NEW = st.recursive(
    SCALARS,
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(KEYS, inner, max_size=3),
    max_leaves=8,
)
LINE_ENDS = st.sampled_from(["\n", "\r\n", "\r"])


def value_at(value: object, pointer: str) -> object:
    for part in pointer.split("/")[1:]:
        value = value[int(part)] if isinstance(value, list) else value[part]  # type: ignore[index]
    return value


def check(before: bytes, after: bytes, pointer: str) -> None:
    """All values elsewhere, all comments and the kind of line end are as before."""
    old, new = read(before, "a.yaml"), read(after, "a.yaml")
    for other in old.pointers():
        if not (f"{other}/".startswith(f"{pointer}/") or f"{pointer}/".startswith(f"{other}/")):
            assert repr(value_at(old.value, other)) == repr(value_at(new.value, other))
    assert all_comments(new) == all_comments(old)
    assert (
        Counter(after.replace(b"\r\n", b"")).keys() & {10, 13} <= Counter(before.replace(b"\r\n", b"")).keys()
    )


@settings(deadline=None, max_examples=120)
@given(st.sampled_from(POINTERS), NEW, LINE_ENDS)
def test_any_value_may_be_replaced_by_any_other(pointer, new, line_end):
    before = VEHICLE.replace("\n", line_end).encode()
    after = replace_value(before, "a.yaml", pointer, new)
    check(before, after, pointer)
    assert value_at(read(after, "a.yaml").value, pointer) == new


@settings(deadline=None, max_examples=60)
@given(st.sampled_from(MAPPINGS), NEW, LINE_ENDS)
def test_a_key_may_be_added_to_any_mapping(pointer, new, line_end):
    before = VEHICLE.replace("\n", line_end).encode()
    after = add_key(before, "a.yaml", pointer, "added", new)
    check(before, after, f"{pointer}/added")
    assert value_at(read(after, "a.yaml").value, f"{pointer}/added") == new


@settings(deadline=None, max_examples=50)
@given(st.sampled_from([p for p in POINTERS if p.rpartition("/")[0] in MAPPINGS]), LINE_ENDS)
def test_any_key_may_be_removed(pointer, line_end):
    before = VEHICLE.replace("\n", line_end).encode()
    after = remove_key(before, "a.yaml", pointer)
    check(before, after, pointer)
    with pytest.raises(KeyError):
        value_at(read(after, "a.yaml").value, pointer)


DOCUMENTS = st.dictionaries(KEYS, NEW, min_size=1, max_size=4)


@settings(deadline=None, max_examples=50)
@given(DOCUMENTS, st.data())
def test_a_document_that_we_wrote_can_be_changed_anywhere(value, data):
    before = document_text(value, "# a comment").encode()
    pointer = data.draw(st.sampled_from([p for p in read(before, "a.yaml").pointers() if p]))
    new = data.draw(NEW)
    after = replace_value(before, "a.yaml", pointer, new)
    check(before, after, pointer)
    assert value_at(read(after, "a.yaml").value, pointer) == new
