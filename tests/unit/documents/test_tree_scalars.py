"""Plain scalars as the YAML 1.2.2 core schema reads them.

The table is that of YAML 1.2.2 (2021), section 10.3.2 (tag resolution), applied to scalars that
loaders of YAML 1.1 read otherwise. Three of its rows (.inf, -.Inf, .NAN) are numbers there, and
refused here because a record holds finite numbers only.
"""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rovlog.documents.scalars import NumberRefusedError, resolve
from rovlog.documents.tree import read, read_value
from rovlog.problems import DocumentError

CORE_SCHEMA = [
    ("yes", "yes"),
    ("no", "no"),
    ("NO", "NO"),
    ("on", "on"),
    ("off", "off"),
    ("y", "y"),
    ("true", True),
    ("True", True),
    ("TRUE", True),
    ("tRUE", "tRUE"),
    ("false", False),
    ("False", False),
    ("FALSE", False),
    ("~", None),
    ("null", None),
    ("Null", None),
    ("NULL", None),
    ("nUll", "nUll"),
    ("", None),
    ("012", 12),
    ("010", 10),
    ("0o14", 12),
    ("0o7", 7),
    ("08", 8),
    ("-017", -17),
    ("-0o17", "-0o17"),
    ("+0x1F", "+0x1F"),
    ("0x1F", 31),
    ("0b1010", "0b1010"),
    ("1_000", "1_000"),
    ("12:30:45", "12:30:45"),
    ("190:20:30", "190:20:30"),
    ("22:22", "22:22"),
    ("1e3", 1000.0),
    ("12e03", 12000.0),
    ("-2E+05", -200000.0),
    (".5", 0.5),
    ("0.", 0.0),
    ("1.0", 1.0),
    ("+12", 12),
    ("2001-12-14", "2001-12-14"),
    ("1.2.3", "1.2.3"),
    ("=", "="),
]


@pytest.mark.parametrize(("written", "meant"), CORE_SCHEMA)
def test_a_plain_scalar_is_what_the_core_schema_says(written, meant):
    for value in (
        read(f"a: {written}\n".encode(), "a.yaml").value["a"],
        read_value(f"a: {written}\n".encode(), "a.yaml")["a"],
    ):
        assert value == meant
        assert type(value) is type(meant)


@pytest.mark.parametrize(("written", "meant"), CORE_SCHEMA)
def test_a_quoted_scalar_is_always_text(written, meant):
    assert read_value(f"a: '{written}'\nb: \"{written}\"\n".encode(), "a.yaml") == {
        "a": written,
        "b": written,
    }


@pytest.mark.parametrize("written", [".inf", "-.Inf", "+.INF", ".NAN", ".nan", "1e999", "-1e400"])
def test_a_number_that_is_not_finite_is_refused(written):
    with pytest.raises(DocumentError) as refused:
        read(f"a: {written}\n".encode(), "a.yaml")
    (problem,) = refused.value.problems
    assert problem.rule == "number-not-finite"
    assert (problem.place.line, problem.place.column, problem.width) == (1, 4, len(written))


def test_a_number_may_have_thirty_characters_and_no_more():
    assert resolve("1" * 30) == int("1" * 30)
    for long in ("1" * 31, "0x" + "f" * 29, "0." + "1" * 29):
        with pytest.raises(NumberRefusedError):
            resolve(long)


def test_digits_of_other_scripts_are_text():
    assert resolve("١٢") == "١٢"
    assert resolve("1\u0662") == "1\u0662"


def test_a_seven_digit_git_id_reads_as_a_number_unless_quoted():
    """The trap behind the rule to quote every id: 5.7 % of them look like numbers."""
    assert resolve("1234567") == 1234567
    assert resolve("12345e6") == 12345e6
    assert resolve("12345a6") == "12345a6"


@given(st.integers(-(10**28), 10**28) | st.floats(allow_nan=False, allow_infinity=False))
def test_numbers_come_back_as_python_writes_them(number):
    value = resolve(repr(number))
    assert value == number
    assert type(value) is type(number)
