"""The place Audit on what is done about a fault: stages, recurrence, and the next experiment started."""

from __future__ import annotations

from driving_app import Driver, drive, logbook_in_memory, start

from rovlog.usecases.dive_steps import close, log_event, log_fault
from rovlog.usecases.logbook import Logbook
from rovlog.usecases.ports import Book


def faulty_book() -> Book:
    """Three closed dives; a plug was parted on the last, and a fault came after."""
    book = logbook_in_memory()
    for number in range(3):
        dive = start(book)
        logbook = Logbook(book)
        record = logbook.record(dive)
        if number == 2:
            log_event(logbook, record, "connector-parted", by="rolf", part="pad", text="re-seated")
            log_fault(logbook, record, "yaw-weak", by="tam", text="turns slowly")
        close(logbook, logbook.record(dive), by="ines")
        book.clock.advance(86400)
    return book


def work_of(book: Book):
    return [r for r in Logbook(book).records(kinds=("work",)) if r.of_kind("note")]


async def to_the_fault(d: Driver) -> None:
    await d.press("f9", "end")
    assert "fault yaw-weak" in " ".join(d.text.split())


def test_the_stages_of_a_fault_are_answered_on_a_page():
    async def script(d: Driver) -> None:
        await d.press("f9", "f")
        assert "stage: REPORTED; in quarantine" in " ".join(d.text.split())

    drive(faulty_book(), script)


def test_where_else_the_picked_symptom_was_is_answered_on_a_page():
    async def script(d: Driver) -> None:
        await to_the_fault(d)
        await d.press("r")
        assert "on record nowhere else" in " ".join(d.text.split())

    drive(faulty_book(), script)


def test_the_next_experiment_is_started_as_work_with_its_steps():
    book = faulty_book()

    async def script(d: Driver) -> None:
        await to_the_fault(d)
        await d.press("x")
        assert "Next experiment" in d.text
        await d.press("enter")
        await d.settle()

    drive(book, script)
    (work,) = work_of(book)
    assert work.vehicle == "grebe"
    assert work.of_kind("start")[0].fields["purpose"].startswith("experiment for yaw-weak: ")
    assert work.of_kind("note")[0].fields["text"].startswith("experiment, step 1 of ")


def test_leaving_the_form_starts_nothing():
    book = faulty_book()

    async def script(d: Driver) -> None:
        await to_the_fault(d)
        await d.press("x", "escape")

    drive(book, script)
    assert not work_of(book)


def test_the_last_line_names_diagnose_and_a_row_that_is_no_fault_asks_about_any():
    async def script(d: Driver) -> None:
        await to_the_fault(d)
        assert "d diagnose" in d.text.splitlines()[-1]
        await d.press("s")
        assert d.text.lstrip().startswith("Suspects for yaw-weak")
        await d.press("escape", "home", "s")
        assert "Suspects for any fault, since the picked row is none" in d.text
        await d.press("escape", "g")
        assert "Last known good before any fault, since the picked row is none" in d.text

    drive(faulty_book(), script)
