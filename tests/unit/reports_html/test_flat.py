"""Everything flat: CSV by RFC 4180 that no spreadsheet runs, JSON Lines that holds every field."""

from __future__ import annotations

import csv
import io
import json

from hypothesis import given
from hypothesis import strategies as st

from rovlog.domain.dive import Entry, Record
from rovlog.faces.reports.flat_rows import flat_csv, flat_jsonl
from rovlog.usecases.logbook import Logbook
from rovlog.usecases.report_flat import FlatEntry, report_flat


def test_every_entry_is_one_row_with_its_fields_as_columns(hostile: Logbook):
    entries, notes = report_flat(hostile)
    rows = list(csv.DictReader(io.StringIO(flat_csv(entries), newline="")))
    assert len(rows) == len(entries) == sum(len(r.entries) for r in hostile.records())
    assert notes == ()
    clamp = next(r for r in rows if r["reading"] == "clamp-meter")
    assert clamp["values.current_a"] == "17.4"
    assert clamp["record"] == "grebe-20260503-test"
    assert clamp["record_number"] == "1"
    head = flat_csv(entries).split("\r\n")[0].split(",")
    assert len(head) == len(set(head))


def test_lines_end_by_the_standard_and_no_cell_is_a_formula(hostile: Logbook):
    text = flat_csv(report_flat(hostile)[0])
    assert text.count("\r\n") > 10
    assert "\n" not in text.replace("\r\n", "")
    for row in csv.reader(io.StringIO(text, newline="")):
        for cell in row:
            is_formula = cell.lstrip()[:1] in ("=", "+", "@", "＝", "＋", "＠") and not cell.startswith("'")
            assert not is_formula, cell


def test_json_lines_hold_every_field_under_a_key_of_its_own_and_nest_nothing(hostile: Logbook):
    entries, _ = report_flat(hostile)
    rows = [json.loads(line) for line in flat_jsonl(entries).splitlines()]
    assert not [k for row in rows for k, v in row.items() if isinstance(v, dict) and v]
    start = next(r for r in rows if r["kind"] == "start" and r["record_kind"] == "dive")
    assert (start["crew.pilot"], start["water.temperature_c"]) == ("iben", 14.0)
    columns = next(csv.reader(io.StringIO(flat_csv(entries), newline="")))
    assert {k for row in rows for k in row} == set(columns)


def test_a_field_called_as_a_column_of_every_entry_is_told_apart():
    entry = Entry("id", 1, "2026-05-09T10:00:00+02:00", 0.0, "runa", "same-as", "deck", {"record": "other"})
    row = FlatEntry(Record("d", "dive", "grebe", "", "2026-05-09T10:00:00+02:00", (), (entry,)), 1, entry)
    told = json.loads(flat_jsonl([row]))
    assert (told["record"], told["field.record"]) == ("d", "other")
    head, cells = csv.reader(io.StringIO(flat_csv([row]), newline=""))
    assert (cells[head.index("record")], cells[head.index("field.record")]) == ("d", "other")


@given(st.text(st.characters(exclude_categories=["Cs"]), max_size=40))
def test_any_text_stays_in_its_own_cell_and_line(text: str):
    entry = Entry("id", 1, "2026-05-09T10:00:00+02:00", 0.0, "runa", "note", "deck", {"text": text, "zz": 7})
    row = FlatEntry(Record("d", "dive", "grebe", "", "2026-05-09T10:00:00+02:00", (), (entry,)), 1, entry)
    table = list(csv.reader(io.StringIO(flat_csv([row]), newline="")))
    assert len(table) == 2
    assert table[1][table[0].index("zz")] == "7"
    assert len(table[1]) == len(table[0])
    lines = flat_jsonl([row]).split("\n")
    assert len(lines) == 2
    assert json.loads(lines[0])["text"] == text
