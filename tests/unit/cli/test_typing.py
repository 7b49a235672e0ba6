"""What is typed: numbers with a comma or a point and nothing else, text on one line and nothing hidden."""

from __future__ import annotations

import argparse
import io

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rovlog.faces.cli.main import parser_for, run
from rovlog.faces.cli.parser import number
from rovlog.faces.cli.record_frame import nested, numbers, plain_value
from rovlog.problems import UsageError
from rovlog.usecases.one_line import require_one_line, require_one_line_each, require_text
from rovlog.usecases.water_spec import parse_water


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("7,5", 7.5),
        ("7.5", 7.5),
        ("-0,06", -0.06),
        ("+3", 3.0),
        (" 12 ", 12.0),
        ("1e-3", 0.001),
        (",5", 0.5),
        ("2,", 2.0),
    ],
)
def test_a_number_takes_a_comma_or_a_point(text, value):
    assert number(text) == value


@pytest.mark.parametrize(
    "text", ["", "1_000", "nan", "inf", "infinity", "1,2,3", "1.000,5", "٣", "0x10", "1e999", "1 2", "7,5A"]
)
def test_what_is_no_number_is_refused(text):
    with pytest.raises(argparse.ArgumentTypeError):
        number(text)


@given(st.floats(-1e6, 1e6).map(lambda x: round(x, 4)))
def test_comma_and_point_are_the_same_number(value):
    text = f"{value:.4f}"
    assert number(text) == number(text.replace(".", ",")) == value
    assert plain_value(text) == plain_value(text.replace(".", ",")) == value


def test_every_way_of_typing_a_number_takes_the_comma():
    budget = parser_for("budget").parse_args(
        ["grebe", "--temperature-c", "11,5", "--salinity", "33,1", "--depth-m", "-0,5"]
    )
    assert (budget.temperature_c, budget.salinity, budget.depth_m) == (11.5, 33.1, -0.5)
    response = parser_for("response").parse_args(
        ["grebe", "--stick", "left-stick-y=-0,5", "--demand", "surge=0,25"]
    )
    assert response.stick == [("left-stick-y", -0.5)]
    assert response.demand == [("surge", 0.25)]
    start = parser_for("dive").parse_args(
        ["start", "grebe", "--by", "a", "--site", "b", "--water", "salt:11,5:33,2", "--depth-m", "3,5"]
    )
    assert start.depth_m == 3.5
    assert parse_water(start.water).temperature_c == 11.5
    assert numbers([("heave", "0,06")], "trim") == {"heave": 0.06}
    assert nested([("trim.heave", "0,06"), ("steering_scheme", "2")]) == {
        "trim": {"heave": 0.06},
        "steering_scheme": 2,
    }
    vacuum = parser_for("vacuum").parse_args(
        ["--start-below-kpa", "24,6", "--start-c", "19,5", "--end-below-kpa", "24,1", "--end-c", "-1,5"]
    )
    assert (vacuum.start_below_kpa, vacuum.end_c) == (24.6, -1.5)
    change = parser_for("vehicle").parse_args(["set", "grebe", "/trim_defaults/heave", "-0,05"])
    assert change.value == "-0,05"


BAD_TEXTS = ["two\nlines", "two\rlines", "two\u2028lines", "\x1b[31mred", "a\x00b", "tab\there", "\udcff"]


@pytest.mark.parametrize("text", BAD_TEXTS)
def test_text_of_several_lines_or_with_control_characters_is_refused_with_one_clear_error(text):
    for words in (
        ["dive", "note", "grebe", text, "--by", "oona"],
        ["dive", "fault", "grebe", "yaw-weak", "--text", text, "--by", "oona"],
        ["vehicle", "approve", "grebe", "--by", "oona", f"--reason={text}"],
        ["init", "/nowhere", "--title", text],
        ["init", "/nowhere", "--person", f"oona={text}:pilot"],
    ):
        out, err = io.StringIO(), io.StringIO()
        assert run(words, out, err) == 2
        assert out.getvalue() == ""
        lines = err.getvalue().splitlines()
        assert len(lines) == 2, lines
        assert lines[1].startswith("  mend: ")
        assert text not in err.getvalue()
        assert err.getvalue().replace("\n", "").isprintable()


def test_the_option_that_holds_the_text_is_named():
    err = io.StringIO()
    run(["vehicle", "approve", "grebe", "--by", "oona", "--reason", "a\nb"], io.StringIO(), err)
    assert "the text of --reason has several lines" in err.getvalue()


@given(st.text(alphabet=st.characters(exclude_categories=("Cc", "Cs", "Zl", "Zp")), min_size=1))
def test_any_other_text_is_taken_as_it_is(text):
    require_one_line("note", text)


@pytest.mark.parametrize("text", BAD_TEXTS)
def test_the_same_holds_for_every_text_of_an_entry_however_deep(text):
    for fields in ({"text": text}, {"in_use": {"firmware": text}}, {"rows": [{"word": text}]}):
        with pytest.raises(UsageError):
            require_one_line_each(fields)
    require_one_line_each({"n": 1, "values": {"a_b": 0.5, "word": "fine é"}, "none": None, "yes": True})


def test_an_empty_reason_is_refused_where_one_is_meant():
    for text in ("", "   "):
        with pytest.raises(UsageError, match="is empty"):
            require_text("reason", text)
