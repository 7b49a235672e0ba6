"""The drift and the audit in words: complete, within 80 columns, and never markup or control characters."""

from __future__ import annotations

import json

from diving import day, record
from drifting import PHYSICS, readback, resolved, tables

from rovlog.domain.audit.between import between
from rovlog.domain.audit.evidence import evidence_from
from rovlog.domain.audit.flights import flights_of
from rovlog.domain.audit.flown import as_flown
from rovlog.domain.audit.history import Change, field_history, flown
from rovlog.domain.audit.known_good import last_known_good
from rovlog.domain.audit.ranking import rank_suspects
from rovlog.domain.drift.compare import Waiver, compare
from rovlog.domain.drift.leaves import with_value
from rovlog.faces.reports import audit_text, drift_text

BASE = resolved()
HEAVY = with_value(BASE, "/hull/mass_kg", 6.4)
CHANGE = Change(
    "c0ffee1234567890", "tomas", day(3), "More ballast\n\nfor salt", (("/hull/mass_kg", 6.25, 6.4),)
)


def book():
    rows = [(record(f"d{i:02}", day(i), ("mark", {"mark": "in-water"})), BASE) for i in (1, 2)]
    bad = ("fault", {"symptom": "sinks", "text": "[red]\x1b[31m sank"})
    rows += [(record(f"d{i:02}", day(i), ("event", {"event": "load-changed"}), bad), HEAVY) for i in (4, 5)]
    records = {r.id: r for r, _ in rows}
    return flights_of([r for r, _ in rows], {r.id: as_flown(o, r) for r, o in rows}), records


def is_fit(text):
    return all(len(line) <= 80 and "\x1b" not in line for line in text.splitlines()) and text.endswith("\n")


def drift():
    working = with_value(HEAVY, "/thrusters/lift-port/polarity", "reversed")
    box = readback(steering_scheme=4, trim={"heave": 0.3})
    waivers = [Waiver("/trim_defaults/heave", "new float tomorrow")]
    return compare(BASE, working, box, {"trim": {"yaw": -0.1}}, tables(), physics=PHYSICS, waivers=waivers)


def test_the_drift_is_told_with_each_source_its_effect_and_why_it_stops():
    text = drift_text.drift_text(drift())
    assert is_fit(text)
    lines = text.splitlines()
    assert "STOPS   steering scheme  (/control_box/steering_scheme)" in lines
    assert any(line.split() == ["box", "4", "(sticks", "crossed)"] for line in lines)
    assert "waived  heave trim  (/trim_defaults/heave)" in lines
    assert any(line.split() == ["pilot", "-0.10", "(bow", "to", "port)"] for line in lines)
    assert text.splitlines()[-1] == "5 differences; 3 reasons to stop the dive."


def test_no_drift_claims_no_more_than_that_what_was_compared_agrees():
    text = drift_text.drift_text(compare(BASE, BASE, readback(), None, tables()))
    assert text.endswith("No drift: what was compared agrees; other things may stop the dive.\n")
    assert "safe" not in text.lower()


def test_an_unread_box_stands_first():
    text = drift_text.drift_text(compare(BASE, HEAVY, None, None, tables()))
    assert text.startswith("STOPS THE DIVE  what the box holds is not known")


def test_the_drift_as_data_is_json_with_the_promised_keys():
    found = json.loads(json.dumps(drift_text.drift_data(drift())))
    row = found["deviations"][0]
    assert {
        "pointer",
        "baseline",
        "working",
        "readback",
        "stored",
        "logged",
        "effect",
        "stops_dive",
        "waived",
    } <= row.keys()
    assert set(row["effect"]) == {"text", "reversed", "lost", "worst_case_current_a"}
    assert set(row["effect"]["worst_case_current_a"]) == {"before", "after"}


def test_suspects_are_told_within_the_width_and_as_data():
    ranking = rank_suspects(book()[0], "sinks", [CHANGE], PHYSICS)
    text = audit_text.suspects_text(ranking)
    assert is_fit(text)
    assert text.startswith("Suspects for the symptom sinks: on 2 of 4 dives\n")
    assert " 1. value  hull mass: 6.25 kg to 6.4 kg" in text
    assert "first written in commit c0ffee1234" in text
    assert "Next experiment: " in text
    found = json.loads(json.dumps(audit_text.suspects_data(ranking)))
    assert found["dives"] == {"with": 2, "without": 2}
    assert found["ranked"][0]["commit"] == "c0ffee1234567890"
    promised = {"what", "pointer", "from", "to", "commit", "text", "score", "ochiai", "p", "p_adjusted",
                "plausibility", "with", "without", "grouped_with"}  # fmt: skip
    assert promised <= found["ranked"][0].keys()
    assert promised <= found["ranked"][0]["grouped_with"][0].keys()


def test_two_dives_are_told_side_by_side_without_control_characters():
    found = between(book()[0], "d02", "d05")
    assert found is not None
    text = audit_text.between_text(found)
    assert is_fit(text)
    assert "  hull mass: 6.25 kg -> 6.4 kg" in text.splitlines()
    assert "<U+001B>" in text
    json.dumps(audit_text.between_data(found))


def test_the_last_known_good_is_told_with_its_evidence():
    logbook, records = book()
    found = last_known_good(logbook, "sinks", evidence_from(records, "sinks"))
    text = audit_text.known_good_text(found)
    assert is_fit(text)
    assert "Last known good: d02 (nothing logged)" in text
    assert audit_text.known_good_text(None) == "That symptom was never logged.\n"
    json.dumps(audit_text.known_good_data(found))


def test_who_flew_with_what_and_a_fields_life_are_told():
    logbook, _ = book()
    rows = flown(logbook, "/hull/mass_kg")
    text = audit_text.flown_text("/hull/mass_kg", rows)
    assert is_fit(text)
    assert text.splitlines()[-1] == "4 dives"
    life = audit_text.field_text("/hull/mass_kg", field_history(logbook, "/hull/mass_kg", [CHANGE], []))
    assert is_fit(life)
    assert "    written   2025-06-03 by tomas, commit c0ffee1234: More ballast" in life.splitlines()
    assert "    in water  2025-06-04, 2 dives: d04, d05" in life.splitlines()
    json.dumps([audit_text.flown_data("/hull/mass_kg", rows)])
