"""What records say a clamp meter read and a vacuum did, and which records are looked through."""

from __future__ import annotations

import pytest
from fakes import fake_book
from team_logbook import dive, fill

from rovlog.faces.reports.measured_text import measured_lines
from rovlog.faces.reports.tables import plain_table
from rovlog.usecases.configurations import flown_on
from rovlog.usecases.logbook import Logbook
from rovlog.usecases.measured_current import currents_of, measured_currents
from rovlog.usecases.newest_records import newest_files
from rovlog.usecases.recording import append
from rovlog.usecases.vacuum_holds import recorded_holds


@pytest.fixture(scope="module")
def logbook() -> Logbook:
    return fill(fake_book())


def answered(logbook: Logbook, record: str, item: str, outcome: str = "pass", **values: float) -> None:
    fields = {"item": item, "outcome": outcome, "values": values, "source": "measured"}
    append(logbook, logbook.record(record), "check", "iben", fields)


def test_answers_of_items_that_ask_for_a_clamp_reading_stand_beside_the_figure_they_are_of(
    logbook: Logbook,
) -> None:
    record = dive(logbook, "wigeon", 20, trim=None, closed=False)
    answered(logbook, record, "idle-current", current=1.3)
    answered(logbook, record, "hardest-manoeuvre", voltage=11.2, current=9.5)
    answered(logbook, record, "fuse", rating=15)
    found = {row.what: row for row in currents_of(logbook, logbook.record(record))}
    assert set(found) == {"idle-current", "hardest-manoeuvre"}
    electrical = flown_on(logbook, logbook.record(record), record).configuration.electrical
    standing = sum(load.current_a for load in electrical.standing_loads)
    assert found["idle-current"].computed_a == pytest.approx(standing)
    assert found["idle-current"].ratio == pytest.approx(1.3 / standing)
    assert found["hardest-manoeuvre"].of == "with_sag_current_a"
    assert found["hardest-manoeuvre"].computed_a != pytest.approx(9.5)


def test_an_item_of_a_team_s_own_list_counts_by_the_limit_it_was_judged_against(logbook: Logbook) -> None:
    record = dive(logbook, "wigeon", 21, trim=None, closed=False)
    limit = {"value": "amps", "observed": 8.8, "limit": 9.0, "kind": "within", "margin": 0.2,
             "origin": "computed: with_sag_current_a; width: the list"}  # fmt: skip
    fields = {
        "item": "our-own",
        "outcome": "pass",
        "values": {"amps": 8.8},
        "source": "measured",
        "limits": [limit],
    }
    append(logbook, logbook.record(record), "check", "iben", fields)
    (row,) = currents_of(logbook, logbook.record(record))
    assert (row.what, row.of, row.measured_a) == ("our-own", "with_sag_current_a", 8.8)


def test_the_newest_readings_come_first_and_only_the_newest_records_are_read(logbook: Logbook) -> None:
    every = measured_currents(logbook, "grebe")
    assert [row.measured_a for row in every] == [18.1, 17.4]
    assert measured_currents(logbook, "grebe", newest=1) == ()
    assert all(row.computed_a is not None for row in every)


def test_the_words_say_which_is_measured_and_which_computed(logbook: Logbook) -> None:
    text = "\n".join(measured_lines(measured_currents(logbook, "grebe")))
    assert "measured A  computed A" in text
    assert "beside the worst manoeuvre" in text


def test_newest_files_are_chosen_by_the_day_in_their_names_and_a_record_s_parts_stay_together() -> None:
    names = [
        "dives/2026/smew-20260501-aaaa.yaml",
        "dives/2026/smew-20260503-bbbb.yaml",
        "dives/2026/smew-20260503-bbbb.other-laptop.yaml",
        "dives/2026/smew-two-20260504-cccc.yaml",
        "work/2026/smew-work-20260502-dddd.yaml",
        "dives/2026/notes.yaml",
    ]
    assert newest_files(names, "smew", 1) == [names[1], names[2]]
    assert newest_files(names, "smew", 2) == [names[4], names[1], names[2]]
    assert newest_files(names, "smew", 9) == [names[0], names[4], names[1], names[2]]


def test_a_hold_that_failed_is_told_apart_from_those_that_passed(logbook: Logbook) -> None:
    record = dive(logbook, "wigeon", 22, trim=None, closed=False)
    answered(logbook, record, "vacuum-hold", corrected_rise=0.2)
    answered(logbook, record, "vacuum-hold", outcome="fail", corrected_rise=2.4)
    holds = list(recorded_holds([logbook.record(record)]))
    assert [(h.rise_kpa, h.has_passed) for h in holds] == [(0.2, True), (2.4, False)]


def test_a_plain_table_sets_numbers_to_the_right_and_cuts_nothing() -> None:
    lines = plain_table(("name", "A"), [("x" * 90, "1.5"), ("y", "12.25")])
    assert lines[1].endswith(" 1.5")
    assert lines[2].endswith("12.25")
    assert lines[1].index("1.5") == lines[2].index("12.25") + 2
    assert "x" * 90 in lines[1]
