"""Dives in order, the life of a field, two dives side by side, the last known good, the time line."""

from __future__ import annotations

from diving import day, record
from drifting import resolved, tables

from rovlog.domain.audit.between import between
from rovlog.domain.audit.evidence import evidence_from
from rovlog.domain.audit.flights import flights_of
from rovlog.domain.audit.flown import as_flown
from rovlog.domain.audit.history import ApprovalNote, Change, field_history, flown
from rovlog.domain.audit.known_good import last_known_good
from rovlog.domain.audit.timeline import timeline
from rovlog.domain.drift.leaves import with_value

BASE = resolved()
HEAVY = with_value(BASE, "/hull/mass_kg", 6.4)
WET = ("mark", {"mark": "in-water"})


def fault(symptom="heave-reversed", **more):
    return ("fault", {"symptom": symptom, **more})


def logbook(*records, later=()):
    ids = {r.id for r in later}
    return flights_of(
        [*records, *later],
        {
            r.id: as_flown(HEAVY if r.id in ids else BASE, r, tables())
            for r in (*records, *later)
            if r.kind == "dive"
        },
    )


def test_work_between_dives_belongs_to_the_next_dive():
    work = record("work-1", day(2), ("event", {"event": "connector-parted", "part": "tail"}), kind="work")
    found = logbook(record("d2", day(3)), record("d1", day(1)), work)
    assert [f.dive for f in found.flights] == ["d1", "d2"]
    assert [h.what for h in found.flights[1].before] == ["work-1", "connector-parted"]


def test_an_event_after_the_fault_is_not_before_it():
    found = logbook(record("d1", day(1), WET, fault(), ("event", {"event": "knocked"})))
    assert found.flights[0].before == ()
    assert [h.what for h in found.flights[0].after] == ["knocked"]


def test_parts_stay_fitted_until_something_takes_their_place():
    found = logbook(
        record("d1", day(1), ("fitted", {"part": "battery-a", "to": "supply"})),
        record("d2", day(2)),
        record("d3", day(3), ("fitted", {"part": "battery-b", "to": "supply", "replaces": "battery-a"})),
    )
    assert [f.parts for f in found.flights] == [
        {"supply": "battery-a"}, {"supply": "battery-a"}, {"supply": "battery-b"},
    ]  # fmt: skip


def test_a_dive_recorded_twice_counts_once_and_an_unclosed_one_counts():
    twin = record("d1-again", day(1), ("same-as", {"record": "d1", "reason": "two laptops"}), closed=False)
    found = logbook(record("d1", day(1), closed=False), twin)
    assert [f.dive for f in found.flights] == ["d1"]
    assert found.notes == (
        "d1-again is the same as d1 and is counted once",
        "d1 was never closed; it is counted as it stands",
    )


def test_dives_with_a_value_are_found_by_number_or_as_typed():
    found = logbook(record("d1", day(1)), later=[record("d2", day(2))])
    assert [r.dive for r in flown(found, "/hull/mass_kg", 6.4)] == ["d2"]
    assert [r.dive for r in flown(found, "/hull/mass_kg", "6.25")] == ["d1"]
    assert len(flown(found, "/hull/mass_kg")) == 2


def test_a_fields_life_tells_written_approved_and_first_in_the_water_apart():
    change = Change("c0ffee", "tomas", day(2), "More ballast", (("/hull/mass_kg", 6.25, 6.4),))
    approvals = [
        ApprovalNote(1, "sha256:aa", day(1, "08:00:00"), "ada", "first", BASE),
        ApprovalNote(2, "sha256:bb", day(3), "ada", "weighed", HEAVY),
    ]
    found = logbook(record("d1", day(1)), later=[record("d2", day(4)), record("d3", day(5))])
    old, new = field_history(found, "/hull/mass_kg", [change], approvals)
    assert (old.value, old.revision, old.dives) == (6.25, 1, ("d1",))
    assert (new.value, new.at, new.commit, new.by) == (6.4, day(2), "c0ffee", "tomas")
    assert (new.revision, new.approved_at, new.first_dive, new.first_in_water) == (2, day(3), "d2", day(4))
    assert new.dives == ("d2", "d3")


def test_a_value_that_no_file_ever_held_is_named_by_its_source():
    found = logbook(record("d1", day(1), ("trim", {"trim": {"heave": 0.2}}), WET))
    (row,) = field_history(found, "/trim_defaults/heave", [], [])
    assert (row.value, row.source, row.commit, row.revision) == (0.2, "trim", "", None)


