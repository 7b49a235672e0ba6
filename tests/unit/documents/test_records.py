"""Dive and work records: whole, torn and damaged, and the digest that a close keeps of them."""

from __future__ import annotations

from hashlib import sha256

import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st

from rovlog.documents.records import (
    PartDocument,
    covers_digest,
    entry_line,
    header_text,
    indent_of,
    read_part,
    refuse_unread,
    torn_entry_fields,
    torn_text,
)
from rovlog.faces.reports.problem_text import problem_text
from rovlog.problems import DocumentError, UsageError

FILE = "dives/2026/petrel-20260711-qkwz.yaml"
HEADER = header_text(
    "dive",
    "petrel-20260711-qkwz",
    vehicle="petrel",
    writer="slate-two",
    started="2026-07-11T14:02:10+02:00",
)


def entry(n: int, kind: str = "note", **fields: object) -> dict[str, object]:
    common = {
        "id": f"01KXB7M2Q{n:017d}",
        "n": n,
        "at": f"2026-07-11T14:{n:02d}:10+02:00",
        "mono_s": n * 6.5,
        "by": "ines",
        "kind": kind,
    }
    return {**common, **fields}


def record(*entries: dict[str, object]) -> bytes:
    return (HEADER + "".join(map(entry_line, entries))).encode()


THREE = record(
    entry(
        1, "start", site="mole-pool", crew={"pilot": "ines"}, water={"kind": "fresh", "temperature_c": 17.5}
    ),
    entry(2, "check", item="fuse", outcome="pass", values={"rating": 10}, source="seen"),
    entry(3, text='a "bow" line:\nnext # not a comment'),
)


def numbers(document: PartDocument) -> list[int]:
    return [e.n for e in document.part.entries]


def test_a_header_holds_only_what_cannot_change():
    assert HEADER == (
        "# yaml-language-server: $schema=../../.rovlog/schemas/dive-1.json\n"
        "format: rovlog/dive/1\n"
        "dive: petrel-20260711-qkwz\n"
        "vehicle: petrel\n"
        "writer: slate-two\n"
        'started: "2026-07-11T14:02:10+02:00"\n'
        "entries:\n"
    )


def test_the_header_of_another_laptops_part_says_what_it_continues():
    text = header_text(
        "work",
        "north-work-20260711-abcd",
        box="north",
        writer="two",
        started="2026-07-11",
        is_continuation=True,
    )
    document = read_part(
        (text + entry_line(entry(4))).encode(), "work/2026/north-work-20260711-abcd.two.yaml"
    )
    assert (document.record, document.kind) == ("north-work-20260711-abcd", "work")
    assert (document.vehicle, document.box, document.part.writer) == ("", "north", "two")
    assert document.part.is_continuation
    assert "continues: north-work-20260711-abcd\nbox: north\n" in text


def test_a_record_is_about_one_vehicle_or_one_box():
    with pytest.raises(UsageError):
        header_text("work", "x", vehicle="a", box="b", writer="w", started="s")


def test_an_entry_is_one_line_that_people_can_read():
    assert entry_line(
        entry(2, "check", item="fuse", values={"rating": 10}, text="it's\nnew", source="seen")
    ) == (
        '- {id: "01KXB7M2Q00000000000000002", n: 2, at: "2026-07-11T14:02:10+02:00", mono_s: 13.0, '
        'by: ines, kind: check, item: fuse, values: {rating: 10}, text: "it\'s\\nnew", source: seen}\n'
    )


def test_a_whole_record_is_read_with_the_line_of_each_entry():
    document = read_part(THREE, FILE)
    assert (document.record, document.kind, document.vehicle) == ("petrel-20260711-qkwz", "dive", "petrel")
    assert (document.part.writer, document.part.started) == ("slate-two", "2026-07-11T14:02:10+02:00")
    assert [(e.n, e.line, e.file, e.writer) for e in document.part.entries] == [
        (n, 7 + n, FILE, "slate-two") for n in (1, 2, 3)
    ]
    assert document.part.entries[1].fields == {
        "item": "fuse",
        "outcome": "pass",
        "values": {"rating": 10},
        "source": "seen",
    }
    assert document.part.entries[2].mono_s == 19.5
    assert not document.part.has_torn_tail
    assert document.problems == ()


def test_a_last_entry_that_lacks_only_its_line_end_is_an_entry():
    document = read_part(THREE[:-1], FILE)
    assert numbers(document) == [1, 2, 3]
    assert not document.part.has_torn_tail


@pytest.mark.parametrize("cut", range(len(THREE) - 60, len(THREE) - 1))
def test_a_torn_last_line_is_set_aside_and_what_stands_before_is_kept(cut):
    document = read_part(THREE[:cut], FILE)
    assert numbers(document) == [1, 2]
    assert document.part.has_torn_tail
    assert document.torn_text == THREE[:cut].decode().rpartition("\n")[2]
    assert document.problems == ()


