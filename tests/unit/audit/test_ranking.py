"""Suspects after a fault: which candidates there are, how they are ranked, how sure that is, what to try."""

from __future__ import annotations

import math

import pytest
from diving import day, record
from drifting import PHYSICS, resolved, tables
from hypothesis import assume, given
from hypothesis import strategies as st

from rovlog.domain.audit.flights import flights_of
from rovlog.domain.audit.flown import as_flown
from rovlog.domain.audit.history import Change
from rovlog.domain.audit.plausibility import EVENT_SHARE, event_plausibility
from rovlog.domain.audit.ranking import rank_suspects
from rovlog.domain.audit.score import Weighed, day_weights, log_weight, log_weight_of_none, shares
from rovlog.domain.audit.suspects import suspects_in
from rovlog.domain.drift.leaves import with_value

BASE = resolved()
TURNED = with_value(BASE, "/steering_scheme/controls/right-stick-y/0/reversed", True)
HEAVY = with_value(BASE, "/hull/mass_kg", 6.4)
BOTH = with_value(TURNED, "/hull/mass_kg", 6.4)


def fault(symptom="heave-reversed"):
    return ("fault", {"symptom": symptom})


def logbook(*rows):
    """Each row is a record, or a record with the resolved object it flew with."""
    pairs = [row if isinstance(row, tuple) else (row, BASE) for row in rows]
    flown = {r.id: as_flown(o, r, tables()) for r, o in pairs if r.kind == "dive"}
    return flights_of([r for r, _ in pairs], flown)


def dives(first, count, *entries, flown=BASE):
    return [(record(f"d{i:02}", day(i), *entries), flown) for i in range(first, first + count)]


def test_the_change_that_computation_confirms_comes_before_another_one_of_the_same_dives():
    found = rank_suspects(
        logbook(*dives(1, 5), *dives(6, 3, fault(), flown=BOTH)), "heave-reversed", (), PHYSICS
    )
    first = found.ranked[0]
    assert first.suspect.pointer == "/steering_scheme/controls/right-stick-y/0/reversed"
    assert first.plausibility == 1.0
    assert [(r.suspect.pointer, r.plausibility) for r in first.grouped_with] == [("/hull/mass_kg", 0.0)]
    assert (first.with_symptom, first.without_symptom, first.ochiai, first.tarantula) == (3, 0, 1.0, 1.0)
    assert first.p == pytest.approx(1 / math.comb(8, 3))
    assert "heave answers the opposite way to before" in first.text


def test_the_commit_that_brought_the_value_in_is_named():
    change = Change("c0ffee", "tomas", day(5), "More ballast", (("/hull/mass_kg", 6.25, 6.4),))
    found = rank_suspects(logbook(*dives(1, 4), *dives(6, 2, fault(), flown=HEAVY)), None, [change])
    assert found.ranked[0].suspect.commit == "c0ffee"


def test_a_refit_whose_work_no_file_shows_is_a_suspect_with_its_events():
    parted = ("event", {"event": "connector-parted", "text": "tail plug"})
    refit = record("puffin-work-1", day(8), ("start", {"purpose": "refit of the tail"}), parted, kind="work")
    book = logbook(*dives(1, 7), refit, *dives(9, 2, fault("yaw-dead")))
    found = rank_suspects(book, "yaw-dead", (), PHYSICS)
    first = found.ranked[0]
    assert {first.suspect.slug, *(r.suspect.slug for r in first.grouped_with)} == {"work", "connector-parted"}
    assert first.suspect.kind == "event"
    assert first.plausibility == pytest.approx(0.6)  # two channels swapped leave no yaw
    assert found.experiment is not None
    assert found.experiment.where == "bench"
    assert any("2 changes flew on exactly the same dives" in s for s in found.certainty)


def test_a_value_put_back_is_in_force_in_between_and_the_old_one_only_from_its_return():
    book = logbook(*dives(1, 3), *dives(4, 2, flown=HEAVY), *dives(6, 2))
    by_value = {s.after: s.in_force for s in suspects_in(book) if s.pointer == "/hull/mass_kg"}
    assert by_value == {6.4: {3, 4}, 6.25: {5, 6}}


