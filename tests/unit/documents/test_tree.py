"""The reader of YAML documents: what it takes, where things stand, and all that it refuses."""

from __future__ import annotations

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from rovlog.documents.source import MAX_BYTES
from rovlog.documents.tree import MAX_DEPTH, MAX_NODES, Tree, read, read_value
from rovlog.problems import DocumentError, Place

DOCUMENT = """\
# yaml-language-server: $schema=../.rovlog/schemas/vehicle-1.json
format: rovlog/vehicle/1
vehicle: petrel   # the small one
hull: {mass_kg: 6.9, note: "fünf\\tsechs"}
thrusters:
  - {thruster: aft-port, channel: 2,
     polarity: 'normal'}
  - thruster: aft-starboard
    channel:
    note: |
      two
      lines
limits: {}
"""


def tree_of(text: str) -> Tree:
    return read(text.encode(), "vehicles/petrel.yaml")


def rules(data: bytes) -> list[tuple[str, int, int]]:
    with pytest.raises(DocumentError) as refused:
        read(data, "a.yaml")
    with pytest.raises(DocumentError) as refused_again:
        read_value(data, "a.yaml")
    assert refused_again.value.problems == refused.value.problems
    return [(p.rule, p.place.line, p.place.column) for p in refused.value.problems]


def test_a_document_becomes_plain_values():
    value = tree_of(DOCUMENT).value
    assert value == {
        "format": "rovlog/vehicle/1",
        "vehicle": "petrel",
        "hull": {"mass_kg": 6.9, "note": "fünf\tsechs"},
        "thrusters": [
            {"thruster": "aft-port", "channel": 2, "polarity": "normal"},
            {"thruster": "aft-starboard", "channel": None, "note": "two\nlines\n"},
        ],
        "limits": {},
    }
    assert read_value(DOCUMENT.encode(), "a.yaml") == value


@pytest.mark.parametrize(
    ("pointer", "line", "column"),
    [
        ("", 2, 1),
        ("/vehicle", 3, 10),
        ("/hull", 4, 7),
        ("/hull/note", 4, 28),
        ("/thrusters/0", 6, 5),
        ("/thrusters/0/polarity", 7, 16),
        ("/thrusters/1", 8, 5),
        ("/thrusters/1/channel", 9, 5),  # no value: its key
        ("/thrusters/1/note", 10, 11),
        ("/thrusters/1/model", 8, 5),  # missing: where its mapping begins
        ("/thrusters/7/model", 6, 3),
        ("/nowhere/at/all", 2, 1),
    ],
)
def test_every_value_has_its_place(pointer, line, column):
    assert tree_of(DOCUMENT).place(pointer) == Place("vehicles/petrel.yaml", line, column)


def test_every_key_has_its_place():
    tree = tree_of(DOCUMENT)
    assert tree.key_place("/hull/note") == Place("vehicles/petrel.yaml", 4, 22)
    assert tree.key_place("/thrusters/0/polarity") == Place("vehicles/petrel.yaml", 7, 6)
    assert tree.key_place("/thrusters/0") == Place("vehicles/petrel.yaml", 6, 5)


def test_a_scalar_keeps_how_it_was_written():
    tree = tree_of(DOCUMENT)
    for pointer, raw, style in [
        ("/vehicle", "petrel", "plain"),
        ("/hull/note", '"fünf\\tsechs"', "double"),
        ("/thrusters/0/polarity", "'normal'", "single"),
    ]:
        scalar = tree.scalar(pointer)
        assert scalar is not None
        assert (scalar.raw, scalar.style) == (raw, style)
        assert tree.text[scalar.start : scalar.end] == raw
    literal = tree.scalar("/thrusters/1/note")
    assert literal is not None
    assert literal.style == "literal"
    assert tree.scalar("/hull") is None
    assert tree.scalar("/hull/absent") is None


def test_a_problem_takes_place_line_and_width_from_the_document():
    problem = tree_of(DOCUMENT).problem("/thrusters/0/polarity", "a-rule", "m", "f", "e", "d")
    assert (problem.place.line, problem.place.column, problem.width) == (7, 16, 8)
    assert problem.line_text == "     polarity: 'normal'}"
    at_key = tree_of(DOCUMENT).problem("/hull/mass_kg", "a-rule", "m", "f", "e", "d", at_key=True)
    assert (at_key.place.line, at_key.place.column, at_key.width) == (4, 8, 7)


@pytest.mark.parametrize("line_end", ["\n", "\r\n", "\r"])
def test_line_ends_do_not_move_places(line_end):
    tree = read(DOCUMENT.replace("\n", line_end).encode(), "a.yaml")
    assert tree.value == tree_of(DOCUMENT).value
    assert tree.place("/thrusters/0/polarity") == Place("a.yaml", 7, 16)
    assert tree.line_text(4) == 'hull: {mass_kg: 6.9, note: "fünf\\tsechs"}'