def test_a_last_line_that_does_not_parse_is_torn_even_with_a_line_end():
    document = read_part(THREE + b'    - {id: "01KX\n', FILE)
    assert numbers(document) == [1, 2, 3]
    assert document.part.has_torn_tail
    assert document.torn_text == '    - {id: "01KX'
    assert document.problems == ()


def test_a_tail_of_nul_bytes_is_torn():
    document = read_part(THREE + b"\0" * 300, FILE)
    assert numbers(document) == [1, 2, 3]
    assert document.part.has_torn_tail


@pytest.mark.parametrize(
    "garbage",
    [
        b"\0" * 40,
        b"\xff\xfe\x01",
        b"    - {id: 01",
        b"}}}",
        b"key: value",
        b"    - [1",
        b"    - &a {n: 1}",
        b"-",
        b"    - >",
    ],
)
def test_a_damaged_line_in_the_middle_costs_only_itself(garbage):
    lines = THREE.splitlines(keepends=True)
    document = read_part(b"".join([*lines[:8], garbage + b"\n", *lines[8:]]), FILE)
    assert numbers(document) == [1, 2, 3]
    assert [(p.place.file, p.place.line) for p in document.problems] == [(FILE, 9)]
    assert [e.line for e in document.part.entries] == [8, 10, 11]
    assert not document.part.has_torn_tail


def test_a_damaged_line_says_where_and_what_became_of_the_rest():
    lines = THREE.splitlines(keepends=True)
    (problem,) = read_part(b"".join([*lines[:8], b"    - {id: 01, n: @}\n", *lines[8:]]), FILE).problems
    assert problem_text(problem) == (
        f"{FILE}:9:19: damaged-line: this is not YAML: found character that cannot start any token\n"
        "        - {id: 01, n: @}\n"
        "                      ^\n"
        "  mend: the other entries were read; take this line back from git, or correct it by hand"
    )


def test_a_torn_line_that_a_later_entry_keeps_is_no_problem_any_more():
    torn = b'    - {id: "01KX\xff'
    fields = torn_entry_fields(torn_text(torn))
    kept = entry_line({**entry(4, fields["kind"]), "text": fields["text"]})
    document = read_part(THREE + torn + b"\n" + kept.encode() + entry_line(entry(5)).encode(), FILE)
    assert numbers(document) == [1, 2, 3, 4, 5]
    assert document.problems == ()
    assert not document.part.has_torn_tail


def test_a_line_that_was_kept_as_torn_does_not_count_twice():
    last = entry_line(entry(4)).rstrip("\n")
    kept = entry_line({**entry(4, "torn"), "text": last})
    after = read_part(THREE + f"{last}\n{kept}".encode(), FILE)
    assert [(e.n, e.kind) for e in after.part.entries][3:] == [(4, "torn")]
    assert len(after.lines) == len(after.part.entries)


@pytest.mark.parametrize("data", [b"", b"\0" * 100, b"\n", b"# nothing\n", THREE[:40], b"a: 1\n", b"- 1\n"])
def test_a_file_without_a_usable_header_is_damaged_and_never_an_empty_record(data):
    with pytest.raises(DocumentError):
        read_part(data, FILE)


@pytest.mark.parametrize(
    ("change", "rule"),
    [
        (("writer: slate-two\n", ""), "missing-key"),
        (("writer: slate-two\n", "writer: 7\n"), "wrong-type"),
        (("rovlog/dive/1", "rovlog/dive/2"), "unknown-format"),
        (("vehicle: petrel\n", "vehicle: petrel\nvehicle: petrel\n"), "duplicate-key"),
    ],
)
def test_a_header_that_cannot_be_used_is_refused(change, rule):
    with pytest.raises(DocumentError) as refused:
        read_part(THREE.decode().replace(*change).encode(), FILE)
    assert rule in [p.rule for p in refused.value.problems]


@pytest.mark.parametrize(
    "fields", [{"n": 0}, {"n": True}, {"n": 1.5}, {"n": "1"}, {"id": 5}, {"mono_s": "x"}, {"at": None}]
)
def test_an_entry_without_its_common_keys_is_a_problem_and_the_rest_is_read(fields):
    document = read_part(record(entry(1), {**entry(2), **fields}, entry(3)), FILE)
    assert numbers(document) == [1, 3]
    assert [(p.rule, p.place.line, p.place.column) for p in document.problems] == [("wrong-type", 9, 1)]


def test_a_missing_common_key_is_named():
    broken = {k: v for k, v in entry(2).items() if k not in ("by", "at")}
    (problem,) = read_part(record(entry(1), broken), FILE).problems
    assert problem.message == "the entry has no at, by"


def test_comments_blank_lines_and_entries_spread_over_lines_are_read():
    text = THREE.decode().replace(", mono_s: 13.0", ",\n       mono_s: 13.0") + "\n    # a remark\n\n"
    document = read_part(text.encode(), FILE)
    assert numbers(document) == [1, 2, 3]
    assert [e.line for e in document.part.entries] == [8, 9, 11]
    assert document.problems == ()


