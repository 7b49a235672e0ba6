"""What a person typed: text that has to stand on one line, and words of which there are only some."""

from __future__ import annotations

import unicodedata
from collections.abc import Mapping, Sequence
from typing import Any

from rovlog.problems import UsageError

LINE_ENDS = "\n\r\v\f\x1c\x1d\x1e\x85\u2028\u2029"
"""What Unicode and terminals take for the end of a line."""


def require_text(what: str, text: str) -> None:
    """Raise UsageError where a reason or name is empty, of several lines, or holds control characters."""
    if not text.strip():
        raise UsageError(f"the {what} is empty", "say it in a few words")
    require_one_line(what, text)


def require_one_line(what: str, text: str) -> None:
    """Raise UsageError where the text has several lines or holds control characters; empty is fine."""
    if any(end in text for end in LINE_ENDS):
        raise UsageError(f"the {what} has several lines", "write it on one line")
    if any(unicodedata.category(c) == "Cs" for c in text):
        raise UsageError(f"the {what} holds bytes that are no UTF-8 text", "type it again, in UTF-8")
    steering = next((c for c in text if unicodedata.category(c) == "Cc"), None)
    if steering is not None:
        raise UsageError(
            f"the {what} holds the control character U+{ord(steering):04X}", "type it without that character"
        )


def require_one_line_each(fields: Mapping[str, Any], what: str = "") -> None:
    """The same for every text in the fields of an entry, named by its key."""
    for key, value in fields.items():
        name = f"{what} {key}".strip().replace("_", " ")
        if isinstance(value, str):
            require_one_line(name, value)
        elif isinstance(value, Mapping):
            require_one_line_each(value, name)
        elif isinstance(value, list | tuple):
            require_one_line_each({str(n): v for n, v in enumerate(value)}, name)


def require_word(what: str, word: str, known: Sequence[str] | Mapping[str, Any]) -> None:
    """Raise UsageError with the nearest known word."""
    if word in known:
        return
    from rovlog.domain.nearest import nearest_mend

    raise UsageError(f"there is no {what} {word!r}", nearest_mend(word, known))
