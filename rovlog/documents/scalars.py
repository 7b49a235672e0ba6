"""Plain scalars and keys as the YAML 1.2 core schema reads them, and nothing more than that.

Source: YAML 1.2.2 (2021), section 10.3.2 (tag resolution). `no` is text, `012` is 12, `0b1010`,
`1_000`, `12:30:45` and dates are text. Infinite numbers, not-a-numbers and numbers of more than
30 characters are refused.
"""

from __future__ import annotations

import re
from math import isfinite
from typing import Literal

PlainValue = None | bool | int | float | str

NUMBER_LENGTH = 30
"""The most characters a number may have."""

WORDS: dict[str, PlainValue] = {
    **dict.fromkeys(("", "~", "null", "Null", "NULL"), None),
    **dict.fromkeys(("true", "True", "TRUE"), True),
    **dict.fromkeys(("false", "False", "FALSE"), False),
}
"""Plain scalars that are not text and not numbers."""

_NUMBER_STARTS = frozenset("0123456789+-.")
_NUMBER = re.compile(
    r"(?P<int>[-+]?[0-9]+)"
    r"|(?P<octal>0o[0-7]+)"
    r"|(?P<hexadecimal>0x[0-9a-fA-F]+)"
    r"|(?P<float>[-+]?(?:\.[0-9]+|[0-9]+(?:\.[0-9]*)?)(?:[eE][-+]?[0-9]+)?)"
    r"|(?P<not_finite>[-+]?\.(?:inf|Inf|INF)|\.(?:nan|NaN|NAN))"
)
_NAME = re.compile(r"[A-Za-z0-9_-][A-Za-z0-9_.-]*")
_PLAIN_INTEGER = re.compile(r"0|-?[1-9][0-9]*")

NumberFault = Literal["number-not-finite", "number-too-long"]
KeyFault = Literal["key-not-a-name", "key-not-text", "key-spelling", "merge-key", "number-too-long"]


class NumberRefusedError(ValueError):
    """A number that no record may hold; `rule` says why."""

    def __init__(self, rule: NumberFault) -> None:
        """Take the rule's word."""
        super().__init__(rule)
        self.rule: NumberFault = rule


def resolve(text: str) -> PlainValue:
    """Value of a plain (unquoted) scalar. Raises NumberRefusedError."""
    if text[:1] not in _NUMBER_STARTS:
        return WORDS.get(text, text)
    match = _NUMBER.fullmatch(text)
    if match is None:
        return text
    if len(text) > NUMBER_LENGTH:
        raise NumberRefusedError("number-too-long")
    kind = match.lastgroup
    if kind == "int":
        return int(text)
    if kind == "float":
        value = float(text)
        if isfinite(value):
            return value
        raise NumberRefusedError("number-not-finite")
    if kind == "octal":
        return int(text[2:], 8)
    if kind == "hexadecimal":
        return int(text[2:], 16)
    raise NumberRefusedError("number-not-finite")


def key_fault(text: str, plain: bool) -> KeyFault | None:
    """Why this scalar is no key, or None.

    A key is a name of ASCII letters, digits, `_`, `-` and, past its first character, `.`. Unquoted
    it must also read as text or as a decimal integer in its shortest spelling, so that `3` and
    `"3"` are the same key and no key has two spellings.
    """
    if plain and text == "<<":
        return "merge-key"
    if plain and text in WORDS:
        return "key-not-text"
    if _NAME.fullmatch(text) is None:
        return "key-not-a-name"
    if not plain or text[0] not in _NUMBER_STARTS:
        return None
    match = _NUMBER.fullmatch(text)
    if match is None:
        return None
    if len(text) > NUMBER_LENGTH:
        return "number-too-long"
    if match.lastgroup == "float":
        return "key-not-text"
    return None if _PLAIN_INTEGER.fullmatch(text) else "key-spelling"
