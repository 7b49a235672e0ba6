"""From files and records to a diagnosis in words."""

import json

import pytest
from fakes import fake_book
from vehicles import puffin

from rovlog.domain.diagnosis.edits import Edit
from rovlog.domain.dive import Entry, Part, join_parts
from rovlog.faces.reports.diagnosis_text import diagnosis_data, diagnosis_text, explanation_words, push_words
from rovlog.problems import DocumentError, UsageError
from rovlog.usecases.configurations import named
from rovlog.usecases.diagnose import diagnose_file, diagnose_record, observations_in_force, trims_at
from rovlog.usecases.dive_steps import start_dive
from rovlog.usecases.logbook import Logbook
from rovlog.usecases.predict_push import predicted_push

FULL = {"bow-starboard": "ahead", "stern-starboard": "ahead", "stern-port": "ahead", "lift-port": "still"}


def logbook():
    documents = puffin()
    for thruster in documents.vehicle["thrusters"]:
        thruster["thrust_direction"] = [round(x, 4) for x in thruster["thrust_direction"]]
    documents.box["steering_schemes"][3] = {
        "name": "one stick",
        "controls": [
            {"control": "left-stick-y", "drives": "heave"},
            {"control": "right-stick-x", "drives": "sway"},
        ],
    }
    documents.box.update(baud=9600, restarts_on_open=True)
    tree = {
        "logbook.yaml": b"format: rovlog/logbook/1\npeople: {wren: {name: Wren, roles: [pilot]}}\n",
        "vehicles/puffin.yaml": json.dumps(documents.vehicle).encode(),
        "boxes/quay-box.yaml": json.dumps(documents.box).encode(),
        "thrusters/heron-50.yaml": json.dumps(documents.models["heron-50"]).encode(),
    }
    return Logbook(fake_book(tree))


def found(rows, **kwargs):
    return diagnose_file(
        logbook(), "puffin", json.dumps({"observations": rows}).encode(), "tub.json", **kwargs
    )


def test_a_file_of_observations_gives_the_ranking_as_data():
    rows = [{"push": {"left-stick-y": -1}, "seen": {"bow-port": "astern", **FULL}}]
    data = diagnosis_data(found(rows))
    assert data["ranked"][0]["edits"] == [{"edit": "reversed", "thruster": "bow-port"}]
    assert data["observations"] == 1
    assert data["next_push"]["expected_bits"] > 0
    shown = sum(row["posterior"] for row in data["ranked"])
    assert shown + data["left_out"]["posterior"] == pytest.approx(1.0)


def test_the_other_schemes_of_the_box_are_considered():
    data = diagnosis_data(found([]))
    assert any(row["edits"] == [{"edit": "wrong-steering-scheme", "number": 3}] for row in data["ranked"])


def test_the_words_say_what_speaks_for_it_and_begin_the_next_push():
    text = diagnosis_text(found([{"push": {"left-stick-y": -1}, "seen": {"bow-port": "astern", **FULL}}]))
    assert "bow-port runs backwards (leads crossed, or a propeller of the other hand)" in text
    assert "push 1: bow-port astern (recorded: ahead)" in text
    assert "Next push, in the water:" in text
    assert "never a hand" in text


def test_with_a_certain_fault_the_next_step_begins_with_isolating():
    pushes = [
        {c: end}
        for c in ("left-stick-y", "left-stick-x", "right-stick-y", "right-stick-x")
        for end in (-1, 1)
    ]
    resolved = named(logbook(), "puffin").resolved
    rows = []
    for push in pushes:
        seen = predicted_push(resolved, push)
        seen["bow-port"] = {"ahead": "astern", "astern": "ahead", "still": "still"}[seen["bow-port"]]
        rows.append({"push": push, "seen": seen})
    text = diagnosis_text(found(rows))
    assert "No further push" in text
    assert "thrusters isolated, supply off" in text


def test_pushes_are_called_out_by_place_and_share():
    assert (
        push_words((("left-stick-y", -1.0), ("right-stick-x", 0.3)))
        == "left stick forward, right stick right at 30 %"
    )


