"""The fault report tells one story: when it was first logged, what was verified, what evidence is kept."""

from __future__ import annotations

import pytest
from fakes import FakeFiles, fake_book
from team_logbook import DAY, dive, fill

from rovlog.faces.reports.pages.fault_page import fault_page
from rovlog.faces.reports.pages.model import Grid
from rovlog.faces.reports.pages.text import page_text
from rovlog.usecases.attach_evidence import attach_evidence
from rovlog.usecases.logbook import Logbook
from rovlog.usecases.recording import append
from rovlog.usecases.report_fault import report_fault

FIRST, AGAIN = "grebe-20260509-test", "grebe-20260520-test"
ACCOUNTS = "attachments/accounts.txt"


def checked(logbook: Logbook, record: str, item: str, values: dict[str, object], clock: str) -> None:
    fields = {"item": item, "checklist": "after-fault", "outcome": "pass", "source": "seen", "values": values}
    append(logbook, logbook.record(record), "check", "tariq", fields, at=DAY.format(20, clock))


def told(logbook: Logbook, record: str) -> str:
    return " ".join(page_text(fault_page(report_fault(logbook, record), logbook.person_name)).split())


@pytest.fixture
def logbook() -> Logbook:
    """The fault came back on a later dive, was watched in a function test, photographed and told of."""
    logbook = fill(fake_book())
    dive(logbook, "grebe", 20, trim=None, fault="yawed to port again")
    push = {"push": {"right-stick-x": 0.4}, "seen": {"bow-port": "astern"}}
    append(logbook, logbook.record(AGAIN), "observation", "tariq", push, at=DAY.format(20, "11:00:00"))
    checked(logbook, AGAIN, "fault-photos", {"photos": 7}, "11:01:00")
    checked(logbook, AGAIN, "fault-accounts", {"accounts": 2}, "11:02:00")
    return logbook


def test_a_symptom_that_was_logged_before_is_not_said_to_be_first_logged_now(logbook: Logbook):
    assert (
        f"logged 2026-05-20 10:20 in {AGAIN}; the symptom was first logged 2026-05-09 10:20 in {FIRST}"
        in told(logbook, AGAIN)
    )
    assert f"first logged 2026-05-09 10:20 in {FIRST}" in told(logbook, FIRST)


def test_what_stands_for_a_stage_is_not_called_unanswered(logbook: Logbook):
    text = told(logbook, AGAIN)
    assert "The case stands at: verified." in text
    assert "Verified function test; the list's own" in text
    assert "Verified not answered yet" not in text


def test_photographs_and_accounts_that_were_only_counted_are_named(logbook: Logbook):
    page = fault_page(report_fault(logbook, AGAIN), logbook.person_name)
    rows = [row for block in page.blocks if isinstance(block, Grid) for row in block.rows]
    assert ("7 photographs counted", "none of them kept in the logbook", "–", "Тарик Öz") in rows
    assert any("2 accounts are counted; none is kept in the logbook as a text file" in row for row in rows)


def test_accounts_kept_as_a_text_file_are_quoted(logbook: Logbook):
    logbook.book.files.create(ACCOUNTS, b"Iben, at the sticks: she slid.\n\nTariq: no snag.\n")
    attach_evidence(logbook, logbook.record(AGAIN), ACCOUNTS, what="accounts", by="tariq")
    text = told(logbook, AGAIN)
    assert "Iben, at the sticks: she slid." in text
    assert "Tariq: no snag." in text
    assert "accounts are counted" not in text
    before = logbook.book.files.read(ACCOUNTS)
    logbook.book.files.replace(ACCOUNTS, b"Iben: nothing.\n", before)
    assert f"{ACCOUNTS} is not as it was when it was kept: its digest differs" in told(logbook, AGAIN)


def test_a_text_that_cannot_be_read_is_named():
    logbook = fill(fake_book())
    files = logbook.book.files
    assert isinstance(files, FakeFiles)
    dive(logbook, "grebe", 20, trim=None, fault="yawed to port again")
    files.create(ACCOUNTS, b"Iben: she slid.\n")
    attach_evidence(logbook, logbook.record(AGAIN), ACCOUNTS, what="accounts", by="tariq")
    files.tree[ACCOUNTS] = b"\xff\xfe"
    assert f"{ACCOUNTS} cannot be quoted: it is not written in UTF-8" in told(logbook, AGAIN)
    del files.tree[ACCOUNTS]
    assert f"{ACCOUNTS} cannot be quoted: " in told(logbook, AGAIN)
