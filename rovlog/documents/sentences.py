"""One NMEA 0183 sentence: its checks on the way in, its form on the way out.

The rules are those of the standard as public primers give them: `$` or `!`, printable ASCII, `*`, the
exclusive-or of all characters between as two upper-case hexadecimal digits, CR LF; at most 82 characters
in all. What does not keep them is a refusal, a word of REFUSALS: nothing here raises on what arrives.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from functools import reduce
from operator import xor

from rovlog.values import dataclass

LONGEST = 82
"""Characters in the longest sentence, start character and CR LF included."""

RESERVED = frozenset("$*,!\\^~")
"""Characters that the standard keeps for itself: none of them stands inside a field."""

REFUSALS = {
    "too-long": "longer than 82 characters",
    "not-text": "not printable ASCII",
    "no-start": "no $ at the beginning",
    "no-carriage-return": "no carriage return before the line feed",
    "no-checksum": "no checksum of two upper-case hexadecimal digits",
    "wrong-checksum": "the checksum does not fit",
    "two-starts": "a $ in the middle",
}
"""Why a line is no sentence, in words, by the rule's own word."""

_UPPER_HEX = b"0123456789ABCDEF"
_NOT_PRINTABLE = re.compile(rb"[^ -~]")
_WHOLE_NUMBER = re.compile(r"0|-?[1-9][0-9]{0,9}", re.ASCII)


@dataclass(frozen=True, slots=True)
class Sentence:
    """A sentence whose checks have passed: its address (`GPGGA`, `PRVLBOX`) and its fields as text."""

    address: str
    fields: tuple[str, ...]


def checksum(body: bytes) -> int:
    """The exclusive-or of every character between the start character and the asterisk."""
    return reduce(xor, body, 0)


def read_sentence(line: bytes) -> Sentence | str:
    """A line with its CR LF as a sentence, or the word of REFUSALS for what is wrong with it."""
    if len(line) > LONGEST:
        return "too-long"
    if not line.endswith(b"\r\n"):
        return "no-carriage-return"
    text = line[:-2]
    if _NOT_PRINTABLE.search(text):
        return "not-text"
    if text[:1] not in (b"$", b"!"):
        return "no-start"
    if len(text) < 4 or text[-3:-2] != b"*" or any(c not in _UPPER_HEX for c in text[-2:]):
        return "no-checksum"
    body = text[1:-3]
    if checksum(body) != int(text[-2:], 16):
        return "wrong-checksum"
    if b"$" in body or b"*" in body:
        return "two-starts"
    address, *fields = body.decode("ascii").split(",")
    return Sentence(address, tuple(fields))


def sentence_bytes(address: str, fields: Sequence[str]) -> bytes:
    """A sentence with checksum and CR LF.

    Raises:
        ValueError: a field holds what cannot stand in a sentence, or the whole is too long. The
            caller makes the fields, so that is its mistake and no matter of what a person wrote.
    """
    for field in (address, *fields):
        if not field.isascii() or (field and not field.isprintable()) or RESERVED & set(field):
            raise ValueError(f"{field!r} cannot stand in a sentence")
    body = ",".join((address, *fields)).encode("ascii")
    line = b"$%s*%02X\r\n" % (body, checksum(body))
    if len(line) > LONGEST:
        raise ValueError(f"the sentence {address} has {len(line)} characters, {LONGEST} are allowed")
    return line


def whole_number(text: str, least: int, most: int) -> int | None:
    """A whole number written plainly (no plus, no leading zeros) within limits, else None."""
    if len(text) > 11 or not _WHOLE_NUMBER.fullmatch(text):
        return None
    number = int(text)
    return number if least <= number <= most else None