def test_two_dives_side_by_side_tell_all_that_changed_and_happened():
    first = record("d1", day(1), ("fitted", {"part": "battery-a", "to": "supply"}), WET)
    middle = record("d2", day(2), WET, fault(), ("event", {"event": "knocked"}))
    start = {"site": "quarry", "crew": {"pilot": "yuki"}, "water": {"kind": "fresh"}}
    last = record("d3", day(3), ("start", start), ("fitted", {"part": "battery-b", "to": "supply"}))
    found = between(logbook(first, middle, later=[last]), "d1", "d3")
    assert found is not None
    assert found.configuration == (("/hull/mass_kg", 6.25, 6.4),)
    assert found.parts == (("supply", "battery-a", "battery-b"),)
    assert found.crew == (("pilot", "ines", "yuki"),)
    assert found.place == (("site", "lido", "quarry"),)
    assert [h.what for h in found.happenings] == ["knocked"]
    assert [f.symptom for f in found.faults] == ["heave-reversed"]
    assert found.dives_between == ("d2",)


def test_two_dives_of_which_one_is_not_there_give_nothing():
    assert between(logbook(record("d1", day(1))), "d1", "d9") is None


def test_the_last_known_good_is_the_latest_dive_with_evidence_and_names_better_evidence():
    tested = record("d1", day(1), ("check", {"item": "direction-pattern", "outcome": "pass"}), WET)
    untested = record("d2", day(2), WET)
    failed = record("d3", day(3), ("check", {"item": "direction", "outcome": "fail"}), WET)
    faulty = record("d4", day(4), WET, fault())
    records = {r.id: r for r in (tested, untested, failed, faulty)}
    found = last_known_good(
        logbook(*records.values()), "heave-reversed", evidence_from(records, "heave-reversed")
    )
    assert found is not None
    assert (found.dive, found.grade, found.fault_dive) == ("d2", "nothing logged", "d4")
    assert found.better is not None
    assert found.better[:2] == ("d1", "measured")


def test_an_observation_that_disagrees_is_no_evidence_and_one_that_agrees_is():
    pushes = [record(f"d{i}", day(i), ("observation", {"push": {}, "seen": {}}), WET) for i in (1, 2)]
    faulty = record("d3", day(3), WET, fault())
    records = {r.id: r for r in (*pushes, faulty)}
    book = logbook(*records.values())
    found = last_known_good(
        book, "heave-reversed", evidence_from(records, "heave-reversed", lambda r, _: r.id == "d1")
    )
    assert found is not None
    assert (found.dive, found.grade) == ("d1", "observed")


def test_a_fault_on_the_bench_counts_from_its_time():
    bench = record("work-1", day(2), fault(), kind="work")
    records = {r.id: r for r in (record("d1", day(1), WET), record("d2", day(3), WET), bench)}
    found = last_known_good(
        logbook(*records.values()), "heave-reversed", evidence_from(records, "heave-reversed")
    )
    assert found is not None
    assert (found.dive, found.fault_dive, found.first_fault.record) == ("d1", "", "work-1")


def test_a_symptom_never_logged_has_no_last_known_good():
    assert last_known_good(logbook(record("d1", day(1))), "surge-dead", lambda _: None) is None


def test_the_time_line_interleaves_everything_and_keeps_the_order_within_a_record():
    dive = record(
        "d1", day(2), ("mark", {"mark": "in-water", "at": day(2, "10:10:00")}),
        fault(at=day(2, "09:00:00"), text="sank instead of rising"),
    )  # fmt: skip
    work = record("work-1", day(1), kind="work")
    change = Change("c0ffee", "tomas", day(2, "10:05:00"), "More ballast", (("/hull/mass_kg", 6.25, 6.4),))
    approval = ApprovalNote(1, "sha256:ab12", day(1, "18:00:00"), "ada", "first", BASE, "wrong fuse", day(3))
    found = timeline([dive, work], [change], [approval])
    assert [m.kind for m in found] == [
        "work", "close", "approval", "dive", "change", "mark", "fault", "close", "withdrawal",
    ]  # fmt: skip
    assert [m.kind for m in found if m.is_jump] == ["fault", "close"]
    assert found[4].text == "More ballast (hull mass: 6.25 kg to 6.4 kg)"


def test_the_time_line_can_be_cut_to_an_interval_and_kinds():
    records = [record(f"d{i}", day(i)) for i in (1, 2, 3)]
    found = timeline(records, since="2025-06-02", until="2025-06-02", kinds=("dive",))
    assert [m.record for m in found] == ["d2"]


def test_a_time_that_cannot_be_read_is_kept_at_the_end_and_marked():
    found = timeline([record("d1", "some day in June", ("note", {})), record("d2", day(1))])
    assert [m.record for m in found if m.kind == "dive"] == ["d2", "d1"]
    assert all(m.is_jump for m in found if m.record == "d1" and m.kind == "close")


def test_the_grade_of_a_clock_is_told():
    dive = record("d1", day(1), ("mark", {"mark": "in-water", "clock": "memory"}))
    assert [m.clock for m in timeline([dive])] == ["own", "memory", "own"]
