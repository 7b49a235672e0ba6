"""When what the box said stops counting: by what was recorded since, whatever the clock said then."""

from __future__ import annotations

import re

from poolside import Poolside

from rovlog.usecases.compare_drift import latest_readback
from rovlog.usecases.dive_steps import close, log_event, log_readback, mark, start_work

SAID = {
    "box": "quay-box",
    "firmware": "1.0",
    "in_use": {"steering_scheme": 1, "thruster_map": 1},
    "stored": None,
    "source": "box-read",
}


def read_back() -> Poolside:
    """A dive whose box was read back a moment ago."""
    side = Poolside().dive()
    log_readback(side.logbook, side.record, SAID, by="otto")
    return side


def stale(side: Poolside) -> str | None:
    found = latest_readback(side.logbook, "quay-box", "puffin", side.record)
    assert found is not None
    return found[0].stale


def test_a_readback_of_this_dive_counts_while_nothing_happened_to_the_box() -> None:
    assert stale(read_back()) is None


def test_what_is_done_to_the_box_on_another_record_counts_before_the_dive_has_a_further_entry() -> None:
    side = read_back()
    side.clock.advance(600)
    work = start_work(side.logbook, "puffin", by="otto", purpose="another look at the box").record
    log_event(side.logbook, side.logbook.record(work), "box-changed", by="otto")
    assert str(stale(side)).startswith("the box's setup was changed at ")


def test_power_off_after_the_readback_counts_though_the_clock_was_set_back_between() -> None:
    side = read_back()
    side.clock.jump(-3600)
    mark(side.logbook, side.record, "power-off", by="otto")
    assert re.fullmatch(r"the box was powered off at \d{4}-\d\d-\d\d \d\d:\d\d", str(stale(side)))


def test_power_off_written_down_from_memory_happened_when_it_says() -> None:
    side = read_back()
    mark(side.logbook, side.record, "power-off", by="otto", at="2020-01-01T09:00:00+01:00")
    assert stale(side) is None


def test_of_a_closed_dive_later_doings_change_nothing() -> None:
    side = read_back()
    close(side.logbook, side.record, by="ines")
    before = stale(side)
    side.clock.advance(600)
    work = start_work(side.logbook, "puffin", by="otto", purpose="another look at the box").record
    log_event(side.logbook, side.logbook.record(work), "box-changed", by="otto")
    assert stale(side) == before
