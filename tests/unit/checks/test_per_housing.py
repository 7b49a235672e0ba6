"""A vehicle with several housings: what is asked for each is asked, held and voided for each by itself."""

from __future__ import annotations

import json
from typing import Any

import pytest
from poolside import Poolside

from rovlog.faces.reports.check_text import answer_words
from rovlog.problems import UsageError
from rovlog.usecases.dive_steps import log_event
from rovlog.usecases.logbook import Logbook
from rovlog.usecases.show_checklists import checklist_document, checklist_values
from rovlog.usecases.vacuum_holds import earlier_holds

READ = {"start_below": "25", "start_temperature": "20", "end_temperature": "20"}


def with_housings(*ports: tuple[str, bool]) -> Poolside:
    """A dive of a vehicle with these housings, each with a vacuum port or without."""
    pool = Poolside()
    housings = [{"housing": name, "depth_rating_m": 28, "vacuum_port": has} for name, has in ports]
    pool.change("/housings", housings)
    pool.approve("housings as fitted")
    alone(pool)
    return pool.dive()


def alone(pool: Poolside) -> None:
    """The group of the housing alone, so that no hold point stands before it."""
    document = dict(pool.logbook.document("checklists/pre-dive.yaml"))
    document["sections"] = [s for s in document["sections"] if s["section"] == "housing"]
    pool.write("checklists/pre-dive.yaml", document)


def hold(pool: Poolside, item: str, end: str = "24.9") -> Any:
    """Hold a housing: its readings, start to end."""
    return pool.tick(item, **READ, end_below=end)


@pytest.fixture
def two() -> Poolside:
    """Two housings that are held, one that is not."""
    return with_housings(("main", True), ("tail", True), ("lamp", False))


def asked(pool: Poolside) -> dict[str, str]:
    """The items about vacuum and their challenges."""
    items = [i for c in pool.state().lists for i in c.items() if "vacuum" in i.item]
    return {i.item: i.challenge for i in items}


def test_each_housing_with_a_port_is_asked_for_by_itself(two):
    assert asked(two) == {
        "vacuum-pulled-main": "Vacuum pulled (main)",
        "vacuum-pulled-tail": "Vacuum pulled (tail)",
        "vacuum-hold-main": "Settle 3 min, then vacuum hold 15 min (main)",
        "vacuum-hold-tail": "Settle 3 min, then vacuum hold 15 min (tail)",
        "vacuum-port-main": "Vacuum port (main)",
        "vacuum-port-tail": "Vacuum port (tail)",
    }


def test_of_several_housings_the_only_one_with_a_port_is_named(two):
    pool = with_housings(("main", True), ("lamp", False))
    assert asked(pool)["vacuum-hold"] == "Settle 3 min, then vacuum hold 15 min (main)"
    assert sorted(asked(pool)) == ["vacuum-hold", "vacuum-port", "vacuum-pulled"]


def test_a_vehicle_with_one_housing_is_asked_as_the_list_is_written():
    pool = with_housings(("main", True))
    assert asked(pool)["vacuum-hold"] == "Settle 3 min, then vacuum hold 15 min"


def test_without_any_port_the_items_do_not_apply():
    state = with_housings(("main", False), ("lamp", False)).state()
    assert state.items["vacuum-hold"].state == "not-applicable"


def test_one_housing_that_held_settles_the_other_one_not(two):
    hold(two, "vacuum-hold-main")
    items = two.state().items
    assert (items["vacuum-hold-main"].state, items["vacuum-hold-tail"].state) == ("answered", "open")
    assert any(s.id == "vacuum-hold-tail" for s in two.state().stops)
    assert not any(s.id == "vacuum-hold-main" for s in two.state().stops)


def test_the_answer_says_which_housing_and_the_history_is_its_own(two):
    hold(two, "vacuum-hold-main")
    hold(two, "vacuum-hold-tail", "24.6")
    state = two.state()
    item = state.item("vacuum-hold-tail")
    assert answer_words(item, state.items[item.item]).startswith("housing tail, ")
    logbook = Logbook(two.book)
    assert earlier_holds(logbook, "puffin", "main").rises_kpa == (0.1,)
    assert earlier_holds(logbook, "puffin", "tail").rises_kpa == (0.4,)


def test_the_limit_is_twice_that_housing_s_usual_rise(two):
    for _ in range(3):
        hold(two, "vacuum-hold-main", "24.8")
        hold(two, "vacuum-hold-tail", "24.6")
        two.close().dive()
    assert hold(two, "vacuum-hold-tail", "24.4").outcome == "pass"
    assert hold(two, "vacuum-hold-main", "24.4").outcome == "fail"


def test_opening_one_housing_voids_its_own_answers_only(two):
    hold(two, "vacuum-hold-main")
    hold(two, "vacuum-hold-tail")
    log_event(two.logbook, two.record, "housing-opened", by="otto", part="tail")
    items = two.state().items
    assert (items["vacuum-hold-main"].state, items["vacuum-hold-tail"].state) == ("answered", "expired")


def test_opening_a_housing_that_is_not_named_voids_them_all(two):
    hold(two, "vacuum-hold-main")
    hold(two, "vacuum-hold-tail")
    log_event(two.logbook, two.record, "housing-opened", by="otto")
    items = two.state().items
    assert (items["vacuum-hold-main"].state, items["vacuum-hold-tail"].state) == ("expired", "expired")


def test_the_trade_s_code_alone_does_not_say_which(two):
    with pytest.raises(UsageError, match="C5 is asked for each housing") as told:
        hold(two, "C5")
    assert told.value.mend == "name one: vacuum-hold-main, vacuum-hold-tail"


def test_a_closed_dive_is_shown_with_the_housings_it_flew_with(two):
    hold(two, "vacuum-hold-tail")
    two.close()
    vehicle = json.loads(two.book.files.read("vehicles/puffin.yaml"))
    vehicle["housings"] = vehicle["housings"][:1]
    two.write("vehicles/puffin.yaml", vehicle)
    assert two.state().items["vacuum-hold-tail"].state == "answered"


def test_a_list_shown_for_a_vehicle_is_the_list_it_is_asked(two):
    document = checklist_document(two.logbook, "pre-dive")
    names = [i.item for i in checklist_values(document, two.state().resolved).items()]
    assert "vacuum-hold-tail" in names
    assert "vacuum-hold" in [i.item for i in checklist_values(document).items()]
