"""Every entry flat: CSV for a spreadsheet, JSON Lines for a program."""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from rovlog.domain.audit.timeline import entry_words
from rovlog.faces.reports.plain import clean_cell
from rovlog.usecases.report_flat import flat_fields

if TYPE_CHECKING:
    from rovlog.usecases.report_flat import FlatEntry

HEAD = (
    "record",
    "record_kind",
    "record_vehicle",
    "record_box",
    "record_number",
    "n",
    "id",
    "at",
    "clock",
    "mono_s",
    "by",
    "writer",
    "kind",
    "words",
    "is_corrected",
    "is_after_close",
    "in_file",
    "in_line",
)
"""The columns every entry has; the fields follow as columns of their own, by dotted name."""


def flat_csv(rows: Sequence[FlatEntry]) -> str:
    """All entries as CSV by RFC 4180: CRLF, quotes doubled, no cell that a spreadsheet reads as a formula."""
    fields = [_own(r) for r in rows]
    names = sorted({name for row in fields for name in row})
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow([*HEAD, *names])
    for row, own in zip(rows, fields, strict=True):
        writer.writerow([_cell(v) for v in (*_common(row), *(own.get(n) for n in names))])
    return out.getvalue()


def flat_jsonl(rows: Sequence[FlatEntry]) -> str:
    """All entries as JSON Lines (UTF-8, one object a line): the columns of the CSV as keys, none nested.

    A key that an entry does not have is left out; a list stays a list.
    """
    lines = []
    for row in rows:
        data = dict(zip(HEAD, _common(row), strict=True))
        lines.append(json.dumps({**data, **_own(row)}, ensure_ascii=False, allow_nan=False))
    return "".join(line.replace("\u2028", "\\u2028").replace("\u2029", "\\u2029") + "\n" for line in lines)


def _own(row: FlatEntry) -> dict[str, Any]:
    """The entry's own fields by dotted name; one called as a column that every entry has is told apart."""
    fields = dict(flat_fields(row.entry.fields))
    fields.pop("clock", None)  # every entry has it
    return {f"field.{name}" if name in HEAD else name: value for name, value in fields.items()}


def _common(row: FlatEntry) -> tuple[Any, ...]:
    e, r = row.entry, row.record
    return (
        r.id,
        r.kind,
        r.vehicle,
        r.box,
        row.number,
        e.n,
        e.id,
        e.at,
        str(e.fields.get("clock", "own")),
        e.mono_s,
        e.by,
        e.writer,
        e.kind,
        entry_words(e),
        bool(e.corrected_by),
        row.is_after_close,
        e.file,
        e.line,
    )


def _cell(value: Any) -> str:
    """A cell: numbers as they are, true and false in lower case, lists and mappings as JSON."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, int | float):
        return repr(value)
    if isinstance(value, str):
        return clean_cell(value, lines=True)
    return clean_cell(json.dumps(value, ensure_ascii=False))
