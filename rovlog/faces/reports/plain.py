"""The one filter for every string from outside before it reaches a screen, a print, a log or an export.

Files, git, the serial line, file names and exceptions may carry control characters that steer a
terminal, bidirectional controls that reorder a line (the Trojan Source list, Boucher and Anderson
2021), and blanks that pass for letters. A character is shown only if it is printable; any other
becomes `<U+XXXX>`.
"""

from __future__ import annotations

import re

_BY_HAND = re.compile(
    "["
    "\u061c\u200e\u200f\u202a-\u202e\u2066-\u2069"  # bidirectional controls
    "\ufe00-\ufe0f\U000e0100-\U000e01ef\u180b-\u180f"  # variation selectors
    "\ufffc"  # object replacement
    "\u3164\u115f\u1160\uffa0\u2800"  # blanks that count as letters or signs
    "]"
)
_LINE_END = re.compile(r"\r\n|\r|\n")
_NUMBER = re.compile(r"[-+]?(?:[0-9]+(?:\.[0-9]*)?|\.[0-9]+)(?:[eE][-+]?[0-9]+)?")
_FORMULA_STARTS = tuple("=+-@\uff1d\uff0b\uff0d\uff20")


def clean(text: str, lines: bool = False) -> str:
    """The text with every character that must not be shown as `<U+XXXX>`.

    With `lines`, line ends stay, all as a line feed; without, they are shown as characters too.
    """
    if lines:
        return "\n".join(clean(line) for line in _LINE_END.split(text))
    if text.isprintable() and (text.isascii() or not _BY_HAND.search(text)):
        return text
    return "".join(map(clean_character, text))


def clean_character(character: str) -> str:
    """One character as `clean` shows it."""
    if character.isprintable() and not _BY_HAND.match(character):
        return character
    return f"<U+{ord(character):04X}>"


def clean_cell(text: str, lines: bool = False) -> str:
    """The text for a cell of a CSV file: clean, and never read as a formula by a spreadsheet.

    A cell that, after blanks, begins with = + - @ or their full-width forms and is no number gets a
    leading apostrophe (OWASP ASVS, CWE-1236). Quoting by RFC 4180 is the CSV writer's work.
    """
    cell = clean(text, lines)
    bare = cell.strip()
    if bare.startswith(_FORMULA_STARTS) and not _NUMBER.fullmatch(bare):
        return "'" + cell
    return cell
