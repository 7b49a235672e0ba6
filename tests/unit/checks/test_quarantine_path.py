"""From a fault to the return to service, through the use cases, over two records."""

from __future__ import annotations

import pytest
from poolside import CREW, Poolside

from rovlog.faces.reports.quarantine_text import guide_text
from rovlog.problems import UsageError
from rovlog.usecases.attach_evidence import attach_evidence
from rovlog.usecases.complete_list import release_point
from rovlog.usecases.dive_steps import log, log_fault
from rovlog.usecases.give_waiver import waive_item
from rovlog.usecases.quarantine_guide import quarantine_guide
from rovlog.usecases.set_item_aside import item_not_applicable

BLOWN = (
    ("blown-fuse-off", {"voltage": 0.1}),
    ("blown-fuse-shorts", {"least": 6.0}),
    ("blown-fuse-photo", {"choice": "melted-middle"}),
    ("blown-fuse-fitted", {"rating": 20}),
    ("blown-fuse-isolated", {"voltage": 12.5}),
    ("blown-fuse-one-by-one", {"ran": 6, "sag": 0.4}),
)


@pytest.fixture
def pool():
    """A dive on which the fuse opened, then work on the vehicle."""
    pool = Poolside().dive()
    pool.tick("fuse", "otto", rating=20)
    pool.tick("fuse", "ruth", rating=20)
    log_fault(pool.logbook, pool.record, "fuse-opened", by="ines", text="all dead on full ahead")
    pool.clock.advance(60)
    pool.close()
    return pool.work("the fuse opened")


def guide(pool):
    found = quarantine_guide(pool.state())
    assert found is not None
    return found


def first_steps(pool):
    pool.tick("fault-power", "ines", choice="all-off")
    pool.tick("fault-quarantine", "ines")


def attach(pool):
    pool.book.files.tree["attachments/link.jpg"] = b"the link, melted in the middle"
    return attach_evidence(
        pool.logbook, pool.record, "attachments/link.jpg", what="the link, held by otto", by="otto"
    )


def search(pool):
    pool.tick("fault-readback", "otto", choice="none-possible", reason="it has no power")
    attach(pool)
    pool.tick("fault-photos", "otto", photos=3)
    pool.tick("fault-parts", "otto", holder="otto")
    pool.tick("fault-last-good", "ines", dive="none before this one")
    pool.tick("fault-changes", "ines", changes=0)


def cause(pool, by="otto"):
    pool.watch().tick("fault-function", "otto")
    pool.tick("fault-one-change", by)
    pool.tick("fault-cause", "ines", choice="shown")


def redo(pool):
    pool.tick("fault-redo", "otto")
    pool.tick("fault-redo", "ruth")


def test_the_next_dive_is_stopped_by_the_quarantine_before_all_else(pool):
    pool.close().dive()
    first = pool.state().stops[0]
    assert (first.rank, "quarantine" in first.reason) == (0, True)


def test_the_guide_goes_through_the_list_in_its_order(pool):
    seen = [guide(pool).step]
    pool.tick("fault-power", "ines", choice="all-off")
    seen.append(guide(pool).step)
    pool.tick("fault-quarantine", "ines")
    seen.append(guide(pool).step)
    search(pool)
    pool.tick("fault-accounts", "ines", accounts=2)
    for name, values in BLOWN:
        seen.append(guide(pool).step)
        pool.tick(name, "otto", **values)
    assert seen == ["fault-power", "fault-quarantine", "fault-readback", *(name for name, _ in BLOWN)]


@pytest.mark.parametrize(("early", "values"), BLOWN[1:])
def test_no_step_after_a_blown_fuse_is_taken_before_those_ahead_of_it(pool, early, values):
    first_steps(pool)
    for name, given in BLOWN[: [n for n, _ in BLOWN].index(early) - 1]:
        pool.tick(name, "otto", **given)
    with pytest.raises(UsageError, match="comes first"):
        pool.tick(early, "otto", **values)


def test_power_is_isolated_before_anything_else_is_answered(pool):
    with pytest.raises(
        UsageError, match="cannot be answered yet: HR1 People out of harm, power isolated comes first"
    ):
        pool.tick("fault-photos", "otto", photos=3)