def test_what_a_changed_number_brings_is_not_a_suspect_of_its_own():
    read = ("readback", {"box": "quay-box", "firmware": "0.7", "in_use": {"steering_scheme": 4}})
    book = logbook(*dives(1, 3), *dives(4, 2, read, fault("surge-reversed")))
    found = [s for s in suspects_in(book) if s.kind == "value"]
    assert [s.pointer for s in found] == ["/control_box/steering_scheme"]
    assert rank_suspects(book, "surge-reversed", (), PHYSICS).ranked[0].plausibility == 1.0


def test_people_places_and_parts_are_suspects_too():
    start = {"site": "quarry", "crew": {"pilot": "yuki"}, "water": {"kind": "salt"}}
    strange = record("d04", day(4), ("start", start), ("fitted", {"part": "seal-b", "to": "tail"}), fault())
    found = rank_suspects(logbook(*dives(1, 3), strange), None)
    first = found.ranked[0]
    kinds = {first.suspect.kind, *(r.suspect.kind for r in first.grouped_with)}
    assert kinds == {"crew", "place", "part"}
    assert {r.suspect.what for r in first.grouped_with} | {first.suspect.what} == {
        "yuki as pilot", "at quarry", "in salt water", "part seal-b fitted as tail",
    }  # fmt: skip


def test_the_same_event_at_the_same_part_replaces_the_earlier_one():
    parted = ("event", {"event": "connector-parted", "part": "tail"})
    book = logbook(*dives(1, 1), *dives(2, 1, parted), *dives(3, 1), *dives(4, 1, parted), *dives(5, 1))
    assert [sorted(s.in_force) for s in suspects_in(book) if s.kind == "event"] == [[1, 2], [3, 4]]


def test_without_a_symptom_on_a_dive_there_is_nothing_to_rank_and_that_is_said():
    found = rank_suspects(logbook(*dives(1, 3)), "surge-dead")
    assert found.ranked == ()
    assert found.certainty == ("the symptom was never logged on a dive: there is nothing to rank",)


def test_what_never_flew_with_the_symptom_stands_behind_what_did():
    found = rank_suspects(
        logbook(*dives(1, 2), *dives(4, 1, fault(), flown=HEAVY), *dives(6, 4, flown=HEAVY), *dives(11, 1)),
        None,
    )
    never = [k for k, row in enumerate(found.ranked) if not row.with_symptom]
    ever = [k for k, row in enumerate(found.ranked) if row.with_symptom]
    assert ever
    assert not never or max(ever) < min(never)
    assert all(found.ranked[k].plausibility == 0.0 for k in never)


def test_few_dives_are_said_not_to_separate_what_is_close():
    one, two = with_value(BASE, "/limits/a", 1), with_value(BASE, "/limits/b", 2)
    both = with_value(one, "/limits/b", 2)
    ill = [
        *dives(7, 1, fault(), flown=one),
        *dives(8, 1, fault(), flown=both),
        *dives(9, 1, fault(), flown=two),
    ]
    rows = [*dives(1, 6), *ill]
    found = rank_suspects(logbook(*rows), None)
    assert any(s.startswith("3 dives with the symptom cannot separate the first 2") for s in found.certainty)


