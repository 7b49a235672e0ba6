"""The dive record tells every unusual answer, and every reading wherever it was entered."""

from __future__ import annotations

import pytest
from fakes import fake_book
from team_logbook import DAY, fill

from rovlog.faces.reports.pages.dive_page import dive_page
from rovlog.faces.reports.pages.model import Grid, Heading, Page, Pairs
from rovlog.usecases.recording import append
from rovlog.usecases.report_dive import report_dive

DIVE = "grebe-20260516-test"


@pytest.fixture(scope="module")
def told() -> Page:
    logbook = fill(fake_book())
    record = logbook.record(DIVE)

    def answer(clock: str, by: str, item: str, **fields: object) -> None:
        row = {"item": item, "outcome": "pass", "source": "measured", **fields}
        append(logbook, record, str(fields.pop("kind", "check")), by, row, at=DAY.format(16, clock))

    answer("11:00:00", "iben", "resting-voltage", outcome="fail", values={"voltage": 11.2})
    answer("11:01:00", "iben", "resting-voltage", values={"voltage": 12.61})
    answer("11:02:00", "iben", "fuse", values={"rating": 15.0})
    answer("11:03:00", "tariq", "fuse", values={"rating": 10.0}, witness=True)
    question = "idle current 8.7 A is ten times the usual 0.87 A"
    answer("11:04:00", "iben", "idle-current", values={"current": 8.7}, confirmed=True, questions=[question])
    answer("11:05:00", "iben", "sag", values={"sag": 0.39})
    answer("11:06:00", "runa", "site-limits", values={"depth": 4.0, "visibility": 1.1, "flow": 0, "wind": 2})
    answer("11:07:00", "iben", "recovery-voltage", values={"lowest": 12.2, "end": 12.48})
    later = {"item": "lag", "reason": "the stopwatch is at home", "until": "launch"}
    append(logbook, record, "deferral", "iben", later, at=DAY.format(16, "11:08:00"))
    return dive_page(report_dive(logbook, DIVE), logbook.person_name)


def rows(told: Page, head: str) -> list[str]:
    """The rows of the table under a heading, each as one line."""
    at = next(i for i, b in enumerate(told.blocks) if isinstance(b, Heading) and b.text == head)
    grid = told.blocks[at + 1]
    assert isinstance(grid, Grid)
    return [" ".join(row).replace("~", "") for row in grid.rows]


def test_an_answer_that_failed_is_told_with_what_passed_it_later(told: Page):
    (row,) = [r for r in rows(told, "Every answer that was not the usual one") if "failed" in r]
    assert row == (
        "11:00 B5 Resting voltage failed voltage 11.2 V; "
        "passed later, 11:01 by Iben Škoda-Łuk: voltage 12.61 V Iben Škoda-Łuk"
    )


@pytest.mark.parametrize(
    "words",
    [
        "11:03 B2 Main fuse the two differ rating on the body: iben says 15 A, tariq says 10 A",
        "11:04 G2 Idle current by clamp meter kept after a question current 8.7 A; idle current",
        "11:08 J4 Lag deferred the stopwatch is at home, until launch Iben",
        "10:03 J2 Recording and clock waived card is full, until dive Runa Holt",
    ],
)
def test_what_two_saw_apart_what_was_asked_about_and_what_was_put_aside_are_told(told: Page, words: str):
    assert any(r.startswith(words) for r in rows(told, "Every answer that was not the usual one")), words


@pytest.mark.parametrize(
    "words",
    [
        "11:01 B5 Resting voltage voltage 12.61 V measured",
        "11:03 B2 Main fuse (second answer) rating 10 A measured",
        "11:05 G3 Voltage under a known load sag 0.39 V measured",
        "11:07 R4 Low point and end voltage lowest 12.2 V, end 12.48 V measured",
        "10:04 supply start 12.7 V",
    ],
)
def test_readings_answered_in_the_lists_stand_among_the_readings(told: Page, words: str):
    assert any(r.startswith(words) for r in rows(told, "Readings")), words


def test_how_far_one_could_see_is_taken_from_the_item_that_asks_for_it_too(told: Page):
    head = told.blocks[0]
    assert isinstance(head, Pairs)
    assert dict(head.rows)["Visibility"].endswith("1.1 m (A6 Site against limits, 11:06)")
