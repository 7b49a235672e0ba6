"""Items of other lists that stop a dive are answered on the dive."""

from __future__ import annotations

from poolside import FRESH, SALT, Poolside


def test_a_bench_answer_that_another_water_voided_is_asked_for_on_the_dive():
    team = Poolside().dive(water=FRESH)
    team.close()
    team.work("bench set-up")
    team.tick("bench-buoyancy", net_up=1.5)
    team.close()
    team.dive(water=SALT)
    state = team.state()
    assert "bench-buoyancy" in {s.id for s in state.stops}
    assert state.items["bench-buoyancy"].state == "expired"
    bench = state.checklist("bench")
    assert bench is not None
    assert [i.item for i in bench.items()] == ["bench-buoyancy"]


def test_a_bench_list_that_stops_nothing_is_not_shown_on_a_dive():
    state = Poolside().dive().state()
    assert state.checklist("bench") is None
