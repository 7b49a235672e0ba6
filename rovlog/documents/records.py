"""Dive and work records: a header, then one entry a line, appended and never rewritten.

Reading parses the whole file at once; only where that fails it goes line by line, so that a torn
or damaged line costs nothing but itself.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Literal

from rovlog.documents.record_lines import DAMAGED_MEND, Line, entry_lines, problem_at, split, torn_text
from rovlog.documents.source import shown
from rovlog.documents.write import flow_text, modeline, readable_text, scalar_text, slug_text
from rovlog.domain.dive import Entry, Part
from rovlog.problems import DocumentError, Problem, UsageError
from rovlog.values import dataclass, replace

_COMMON = ("id", "n", "at", "mono_s", "by", "kind")


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


def entry_line(entry: Mapping[str, Any], indent: str = "") -> str:
    """One entry as one physical line with its line end; slugs plain, all other text quoted.

    `indent` is what stands before the dash: the same for all entries of a file (`indent_of`).
    """
    return f"{indent}- {flow_text(entry, slug_text)}\n"


def indent_of(data: bytes) -> str:
    """What stands before the dash of a part's entries: a person or another program may have begun it."""
    lines = [line for line in entry_lines(data) if line.lstrip(b" ").startswith(b"- ")]
    return lines[0][: lines[0].index(b"-")].decode("ascii") if lines else ""


def refuse_unread(before: bytes, text: str, file: str) -> None:
    """Raise UsageError where entries behind the last line of a part would make it unreadable.

    Only where that line is no entry, as when a person has written header keys behind the entries.
    """
    indent, last = indent_of(before), (entry_lines(before) or [b"- "])[-1].decode("utf-8", "replace")
    if last.startswith((f"{indent}- ", f"{indent} ")):
        return
    try:
        added = len(read_part(before.rstrip(b"\n") + b"\n" + text.encode(), file).lines) - len(
            read_part(before, file).lines
        )
    except DocumentError:
        added = 0
    if added != text.count("\n"):
        raise UsageError(
            f"not recorded: in {file} something else stands behind the entries",
            "move it above the line 'entries:'",
        )


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
    found = split(data, file)
    header = _checked_header(found.header, file)
    problems = list(found.problems)
    entries, kept = _entries(found.lines, header["writer"], file, problems)
    is_continuation = "continues" in header
    kind: Literal["dive", "work"] = "dive" if header["format"] == "rovlog/dive/1" else "work"
    is_torn = found.tail is not None
    return PartDocument(
        record=header["continues"] if is_continuation else header[kind],
        kind=kind,
        vehicle=header.get("vehicle", ""),
        box=header.get("box", ""),
        part=Part(file, header["writer"], header["started"], tuple(entries), is_continuation, is_torn),
        lines=tuple(kept),
        torn_text=torn_text(found.tail) if found.tail is not None else "",
        problems=tuple(sorted(problems, key=lambda p: p.place)),
    )


def torn_problem(data: bytes, file: str) -> Problem | None:
    """The one problem of a record whose last line was cut off and that is whole otherwise; else None."""
    try:
        read = read_part(data, file)
    except DocumentError:
        return None
    if not read.part.has_torn_tail or read.problems:
        return None
    line = data.rstrip(b"\r\n").count(b"\n") + 1
    problem = problem_at(
        file,
        line,
        1,
        "",
        "torn-line",
        "the last line was cut off while it was written, and was never acknowledged",
        "whole entries",
    )
    mend = "the next entry that this laptop writes into it keeps what is left of the line, and mends the file"
    return replace(problem, line_text=read.torn_text, mend=mend)


def _entries(
    lines: list[Line], writer: str, file: str, problems: list[Problem]
) -> tuple[list[Entry], list[bytes]]:
    """Entries and their bytes; adds to the problems what is no entry."""
    entries: list[Entry] = []
    kept: list[bytes] = []
    for line in lines:
        entry = _entry(line, writer, file)
        if isinstance(entry, Problem):
            problems.append(entry)
            continue
        if entry.kind == "torn" and kept and torn_text(kept[-1]) == entry.fields.get("text"):
            entries.pop()  # it was whole but for its line end, and set aside as torn before anyone saw it
            kept.pop()
        entries.append(entry)
        kept.append(line.data)
    return entries, kept


def _checked_header(header: Any, file: str) -> dict[str, Any]:
    """The header, with every key that the record cannot do without as text."""
    problems: list[Problem] = []
    if not isinstance(header, dict):
        raise DocumentError((problem_at(file, 1, 1, "", "wrong-type", "the record is not a mapping"),))
    form = header.get("format")
    if form not in ("rovlog/dive/1", "rovlog/work/1"):
        message = f"the format is {shown(str(form))}" if form else "the key format is missing"
        problems.append(
            problem_at(file, 1, 1, "/format", "unknown-format", message, "rovlog/dive/1 or rovlog/work/1")
        )
    kind = "work" if form == "rovlog/work/1" else "dive"
    subject = "box" if "box" in header and kind == "work" else "vehicle"
    for key in ("continues" if "continues" in header else kind, subject, "writer", "started"):
        if not isinstance(header.get(key), str):
            rule = "wrong-type" if key in header else "missing-key"
            what = "is not text" if key in header else "is missing"
            problems.append(problem_at(file, 1, 1, f"/{key}", rule, f"the key {key} {what}", "text"))
    if problems:
        raise DocumentError(tuple(problems))
    return header


def _entry(line: Line, writer: str, file: str) -> Entry | Problem:
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


def _bad_entry(line: Line, file: str, rule: str, message: str, expected: str) -> Problem:
    text = line.data.decode("utf-8", "replace")
    column = len(text) - len(text.lstrip()) + 1
    problem = problem_at(file, line.number, column, "", rule, message, expected)
    return replace(problem, line_text=text, mend=DAMAGED_MEND)
