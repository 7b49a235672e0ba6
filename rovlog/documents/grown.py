"""A record that has grown since it was read: only the lines behind what is known are read."""

from __future__ import annotations

from typing import Literal

from rovlog.documents.misfits import without_misfits
from rovlog.documents.records import header_text, read_part
from rovlog.documents.schema import Schemas
from rovlog.domain.dive import Part
from rovlog.problems import DocumentError
from rovlog.values import replace


def grown(
    part: Part, kind: Literal["dive", "work"], data: bytes, known: int, schemas: Schemas
) -> Part | None:
    """The part with the entries that stand behind its first `known` bytes, which were read before.

    None where it has to be read as a whole: where anything in the new lines is torn or wrong.
    """
    if not data[:known].endswith(b"\n") or part.has_torn_tail:
        return None
    header = header_text(kind, "a", writer="a", started="2000-01-01T00:00:00Z", vehicle="a")
    try:
        read = without_misfits(read_part(header.encode() + data[known:], part.file), schemas)
    except DocumentError:
        return None
    if read.problems or read.part.has_torn_tail or any(e.kind == "torn" for e in read.part.entries):
        return None
    before = data.count(b"\n", 0, known) - header.count("\n")
    behind = (replace(e, writer=part.writer, line=e.line + before) for e in read.part.entries)
    return replace(part, entries=(*part.entries, *behind))
