"""Plain values to YAML text that reads back equal, laid out for people.

Whole documents are block style, with short lists and leaf mappings in flow style. Text stands
plain only where no YAML reader could take it for something else; ids, times and versions are quoted.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from math import isfinite
from typing import Any

from rovlog.documents.scalars import NUMBER_LENGTH, key_fault
from rovlog.problems import UsageError

COLUMNS = 100
"""A list or mapping stands on one line if the line has at most so many characters."""

_ESCAPES = {'"': '\\"', "\\": "\\\\", "\n": "\\n", "\r": "\\r", "\t": "\\t"}
_PLAIN = re.compile(r"[^\W\d_](?:[^,\[\]{}:#&*!|>'\"%@`\\?\r\n\t]*[^,\[\]{}:#&*!|>'\"%@`\\?\s])?")
_SLUG = re.compile(r"[a-z][a-z0-9-]*")
_HEXADECIMAL = re.compile(r"[0-9a-fA-F]{7,}")
_KEY = re.compile(r"[A-Za-z_]")
_OTHER_WORDS = frozenset({"yes", "no", "on", "off", "true", "false", "null"})
"""Words that a reader of YAML 1.1 or 1.2 takes for something else than text, in any case."""


def modeline(kind: str, folder_depth: int) -> str:
    """The first line of a document, by which YAML language servers find the schema."""
    return f"# yaml-language-server: $schema={'../' * folder_depth}.rovlog/schemas/{kind}-1.json"


def quoted(text: str) -> str:
    """Text in double quotes on one line, as JSON and YAML both read it, all unprintable escaped.

    Beyond U+FFFF the escape is YAML's `\\U` with eight digits. Raises UsageError for a lone surrogate.
    """
    if text.isascii() and text.isprintable() and '"' not in text and "\\" not in text:
        return f'"{text}"'
    return f'"{"".join(map(_character, text))}"'


def scalar_text(value: str | float | bool | None) -> str:
    """One scalar: text always quoted, numbers as Python writes them. Raises UsageError.

    A power of ten gets a decimal point, since YAML 1.1 takes 5e-05 for text.
    """
    if isinstance(value, str):
        return quoted(value)
    if value is None:
        return "null"
    if isinstance(value, bool):
        return "true" if value else "false"
    text = repr(value)
    if isinstance(value, float) and "e" in text and "." not in text:
        text = text.replace("e", ".0e")
    if isinstance(value, int | float) and len(text) <= NUMBER_LENGTH and isfinite(value):
        return text
    raise UsageError(
        f"{text[:60]} cannot be written", f"give a finite number of at most {NUMBER_LENGTH} characters"
    )


def key_text(key: str) -> str:
    """A key, quoted where a reader could take it for something other than this name, a number for one.

    Raises UsageError.
    """
    if key_fault(key, plain=False):
        raise UsageError(f"{quoted(key)[:60]} is no key", "use ASCII letters, digits, _, - and .")
    if key_fault(key, plain=True) or key.lower() in _OTHER_WORDS or not _KEY.match(key):
        return f'"{key}"'
    return key


def readable_text(value: str | float | bool | None) -> str:
    """One scalar for a document: text plain where it is safe in any YAML reader, else quoted."""
    if isinstance(value, str) and _PLAIN.fullmatch(value) and value.isprintable() and not _is_other(value):
        return value
    return scalar_text(value)


def slug_text(value: str | float | bool | None) -> str:
    """One scalar for an entry: slugs plain, all other text quoted."""
    if isinstance(value, str) and _SLUG.fullmatch(value) and not _is_other(value):
        return value
    return scalar_text(value)


def flow_text(value: Any, scalar: Callable[[Any], str] = readable_text) -> str:
    """Any value on one line, in flow style."""
    if isinstance(value, Mapping):
        return "{" + ", ".join(f"{key_text(k)}: {flow_text(v, scalar)}" for k, v in value.items()) + "}"
    if _is_list(value):
        return "[" + ", ".join(flow_text(v, scalar) for v in value) + "]"
    return scalar(value)


def block_lines(value: Any, indent: int) -> list[str]:
    """Lines of a mapping or list in block style, without line ends, indented by so many blanks."""
    pad = " " * indent
    if isinstance(value, Mapping) and value:
        return [line for k, v in value.items() for line in _entry_lines(f"{pad}{key_text(k)}:", v, indent)]
    if _is_list(value) and value:
        return [line for item in value for line in _item_lines(item, indent)]
    return [pad + flow_text(value)]


def document_text(value: Mapping[str, Any], modeline: str) -> str:
    """A whole document. Raises UsageError or DocumentError where it could not be read back."""
    from rovlog.documents.tree import read_value

    text = "\n".join([modeline, *block_lines(value, 0)] if modeline else block_lines(value, 0)) + "\n"
    read_value(text.encode(), "the new document")
    return text


def _entry_lines(head: str, value: Any, indent: int) -> list[str]:
    if fits(value, len(head) + 1):
        return [f"{head} {flow_text(value)}"]
    return [head, *block_lines(value, indent + 2)]


def _item_lines(item: Any, indent: int) -> list[str]:
    pad = " " * indent
    if fits(item, indent + 2):
        return [f"{pad}- {flow_text(item)}"]
    lines = block_lines(item, indent + 2)
    return [f"{pad}- {lines[0].lstrip()}", *lines[1:]]


def fits(value: Any, column: int) -> bool:
    """True where a value belongs on one line that has so many characters already."""
    if isinstance(value, Mapping):
        parts: Sequence[Any] = list(value.values())
    elif _is_list(value):
        parts = value
    else:
        return True
    if not all(_is_leaf(part) for part in parts):
        return False
    return not parts or column + len(flow_text(value)) <= COLUMNS


def _is_leaf(value: Any) -> bool:
    """True for a scalar, and for a list of numbers or an empty collection inside a one-line mapping."""
    if isinstance(value, Mapping):
        return not value
    return not _is_list(value) or all(isinstance(v, int | float) for v in value)


def _is_list(value: Any) -> bool:
    return isinstance(value, Sequence) and not isinstance(value, str | bytes)


def _is_other(text: str) -> bool:
    return len(text) == 1 or text.lower() in _OTHER_WORDS or _HEXADECIMAL.fullmatch(text) is not None


def _character(character: str) -> str:
    if character in _ESCAPES:
        return _ESCAPES[character]
    if character.isprintable():
        return character
    code = ord(character)
    if 0xD800 <= code <= 0xDFFF:
        raise UsageError(f"the text has half a character (U+{code:04X})", "type it again, in UTF-8")
    return f"\\u{code:04x}" if code <= 0xFFFF else f"\\U{code:08x}"
