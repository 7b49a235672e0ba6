"""The words of one line of a typed sheet, as an answer to the item that the line is of."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

from rovlog.problems import Problem, UsageError
from rovlog.values import dataclass, field

if TYPE_CHECKING:
    from rovlog.documents.sheet import Sheet, SheetLine, Word
    from rovlog.domain.checks.checklist import Ask, Item

SECOND, FAILED = "second", "failed"
"""Words by themselves: the second person's answer; it failed."""

REMARK = "text"
ASIDE = ("deferred", "not-applicable")
RESERVED = (SECOND, REMARK, *ASIDE)
"""Names that stand before an equals sign and are no value of any item."""

WORKED_OUT = "corrected_rise"
"""A value that the program works out from the others of its item."""


@dataclass(frozen=True, slots=True)
class Said:
    """What a line says: its values, whether it is the second person's or failed, who else watched, a
    remark, or why the item is set aside (`aside` is "deferred" or "not-applicable", "" for an answer)."""

    values: Mapping[str, Any] = field(default_factory=dict)
    is_second: bool = False
    is_failed: bool = False
    watched_by: Word | None = None
    remark: str | None = None
    aside: str = ""
    reason: str = ""


def required(item: Item) -> list[Ask]:
    """The values that the paper has to say: not what may be left out, nor what is worked out."""
    return [a for a in item.asks if not a.is_optional and a.value != WORKED_OUT]


def wanted(asks: Sequence[Ask]) -> str:
    """Values in words, by the names they are typed with: `depth (m), wind (m/s)`."""
    return ", ".join(a.value + (f" ({a.unit})" if a.unit else "") for a in asks)


def said_of(sheet: Sheet, line: SheetLine, item: Item) -> tuple[Said, list[Problem]]:
    """What the line says of the item, and every word of it that says nothing."""
    asks = {a.value: a for a in item.asks}
    given: dict[str, Word] = {}
    reserved: dict[str, Word] = {}
    flags: dict[str, Word] = {}
    bare: list[Word] = []
    problems: list[Problem] = []
    for word in line.words:
        into = given if word.name in asks else reserved if word.name in RESERVED else None
        if not word.name and word.text.casefold() in (SECOND, FAILED):
            flags[word.text.casefold()] = word
        elif not word.name:
            bare.append(word)
        elif into is None:
            problems.append(_unknown(sheet, line, word, item))
        elif word.name in into:
            problems.append(
                sheet.problem(
                    line,
                    word,
                    "given-twice",
                    f"{word.name} is given twice",
                    "each value once",
                    "take one out",
                )
            )
        else:
            into[word.name] = word
    given, wrong = _placed(sheet, line, item, given, bare)
    problems += wrong
    values, wrong = _parsed(sheet, line, asks, given)
    problems += wrong + _empty(sheet, line, reserved)
    aside = next((name for name in ASIDE if name in reserved), "")
    if aside and (given or flags):
        word = reserved[aside]
        message = f"an item that is {aside.replace('-', ' ')} has no answer"
        problems.append(
            sheet.problem(line, word, "both-ways", message, "a reason or an answer", "take one out")
        )
    said = Said(
        values,
        SECOND in flags,
        FAILED in flags,
        reserved.get(SECOND),
        reserved[REMARK].text if REMARK in reserved else None,
        aside,
        reserved[aside].text if aside else "",
    )
    return said, problems


def missing_of(sheet: Sheet, line: SheetLine, item: Item, said: Said) -> Problem | None:
    """The values that the line should say and does not; None where nothing is missing."""
    missing = [a for a in required(item) if a.value not in said.values]
    if not missing or said.is_failed or said.aside:
        return None
    example = " ".join(f"{a.value}={a.options[0] if a.options else '…'}" for a in missing)
    return sheet.problem(
        line,
        line.code,
        "value-missing",
        f"{item.challenge}: not given: {wanted(missing)}",
        f"the values that stand on the paper: {wanted(required(item))}",
        f"add {example}, or the word failed",
    )


def _placed(
    sheet: Sheet, line: SheetLine, item: Item, given: Mapping[str, Word], bare: Sequence[Word]
) -> tuple[dict[str, Word], list[Problem]]:
    """Values without a name, in the order the paper asks for them; all that it asks for, or none."""
    placed = dict(given)
    if not bare:
        return placed, []
    left = [a for a in item.asks if a.value not in given and a.value != WORKED_OUT]
    for asks in ([a for a in left if not a.is_optional], left):
        if len(asks) == len(bare):
            placed.update({a.value: word for a, word in zip(asks, bare, strict=True)})
            return placed, []
    if not item.asks:
        message = f"{item.challenge} asks for no value, it is answered as stated"
        mend = 'take the word out, or write a remark as text="…"'
        return placed, [sheet.problem(line, bare[0], "no-value-asked", message, "nothing here", mend)]
    count = f"{len(bare)} value{'s are' if len(bare) > 1 else ' is'} given without a name"
    return placed, [
        sheet.problem(
            line,
            bare[0],
            "values-do-not-fit",
            f"{item.challenge}: {count}",
            f"in this order: {wanted(left) or 'none'}",
            "write each as NAME=VALUE, or all in the order of the paper",
        )
    ]


def _parsed(
    sheet: Sheet, line: SheetLine, asks: Mapping[str, Ask], given: Mapping[str, Word]
) -> tuple[dict[str, Any], list[Problem]]:
    from rovlog.domain.checks.answer import parse_answer

    values: dict[str, Any] = {}
    problems = []
    for name, word in given.items():
        try:
            values[name] = parse_answer(asks[name], word.text)
        except UsageError as error:
            ask = asks[name]
            what = " or ".join(ask.options) or (f"a number in {ask.unit}" if ask.unit else ask.words)
            problems.append(sheet.problem(line, word, "no-such-value", error.message, what, error.mend))
    return values, problems


def _empty(sheet: Sheet, line: SheetLine, reserved: Mapping[str, Word]) -> list[Problem]:
    return [
        sheet.problem(line, word, "nothing-said", f"{name} says nothing", "a few words", f'write {name}="…"')
        for name, word in reserved.items()
        if not word.text.strip()
    ]


def _unknown(sheet: Sheet, line: SheetLine, word: Word, item: Item) -> Problem:
    from rovlog.domain.nearest import nearest_mend

    names = [a.value for a in item.asks]
    return sheet.problem(
        line,
        word,
        "no-such-name",
        f"{item.challenge} asks for no value {word.name!r}",
        wanted(item.asks) or "no value at all",
        nearest_mend(word.name, [*names, *RESERVED]),
    )
