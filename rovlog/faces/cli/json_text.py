"""Data as one JSON document that is safe on a terminal: the same data, with dangerous characters escaped."""

from __future__ import annotations

import json
from typing import Any


def json_text(data: Any) -> str:
    r"""The document with a line end.

    A character that the terminal must not see (controls, bidirectional controls, blanks that pass
    for letters, lone surrogates) is written as `\uXXXX`, which a JSON reader turns back into itself.
    """
    text = json.dumps(data, ensure_ascii=False, allow_nan=False, indent=1)
    if not text.isascii():
        text = "\n".join(_escaped(line) for line in text.split("\n"))
    return text.replace("\x7f", "\\u007f") + "\n"


def _escaped(line: str) -> str:
    from rovlog.faces.reports.plain import clean, clean_character

    if clean(line) == line:
        return line
    return "".join(c if clean_character(c) == c else json.dumps(c)[1:-1] for c in line)
