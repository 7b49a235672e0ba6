"""The head of each line of a typed sheet, looked up: which item or group, when, and who."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from rovlog.problems import Problem, UsageError
from rovlog.usecases.recording import CLOCK_APART_S
from rovlog.usecases.sheet_words import Said, missing_of, said_of
from rovlog.usecases.times import checked_time, instant
from rovlog.values import dataclass

if TYPE_CHECKING:
    from rovlog.documents.sheet import Sheet, SheetLine, Word
    from rovlog.domain.checks.checklist import Checklist, Item, Section
    from rovlog.domain.dive import Record
    from rovlog.usecases.dive_state import DiveState
    from rovlog.usecases.logbook import Logbook

LONG_BEFORE_S = 12 * 3600.0
"""A time of the clock that lies longer than this before the record was started is of another day."""


@dataclass(frozen=True, slots=True)
class Known:
    """One line with its head looked up: the item, or the group whose completion call it is, when and who."""

    line: SheetLine
    at: str
    by: str
    said: Said
    item: Item | None = None
    group: tuple[Checklist, Section] | None = None
    watched_by: str = ""

    @property
    def name(self) -> str:
        """The id of the item or the group."""
        if self.group is not None:
            return self.group[1].section
        return self.item.item if self.item is not None else ""


def known_lines(logbook: Logbook, state: DiveState, sheet: Sheet) -> tuple[list[Known], list[Problem]]:
    """Every line looked up, in the order of their times, and all problems of the words themselves."""
    problems = list(sheet.problems)
    found: list[Known] = []
    taken: set[tuple[str, str, str, bool]] = set()
    for line in sheet.lines:
        known, wrong = _known(logbook, state, sheet, line)
        problems += wrong
        if known is None:
            continue
        key = (known.name, known.by, known.at, known.said.is_second)
        if key in taken:
            message = "the sheet says this twice, by the same person at the same time"
            problems.append(
                sheet.problem(line, line.code, "said-twice", message, "each answer once", "take one out")
            )
        taken.add(key)
        found.append(known)
    found.sort(key=lambda k: _seconds(k.at))
    return found, problems


def _seconds(at: str) -> float:
    when = instant(at)
    return when.timestamp() if when is not None else 0.0


def _known(
    logbook: Logbook, state: DiveState, sheet: Sheet, line: SheetLine
) -> tuple[Known | None, list[Problem]]:
    """One line looked up; None where its head cannot be."""
    item, group, wrong = _subject(state, sheet, line)
    problems = [wrong] if wrong is not None else []
    at = _time(logbook, state.record, sheet, line)
    if isinstance(at, Problem):
        problems.append(at)
    by = _person(logbook, sheet, line, line.by)
    if isinstance(by, Problem):
        problems.append(by)
    said, watched = Said(), ""
    if item is not None and item.kind != "release":
        said, more = said_of(sheet, line, item)
        problems += more
        # The second person at an item that two watch together need not say the value again.
        missing = missing_of(sheet, line, item, said) if item.witness != "concurrent" and not more else None
        problems += [missing] if missing is not None else []
        problems += _watched(sheet, line, item, said)
        if said.watched_by is not None:
            who = _person(logbook, sheet, line, said.watched_by)
            problems += [who] if isinstance(who, Problem) else []
            watched = "" if isinstance(who, Problem) else who
    elif line.words and wrong is None:
        what = "a completion call" if group is not None else "a release"
        message = f"{what} has a time and a name, and no answer"
        problems.append(
            sheet.problem(line, line.words[0], "no-value-asked", message, "nothing here", "take the word out")
        )
    if wrong is not None or isinstance(at, Problem) or isinstance(by, Problem):
        return None, problems
    return Known(line, at, by, said, item, group, watched), problems


def _subject(
    state: DiveState, sheet: Sheet, line: SheetLine
) -> tuple[Item | None, tuple[Checklist, Section] | None, Problem | None]:
    """The item of this code or id, or else the group; of several with one code it has to be the id."""
    word = line.code
    typed = (f"{word.name}={word.text}" if word.name else word.text).casefold()
    items = {i.item: i for c in state.lists for i in c.items()}
    hits = [i for i in items.values() if typed in (i.item.casefold(), i.code.casefold())]
    if len(hits) == 1:
        return hits[0], None, None
    groups = [
        (c, s)
        for c in state.lists
        for s in c.sections
        if typed in (s.section.casefold(), s.code.casefold()) and not hits
    ]
    if len(groups) == 1:
        return None, groups[0], None
    if hits or groups:
        names = [i.item for i in hits] or [s.section for _, s in groups]
        message = f"{len(names)} items have the code {typed!r}" if hits else f"groups {typed!r} are several"
        return (
            None,
            None,
            sheet.problem(
                line, word, "more-than-one", message, "the id of one: " + ", ".join(names), "write its id"
            ),
        )
    from rovlog.domain.nearest import nearest_mend

    codes = [i.code or i.item for i in items.values()] + [s.code for c in state.lists for s in c.sections]
    return (
        None,
        None,
        sheet.problem(
            line,
            word,
            "no-such-item",
            f"no item and no group of this record has the code {typed!r}",
            "the code that stands in the margin of the paper",
            nearest_mend(typed.upper(), [c for c in codes if c], "rovlog dive show DIVE lists the items"),
        ),
    )


def _time(logbook: Logbook, record: Record, sheet: Sheet, line: SheetLine) -> str | Problem:
    """The line's time as RFC 3339, in the offset the record was started in."""
    from rovlog.documents.sheet import clock_time

    word = line.time
    clock = clock_time(word.text)
    if clock is not None and not word.name:
        offset = re.search(r"([+-][0-9]{2}:[0-9]{2}|[Zz])$", record.started)
        at = f"{line.day or record.started[:10]}T{clock}{offset.group() if offset else 'Z'}"
    else:
        try:
            at = checked_time(word.text)
        except UsageError:
            return sheet.problem(
                line,
                word,
                "no-time",
                f"{word.text!r} is no time",
                "a time as 14:05, or a whole one as 2026-09-12T14:05:00+01:00",
                f"write the line as: {line.code.text} 14:05 NAME …",
            )
    typed, now, began = instant(at), instant(logbook.book.clock.now()), instant(record.started)
    assert typed is not None
    if now is not None and (typed - now).total_seconds() > CLOCK_APART_S:
        return sheet.problem(
            line,
            word,
            "time-to-come",
            f"{at[:10]} {word.text} has not come yet",
            "a time that has passed",
            "correct it; where it is of another day, put a line above it: day 2026-09-12",
        )
    if began is not None and not line.day and (began - typed).total_seconds() > LONG_BEFORE_S:
        return sheet.problem(
            line,
            word,
            "long-before",
            f"{at[:10]} {word.text} lies more than half a day before the record was started",
            f"a time about {record.started[:16].replace('T', ' ')} or later",
            "put a line above it that names the day: day 2026-09-12",
        )
    return at