def test_a_record_without_entries_yet_is_read():
    assert read_part(HEADER.encode(), FILE).part.entries == ()


def test_the_digest_is_that_of_the_exact_lines():
    lines = THREE.splitlines(keepends=True)[7:]
    document = read_part(THREE, FILE)
    assert covers_digest(document, 2) == "sha256:" + sha256(lines[0] + lines[1]).hexdigest()
    assert covers_digest(document, 3) == "sha256:" + sha256(b"".join(lines)).hexdigest()


def test_the_digest_ignores_line_ends_and_later_entries_and_sees_every_other_byte():
    document = read_part(THREE, FILE)
    other = read_part(THREE.replace(b"\n", b"\r\n") + entry_line(entry(4)).encode(), FILE)
    assert covers_digest(other, 3) == covers_digest(document, 3)
    assert covers_digest(other, 4) != covers_digest(document, 4)
    changed = read_part(THREE.replace(b"rating: 10", b"rating:  10"), FILE)
    assert covers_digest(changed, 3) != covers_digest(document, 3)
    assert covers_digest(changed, 1) == covers_digest(document, 1)


def test_a_record_of_very_many_damaged_lines_is_refused_quickly():
    with pytest.raises(DocumentError, match="more than 10000 lines"):
        read_part(HEADER.encode() + b"x\n" * 60_000, FILE)


FIELDS = st.dictionaries(
    st.from_regex(r"[a-z][a-z0-9_]{0,6}", fullmatch=True).filter(
        lambda k: k not in {"id", "n", "at", "mono_s", "by", "kind"}
    ),
    st.text(st.characters(codec="utf-8"), max_size=20) | st.integers(-9, 10**9) | st.booleans() | st.none(),
    max_size=4,
)


@settings(deadline=None, max_examples=50)
@given(st.lists(FIELDS, min_size=1, max_size=6))
def test_entries_come_back_as_they_were_written_one_a_line(many):
    data = record(*(entry(n, **fields) for n, fields in enumerate(many, start=1)))
    document = read_part(data, FILE)
    assert [e.fields for e in document.part.entries] == many
    assert data.count(b"\n") == 7 + len(many)
    assert document.problems == ()


@settings(deadline=None, max_examples=80)
@given(st.integers(0, 2), st.binary(max_size=30), st.data())
def test_whatever_stands_in_one_line_the_others_are_read(index, garbage, data):
    """One line replaced by bytes without a line end; a damaged line may hide no other."""
    lines = THREE.splitlines(keepends=True)
    lines[7 + index] = garbage.replace(b"\n", b"") + b"\n"
    document = read_part(b"".join(lines), FILE)
    assert {1, 2, 3} - {index + 1} <= set(numbers(document))


@settings(deadline=None, max_examples=80)
@given(st.integers(0, len(THREE)), st.integers(0, 30), st.binary(max_size=12))
def test_only_document_errors_come_out_of_a_damaged_record(at, length, garbage):
    try:
        document = read_part(THREE[:at] + garbage + THREE[at + length :], FILE)
    except DocumentError:
        return
    assert len(document.lines) == len(document.part.entries)
    covers_digest(document, 3)


@pytest.mark.parametrize("indent", ["", "  ", "    "])
def test_a_further_entry_stands_in_the_column_of_the_entries_that_are_there(indent):
    begun = HEADER + "# by hand\n" + entry_line(entry(1), indent) + "\n"
    text = entry_line(entry(2), indent_of(begun.encode()))
    refuse_unread(begun.encode(), text, FILE)
    whole = begun + text
    assert [e["n"] for e in yaml.safe_load(whole)["entries"]] == [1, 2]
    assert numbers(read_part(whole.encode(), FILE)) == [1, 2]


def test_a_further_entry_behind_one_that_was_spread_over_lines_keeps_its_column():
    begun = HEADER + '  - id: "01KXB7M2Q00000000000000001"\n    n: 1\n    text: |\n      - a\n'
    text = entry_line(entry(2), indent_of(begun.encode()))
    refuse_unread(begun.encode(), text, FILE)
    assert [e["n"] for e in yaml.safe_load(begun + text)["entries"]] == [1, 2]


def test_an_entry_behind_keys_of_the_header_is_refused_and_one_behind_a_damaged_line_is_not():
    begun = HEADER.replace("writer: slate-two\n", "") + entry_line(entry(1)) + "writer: slate-two\n"
    assert numbers(read_part(begun.encode(), FILE)) == [1]
    with pytest.raises(UsageError, match="something else stands behind the entries"):
        refuse_unread(begun.encode(), entry_line(entry(2)), FILE)
    refuse_unread(THREE + b"what is this: 1\n", entry_line(entry(4)), FILE)