def test_a_byte_order_mark_does_not_move_columns():
    tree = read(b"\xef\xbb\xbfa: {b: 1}\n", "a.yaml")
    assert tree.place("/a/b") == Place("a.yaml", 1, 8)
    assert read_value(b"\xef\xbb\xbfa: {b: 1}\n", "a.yaml") == {"a": {"b": 1}}
    assert rules(b"\xef\xbb\xbfa: 1\na: 2\n") == [("duplicate-key", 2, 1)]


def test_columns_count_characters_and_not_bytes():
    assert tree_of("{a: '海é😀', b: 1}").place("/b") == Place("vehicles/petrel.yaml", 1, 15)


def test_three_and_quoted_three_are_the_same_key():
    assert read_value(b'{3: 1, "4": 2, -5: 3}', "a.yaml") == {"3": 1, "4": 2, "-5": 3}
    assert rules(b'3: 1\n"3": 2\n') == [("duplicate-key", 2, 1)]


def test_a_key_such_as_no_stays_text():
    """YAML 1.1 would read a boolean key; YAML 1.2.2, section 10.3.2, reads text."""
    assert read_value(b"NO: 1\non: 2\n", "a.yaml") == {"NO": 1, "on": 2}


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("a: 1\na: 2\n", [("duplicate-key", 2, 1)]),  # YAML 1.2.2, section 3.2.1.1
        ("{a: 1, b: {c: 1, c: 2, c: 3}}", [("duplicate-key", 1, 18), ("duplicate-key", 1, 24)]),
        ("ünter: 1", [("key-not-a-name", 1, 1)]),
        ("a b: 1", [("key-not-a-name", 1, 1)]),
        ('"": 1', [("key-not-a-name", 1, 1)]),
        ("?\n: 1", [("key-not-text", 1, 2)]),
        ("null: 1", [("key-not-text", 1, 1)]),
        ("true: 1", [("key-not-text", 1, 1)]),
        ("1.8: {}", [("key-not-text", 1, 1)]),
        ("012: 1", [("key-spelling", 1, 1)]),
        ("0x10: 1", [("key-spelling", 1, 1)]),
        ("{" + "9" * 31 + ": 1}", [("number-too-long", 1, 2)]),
        ("? [a, b]\n: 1", [("key-not-a-name", 1, 3)]),
        ("? {a: 1}\n: 1", [("key-not-a-name", 1, 3)]),
        ("<<: {a: 1}", [("merge-key", 1, 1)]),
        ("a: &x 1", [("anchor", 1, 4)]),
        ("a: *x", [("alias", 1, 4)]),
        ("a: !!str 1", [("tag", 1, 4)]),
        ("a: ! 1", [("tag", 1, 4)]),
        ('a: ! "1"', [("tag", 1, 4)]),
        ("a: !<tag:yaml.org,2002:int> 1", [("tag", 1, 4)]),
        ("a: !x {b: 1}", [("tag", 1, 4)]),
        ("- !x []", [("tag", 1, 3)]),
        ("a: &x !y 1", [("anchor", 1, 4), ("tag", 1, 7)]),
        ("%YAML 1.2\n---\na: 1\n", [("directive", 1, 1)]),
        ("%TAG ! tag:x,2026:\n%YAML 1.1\n---\na: 1\n", [("directive", 1, 1), ("directive", 2, 1)]),
        ("a: 1\n---\nb: 1\n", [("second-document", 2, 1)]),
        ("a: 1\n...\n---\n", [("second-document", 3, 1)]),
        ("# nothing\n", [("empty-document", 1, 1)]),
        ("---\n", [("empty-document", 1, 1)]),
        ("null\n", [("empty-document", 1, 1)]),
        ("a: \u2028b", [("unusual-character", 1, 4)]),
        ("a: '\x85'", [("unusual-character", 1, 5)]),
        ("a: b\ufeff", [("unusual-character", 1, 5)]),
        ("\ufeff\ufeffa: b", [("unusual-character", 1, 1)]),
        ("a: 1\nb: \x1b[2J", [("unusual-character", 2, 4)]),
        ("a: 'x\n\n", [("yaml-syntax", 1, 4)]),
        ("a: [1,\nb: {", [("yaml-syntax", 2, 5)]),
        ("a: 1\n\tb: 1\n", [("yaml-syntax", 2, 1)]),
        ('a: "\\ud800"', [("yaml-syntax", 1, 7)]),
        ("%NEW 1\n---\na: 1\n", [("yaml-syntax", 1, 5)]),
        ("a: @b", [("yaml-syntax", 1, 4)]),
    ],
)
def test_what_no_record_may_hold_is_refused_at_its_place(text, found):
    assert rules(text.encode()) == found


