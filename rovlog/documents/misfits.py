"""Entries of a record that do not keep to their schema: named, and kept out of everything that is computed.

A record may have been written by hand or by another program. An entry whose fields are of the wrong
kind cannot be judged; it stays in the file, and the rest of the record is used.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any, Literal

from rovlog.documents.record_lines import DAMAGED_MEND
from rovlog.documents.records import PartDocument, entry_line, header_text
from rovlog.documents.schema import Schemas, is_valid, problems_of
from rovlog.documents.tree import read
from rovlog.problems import DocumentError, Place, Problem, UsageError
from rovlog.values import replace

if TYPE_CHECKING:
    from rovlog.domain.dive import Entry


_FOLDERS = {"dive": "dives", "work": "work"}
_HEADERS: Mapping[str, Mapping[str, Any]] = {
    kind: {
        "format": f"rovlog/{kind}/1",
        kind: "a",
        "vehicle": "a",
        "writer": "a",
        "started": "2000-01-01T00:00:00Z",
    }
    for kind in ("dive", "work")
}
"""A sound header, so that only entries are judged."""


def without_misfits(document: PartDocument, schemas: Schemas) -> PartDocument:
    """The part with the entries that keep to their schema; every other one is among the problems."""
    rows = [row_of(e) for e in document.part.entries]
    schema = schemas[document.kind]
    if is_valid({**_HEADERS[document.kind], "entries": rows}, schema):
        return document
    kept, lines, problems = [], [], list(document.problems)
    for entry, line, row in zip(document.part.entries, document.lines, rows, strict=True):
        if is_valid({**_HEADERS[document.kind], "entries": [row]}, schema):
            kept.append(entry)
            lines.append(line)
        else:
            problems.append(_problem(entry, line, document, schemas))
    return replace(
        document,
        part=replace(document.part, entries=tuple(kept)),
        lines=tuple(lines),
        problems=tuple(sorted(problems, key=lambda p: p.place)),
    )


def row_of(entry: Entry) -> dict[str, Any]:
    """An entry as it stands in the file."""
    common = {"id": entry.id, "n": entry.n, "at": entry.at, "mono_s": entry.mono_s, "by": entry.by}
    return {**common, "kind": entry.kind, **entry.fields}


def misfit(row: Mapping[str, Any], kind: Literal["dive", "work"], schemas: Schemas) -> str:
    """What is wrong with one entry of a record of this kind, or ""."""
    if is_valid({**_HEADERS[kind], "entries": [dict(row)]}, schemas[kind]):
        return ""
    try:
        problems = _explained(entry_line(row).encode(), kind, schemas)
    except (DocumentError, UsageError) as error:
        return error.message
    return problems[0].message if problems else "it does not keep to its schema"


def _explained(line: bytes, kind: Literal["dive", "work"], schemas: Schemas) -> list[Problem]:
    text = header_text(kind, "a", writer="a", started=_HEADERS[kind]["started"], vehicle="a")
    return problems_of(read(text.encode() + line, f"{_FOLDERS[kind]}/2000/a.yaml"), schemas)


def _problem(entry: Entry, line: bytes, document: PartDocument, schemas: Schemas) -> Problem:
    place = Place(entry.file, entry.line, len(line) - len(line.lstrip()) + 1)
    found = _explained(line + b"\n", document.kind, schemas)
    shown = line.decode("utf-8", "replace")
    if not found:
        return Problem(place, "", "not-valid", "this entry does not keep to its schema", "this", "an entry",
                       DAMAGED_MEND, shown)  # fmt: skip
    first = found[0]
    return replace(
        first,
        place=Place(entry.file, entry.line, first.place.column),
        line_text=shown,
        mend=first.mend or DAMAGED_MEND,
    )