def test_dives_of_one_day_are_said_to_depend_on_each_other():
    rows = [
        (record(f"d{i}", day(1 + i // 3), *([fault()] if i > 5 else [])), HEAVY if i > 5 else BASE)
        for i in range(9)
    ]
    found = rank_suspects(logbook(*rows), None)
    assert any("9 dives on 3 days, the symptom on 1 of these" in s for s in found.certainty)
    assert day_weights(["a", "a", "b"]) == pytest.approx([1 / 1.2, 1 / 1.2, 1.0])


def test_a_dive_of_unknown_configuration_is_named():
    rows = [*dives(1, 3), *dives(4, 2, fault(), flown=HEAVY)]
    book = flights_of([r for r, _ in rows], {r.id: as_flown(o, r) for r, o in rows if r.id != "d02"})
    assert any("the configuration of d02 is not known" in n for n in rank_suspects(book, None).notes)


def test_scores_of_all_suspects_and_of_none_of_them_add_up_to_one():
    found = rank_suspects(logbook(*dives(1, 5), *dives(6, 3, fault(), flown=BOTH)), None)
    every = [r for group in found.ranked for r in (group, *group.grouped_with)]
    assert math.fsum([found.none, *(r.score for r in every)]) == pytest.approx(1.0)


@pytest.mark.parametrize(
    ("symptom", "slug", "share", "expected"),
    [
        ("yaw-dead", "connector-parted", 1.0, 0.6),
        ("yaw-dead", "connector-parted", None, 0.5),
        ("yaw-dead", "load-changed", 1.0, 0.1),
        ("sinks", "load-changed", None, 0.5),
        ("fuse-opened", "supply-swapped", None, 0.5),
        ("odd-noise", "connector-parted", 1.0, 0.5),
        ("yaw-dead", "own-slug", 1.0, 0.5),
    ],
)
def test_events_are_plausible_by_what_they_can_disturb(symptom, slug, share, expected):
    assert event_plausibility(symptom, slug, share, EVENT_SHARE) == pytest.approx(expected)


@pytest.mark.parametrize(
    ("pointer", "value", "symptom", "expected"),
    [
        ("/steering_scheme/controls/right-stick-y/0/reversed", True, "heave-reversed", 1.0),
        ("/steering_scheme/controls/right-stick-y/0/reversed", True, "heave-dead", 1 - 9 / 11),
        ("/steering_scheme/controls/right-stick-y/0/reversed", True, "surge-reversed", 0.0),
        ("/steering_scheme/controls/right-stick-y/0/full_stick", 0.5, "heave-weak", 1.0),
        ("/electrical/tether/length_m", 60, "heave-weak", 0.5),
        ("/hull/mass_kg", 6.35, "sinks", 0.981),  # 0.1 kg is 0.981 N of the 1 N that explains it fully
        ("/hull/mass_kg", 6.35, "rises", 0.0),
        ("/hull/mass_kg", 6.35, "odd-noise", 0.5),
        ("/electrical/fuse/rating_a", 10, "fuse-opened", 1.0),
        ("/electrical/fuse/rating_a", 30, "fuse-opened", 0.0),
    ],
)
def test_a_value_is_plausible_by_the_share_of_the_symptom_it_reproduces(pointer, value, symptom, expected):
    changed = with_value(BASE, pointer, value)
    rows = [*dives(1, 4), *dives(5, 2, fault(symptom), flown=changed)]
    found = rank_suspects(logbook(*rows), symptom, (), PHYSICS)
    assert found.ranked[0].plausibility == pytest.approx(expected, abs=2e-3)


COUNT = st.floats(0, 30)


@given(COUNT, COUNT, COUNT, COUNT)
def test_of_two_changes_with_as_many_dives_the_one_with_more_symptoms_weighs_more(a, b, c, d):
    assume(a * (c + 1 + d) >= (c + 1) * (a + b + 1))
    less = log_weight(Weighed(a, b + 1, c + 1, d), 0.5, 0)
    more = log_weight(Weighed(a + 1, b, c, d + 1), 0.5, 0)
    assert more > less


@given(st.dictionaries(st.integers(), st.floats(-500, 50), max_size=6), st.floats(-500, 50))
def test_shares_add_up_to_one_however_far_apart_the_weights_lie(logs, log_none):
    found, none = shares(logs, log_none)
    assert math.fsum([none, *found.values()]) == pytest.approx(1.0)


def test_without_any_evidence_none_of_them_weighs_what_it_is_stated_to():
    assert log_weight_of_none(0, 0) == pytest.approx(math.log(0.5))
    assert log_weight(Weighed(0, 0, 0, 0), 0.45, 0) == pytest.approx(math.log(0.5))
