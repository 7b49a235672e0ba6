"""What a dive log records, and what of it a dive's record does not hold."""

from __future__ import annotations

import pytest
from diving import day, record
from drifting import resolved
from fakes import fake_book
from team_logbook import fill

from rovlog.domain.audit.completeness import completeness
from rovlog.faces.reports.pages.dive_page import dive_page
from rovlog.faces.reports.pages.fault_page import fault_page
from rovlog.faces.reports.pages.season_page import season_page
from rovlog.faces.reports.pages.text import page_text
from rovlog.usecases.report_dive import report_dive
from rovlog.usecases.report_fault import report_fault
from rovlog.usecases.report_season import report_season

READ = ("readback", {"box": "quay-box", "in_use": {}})
MARKS = [
    ("mark", {"mark": m})
    for m in ("power-on", "in-water", "off-surface", "back-at-surface", "out-of-water", "power-off")
]


def missing(*entries, parts=1):
    return {e.what for e in completeness(record("d1", day(1), *entries), resolved(), parts) if not e.is_held}


def test_what_is_there_is_not_missing_and_what_is_not_is():
    assert "time of off surface" in missing(MARKS[0])
    assert not {m for m in missing(*MARKS) if m.startswith("time of")}
    assert "parts with an identity: tether, seals, payload" in missing(parts=0)
    assert "depth reached" not in missing(("place", {"depth_m": 3.0}))


def test_visibility_answered_in_a_list_is_not_missing():
    answer = {"item": "site-limits", "outcome": "pass", "values": {"visibility": 1.1}}
    assert "visibility" in missing()
    assert "visibility" not in missing(("check", answer))


def test_a_readback_counts_before_the_launch_and_after_the_recovery_apart():
    before, after = "box readback before the dive", "box readback after the dive"
    assert {before, after} <= missing(*MARKS)
    assert before not in missing(READ, *MARKS)
    assert after in missing(READ, *MARKS)
    assert after not in missing(*MARKS[:5], READ, MARKS[5])
    assert before in missing(*MARKS[:5], READ, MARKS[5])


@pytest.mark.parametrize(
    ("entry", "found"),
    [
        (("reading", {"reading": "supply", "values": {"start_v": 12.6}}), "start"),
        (("reading", {"reading": "supply", "values": {"low_v": 11.2}}), "low point"),
        (("check", {"item": "resting-voltage", "values": {"voltage": 12.6}}), "start"),
        (("check", {"item": "recovery-voltage", "values": {"lowest": 11.2, "end": 12.1}}), "low point"),
        (("check", {"item": "recovery-voltage", "values": {"lowest": 11.2, "end": 12.1}}), "end"),
    ],
)
def test_a_voltage_counts_where_it_was_read_or_answered(entry, found):
    said = {m for m in missing() if m.startswith("supply voltage")}
    assert len(said) == 3
    left = {m for m in missing(entry) if m.startswith("supply voltage")}
    assert any(m.endswith(found) for m in said - left)


@pytest.fixture(scope="module")
def logbook():
    return fill(fake_book())


def test_the_dive_record_says_what_it_does_not_hold(logbook):
    text = page_text(dive_page(report_dive(logbook, "grebe-20260509-test"), str))
    assert "What a dive log records, and this one does not" in text
    assert "- supply voltage at its low point" in text
    assert "- visibility" not in text


def test_the_fault_report_has_the_stages_and_where_else_the_symptom_was(logbook):
    text = page_text(fault_page(report_fault(logbook, "grebe-20260509-test"), str))
    assert "The case stands at: reported." in text
    assert "missing: a function test since the fault" in " ".join(text.split())
    assert "The same symptom elsewhere" in text
    assert "alone: with the sticks at rest" in text


def test_the_season_tells_the_pace_as_a_note_and_no_reproach():
    """The same reading to the last digit dive after dive is worth a word to the supervisor."""
    from rovlog.usecases.recording import append

    logbook = fill(fake_book())
    for dive in logbook.records("grebe", ("dive",)):
        fields = {
            "item": "resting-voltage",
            "outcome": "pass",
            "values": {"voltage": 12.63},
            "source": "measured",
        }
        append(logbook, dive, "check", "iben", fields)
    season = report_season(logbook, "grebe")
    text = page_text(season_page(season, str))
    assert "For the supervisor, as a note and no reproach" in text
    assert "to the last digit on 3 dives running" in " ".join(text.split())
    assert "no reproach" in page_text(dive_page(report_dive(logbook, "grebe-20260516-test"), str))