def _person(logbook: Logbook, sheet: Sheet, line: SheetLine, word: Word) -> str | Problem:
    """Who of logbook.yaml this is, upper or lower case alike."""
    people = list(logbook.settings().people)
    found = next((p for p in people if p.casefold() == word.text.casefold()), None)
    if found is not None:
        return found
    from rovlog.domain.nearest import nearest_mend

    return sheet.problem(
        line,
        word,
        "no-such-person",
        f"{word.text!r} is nobody of logbook.yaml",
        "who answered, by the id of logbook.yaml",
        nearest_mend(word.text.casefold(), people),
    )


def _watched(sheet: Sheet, line: SheetLine, item: Item, said: Said) -> list[Problem]:
    """A second person named in passing: fine where the two watch together, never for a blind answer."""
    word = said.watched_by
    if word is None:
        return []
    if item.witness == "none":
        message = f"{item.challenge} asks for no second person"
        return [sheet.problem(line, word, "no-second-asked", message, "nothing here", "take the word out")]
    if item.witness == "blind" and item.asks:
        message = f"{item.challenge}: the second person answers without seeing the first, and so in full"
        mend = f"write a line of its own: {line.code.text} 14:07 {word.text} … second"
        return [sheet.problem(line, word, "second-in-full", message, "a line of the second person's", mend)]
    return []
