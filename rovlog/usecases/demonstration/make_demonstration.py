"""Making the demonstration: an invented team's season, written through the program's own steps."""

from __future__ import annotations

from collections.abc import Callable
from random import Random

from rovlog.usecases.demonstration import autumn, spring, summer
from rovlog.usecases.demonstration.remembered import RememberedFiles
from rovlog.usecases.demonstration.scripted import (
    ScriptedClock,
    ScriptedHistory,
    ScriptedIds,
    repeatable_bytes,
)
from rovlog.usecases.demonstration.stage import Stage
from rovlog.usecases.demonstration.team import FOUNDER, PEOPLE, TITLE, WRITER
from rovlog.usecases.logbook import Logbook
from rovlog.usecases.ports import Book, Ids
from rovlog.usecases.recording import commit_record
from rovlog.usecases.start_logbook import start_logbook
from rovlog.values import dataclass, replace

BEGINS = "2026-04-04T08:55:00+01:00"
SEED = "larkwater 2026"


@dataclass(frozen=True, slots=True)
class Made:
    """What was made, and the records that the story turns on."""

    root: str
    vehicles: tuple[str, ...]
    dives: tuple[str, ...]
    work: tuple[str, ...]
    last_good: str
    faulty: tuple[str, ...]
    open_record: str
    commit: str | None


def new_clock() -> ScriptedClock:
    """The clock the season is written by."""
    return ScriptedClock(BEGINS)


def demonstration_ids(repeatable: Callable[[Callable[[int], bytes]], Ids]) -> Ids:
    """The ids of the season, the same at every making."""
    return ScriptedIds(repeatable(repeatable_bytes(SEED)))


def make_demonstration(book: Book, clock: ScriptedClock) -> Made:
    """Write the whole season into a new logbook. `book` must have this clock and repeatable ids.

    Raises RovlogError where git or the disk refuses; the logbook is then unfinished.
    """
    founder = PEOPLE[FOUNDER]
    history = ScriptedHistory(book.history, clock, (str(founder["name"]), str(founder["email"])))
    files = RememberedFiles(book.files)
    book = replace(book, files=files, history=history, clock=clock, writer=WRITER)
    start_logbook(book, TITLE, PEOPLE)
    stage = Stage(Logbook(book), clock, Random(SEED))
    last_good, faulty, left_open = _season(stage)
    logbook = stage.logbook
    commit_record(logbook, left_open, f"{left_open}: evidence kept, search begun", "bashir")
    dives = tuple(r.id for r in logbook.records(kinds=("dive",)))
    work = tuple(r.id for r in logbook.records(kinds=("work",)))
    return Made(
        book.files.root,
        tuple(logbook.vehicles()),
        dives,
        work,
        last_good,
        faulty,
        left_open,
        book.history.head(),
    )


def _season(stage: Stage) -> tuple[str, tuple[str, ...], str]:
    spring.season_opens(stage)
    spring.april(stage)
    spring.may(stage)
    spring.june(stage)
    summer.fuse_opened(stage, _last_dive(stage, "wigeon"))
    summer.june_again(stage)
    summer.firmware_renumbers(stage)
    summer.tether_swapped(stage)
    summer.july(stage)
    summer.august(stage)
    good = _last_dive(stage, "grebe")
    autumn.bow_refit(stage)
    first = autumn.first_dead_yaw(stage)
    autumn.not_found(stage, good)
    autumn.pool_day(stage)
    second = autumn.second_dead_yaw(stage)
    left_open = autumn.search_begins(stage, good)
    return good, (first, second), left_open


def _last_dive(stage: Stage, vehicle: str) -> str:
    return stage.logbook.records(vehicle, ("dive",))[-1].id
