"""Plausibility of events that name thrusters: only what was in the same hands can have been swapped."""

from __future__ import annotations

import pytest
from diving import day, record
from drifting import PHYSICS, resolved, tables

from rovlog.domain.audit.flights import flights_of
from rovlog.domain.audit.flown import as_flown
from rovlog.domain.audit.plausibility import ELSEWHERE_SHARE, EVENT_SHARE, NAMED_SHARE
from rovlog.domain.audit.ranking import rank_suspects
from rovlog.domain.audit.wiring import best_fault_in_hand, greatest_wiring_share, thrusters_named
from rovlog.domain.drift.effect import reference_of
from rovlog.domain.drift.leaves import with_value

BASE = resolved()
REFERENCE = reference_of(BASE, PHYSICS)


def parted(*parts):
    return [("event", {"event": "connector-parted", "part": part}) for part in parts]


def ranked(*events, symptom="yaw-dead", purpose="refit"):
    dives = [record(f"d{i:02}", day(i)) for i in range(1, 6)]
    work = record("puffin-work-1", day(6), ("start", {"purpose": purpose}), *events, kind="work")
    faulty = [record(f"d{i:02}", day(i), ("fault", {"symptom": symptom})) for i in (7, 8)]
    flown = {r.id: as_flown(BASE, r, tables()) for r in (*dives, *faulty)}
    found = rank_suspects(flights_of([*dives, work, *faulty], flown), symptom, (), PHYSICS)
    rows = [r for group in found.ranked for r in (group, *group.grouped_with)]
    return {r.suspect.part or r.suspect.slug: r for r in rows if r.suspect.kind == "event"}, found


def test_a_parted_pair_whose_swap_brings_the_symptom_is_more_plausible_than_a_plug_elsewhere():
    rows, _ = ranked(*parted("bow-port", "bow-starboard", "pad-1"))
    pair, elsewhere = rows["bow-port"], rows["pad-1"]
    fault = best_fault_in_hand(
        "yaw-dead", REFERENCE, PHYSICS, "connector-parted", ["bow-port"], ["bow-starboard"]
    )
    assert fault is not None
    assert pair.plausibility == pytest.approx(NAMED_SHARE * fault.weighed)
    general = greatest_wiring_share("yaw-dead", REFERENCE, PHYSICS)
    assert general is not None
    assert elsewhere.plausibility == pytest.approx(ELSEWHERE_SHARE * general)
    assert pair.plausibility > elsewhere.plausibility
    assert "the leads of bow-port and bow-starboard swapped would bring" in pair.fault


def test_a_plug_parted_alone_cannot_have_been_swapped():
    alone = best_fault_in_hand("yaw-dead", REFERENCE, PHYSICS, "connector-parted", ["bow-port"], [])
    pair = best_fault_in_hand(
        "yaw-dead", REFERENCE, PHYSICS, "connector-parted", ["bow-port"], ["bow-starboard"]
    )
    assert alone is not None
    assert pair is not None
    assert "swapped" not in alone.text
    assert alone.share < pair.share


def test_a_plug_whose_leads_have_nothing_to_do_with_the_symptom_is_cleared_by_computation():
    lift = next(name for name in BASE["thrusters"] if name.startswith("lift"))
    rows, _ = ranked(*parted(lift))
    assert rows[lift].plausibility == pytest.approx(0.0)
    assert rows[lift].fault == ""


def test_work_is_as_plausible_as_the_likeliest_thing_done_in_it_and_comes_first_of_equals():
    rows, found = ranked(*parted("bow-port", "bow-starboard"))
    assert rows["work"].plausibility == pytest.approx(rows["bow-port"].plausibility)
    assert found.ranked[0].suspect.slug == "work"
    assert found.ranked[0].group_score == pytest.approx(
        found.ranked[0].score + sum(r.score for r in found.ranked[0].grouped_with)
    )


def test_the_next_experiment_is_a_single_change_never_a_whole_piece_of_work():
    _, found = ranked(*parted("bow-port", "bow-starboard"))
    assert found.experiment is not None
    assert found.experiment.deed.startswith(
        "see whether it is the leads of bow-port and bow-starboard swapped"
    )
    assert found.experiment.where == "bench"
    assert found.experiment.if_to_blame < found.experiment.if_not


def test_work_of_which_nothing_is_told_is_the_experiment_where_there_is_nothing_finer():
    _, found = ranked(purpose="somebody looked inside")
    assert found.experiment is not None
    assert found.experiment.what.startswith("somebody looked inside")


def test_the_tether_carries_every_lead_and_counts_as_an_event_that_names_none():
    rows, _ = ranked(*parted("tether"))
    general = greatest_wiring_share("yaw-dead", REFERENCE, PHYSICS)
    assert general is not None
    assert rows["tether"].plausibility == pytest.approx(EVENT_SHARE * general)


@pytest.mark.parametrize(
    ("part", "named"),
    [
        ("bow-port", ("bow-port",)),
        ("channel-1", tuple(n for n, t in BASE["thrusters"].items() if t["channel"] == 1)),
        ("channel 1", tuple(n for n, t in BASE["thrusters"].items() if t["channel"] == 1)),
        ("propeller-7", ("bow-port",)),
        ("1", ()),
        ("pad-1", ()),
        ("", ()),
    ],
)
def test_a_part_names_thrusters_by_id_by_channel_or_by_their_own_part(part, named):
    fitted = with_value(BASE, "/thrusters/bow-port/part", "propeller-7")
    assert thrusters_named(part, fitted) == named
