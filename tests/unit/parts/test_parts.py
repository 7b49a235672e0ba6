"""Parts: hours from power on to power off while fitted, where they are, what is due."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest
from diving import day, record
from fakes import fake_book
from hypothesis import given
from hypothesis import strategies as st
from team_logbook import fill

from rovlog.domain.audit.parts import is_lent, part_lives
from rovlog.domain.audit.running import powered, running_s
from rovlog.problems import UsageError
from rovlog.usecases.part_history import part_histories, part_history
from rovlog.usecases.status_accounting import status_accounting

NOW = datetime(2025, 6, 20, 12, tzinfo=UTC)


def dive(number: int, minutes: int, *entries):
    """A dive on a day of June with that many minutes of power."""
    off = f"{10 + minutes // 60:02}:{minutes % 60:02}:00"
    return record(
        f"puffin-202506{number:02}-aaaa", day(number, "09:50:00"), *entries,
        ("mark", {"mark": "power-on", "at": day(number, "10:00:00")}),
        ("mark", {"mark": "power-off", "at": day(number, off)}),
    )  # fmt: skip


def fitted(part: str, to: str, number: int, **more):
    entry = ("fitted", {"part": part, "to": to, "at": day(number, "09:55:00"), **more})
    return record(f"puffin-work-202506{number:02}-aaaa", day(number, "09:00:00"), entry, kind="work")


def lives(*records, documents=None, named=None):
    found = part_lives(documents or {}, records, ["puffin"], named or {}, NOW)
    return {life.part: life for life in found}


def test_running_time_is_from_power_on_to_power_off():
    assert running_s(dive(3, 40)) == 40 * 60


def test_power_that_nobody_marked_off_lasts_to_the_last_entry_and_is_named():
    left_on = record(
        "puffin-20250603-aaaa", day(3),
        ("mark", {"mark": "power-on", "at": day(3, "10:00:00")}),
        ("note", {"text": "x", "at": day(3, "10:12:00")}),
        closed=False,
    )  # fmt: skip
    stretch = powered(left_on)[0]
    assert stretch.is_open
    assert stretch.duration_s == 12 * 60


def test_a_clock_that_goes_back_is_overruled_by_the_steady_one():
    back = record(
        "puffin-20250603-aaaa", day(3),
        ("mark", {"mark": "power-on", "at": day(3, "10:30:00")}),
        ("mark", {"mark": "power-off", "at": day(3, "10:00:00")}),
    )  # fmt: skip
    assert running_s(back) == 1.0  # the entries of a test stand a second apart on the steady clock


def test_a_part_gathers_the_hours_of_the_dives_it_was_fitted_on():
    life = lives(dive(1, 30), fitted("seals", "puffin main", 2), dive(3, 40), dive(4, 20))["seals"]
    assert life.hours == pytest.approx(1.0)
    assert life.now.dives == 2
    assert life.now.vehicle == "puffin"


def test_hours_at_entry_are_counted_with_them():
    documents = {"seals": {"kind": "seal-set", "hours_at_entry": 12.5}}
    assert lives(fitted("seals", "puffin main", 2), dive(3, 30), documents=documents)["seals"].hours == 13.0


def test_another_part_in_the_same_place_ends_the_stay():
    found = lives(fitted("red", "tether", 1), dive(2, 30), fitted("blue", "tether", 3), dive(4, 60))
    assert found["red"].hours == pytest.approx(0.5)
    assert found["red"].now is None
    assert found["blue"].hours == pytest.approx(1.0)


def test_replaces_ends_the_stay_of_what_came_off():
    found = lives(
        fitted("red", "puffin old lead", 1), fitted("blue", "puffin new lead", 3, replaces="red"), dive(4, 60)
    )
    assert found["red"].hours == 0.0
    assert found["red"].now is None


def test_a_part_fitted_during_a_dive_gets_the_rest_of_that_dive():
    during = record(
        "puffin-20250603-aaaa", day(3),
        ("mark", {"mark": "power-on", "at": day(3, "10:00:00")}),
        ("fitted", {"part": "fuse", "to": "puffin fuse holder", "at": day(3, "10:20:00")}),
        ("mark", {"mark": "power-off", "at": day(3, "10:50:00")}),
    )  # fmt: skip
    assert lives(during)["fuse"].hours == pytest.approx(0.5)


def test_a_part_that_is_lent_gathers_no_hours_of_ours_and_says_where_it_is():
    found = lives(
        fitted("red", "tether", 1), dive(2, 30), fitted("red", "lent to the harbour school", 3), dive(4, 60)
    )
    life = found["red"]
    assert life.hours == pytest.approx(0.5)
    assert life.now.is_lent
    assert life.now.to == "lent to the harbour school"
    back = lives(
        fitted("red", "lent to the harbour school", 3), fitted("red", "puffin tether", 5), dive(6, 60)
    )["red"]
    assert back.hours == pytest.approx(1.0)
    assert not back.now.is_lent


@pytest.mark.parametrize(
    ("to", "lent"),
    [("lent to Wharf team", True), ("on loan to x", True), ("puffin", False), ("silent mount", False)],
)
def test_lending_is_known_by_how_the_words_begin(to, lent):
    assert is_lent(to) == lent


def test_a_part_that_only_the_configuration_names_counts_the_dives_that_flew_it():
    named = {"puffin-20250602-aaaa": {"battery-a": "supply"}}
    documents = {"battery-a": {"kind": "battery"}}
    life = lives(dive(1, 30), dive(2, 45), documents=documents, named=named)["battery-a"]
    assert life.hours == pytest.approx(0.75)
    assert life.now.is_from_files


def test_due_by_hours_counts_from_the_hours_at_which_it_was_last_done():
    documents = {
        "seals": {"kind": "seal-set", "due": [{"what": "seals", "every_hours": 2, "last_hours": 0.5}]}
    }
    due = lives(fitted("seals", "puffin", 1), dive(2, 60), dive(3, 60), documents=documents)["seals"].due[0]
    assert due.left_h == pytest.approx(0.5)
    assert due.state == "not yet"


def test_due_by_days_is_past_once_the_day_is_reached():
    rows = [
        {"what": "a", "every_days": 19, "last": "2025-06-01"},
        {"what": "b", "every_days": 20, "last": "2025-06-01"},
        {"what": "c", "every_days": 90}, {"what": "d", "every_days": 90, "last": "2025-06-01"},
    ]  # fmt: skip
    due = lives(documents={"red": {"kind": "tether", "due": rows}})["red"].due
    assert [d.state for d in due] == ["past due", "soon", "not known", "not yet"]
    assert [d.left_days for d in due] == [0.0, 1.0, None, 71.0]


@given(st.lists(st.sampled_from(["red", "blue", "dive"]), max_size=12))
def test_parts_that_take_turns_on_one_place_never_share_an_hour(steps):
    records, whole = [], 0.0
    for number, step in enumerate(steps, start=1):
        records.append(dive(number, 30) if step == "dive" else fitted(step, "tether", number))
        whole += 0.5 if step == "dive" else 0.0
    found = lives(*records)
    together = sum(life.hours for life in found.values())
    fitted_before = next((n for n, s in enumerate(steps) if s != "dive"), len(steps))
    assert together == pytest.approx(0.5 * sum(s == "dive" for s in steps[fitted_before:]))
    assert together <= whole + 1e-9


def test_the_use_case_finds_parts_by_the_nearest_name():
    logbook = fill(fake_book())
    assert part_history(logbook, "seals-grebe").hours == pytest.approx(0.5 + 0.5 + 23 / 60)
    with pytest.raises(UsageError, match="seals-greb"):
        part_history(logbook, "seals-greb")


def test_a_part_file_that_is_broken_is_named_and_hides_no_other():
    logbook = fill(fake_book())
    logbook.book.files.tree["parts/broken.yaml"] = b"format: rovlog/part/1\npart: broken\n"
    found, notes = part_histories(logbook)
    assert len(found) == 8
    assert len(notes) == 1
    assert "parts/broken.yaml" in notes[0]


def test_status_accounting_gathers_approved_open_waived_and_due():
    status = status_accounting(fill(fake_book()))
    grebe = next(v for v in status.vehicles if v.vehicle == "grebe")
    assert grebe.in_force.approval.revision == 1
    assert grebe.open_records == ("grebe-20260516-test",)
    assert [w.what for w in grebe.waivers] == ["recording"]
    assert grebe.quarantine is not None
    assert "seals-grebe" in {life.part for life in grebe.parts}
    assert "tether-spare" in {life.part for life in status.other_parts}
