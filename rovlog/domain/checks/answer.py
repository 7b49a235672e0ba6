"""What a person types for one value, as the value: decimal comma, unit slips, words to choose from."""

from __future__ import annotations

import re

from rovlog.domain.checks.checklist import Ask, Value
from rovlog.problems import UsageError

_NUMBER = re.compile(r"([+\-−]?)(\d+(?:[.,]\d*)?|[.,]\d+)(?:[eE]([+-]?\d{1,2}))?\s*(\D.*)?")
_YES = {"yes", "y", "true", "1"}
_NO = {"no", "n", "false", "0"}
_LONGEST_NUMBER = 30


def parse_answer(ask: Ask, text: str) -> Value:
    """The value a person typed. Raises UsageError with what to write instead.

    Numbers take a decimal comma or point and may be followed by the unit that is asked for; any
    other unit is refused, since a slip of a thousand hides there.
    """
    typed = text.strip()
    if not typed:
        raise UsageError(f"nothing is typed for {ask.words}", f"give {_wanted(ask)}")
    if "\n" in typed or "\r" in typed:
        raise UsageError(f"more than one line is given for {ask.words}", "give one line")
    if ask.type == "choice" or (ask.options and ask.type != "number"):
        return _choice(ask, typed)
    if ask.type == "yes-no":
        if typed.casefold() in _YES | _NO:
            return typed.casefold() in _YES
        raise UsageError(f"{typed!r} is neither yes nor no", "write yes or no")
    if ask.type == "text":
        return typed
    return _number(ask, typed)


def _number(ask: Ask, typed: str) -> Value:
    if re.match(r"[+\-−]?\d*[.,]\d*[.,]\d", typed):
        text = f"{typed!r} has two separators, and which one is the decimal sign is not clear"
        raise UsageError(text, f"give {_wanted(ask)}")
    match = _NUMBER.fullmatch(typed)
    if match is None or len(typed) > _LONGEST_NUMBER:
        raise UsageError(f"{typed!r} is no number for {ask.words}", f"give {_wanted(ask)}")
    sign, digits, power, unit = match.groups()
    if unit is not None and unit.strip() != ask.unit:
        asked = f"it is asked in {ask.unit}" if ask.unit else "it has no unit"
        raise UsageError(f"{typed!r} names the unit {unit.strip()!r}; {asked}", f"give {_wanted(ask)}")
    plain = digits.replace(",", ".")
    value = float(plain) * 10.0 ** int(power or 0)
    value = -value if sign in ("-", "−") else value
    return int(value) if "." not in plain and power is None else value


def _choice(ask: Ask, typed: str) -> str:
    for option in ask.options:
        if option.casefold() == typed.casefold():
            return option
    raise UsageError(f"{typed!r} is none of the answers", "choose " + " or ".join(ask.options))


def _wanted(ask: Ask) -> str:
    if ask.options:
        return "one of " + ", ".join(ask.options)
    if ask.type == "yes-no":
        return "yes or no"
    if ask.type == "text":
        return "the text"
    return f"a number in {ask.unit}, such as 12,5" if ask.unit else "a number, such as 12"