def test_a_larger_fuse_fails_and_the_steps_after_it_wait(pool):
    first_steps(pool)
    for name, values in BLOWN[:3]:
        pool.tick(name, "otto", **values)
    assert pool.tick("blown-fuse-fitted", "otto", rating=25).state == "failed"
    with pytest.raises(UsageError, match="Same rating fitted, once comes first"):
        pool.tick("blown-fuse-isolated", "otto", voltage=12.5)


def test_photos_without_a_file_kept_fail_and_with_its_digest_they_pass(pool):
    first_steps(pool)
    assert pool.tick("fault-photos", "otto", photos=3).state == "failed"
    written = attach(pool)
    assert written.entry.fields["digest"].startswith("sha256:")
    assert guide(pool).evidence == 1
    answered = pool.tick("fault-photos", "otto", photos=3)
    assert (answered.state, answered.written.entry.fields["values"]["files"]) == ("answered", 1)


def test_files_from_before_the_fault_are_no_evidence_of_it():
    pool = Poolside().dive()
    attach(pool)
    log_fault(pool.logbook, pool.record, "sinks", by="ines")
    assert guide(pool).evidence == 0


def test_the_whole_way_ends_with_the_word_of_somebody_who_did_not_do_the_repair(pool):
    first_steps(pool)
    search(pool)
    for name, values in BLOWN:
        pool.tick(name, "otto", **values)
    cause(pool, by="ines")
    redo(pool)
    assert guide(pool).may_release == ("ruth",)
    with pytest.raises(UsageError, match="ines did the repair; somebody else releases: ruth"):
        release_point(pool.logbook, pool.record, "return-to-service", by="ines")
    log(pool.logbook, pool.record, "crew", {"crew": {**CREW, "supervisor": "ruth"}}, by="ruth")
    release_point(pool.logbook, pool.record, "return-to-service", by="ruth")
    assert pool.state().quarantine is None
    pool.close().dive()
    assert not any("quarantine" in s.reason for s in pool.state().stops)


def test_a_release_waits_for_every_step_that_stops(pool):
    first_steps(pool)
    search(pool)
    for name, values in BLOWN:
        pool.tick(name, "otto", **values)
    redo(pool)
    with pytest.raises(
        UsageError, match="waived in writing: HR9 Functional test, nothing else changed yet; HR10 One"
    ):
        release_point(pool.logbook, pool.record, "return-to-service", by="ines")
    for name in ("fault-function", "fault-one-change"):
        item_not_applicable(pool.logbook, pool.record, name, by="ines", reason="nothing was taken apart")
    waive_item(
        pool.logbook, pool.record, by="ines", item="fault-cause", reason="the pool closes", until="dive"
    )
    release_point(pool.logbook, pool.record, "return-to-service", by="ines")
    assert pool.state().quarantine is None


def test_the_steps_that_always_stop_have_no_waiver(pool):
    with pytest.raises(UsageError, match="there is no waiver"):
        waive_item(
            pool.logbook, pool.record, by="ines", item="blown-fuse-shorts", reason="in a hurry", until="dive"
        )


def test_items_of_other_lists_that_the_fault_voided_are_told_and_leave_once_redone():
    pool = Poolside().work("before the season")
    pool.tick("bench-thrusters", "otto")
    pool.close().dive()
    log_fault(pool.logbook, pool.record, "yaw-reversed", by="ines", part="stern-port")
    assert guide(pool).redo == ("bench-thrusters",)
    pool.close().work("yaw reversed")
    pool.tick("bench-thrusters", "otto")
    assert guide(pool).redo == ()


def test_the_guide_says_it_in_words(pool):
    said = guide_text(guide(pool), pool.logbook.person_name)
    assert "in quarantine since 2026-06-13 09:01: fuse-opened" in said
    assert "next in the list after a fault: HR1 People out of harm, power isolated\n" in said
    assert "no file is kept as evidence yet" in said
    assert "released to service by: Ines Karg or Ruth Abay" in said


def test_outside_a_quarantine_there_is_no_guide():
    pool = Poolside().work("new seals")
    assert quarantine_guide(pool.state()) is None
    assert guide_text(None, str) == ""


def test_the_stop_says_since_when_as_a_person_says_a_time(pool):
    pool.close().dive()
    (stop,) = [s for s in pool.state().stops if "quarantine" in s.reason]
    assert stop.reason.startswith("the vehicle is in quarantine since 2026-06-13 09:01: fuse-opened")
