"""A file kept as evidence: its name, its digest, and what it shows."""

from __future__ import annotations

from hashlib import sha256

from rovlog.domain.dive import Record
from rovlog.usecases.logbook import Logbook
from rovlog.usecases.one_line import require_text
from rovlog.usecases.recording import Written, append


def attach_evidence(
    logbook: Logbook, record: Record, file: str, *, what: str, by: str, at: str | None = None
) -> Written:
    """Record a file of the logbook's folder with its SHA-256; the file itself is not changed or moved."""
    require_text("description", what)
    digest = "sha256:" + sha256(logbook.book.files.read(file)).hexdigest()
    return append(logbook, record, "attachment", by, {"file": file, "digest": digest, "what": what}, at=at)
