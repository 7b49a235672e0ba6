"""Dive and work records: a header, then one entry a line, appended and never rewritten.

Reading parses the whole file at once; only where that fails it goes line by line, so that a torn
or damaged line costs nothing but itself.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any, Literal

from rovlog.documents.source import shown
from rovlog.documents.tree import read, read_value
from rovlog.documents.write import flow_text, modeline, readable_text, scalar_text, slug_text
from rovlog.domain.dive import Entry, Part
from rovlog.problems import DocumentError, Place, Problem, UsageError

TORN_LENGTH = 2000
"""So many characters of a torn line are kept."""

_COMMON = ("id", "n", "at", "mono_s", "by", "kind")
_ENTRIES = re.compile(rb"(?m)^entries:[ \t]*(?:#[^\r\n]*)?\r?\n")


@dataclass(frozen=True, slots=True)
class PartDocument:
    """One file of a record. `record` is the dive's or work's id, also in a part that continues it.

    `lines` are the bytes of each entry of `part.entries`, without line end. `torn_text` is what
    stands in a torn last line. `problems` are damaged lines; every other entry was read.
    """

    record: str
    kind: Literal["dive", "work"]
    vehicle: str
    box: str
    part: Part
    lines: tuple[bytes, ...]
    torn_text: str = ""
    problems: tuple[Problem, ...] = ()


@dataclass(frozen=True, slots=True)
class _Line:
    """One entry line as found: its number from 1, its bytes, and its value once it was read."""

    number: int
    data: bytes
    value: Any


def entry_line(entry: Mapping[str, Any]) -> str:
    """One entry as one physical line with its line end; slugs plain, all other text quoted."""
    return f"    - {flow_text(entry, slug_text)}\n"


def header_text(
    kind: Literal["dive", "work"],
    record: str,
    *,
    writer: str,
    started: str,
    vehicle: str = "",
    box: str = "",
    is_continuation: bool = False,
) -> str:
    """All lines before the first entry. A part by another laptop `continues` the record."""
    if bool(vehicle) == bool(box):
        raise UsageError("a record is about one vehicle or one box", "name one of them")
    keys = {
        "format": f"rovlog/{kind}/1",
        "continues" if is_continuation else kind: record,
        "vehicle" if vehicle else "box": vehicle or box,
        "writer": writer,
    }
    lines = [modeline(kind, 2), *(f"{key}: {readable_text(value)}" for key, value in keys.items())]
    return "\n".join([*lines, f"started: {scalar_text(started)}", "entries:", ""])


def torn_entry_fields(text: str) -> dict[str, Any]:
    """Fields of the entry `torn` that keeps a torn line: kind and text."""
    return {"kind": "torn", "text": text}


def torn_text(line: bytes) -> str:
    """A torn line as text, whatever bytes it holds."""
    return line.rstrip(b"\r\n").decode("utf-8", "backslashreplace")[:TORN_LENGTH]


def covers_digest(document: PartDocument, upto_n: int) -> str:
    """Digest of the entries with n up to `upto_n`: "sha256:" and 64 hexadecimal digits.

    SHA-256 over the lines of these entries in the order of the file, each exactly as it stands,
    with its indentation and without its line end, followed by one line feed. So a checkout that
    turns line feeds into CR LF changes nothing, and any other change of a byte does.
    """
    from hashlib import sha256

    digest = sha256()
    for entry, line in zip(document.part.entries, document.lines, strict=True):
        if entry.n <= upto_n:
            digest.update(line + b"\n")
    return f"sha256:{digest.hexdigest()}"


def read_part(data: bytes, file: str) -> PartDocument:
    """One file of a record. Raises DocumentError where the header cannot be used."""
    if not data.strip(b"\0"):
        read_value(data, file)  # raises: no bytes, or NULs, are damage
    whole, tail = _without_tail(data)
    header_length, first = _header(whole, data, file)
    header = _whole(whole, file, first)
    problems: tuple[Problem, ...] = ()
    if header is None:
        header = read(whole[:header_length], file).value
        lines, problems, tail = _line_by_line(whole[header_length:], file, first, tail)
    else:
        lines = header.pop("entries")
    return _document(header, lines, problems, tail, file)


def _without_tail(data: bytes) -> tuple[bytes, bytes | None]:
    """The lines that have a line end, and what stands after the last of them (a torn line)."""
    end = data.rfind(b"\n") + 1
    return data[:end], (data[end:] or None)


def _header(whole: bytes, data: bytes, file: str) -> tuple[int, int]:
    """Length of the header in bytes, and the number of the first line after it."""
    match = _ENTRIES.search(whole)
    if match is not None:
        return match.end(), whole.count(b"\n", 0, match.end()) + 1
    read_value(data, file)  # raises with a better reason, if there is one
    raise DocumentError((_problem(file, 1, 1, "", "missing-key", "there is no line 'entries:'"),))


def _whole(whole: bytes, file: str, first: int) -> dict[str, Any] | None:
    """The header, and the lines of entries under "entries"; None where not every line is one entry."""
    try:
        value = read_value(whole, file)
    except DocumentError:
        return None
    if not isinstance(value, dict):
        return None
    entries = value.get("entries")
    lines = [
        (number, line)
        for number, line in enumerate(whole.split(b"\n")[first - 1 :], start=first)
        if not _is_blank(line)
    ]
    if entries is None:
        entries = []
    if not isinstance(entries, list):
        return None
    if len(entries) != len(lines) or not all(line.lstrip().startswith(b"- ") for _, line in lines):
        lines = _spread_lines(whole, file, len(entries))
    value["entries"] = [
        _Line(number, line.rstrip(b"\r"), entry) for (number, line), entry in zip(lines, entries, strict=True)
    ]
    return value


def _spread_lines(whole: bytes, file: str, count: int) -> list[tuple[int, bytes]]:
    """Entries that a person spread over several lines: each with all its lines up to the next."""
    tree = read(whole, file)
    starts = [tree.place(f"/entries/{i}").line for i in range(count)]
    lines = whole.split(b"\n")
    ends = [*(start - 1 for start in starts[1:]), len(lines)]
    return [(s, b"\n".join(lines[s - 1 : e]).rstrip()) for s, e in zip(starts, ends, strict=True)]


def _is_blank(line: bytes) -> bool:
    bare = line.strip(b" \t\r")
    return not bare or bare.startswith(b"#")


def _line_by_line(
    body: bytes, file: str, first: int, tail: bytes | None
) -> tuple[list[_Line], tuple[Problem, ...], bytes | None]:
    """Each line on its own; the last is torn, not damaged, if it does not parse."""
    lines: list[_Line] = []
    damaged: list[tuple[int, bytes, DocumentError]] = []
    last = 0
    for number, raw in enumerate(body.split(b"\n"), start=first):
        line = raw.rstrip(b"\r")
        if _is_blank(line):
            continue
        last = number
        try:
            value = read_value(line, file)
        except DocumentError as error:
            damaged.append((number, line, error))
        else:
            value = value[0] if isinstance(value, list) and len(value) == 1 else None
            lines.append(_Line(number, line, value))
    if tail is None and damaged and damaged[-1][0] == last:
        tail = damaged.pop()[1]
    kept = {line.value.get("text") for line in lines if _is_torn(line.value)}
    problems = [
        replace(problem, place=replace(problem.place, line=number), rule="damaged-line", mend=_DAMAGED_MEND)
        for number, line, error in damaged
        if torn_text(line) not in kept
        for problem in error.problems[:1]
    ]
    return lines, tuple(problems), tail


_DAMAGED_MEND = "the other entries were read; take this line back from git, or correct it by hand"


def _is_torn(value: Any) -> bool:
    return isinstance(value, dict) and value.get("kind") == "torn"


def _document(
    header: dict[str, Any], lines: list[_Line], problems: tuple[Problem, ...], tail: bytes | None, file: str
) -> PartDocument:
    header = _checked_header(header, file)
    writer = header["writer"]
    entries: list[Entry] = []
    kept: list[bytes] = []
    found = list(problems)
    for line in lines:
        entry = _entry(line, writer, file)
        if isinstance(entry, Problem):
            found.append(entry)
            continue
        if entry.kind == "torn" and kept and torn_text(kept[-1]) == entry.fields.get("text"):
            entries.pop()  # it was whole but for its line end, and set aside as torn before anyone saw it
            kept.pop()
        entries.append(entry)
        kept.append(line.data)
    is_continuation = "continues" in header
    kind: Literal["dive", "work"] = "dive" if header["format"] == "rovlog/dive/1" else "work"
    part = Part(file, writer, header["started"], tuple(entries), is_continuation, tail is not None)
    return PartDocument(
        header["continues"] if is_continuation else header[kind],
        kind,
        header.get("vehicle", ""),
        header.get("box", ""),
        part,
        tuple(kept),
        torn_text(tail) if tail is not None else "",
        tuple(sorted(found, key=lambda p: p.place)),
    )


def _checked_header(header: Any, file: str) -> dict[str, Any]:
    """The header, with every key that the record cannot do without as text."""
    problems: list[Problem] = []
    if not isinstance(header, dict):
        raise DocumentError((_problem(file, 1, 1, "", "wrong-type", "the record is not a mapping"),))
    form = header.get("format")
    if form not in ("rovlog/dive/1", "rovlog/work/1"):
        message = f"the format is {shown(str(form))}" if form else "the key format is missing"
        problems.append(
            _problem(file, 1, 1, "/format", "unknown-format", message, "rovlog/dive/1 or rovlog/work/1")
        )
    kind = "work" if form == "rovlog/work/1" else "dive"
    subject = "box" if "box" in header and kind == "work" else "vehicle"
    for key in ("continues" if "continues" in header else kind, subject, "writer", "started"):
        if not isinstance(header.get(key), str):
            rule = "wrong-type" if key in header else "missing-key"
            what = "is not text" if key in header else "is missing"
            problems.append(_problem(file, 1, 1, f"/{key}", rule, f"the key {key} {what}", "text"))
    if problems:
        raise DocumentError(tuple(problems))
    return header


def _entry(line: _Line, writer: str, file: str) -> Entry | Problem:
    """The entry on a line, or what makes it none."""
    value = line.value
    if not isinstance(value, dict):
        return _bad_entry(line, file, "wrong-type", "this line is no entry", "a one-line mapping after '- '")
    missing = [key for key in _COMMON if key not in value]
    if missing:
        return _bad_entry(
            line, file, "missing-key", f"the entry has no {', '.join(missing)}", ", ".join(_COMMON)
        )
    n, mono_s = value["n"], value["mono_s"]
    if type(n) is not int or n < 1:
        return _bad_entry(line, file, "wrong-type", f"n is {shown(str(n))}", "a whole number from 1")
    if type(mono_s) not in (int, float):
        return _bad_entry(line, file, "wrong-type", f"mono_s is {shown(str(mono_s))}", "a number of seconds")
    for key in ("id", "at", "by", "kind"):
        if type(value[key]) is not str:
            return _bad_entry(
                line, file, "wrong-type", f"{key} is {shown(str(value[key]))}", "text in quotes"
            )
    fields = {key: v for key, v in value.items() if key not in _COMMON}
    return Entry(
        value["id"],
        n,
        value["at"],
        float(mono_s),
        value["by"],
        value["kind"],
        writer,
        fields,
        file,
        line.number,
    )


def _bad_entry(line: _Line, file: str, rule: str, message: str, expected: str) -> Problem:
    text = line.data.decode("utf-8", "replace")
    column = len(text) - len(text.lstrip()) + 1
    problem = _problem(file, line.number, column, "", rule, message, expected)
    return replace(problem, line_text=text, mend=_DAMAGED_MEND)


def _problem(  # noqa: PLR0917 - the words of a problem in its own order
    file: str, line: int, column: int, pointer: str, rule: str, message: str, expected: str = ""
) -> Problem:
    mend = "take the file back from git, or complete its first lines by hand"
    return Problem(Place(file, line, column), pointer, rule, message, "", expected, mend)
