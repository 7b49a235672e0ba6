"""What a readback told the program is proposed to the item that asks for it, and never fills it by itself."""

from __future__ import annotations

import pytest
from poolside import Poolside

from rovlog.documents.checklist import checklist_from
from rovlog.domain.checks.checklist import Item
from rovlog.faces.reports.check_text import item_block
from rovlog.problems import UsageError
from rovlog.usecases.dive_steps import log_event, log_readback, mark

SEEN = {"steering_scheme": 2, "thruster_map": 5, "trim": {"heave": 0.05}}


@pytest.fixture
def pool() -> Poolside:
    """A dive whose setup item may be answered: nothing is past a hold point on this list."""
    pool = Poolside()
    write_setup_alone(pool)
    return pool.dive()


def write_setup_alone(pool: Poolside) -> None:
    """The shipped list with the group of the setup alone, so that no hold point stands before it."""
    document = dict(pool.logbook.document("checklists/pre-dive.yaml"))
    document["sections"] = [s for s in document["sections"] if s["section"] == "setup"]
    pool.write("checklists/pre-dive.yaml", document)
    assert [s.section for s in checklist_from(document).sections] == ["setup"]


def read(pool: Poolside, **in_use: object) -> None:
    """Write down what the box shows."""
    said = {"box": "quay-box", "firmware": "0.7", "in_use": {**SEEN, **in_use}, "stored": None}
    log_readback(pool.logbook, pool.record, {**said, "source": "paper"}, by="otto")
    pool.clock.advance(20)


def entry_of(pool: Poolside, item: str) -> dict[str, object]:
    """The fields of an item's last answer."""
    return next(
        dict(e.fields)
        for e in reversed(pool.record.entries)
        if e.kind == "check" and e.fields["item"] == item
    )


def item(pool: Poolside, name: str) -> Item:
    """An item of the list."""
    found = pool.state().item(name)
    assert found is not None
    return found


def test_a_readback_settles_nothing_by_itself(pool):
    read(pool)
    assert pool.state().items["setup-readback"].state == "open"


def test_a_person_accepts_what_the_readback_said_and_the_record_says_where_it_is_from(pool):
    read(pool)
    answered = pool.tick("setup-readback")
    kept = entry_of(pool, "setup-readback")
    assert answered.outcome == "pass"
    assert kept["values"] == {"steering_scheme": 2, "thruster_map": 5, "differences": 0}
    assert kept["source"] == "box-read"
    assert kept["readback"] == pool.record.of_kind("readback")[-1].id


def test_a_number_that_is_not_the_approved_one_fails_the_item(pool):
    read(pool, thruster_map=7)
    answered = pool.tick("setup-readback")
    assert answered.outcome == "fail"
    assert entry_of(pool, "setup-readback")["values"]["thruster_map"] == 7


def test_the_blind_second_person_is_proposed_nothing(pool):
    read(pool)
    pool.tick("setup-readback")
    with pytest.raises(UsageError, match=r"not given: steering scheme number, thruster map number") as told:
        pool.tick("setup-readback", by="ruth")
    assert "read the box first" not in str(told.value.mend)
    answered = pool.tick("setup-readback", by="ruth", steering_scheme="2", thruster_map="5")
    assert answered.state == "answered"


def test_a_second_person_who_reads_another_number_is_not_talked_over(pool):
    read(pool)
    pool.tick("setup-readback")
    answered = pool.tick("setup-readback", by="ruth", steering_scheme="2", thruster_map="7")
    assert answered.state == "failed"


@pytest.mark.parametrize(
    "stale",
    [
        lambda pool: mark(pool.logbook, pool.record, "power-off", by="otto"),
        lambda pool: log_event(pool.logbook, pool.record, "box-changed", by="otto"),
    ],
    ids=["powered-off", "changed"],
)
def test_a_stale_readback_proposes_nothing(pool, stale):
    read(pool)
    stale(pool)
    with pytest.raises(UsageError, match="not given: steering scheme number"):
        pool.tick("setup-readback")


def test_without_a_readback_the_item_says_to_read_the_box(pool):
    with pytest.raises(UsageError, match="not given: steering scheme number") as told:
        pool.tick("setup-readback")
    assert "read the box first" in str(told.value.mend)


def test_an_accepted_trim_is_read_from_the_box_and_not_computed(pool):
    read(pool)
    pool.tick("trim-in-box")
    assert entry_of(pool, "trim-in-box")["source"] == "box-read"
    assert entry_of(pool, "trim-in-box")["values"]["heave"] == 0.05


def test_the_item_shows_what_is_proposed_and_whence(pool):
    read(pool)
    state = pool.state()
    block = " ".join(
        item_block(
            item(pool, "setup-readback"), state.items["setup-readback"], state.resolved, state.computed
        ).split()
    )
    assert "steering scheme number; proposed 2 (read from the box)" in block
