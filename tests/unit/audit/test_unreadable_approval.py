"""An approval that cannot be read: the audit names it and uses the others; nothing older comes into force."""

from __future__ import annotations

import json

import pytest
from poolside import Poolside

from rovlog.problems import RovlogError
from rovlog.usecases.audit_history import vehicle_history
from rovlog.usecases.audit_questions import follow_field
from rovlog.usecases.configurations import start_configuration
from rovlog.usecases.logbook import Logbook

BROKEN = [
    lambda text: text.replace('"revision": 2', '"revision": "two"').replace("revision: 2", "revision: two"),
    lambda text: text[: len(text) // 2],
]


def approval_file(pool: Poolside, revision: int) -> str:
    """The file of a revision."""
    names = pool.book.files.names("approvals/puffin")
    return next(n for n in names if n.rpartition("/")[2].startswith(f"r{revision}-"))


@pytest.fixture(params=BROKEN, ids=["not-valid", "torn"])
def pool(request) -> Poolside:
    """One dive flown on revision 1; revision 2, with a limit of its own, does not read any more."""
    pool = Poolside().dive().close()
    pool.change("/limits/closures", 4)
    pool.approve("closures counted")
    name = approval_file(pool, 2)
    before = pool.book.files.read(name)
    after = request.param(before.decode()).encode()
    assert after != before
    pool.book.files.tree[name] = after  # type: ignore[attr-defined]
    pool.logbook = Logbook(pool.book)
    return pool


def test_the_audit_uses_the_others_and_names_the_one_that_cannot_be_read(pool):
    history = vehicle_history(pool.logbook, "puffin")
    assert [a.revision for a in history.approvals] == [1]
    assert [n for n in history.notes if n.startswith(approval_file(pool, 2))]


def test_what_flew_under_another_approval_is_still_known(pool):
    history = vehicle_history(pool.logbook, "puffin")
    (flight,) = history.flights.flights
    assert flight.as_flown.resolved is not None
    assert flight.as_flown.resolved["hull"]["mass_kg"] == 6.25
    (row,) = follow_field(pool.logbook, "puffin", "/hull/mass_kg")
    assert row.revision == 1


def test_no_older_approval_comes_into_force_for_that(pool):
    with pytest.raises(RovlogError):
        pool.logbook.in_force("puffin")


def test_a_dive_that_may_have_flown_the_unreadable_one_is_not_taken_for_unknown(pool):
    dive = json.dumps(pool.record.entries[0].fields["baseline"])
    name = next(n for n in pool.book.files.names("dives") if pool.record_id in n)
    data = pool.book.files.read(name).decode()
    pool.book.files.tree[name] = data.replace(dive.strip('"')[-8:], "0" * 8).encode()  # type: ignore[attr-defined]
    logbook = Logbook(pool.book)
    with pytest.raises(RovlogError):
        start_configuration(logbook, logbook.record(pool.record_id))
