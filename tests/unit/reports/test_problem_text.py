"""Whole messages, caret line included, and the filter for strings from outside."""

from __future__ import annotations

import csv
import io
import json
import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rovlog.documents.tree import read
from rovlog.faces.cli.json_text import json_text
from rovlog.faces.reports.plain import clean, clean_cell, clean_character
from rovlog.faces.reports.problem_text import LINE_CELLS, caret_lines, cells, problem_text, problems_text
from rovlog.problems import DocumentError, Place, Problem


def problem(line: str, column: int, width: int = 1, **words: str) -> Problem:
    texts = {"message": "this is wrong", "found": "", "expected": "", "mend": "", **words}
    return Problem(Place("a.yaml", 3, column), "", "some-rule", **texts, line_text=line, width=width)


def test_a_problem_says_where_what_what_was_expected_and_how_to_mend_it():
    words = Problem(
        Place("vehicles/pool-one.yaml", 8, 15),
        "/thrusters/fore-left/polarity",
        "unknown-word",
        "polarity of thruster fore-left is 'reverse'",
        "reverse",
        "normal or reversed",
        "write reversed if a positive command pushes against the direction given above it",
        "    polarity: reverse",
        7,
    )
    assert problem_text(words) == (
        "vehicles/pool-one.yaml:8:15: unknown-word: polarity of thruster fore-left is 'reverse'; "
        "expected normal or reversed\n"
        "        polarity: reverse\n"
        "                  ^^^^^^^\n"
        "  mend: write reversed if a positive command pushes against the direction given above it"
    )


def test_without_line_expectation_and_mend_only_the_head_is_said():
    assert problem_text(problem("", 1)) == "a.yaml:3:1: some-rule: this is wrong"


def test_several_problems_follow_one_another():
    assert problems_text([problem("", 1), problem("", 2)]) == (
        "a.yaml:3:1: some-rule: this is wrong\na.yaml:3:2: some-rule: this is wrong\n"
    )


def test_a_duplicate_key_of_a_document_is_shown_whole():
    with pytest.raises(DocumentError) as refused:
        read(b"hull:\n  mass_kg: 7.2\n  mass_kg: 7.4\n", "vehicles/petrel.yaml")
    assert problems_text(refused.value.problems) == (
        "vehicles/petrel.yaml:3:3: duplicate-key: the key 'mass_kg' stands here again, first on line 2; "
        "expected each key once\n"
        "      mass_kg: 7.4\n"
        "      ^^^^^^^\n"
        "  mend: take out this one or the one on line 2\n"
    )


def test_wide_characters_keep_the_caret_below_the_culprit():
    line, carets = caret_lines(problem("海: wrong", 4, 5))
    assert (line, carets) == ("海: wrong", "    ^^^^^")


def test_combining_characters_take_no_cell():
    line, carets = caret_lines(problem("e\u0301: wrong", 5, 5))
    assert (line, carets) == ("e\u0301: wrong", "   ^^^^^")


def test_a_tab_is_shown_by_its_code_and_keeps_the_caret_below_the_culprit():
    line, carets = caret_lines(problem("\ta: wrong", 5, 5))
    assert (line, carets) == ("<U+0009>a: wrong", "           ^^^^^")


def test_an_escape_sequence_in_the_line_never_reaches_the_terminal():
    text = problem_text(problem("a: \x1b]52;c;\x07", 4, message="it is \x1b[2J", mend="\x9b"))
    assert text.replace("\n", "").isprintable()
    assert "<U+001B>" in text


def test_a_long_line_is_shown_around_the_caret():
    line, carets = caret_lines(problem("x" * 300 + " wrong " + "y" * 300, 302, 5))
    assert cells(line) == LINE_CELLS
    assert line.startswith("…x")
    assert line.endswith("y…")
    assert line[len(carets) - 5 : len(carets)] == "wrong"


def test_a_caret_longer_than_the_room_is_cut():
    line, carets = caret_lines(problem("k: " + "z" * 500, 4, 500))
    assert cells(line) <= LINE_CELLS
    assert len(carets) <= LINE_CELLS


def test_a_line_of_a_million_characters_is_shown_in_no_time():
    line, carets = caret_lines(problem("\u0301" * 500_000 + "wrong" + "\x01" * 500_000, 500_001, 5))
    assert cells(line) <= LINE_CELLS
    assert line[len(line.split("wrong")[0]) :].startswith("wrong")
    assert carets.endswith("^^^^^")


@given(st.text(max_size=200), st.integers(1, 220), st.integers(1, 220))
def test_the_caret_line_never_leaves_the_shown_line(line, column, width):
    shown, carets = caret_lines(problem(line, column, width))
    assert shown.isprintable()
    assert carets.strip(" ").strip("^") == ""
    assert carets.count("^") >= 1
    assert cells(carets) <= max(cells(shown), 1) + 1
    assert cells(shown) <= LINE_CELLS


TROJAN_SOURCE = "\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069\u200e\u200f\u061c"


@pytest.mark.parametrize(
    "character",
    [
        *TROJAN_SOURCE,
        *"\x1b\x00\x7f\x85\u00a0\u2028\ufe0f\U000e0100\ufffc",
        *"\u3164\u115f\u2800\u200b\ufeff\ue000\ud800\t\n\r",
    ],
)
def test_a_character_that_hides_or_steers_is_shown_by_its_code(character):
    assert clean(f"a{character}b") == f"a<U+{ord(character):04X}>b"


@given(st.text())
def test_what_is_clean_is_printable_and_cleaning_again_changes_nothing(text):
    assert clean(text).isprintable()
    assert clean(clean(text)) == clean(text)
    assert all(unicodedata.category(c) not in {"Cc", "Cf", "Cs", "Zl", "Zp"} for c in clean(text))


def test_line_ends_stay_only_where_lines_are_allowed():
    assert clean("a\r\nb\rc\nd", lines=True) == "a\nb\nc\nd"
    assert clean("a\nb") == "a<U+000A>b"


@pytest.mark.parametrize(
    "start", ["=", "+", "-", "@", "\uff1d", "\uff0b", "\uff0d", "\uff20", "  =", " \uff1d"]
)
def test_a_cell_that_could_be_a_formula_gets_an_apostrophe(start):
    """OWASP ASVS and CWE-1236."""
    assert clean_cell(f"{start}1+1").startswith("'")


@pytest.mark.parametrize("cell", ["-1.5", "+3", "-.5e-3", " -2 ", "salt", "a=b", ""])
def test_numbers_and_other_text_stay_as_they_are_in_a_cell(cell):
    assert clean_cell(cell) == cell


@given(st.text())
def test_a_cell_survives_the_csv_writer_and_reader(text):
    out = io.StringIO(newline="")
    csv.writer(out).writerow([clean_cell(text, lines=True), "end"])
    rows = list(csv.reader(io.StringIO(out.getvalue(), newline="")))
    assert rows == [[clean_cell(text, lines=True), "end"]]


@given(st.text(st.one_of(st.characters(), st.sampled_from("°—é\u200e\ufe0f\u3164\n\x1b")), max_size=20))
def test_a_text_is_cleaned_as_each_of_its_characters_is(text):
    assert clean(text) == "".join(map(clean_character, text))
    assert json.loads(json_text([text])) == [text]
    assert all(c == "\n" or clean_character(c) == c for c in json_text([text]))