def test_nothing_wrong_and_other_have_words():
    assert explanation_words(()) == "nothing is wrong"
    assert "swapped" in explanation_words((Edit("swapped", channels=(1, 4)),))


@pytest.mark.parametrize(
    ("text", "rule"),
    [
        ("[]", "missing-key"),
        ("{observations: [3]}", "wrong-type"),
        ("{observations: [{push: {left-stick-y: fast}, seen: {}}]}", "wrong-type"),
        ("{observations: [{push: {left-stick-y: 1}}]}", "missing-key"),
        ("{observations: [{push: {left-stick-y: 1}, seen: {bow-port: 1}}]}", "wrong-type"),
        ("{observations: [{push: {left-stick-y: 1}, seen: {}, medium: damp}]}", "unknown-word"),
    ],
)
def test_a_file_of_another_form_is_refused_with_its_place(text, rule):
    with pytest.raises(DocumentError) as error:
        diagnose_file(logbook(), "puffin", text.encode(), "tub.yaml")
    assert [p.rule for p in error.value.problems] == [rule]
    assert error.value.problems[0].place.file == "tub.yaml"


def test_a_thruster_that_does_not_exist_is_refused_by_name():
    with pytest.raises(UsageError, match="no thruster 'bow-prot'") as error:
        found([{"push": {"left-stick-y": 1}, "seen": {"bow-prot": "ahead"}}])
    assert "bow-port" in error.value.mend


def entry(n, kind, **fields):
    return Entry(f"id{n}", n, "2026-02-01T10:00:00+00:00", float(n), "wren", kind, "laptop", fields)


def test_what_was_seen_before_the_wiring_was_touched_is_set_aside():
    entries = (
        entry(1, "start"),
        entry(2, "observation", push={}, seen={}),
        entry(3, "event", event="connector-parted"),
        entry(4, "observation", push={}, seen={}),
        entry(5, "event", event="crew-changed"),
        entry(6, "observation", push={}, seen={}),
    )
    record = join_parts(
        "d", "dive", "puffin", "", (Part("f", "laptop", "2026-02-01T10:00:00+00:00", entries),)
    )
    kept, set_aside = observations_in_force(record)
    assert [e.n for e in kept] == [4, 6]
    assert set_aside == 1


def dive_with(book, **observed):
    """A dive with one observation, its line put in by hand: what counts here is reading it."""
    started = start_dive(
        book,
        "puffin",
        by="wren",
        site="tub",
        water={"kind": "fresh", "temperature_c": 14.0},
        crew={"pilot": "wren"},
    )
    add(book, started.record, 2, kind="observation", **observed)
    return started.record


def add(book, dive, n, **fields):
    common = {
        "id": f"01KB0000000000000000000{n:03}",
        "n": n,
        "at": "2026-06-13T10:31:55+01:00",
        "mono_s": 5.0 * n,
    }
    line = json.dumps({**common, "by": "wren", **fields})
    book.book.files.append(book.record(dive).parts[0].file, f"- {line}\n".encode())


def test_the_observations_of_a_dive_are_diagnosed():
    book = logbook()
    dive = dive_with(book, push={"left-stick-y": -1.0}, seen={"bow-port": "astern", **FULL})
    found = diagnose_record(book, dive)
    assert found.name == dive
    assert found.diagnosis.ranked[0].edits == (Edit("reversed", thruster="bow-port"),)


LIFTED = {"lift-port": "ahead", "lift-starboard": "ahead"}


def test_a_push_is_told_by_the_trim_that_was_logged_before_it():
    book = logbook()
    dive = dive_with(book, push={"left-stick-y": -1.0}, seen=LIFTED)
    assert diagnose_record(book, dive).diagnosis.ranked[0].edits != ()
    other = logbook()
    trimmed = dive_with(other, push={"left-stick-y": -1.0}, seen={}, medium="wet")
    add(other, trimmed, 3, kind="trim", trim={"heave": 0.2})
    add(other, trimmed, 4, kind="observation", push={"left-stick-y": -1.0}, seen=LIFTED)
    found = diagnose_record(other, trimmed)
    assert found.configuration.trim_defaults == {"heave": 0.2}
    assert found.diagnosis.ranked[0].edits == ()


