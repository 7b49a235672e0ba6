"""The timeline of a box and of a part, and what each change since a dive does, over a small logbook."""

from __future__ import annotations

import json

import pytest
from fakes import fake_book
from team_logbook import fill

from rovlog.domain.drift.leaves import with_value
from rovlog.faces.reports.audit_text import between_text
from rovlog.faces.reports.since_text import since_data
from rovlog.faces.reports.timeline_text import timeline_text
from rovlog.problems import UsageError
from rovlog.usecases.audit_history import vehicle_history
from rovlog.usecases.audit_questions import last_good
from rovlog.usecases.audit_timeline import timeline_for_box, timeline_for_part, timeline_for_vehicle
from rovlog.usecases.changes_since import changes_since
from rovlog.usecases.dive_steps import correct


@pytest.fixture(scope="module")
def logbook():
    return fill(fake_book())


def test_a_box_has_the_dives_flown_with_it_and_not_those_of_another_box(logbook):
    amber = timeline_for_box(logbook, "amber-box")
    slate = timeline_for_box(logbook, "slate-box")
    assert {m.record for m in amber.moments if m.kind == "dive"} == {
        r.id for r in logbook.records("grebe", ("dive",))
    }
    assert {m.record for m in slate.moments if m.kind == "dive"} == {
        r.id for r in logbook.records("wigeon", ("dive",))
    }


def test_a_part_has_where_it_was_fitted_and_the_dives_since(logbook):
    found = timeline_for_part(logbook, "seals-grebe").moments
    assert [m.kind for m in found[:2]] == ["work", "fitted"]
    assert {m.record for m in found if m.kind == "dive"} == {
        r.id for r in logbook.records("grebe", ("dive",))
    }


def test_a_part_that_went_to_somebody_else_has_no_dives_of_ours(logbook):
    found = timeline_for_part(logbook, "tether-spare").moments
    assert [m.text for m in found if m.kind == "fitted"] == [
        "tether-spare fitted as lent to the harbour school"
    ]
    assert not [m for m in found if m.kind == "dive"]


def test_an_interval_may_be_days_or_times(logbook):
    of_day = timeline_for_vehicle(logbook, "grebe", "2026-05-09", "2026-05-09").moments
    assert {m.record for m in of_day} == {"grebe-20260509-test"}
    fault = next(m for m in of_day if m.kind == "fault")
    assert fault in timeline_for_vehicle(logbook, "grebe", fault.at, fault.at).moments


@pytest.mark.parametrize(
    ("ask", "known"), [(timeline_for_box, "amber-box"), (timeline_for_part, "seals-grebe")]
)
def test_an_unknown_subject_is_refused_with_the_nearest(logbook, ask, known):
    with pytest.raises(UsageError) as refused:
        ask(logbook, known[:-1])
    assert known in str(refused.value.mend)


def test_a_time_that_was_agreed_with_another_clock_can_be_noted_and_is_shown():
    logbook = fill(fake_book())
    dive = logbook.record("grebe-20260509-test")
    fault = dive.of_kind("fault")[0]
    correct(logbook, dive, fault.id, {"clock": "agreed"}, by="runa", reason="the pool's clock said the same")
    found = timeline_for_vehicle(logbook, "grebe", "2026-05-09", "2026-05-09").moments
    assert [m.clock for m in found if m.kind == "fault"] == ["agreed"]
    assert "= time agreed with another clock" in timeline_text(found, str)


def test_every_change_since_the_last_good_dive_is_told_with_its_effect_and_whether_it_was_approved(logbook):
    found = last_good(logbook, "grebe", "yaw-reversed")
    assert found.since is not None
    changes = changes_since(found.history, found.since)
    (trim,) = changes.rows
    assert (trim.pointer, trim.revision, trim.was_in_force, trim.said_by) == (
        "/trim_defaults/heave", None, False, "trim",
    )  # fmt: skip
    assert "with the sticks at rest" in trim.effect.text
    text = between_text(found.since, str, changes)
    assert "never approved; trimmed by the pilot" in " ".join(text.split())
    data = since_data(changes)
    assert json.loads(json.dumps(data))["changes"][0]["approved"] is False
    assert data["together"]["text"] == trim.effect.text


def test_all_changes_together_may_do_what_none_does_alone(logbook):
    """Two senses turned round cancel each other, each alone does not."""
    from dataclasses import replace

    from rovlog.domain.audit.between import between

    history = vehicle_history(logbook, "grebe", with_changes=False)
    flights = list(history.flights.flights)
    base = flights[0].as_flown.resolved
    control = next(
        c for c, rows in base["steering_scheme"]["controls"].items() if rows[0]["drives"] == "surge"
    )
    pointer = f"/steering_scheme/controls/{control}/0/reversed"
    turned = with_value(
        base, pointer, not base["steering_scheme"]["controls"][control][0].get("reversed", False)
    )
    shares = base["thruster_map"]["shares"]["surge"]
    for channel, share in shares.items():
        turned = with_value(turned, f"/thruster_map/shares/surge/{channel}", -share)
    flights[1] = replace(flights[1], as_flown=replace(flights[1].as_flown, resolved=turned))
    changed = replace(history, flights=replace(history.flights, flights=tuple(flights)))
    found = between(changed.flights, flights[0].dive, flights[1].dive)
    assert found is not None
    changes = changes_since(changed, found)
    alone = next(r for r in changes.rows if r.pointer == pointer)
    assert "surge" in alone.effect.reversed
    assert changes.together is not None
    assert "surge" not in changes.together.reversed