def test_all_problems_are_told_at_once():
    text = "a: &x 1\nb: *x\nb: !!int 3\n? [k]\n: .nan\nc d: 4\n"
    assert [rule for rule, _, _ in rules(text.encode())] == [
        "anchor",
        "alias",
        "duplicate-key",
        "tag",
        "key-not-a-name",
        "number-not-finite",
        "key-not-a-name",
    ]


def test_a_second_key_names_the_line_of_the_first():
    with pytest.raises(DocumentError, match="first on line 2") as refused:
        read(b"b: 1\na: 1\nc: 1\na: 2\n", "a.yaml")
    assert refused.value.problems[0].mend == "take out this one or the one on line 2"


@pytest.mark.parametrize("data", [b"", b"\0", b"\0" * 512, b"a: 1\n" + b"\0" * 20])
def test_no_bytes_or_nul_bytes_are_damage_and_never_an_empty_record(data):
    (rule, _, _) = rules(data)[0]
    assert rule == "damaged"


def test_bytes_that_are_not_utf8_are_named_with_offset_and_line():
    assert rules(b"a: 1\nb: \xffx\n") == [("not-utf-8", 2, 4)]
    with pytest.raises(DocumentError, match="byte 8 is 0xFF"):
        read(b"a: 1\nb: \xffx\n", "a.yaml")
    assert rules("é: 1\n".encode("latin-1"))[0][0] == "not-utf-8"
    assert rules("a: 1\n".encode("utf-16"))[0][0] == "damaged"
    assert rules(b"a: \xed\xa0\x80") == [("not-utf-8", 1, 4)]


def test_a_file_may_have_one_mebibyte_and_no_more():
    rest = MAX_BYTES - len(b"a: 1\n#")
    assert read_value(b"a: 1\n#" + b"x" * rest, "a.yaml") == {"a": 1}
    assert rules(b"a: 1\n#" + b"x" * (rest + 1)) == [("too-large", 1, 1)]


def test_nesting_may_be_thirty_two_deep_and_no_more():
    assert MAX_DEPTH == 32
    assert read(b"[" * 32 + b"]" * 32, "a.yaml").value == read_value(b"[" * 32 + b"]" * 32, "a.yaml")
    assert rules(b"[" * 33 + b"]" * 33) == [("too-deep", 1, 33)]
    assert rules(b"[" * 100_000)[0][0] == "too-deep"
    assert rules(b"- " * 100_000) == [("too-deep", 1, 65)]
    assert rules(b"{a: " * 100_000)[0][0] == "too-deep"


def test_a_document_may_have_fifty_thousand_nodes_and_no_more():
    most = b"[" + b"1," * (MAX_NODES - 1) + b"]"
    assert len(read_value(most, "a.yaml")) == MAX_NODES - 1
    assert rules(b"[1," + most[1:])[0][0] == "too-many-values"


def test_an_alias_bomb_is_refused_without_being_built():
    bomb = "a: &a [x, x]\n" + "".join(
        f"{c}: &{c} [*{p}, *{p}]\n" for p, c in zip("abcdefgh", "bcdefghi", strict=True)
    )
    assert {"anchor", "alias"} == {rule for rule, _, _ in rules(bomb.encode())}


def test_at_most_a_hundred_problems_of_one_document_are_told():
    assert len(rules(b"[" + b"&a 1," * 9_000 + b"]")) == 100
    assert len(rules(b"\x01" * 100_000)) == 100


# fmt: off
FRAGMENTS = st.sampled_from([
    "a", "b: ", "- ", "? ", ": ", "[", "]", "{", "}", ",", "\n", "\n  ", "\t", "'", '"', "|\n", ">-\n", "#",
    " #c", "&x ", "*x", "!", "!!str ", "%YAML 1.1\n", "---\n", "...\n", "<<", "~", "1", "0x", ".inf", "1e999",
    "\\", "\x85", "\\u", "\ufeff", "\u2028", "é", "😀", "\r", "\r\n", "@", "`", "=", "3: ", "null", "012",
    "-", "k: v\n", "a: >\n", "  k: {", "{a: 1, ", "e: 2}", "key:\n", "    - {",
])
# fmt: on


def check_carets(error: DocumentError) -> None:
    for problem in error.problems:
        last = problem.place.column + problem.width - 1
        assert last <= max(len(problem.line_text), problem.place.column)


@settings(max_examples=250, deadline=None)
@given(st.lists(FRAGMENTS, max_size=25).map("".join).map(str.encode) | st.binary(max_size=60))
@example(b"? ? ?")
@example(b"!<")
@example(b"{? }")
def test_only_document_errors_come_out_and_both_readers_agree(data):
    try:
        tree = read(data, "a.yaml")
    except DocumentError as error:
        check_carets(error)
        with pytest.raises(DocumentError):
            read_value(data, "a.yaml")
    else:
        assert repr(read_value(data, "a.yaml")) == repr(tree.value)
        assert read_value(data, "a.yaml") == tree.value