def test_a_trim_logged_after_a_push_does_not_change_what_was_seen_of_it():
    book = logbook()
    dive = dive_with(book, push={"left-stick-y": -1.0}, seen={**FULL, "lift-starboard": "still"})
    add(book, dive, 3, kind="trim", trim={"heave": 0.2})
    found = diagnose_record(book, dive)
    assert found.observations[0].trims == {}
    assert found.diagnosis.ranked[0].edits == ()


def trims_of(*rows, start=None):
    entries = tuple(
        Entry(f"e{n}", n, "2026-06-13T10:31:55+01:00", 5.0, "wren", kind, "w", fields)
        for n, (kind, fields) in enumerate(rows, 1)
    )
    part = Part("dives/d.yaml", "w", "2026-06-13T10:31:55+01:00", entries)
    return trims_at(join_parts("d", "dive", "puffin", "", (part,)), start)


SEEN = ("observation", {"push": {}, "seen": {}})


def test_trims_are_followed_through_what_box_and_pilot_say():
    found = trims_of(
        SEEN,
        ("trim", {"trim": {"surge": 0.05}}),
        SEEN,
        ("readback", {"in_use": {"trim": {"heave": 0.1}}}),
        SEEN,
        ("setup", {"values": {"trim": {"heave": 0.0}, "steering_scheme": 3}}),
        SEEN,
        start={"heave": 0.2},
    )
    assert found == {
        "e1": {"heave": 0.2},
        "e3": {"heave": 0.2, "surge": 0.05},
        "e5": {"heave": 0.1},
        "e7": {"heave": 0.0},
    }


def test_trims_nobody_told_are_not_known():
    assert trims_of(SEEN, ("readback", {"in_use": {"steering_scheme": 3}}), SEEN) == {}


class TestAirOrWater:
    """Pushes are proposed for where the vehicle is."""

    def test_dry_where_the_last_push_was_dry_unless_told_otherwise(self):
        book = logbook()
        dive = dive_with(book, push={"left-stick-y": -0.3}, seen={"bow-port": "astern"}, medium="dry")
        found = diagnose_record(book, dive)
        assert found.is_dry
        assert found.diagnosis.next_push.greatest_command <= 0.3 + 1e-9
        assert "out of the water, a short burst" in diagnosis_text(found)
        assert "Dry running today: " in diagnosis_text(found)
        wet = diagnose_record(book, dive, is_dry=False)
        assert not wet.is_dry
        assert wet.diagnosis.next_push.greatest_command == pytest.approx(1.0)

    def test_wet_where_the_last_push_was_in_water(self):
        book = logbook()
        dive = dive_with(book, push={"left-stick-y": -1.0}, seen={"bow-port": "astern"}, medium="wet")
        assert not diagnose_record(book, dive).is_dry

    def test_wet_while_marked_in_water_and_dry_out_of_it(self):
        book = logbook()
        dive = dive_with(book, push={"left-stick-y": -0.3}, seen={"bow-port": "astern"}, medium="dry")
        add(book, dive, 3, kind="mark", mark="in-water")
        assert not diagnose_record(book, dive).is_dry
        add(book, dive, 4, kind="mark", mark="out-of-water")
        assert diagnose_record(book, dive).is_dry

    def test_the_teams_share_holds_for_proposals(self):
        book = logbook()
        tree = book.book.files.tree
        tree["logbook.yaml"] += b"policy: {dry_command_share: 0.2}\n"
        dive = dive_with(book, push={"left-stick-y": -0.2}, seen={"bow-port": "astern"}, medium="dry")
        assert diagnose_record(book, dive).diagnosis.next_push.greatest_command <= 0.2 + 1e-9

    def test_a_file_says_it_by_its_last_push(self):
        row = {"push": {"left-stick-y": -0.3}, "seen": {"bow-port": "astern"}}
        assert found([{**row, "medium": "dry"}]).is_dry
        assert not found([row]).is_dry
