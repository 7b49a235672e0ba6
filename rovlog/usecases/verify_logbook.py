"""Verifying a logbook: digests, closes, approvals, attachments, references, and the state of git."""

from __future__ import annotations

from collections.abc import Iterator
from hashlib import sha256
from typing import Literal

from rovlog.domain.dive import Record
from rovlog.problems import GitError, RovlogError
from rovlog.usecases.logbook import Logbook
from rovlog.usecases.validate_logbook import validate_logbook
from rovlog.values import dataclass

PROVES = (
    "the bytes of an approved configuration are those that were approved",
    "the lines a close covers have not changed since the close was written",
    "a record on the disk only adds to what git holds of it",
    "an entry that names another one came after it",
)
"""What passing means."""

CANNOT = (
    "when something was written: every clock here can be set",
    "that the person named was the person at the keys",
    "that an item was really looked at",
    "that nothing was left out before it was first shared",
    "anything against somebody who holds both this folder and every copy of it",
)
"""What no check of these files can show."""

WITH_THE_NEXT = "the next milestone takes it along (or: git add, git commit)"


@dataclass(frozen=True, slots=True)
class Verified:
    """One thing looked at: `outcome` is fine, note (worth knowing) or wrong."""

    what: str
    outcome: Literal["fine", "note", "wrong"]
    text: str


def verify_logbook(logbook: Logbook) -> tuple[Verified, ...]:
    """Look at everything; a row for each thing wrong or worth knowing, and one for each kind that is fine."""
    rows: list[Verified] = []
    for what, found in (
        ("records valid", _validity(logbook)),
        ("approvals", _approvals(logbook)),
        ("closes", _closes(logbook)),
        ("attachments", _attachments(logbook)),
        ("git", _git(logbook)),
    ):
        mine = list(found)
        rows += mine
        if not any(r.outcome == "wrong" for r in mine):
            rows.append(Verified(what, "fine", "nothing wrong found"))
    return tuple(rows)


def _validity(logbook: Logbook) -> Iterator[Verified]:
    found = validate_logbook(logbook.book)
    for problem in found.problems[:20]:
        place = f"{problem.place.file}:{problem.place.line}"
        yield Verified("records valid", "wrong", f"{place}: {problem.message}")
    if len(found.problems) > 20:
        yield Verified("records valid", "wrong", f"{len(found.problems) - 20} more: rovlog validate")


def _approvals(logbook: Logbook) -> Iterator[Verified]:
    from rovlog.usecases.configurations import digest_of

    folders = {n.split("/")[1] for n in logbook.book.files.names("approvals") if n.count("/") == 2}
    for vehicle in sorted(folders):
        try:
            approvals = logbook.approvals(vehicle)
        except RovlogError as error:
            yield Verified("approvals", "wrong", f"{vehicle}: {error.message}")
            continue
        for approval in approvals:
            if digest_of(approval.configuration) != approval.digest:
                yield Verified(
                    "approvals",
                    "wrong",
                    f"{approval.name}: the digest is not that of the configuration in it",
                )
            if approval.commit is None:
                yield Verified("approvals", "note", f"{approval.name}: written while git could not take it")
        force = logbook.in_force(vehicle)
        if force.claims and force.approval is None:
            yield Verified("approvals", "wrong", f"{vehicle}: {force.why_none}; approve one again")


def _closes(logbook: Logbook) -> Iterator[Verified]:
    from rovlog.documents.records import covers_digest, read_part

    for record in logbook.records():
        parts = {p.writer: p for p in record.parts}
        closes = record.of_kind("close")
        if not closes:
            yield Verified("closes", "note", f"{record.id} was never closed; it counts as it stands")
        for entry in closes:
            for writer, cover in dict(entry.fields.get("covers") or {}).items():
                part = parts.get(writer)
                if part is None:
                    yield Verified(
                        "closes",
                        "wrong",
                        f"{record.id}: the part of {writer} that the close covers is missing",
                    )
                    continue
                data = logbook.book.files.read(part.file)
                if covers_digest(read_part(data, part.file), int(cover["upto"])) != cover["sha256"]:
                    yield Verified(
                        "closes",
                        "wrong",
                        f"{part.file}: a line that the close covers was changed or is missing",
                    )
        yield from _uncovered(record)


def _uncovered(record: Record) -> Iterator[Verified]:
    count = len(record.uncovered)
    if count:
        entries = "1 entry is" if count == 1 else f"{count} entries are"
        yield Verified("closes", "note", f"{record.id}: {entries} covered by no close: written after it")


def _attachments(logbook: Logbook) -> Iterator[Verified]:
    for record in logbook.records():
        for entry in record.of_kind("attachment"):
            name = str(entry.fields.get("file", ""))
            try:
                digest = "sha256:" + sha256(logbook.book.files.read(name)).hexdigest()
            except RovlogError as error:
                yield Verified("attachments", "wrong", f"{record.id}: {error.message}")
                continue
            if digest != entry.fields.get("digest"):
                yield Verified("attachments", "wrong", f"{name} is not the file that {record.id} names")


def _git(logbook: Logbook) -> Iterator[Verified]:
    book = logbook.book
    try:
        for sentence in book.history.state():
            yield Verified("git", "note", sentence)
        head = book.history.head()
        if head is None:
            yield Verified("git", "note", "nothing is committed yet")
            return
        held = {n for folder in ("dives", "work", "approvals") for n in book.history.names_at(head, folder)}
        here = {n for folder in ("dives", "work", "approvals") for n in book.files.names(folder)}
        for name in sorted(held - here):
            yield Verified("git", "wrong", f"{name} is in git and not on the disk")
        for name in sorted(here):
            before = book.history.read_at(head, name) if name in held else None
            now = book.files.read(name)
            if before is None:
                yield Verified("git", "note", f"{name} is on the disk and not yet in git: {WITH_THE_NEXT}")
            elif not now.startswith(before):
                yield Verified("git", "wrong", f"{name} does not begin as git holds it: lines were rewritten")
            elif now != before:
                yield Verified("git", "note", f"{name} has entries that are not yet in git: {WITH_THE_NEXT}")
    except GitError as error:
        yield Verified("git", "wrong", error.message)
