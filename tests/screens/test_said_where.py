"""What was built and never held by a test: a limit hidden from who answers blind, the lower pane of Dives,
the page of suspects that begins with the diagnosis, and where one is in the place Audit."""

from __future__ import annotations

import pytest
from driving_app import Driver, drive, logbook_in_memory, start

from rovlog.faces.screens.lines import Lines
from rovlog.usecases.dive_steps import close, log, log_fault, log_trim
from rovlog.usecases.function_test import observe_push
from rovlog.usecases.logbook import Logbook


@pytest.mark.parametrize("size", [(80, 24), (40, 12), (140, 45)])
def test_a_blind_second_person_is_shown_neither_the_limit_nor_what_the_first_one_typed(size):
    book = logbook_in_memory()
    start(book)

    async def script(d: Driver) -> None:
        await d.go_to("fuse")
        assert "equal to 15 A" in " ".join(d.text.split())
        await d.type("15")
        await d.press("enter", "1")
        assert d.checks.is_second
        lines = d.app.screen.query_one("#item", Lines)
        page = "\n".join(lines._line_at(i, 90, False).plain for i in range(lines.count))
        for words in (page, d.text.split("Main fuse", 1)[1]):
            assert "15 A" not in words
            assert "limit" not in words
            assert "configuration:" not in words

    drive(book, script, size)


@pytest.mark.parametrize("size", [(80, 24), (140, 45)])
def test_the_other_pane_of_dives_shows_the_entries_of_the_record_that_is_picked(size):
    book = logbook_in_memory()
    for text in ("clear water", "weed at the ladder"):
        dive = start(book)
        logbook = Logbook(book)
        log(logbook, logbook.record(dive), "note", {"text": text}, by="tam")
        log_trim(logbook, logbook.record(dive), {"heave": 0.1}, by="tam", reason="nose heavy")
        close(logbook, logbook.record(dive), by="ines")
        book.clock.advance(86400)

    def pane(d: Driver) -> str:
        lines = d.app.screen.query_one("#entries", Lines)
        rows = d.text.splitlines()[lines.region.y : lines.region.bottom]
        return "\n".join(row[lines.region.x : lines.region.right] for row in rows)

    async def script(d: Driver) -> None:
        await d.press("f8", "home")
        await d.press(*["up"] * 3)
        newest = pane(d)
        assert "weed at the ladder" in newest
        assert "clear water" not in newest
        assert "trim heave +0.10 (down): nose heavy" in " ".join(newest.split())
        assert "supervisor Ines Brandt" in " ".join(newest.split())
        assert "closed" in newest.splitlines()[0]
        await d.press("down")
        older = pane(d)
        assert "clear water" in older
        assert "weed at the ladder" not in older

    drive(book, script, size)


def pushed_book():
    """Two closed dives; on the second turning was dead, and pushes show two leads swapped."""
    book = logbook_in_memory()
    start_one = start(book)
    close(Logbook(book), Logbook(book).record(start_one), by="ines")
    book.clock.advance(86400)
    dive = start(book)
    logbook = Logbook(book)
    log_fault(logbook, logbook.record(dive), "yaw-dead", by="tam", text="slides to port")
    seen = {"bow-port": "ahead", "bow-starboard": "still", "stern-port": "ahead", "stern-starboard": "still"}
    observe_push(logbook, logbook.record(dive), seen, {"left-stick-x": 1.0}, by="rolf")
    close(logbook, logbook.record(dive), by="ines")
    return book


def test_suspects_of_a_fault_with_pushes_begin_with_the_diagnosis_and_the_key_for_the_whole_of_it():
    async def script(d: Driver) -> None:
        await d.press("f9", "end")
        while d.app.place.moment.kind != "fault":
            await d.press("up")
        await d.press("s")
        shown = d.text
        for _ in range(3):
            await d.press("pagedown")
            shown += "\n" + d.text
        rows = [row.strip() for row in shown.splitlines() if row.strip()]
        assert rows[0].startswith("Suspects for yaw-dead")
        assert "1 observation" in rows[1]
        assert rows[2].startswith("1. ")
        assert "%" in rows[2]
        told = next(
            i for i, row in enumerate(rows) if "back in Audit, d, diagnose, tells the whole of it" in row
        )
        assert told < next(i for i, row in enumerate(rows) if row.startswith("Suspects for the symptom"))
        await d.press("escape", "d")
        assert "Diagnosis of grebe-" in d.text

    drive(pushed_book(), script)


def season():
    """Ten closed dives, each with a trim; a fault on the fifth."""
    book = logbook_in_memory()
    for number in range(10):
        dive = start(book)
        logbook = Logbook(book)
        log_trim(logbook, logbook.record(dive), {"heave": 0.1}, by="tam", reason="heavy")
        if number == 4:
            log_fault(logbook, logbook.record(dive), "yaw-weak", by="tam", text="turns slowly")
        close(logbook, logbook.record(dive), by="ines")
        book.clock.advance(86400)
    return book


@pytest.mark.parametrize("size", [(80, 24), (140, 45)])
def test_the_audit_says_where_one_is_and_is_there_again_after_a_detail_another_place_and_other_kinds(size):
    async def script(d: Driver) -> None:
        await d.press("f9", "end")
        while d.app.place.moment.kind != "fault":
            await d.press("up")
        fault = d.app.place.moment
        number = d.app.place.picked + 1
        before = d.text
        assert f"fault  {number} of {len(d.app.place.moments)}, the story" in d.text
        await d.press("enter", "pagedown", "escape")
        assert d.text == before
        await d.press("f6", "f9")
        assert d.app.place.moment == fault
        await d.press("k")
        assert d.app.place.moment == fault
        await d.press("k")
        assert d.app.place.moment.kind in ("dive", "work")
        assert d.app.place.moment.at[:10] == fault.at[:10]
        assert "dives and work" in d.text

    drive(season(), script, size)


@pytest.mark.parametrize("size", [(80, 24), (140, 45)])
def test_moments_around_the_picked_one_stay_in_sight_and_its_text_begins_at_the_top(size):
    async def script(d: Driver) -> None:
        await d.press("f9", "home", "right", "right")
        for _ in range(25):
            await d.press("down")
            timeline = d.app.screen.query_one("#timeline", Lines)
            row = timeline.picked - timeline.scroll_offset.y
            assert row >= 2 or timeline.picked < 2
            assert row <= timeline.size.height - 3 or timeline.picked >= timeline.count - 2
            assert d.app.screen.query_one("#moment", Lines).scroll_offset.y == 0

    drive(season(), script, size)


def test_a_line_of_a_form_with_very_many_answers_names_the_first_and_the_last():
    async def script(d: Driver) -> None:
        await d.press("f9", "b")
        assert "up and down: one of 10, grebe-" in d.words
        await d.press("escape")

    drive(season(), script)
