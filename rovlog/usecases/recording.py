"""Writing a dive or a work record: one entry at a time, durable before anything says so.

No file ever has two writers: the laptop that started a record writes its first part, every other
laptop a part of its own. An entry never waits for git.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any, Literal

from rovlog.domain.dive import Entry, Record
from rovlog.problems import RovlogError, UsageError
from rovlog.usecases.logbook import Logbook
from rovlog.usecases.one_line import require_one_line_each
from rovlog.usecases.ports import CommitOutcome
from rovlog.usecases.times import instant
from rovlog.values import dataclass

CLOCK_APART_S = 120.0
"""A time typed this far from the clock was not read off it: it is kept as from memory (project default)."""

FOLDERS = {"dive": "dives", "work": "work"}


@dataclass(frozen=True, slots=True)
class Written:
    """An entry that is on the disk, and the record it belongs to as it stands now."""

    record: str
    entry: Entry


def create_record(
    logbook: Logbook,
    kind: Literal["dive", "work"],
    subject: Mapping[str, str],
    by: str,
    start: Mapping[str, Any],
    *,
    at: str | None = None,
    record: str | None = None,
    clock: str | None = None,
) -> Written:
    """Start a dive or work record: header and first entry in one durable step.

    `subject` is {"vehicle": id} or {"box": id}. `record` fixes the id (the demonstration does);
    otherwise it is <subject>-[work-]<yyyymmdd>-<4 letters>. Raises NotRecordedError if the disk
    does not take it, UsageError if the entry is not valid.
    """
    from rovlog.documents.records import entry_line, header_text

    book = logbook.book
    logbook.person(by)
    require_one_line_each(start)
    started = at or book.clock.now()
    name_of = next(iter(subject.values()))
    identity = record or _new_id(logbook, kind, name_of, started)
    name = f"{FOLDERS[kind]}/{started[:4]}/{identity}.yaml"
    header = header_text(
        kind,
        identity,
        writer=book.writer,
        started=started,
        vehicle=subject.get("vehicle", ""),
        box=subject.get("box", ""),
    )
    fields = _entry(logbook, 1, started, by, "start", start, clock)
    data = (header + entry_line(fields)).encode()
    _refuse_invalid(logbook, data, name, is_whole=True)
    book.files.create(name, data)
    return Written(identity, _as_entry(fields, book.writer, name))


def append(
    logbook: Logbook,
    record: Record,
    kind: str,
    by: str,
    fields: Mapping[str, Any],
    *,
    at: str | None = None,
    clock: str | None = None,
) -> Written:
    """Append one entry to this laptop's part of the record; returns once it is on the disk."""
    return append_all(logbook, record, [Row(kind, by, fields, at, clock)])[0]


@dataclass(frozen=True, slots=True)
class Row:
    """One entry to be written: `at` and `mono_s` are the clock's where they are not given."""

    kind: str
    by: str
    fields: Mapping[str, Any]
    at: str | None = None
    clock: str | None = None
    mono_s: float | None = None


def append_all(logbook: Logbook, record: Record, rows: Sequence[Row]) -> tuple[Written, ...]:
    """Append entries to this laptop's part of the record in one durable step: all of them or none.

    The record is read again under the lock, so that `n` is above every n this writer can see. A
    torn tail left by a crash is kept as an entry `torn` before the new ones.
    """
    from rovlog.documents.record_lines import has_merge_marks
    from rovlog.documents.records import entry_line, indent_of, refuse_unread

    book = logbook.book
    for row in rows:
        logbook.person(row.by)
        require_one_line_each(row.fields)
    with book.files.lock(record.id):
        # What was known before the lock may be old: another program here may have begun our part since.
        held = logbook.record(record.id)
        name, begins = _own_part(logbook, held)
        n = max((e.n for e in held.entries), default=0)
        before = None if begins else book.files.read(name)
        if before is not None and has_merge_marks(before):
            raise UsageError(
                f"not recorded: git could not merge two versions of {name}, and its marks stand in it",
                "keep the lines of both versions, take the marks out (rovlog validate shows where), "
                "then write this again",
            )
        whole, torn = b"", None
        if before is not None and any(p.file == name and p.has_torn_tail for p in held.parts):
            whole, torn = _set_aside(before, name)
        indent = indent_of(before) if before is not None else ""
        text = ""
        if torn is not None:
            n += 1
            kept = _entry(logbook, n, rows[0].at, rows[0].by, "torn", {"text": torn}, None)
            text = entry_line(kept, indent)
        entries = [
            _entry(logbook, n + k, row.at, row.by, row.kind, row.fields, row.clock, row.mono_s)
            for k, row in enumerate(rows, 1)
        ]
        text += "".join(entry_line(e, indent) for e in entries)
        header = _header_of(logbook, held, begins or _is_continuation(held, name), entries[0]["at"])
        _refuse_invalid(logbook, (header + text).encode(), name)
        if before is None:
            book.files.create(name, (header + text).encode())
        elif torn is not None:
            # The torn bytes move into the entry, so that the file is whole YAML again for everybody.
            book.files.replace(name, whole + text.encode(), before)
        else:
            refuse_unread(before, text, name)
            book.files.append(name, text.encode())
    return tuple(Written(record.id, _as_entry(e, book.writer, name)) for e in entries)


def find_record(logbook: Logbook, name: str, kind: Literal["dive", "work"] | None = None) -> Record:
    """The record a person named: by its id, or by a vehicle that has exactly one open."""
    if name in logbook.vehicles() or name in logbook.stems("boxes"):
        wanted = [
            r
            for r in logbook.records(kinds=(kind,) if kind else ("dive", "work"))
            if name in (r.vehicle, r.box) and not r.is_closed
        ]
        if len(wanted) == 1:
            return wanted[0]
        what = kind or "dive or work"
        if not wanted:
            raise UsageError(
                f"{name} has no open {what}", f"start one: rovlog {kind or 'dive'} start {name} …"
            )
        plural = {"dive": "dives", "work": "work records"}.get(what, "records")
        raise UsageError(
            f"{name} has {len(wanted)} open {plural}", "name one: " + ", ".join(r.id for r in wanted)
        )
    record = logbook.record(name)
    if kind is not None and record.kind != kind:
        raise UsageError(f"{name} is a {record.kind} record", f"use: rovlog {record.kind} …")
    return record


def open_dive(logbook: Logbook, vehicle: str) -> Record | None:
    """The vehicle's open dive, None where it has none; asks which one where it has two."""
    found = [r for r in logbook.records(vehicle, ("dive",)) if not r.is_closed]
    if len(found) > 1:
        raise UsageError(
            f"{vehicle} has {len(found)} open dives", "name one: " + ", ".join(r.id for r in found)
        )
    return found[0] if found else None


def commit_record(
    logbook: Logbook, record: str, message: str, by: str, at: str | None = None
) -> CommitOutcome:
    """Commit the record's parts at a milestone; says why not, and never raises: the entry is safe already."""
    from rovlog.problems import GitError

    book = logbook.book
    parts = [p.file for p in logbook.record(record).parts]
    try:
        return book.history.commit(parts, message, author_of(logbook, by), at)
    except GitError as error:
        return CommitOutcome(None, error.message, error.mend)


def author_of(logbook: Logbook, by: str) -> tuple[str, str] | None:
    """(name, e-mail) of a person as commit author, None (git's own) where the logbook has no e-mail."""
    person = logbook.settings().people.get(by)
    return (person.name, person.email) if person and person.email else None


def _own_part(logbook: Logbook, record: Record) -> tuple[str, bool]:
    """This laptop's part of the record, and whether it has yet to be begun."""
    writer = logbook.book.writer
    for part in record.parts:
        if part.writer == writer:
            return part.file, False
    first = next((p for p in record.parts if not p.is_continuation), record.parts[0])
    folder = first.file.rpartition("/")[0]
    return f"{folder}/{record.id}.{writer}.yaml", True


def _is_continuation(record: Record, name: str) -> bool:
    return any(p.file == name and p.is_continuation for p in record.parts)


def _set_aside(data: bytes, name: str) -> tuple[bytes, str | None]:
    """The whole lines of a part, and the text of a torn tail behind them (None where there is none)."""
    from rovlog.documents.records import read_part

    document = read_part(data, name)
    if not document.part.has_torn_tail:
        return data, None
    end = data.rstrip(b"\r\n").rfind(b"\n") + 1
    return data[:end], document.torn_text


def _header_of(logbook: Logbook, record: Record, is_continuation: bool, started: str) -> str:
    from rovlog.documents.records import header_text

    return header_text(
        record.kind,
        record.id,
        writer=logbook.book.writer,
        started=started,
        vehicle=record.vehicle,
        box=record.box,
        is_continuation=is_continuation,
    )


def _entry(
    logbook: Logbook,
    n: int,
    at: str | None,
    by: str,
    kind: str,
    fields: Mapping[str, Any],
    clock: str | None,
    mono_s: float | None = None,
) -> dict[str, Any]:
    book = logbook.book
    when = at or book.clock.now()
    if at is not None and mono_s is None:
        _refuse_ahead(at, book.clock.now())
    entry: dict[str, Any] = {
        "id": book.ids.ulid(when),
        "n": n,
        "at": when,
        "mono_s": book.clock.mono_s() if mono_s is None else mono_s,
        "by": by,
        "kind": kind,
    }
    # With the seconds since the program began it was read off the clock, only not written at once.
    if clock is None and at is not None and mono_s is None and is_from_memory(at, book.clock.now()):
        clock = "memory"
    if clock is not None:
        entry["clock"] = clock
    entry.update(
        {k: v for k, v in fields.items() if v is not None or k in ("baseline", "revision", "stored")}
    )
    return entry


def _as_entry(fields: Mapping[str, Any], writer: str, name: str) -> Entry:
    rest = {k: v for k, v in fields.items() if k not in ("id", "n", "at", "mono_s", "by", "kind")}
    return Entry(
        fields["id"],
        fields["n"],
        fields["at"],
        fields["mono_s"],
        fields["by"],
        fields["kind"],
        writer,
        rest,
        name,
    )


def _new_id(logbook: Logbook, kind: str, subject: str, started: str) -> str:
    day = started[:10].replace("-", "")
    middle = "" if kind == "dive" else "work-"
    for _ in range(20):
        identity = f"{subject}-{middle}{day}-{logbook.book.ids.letters(4)}"
        if not logbook.book.files.exists(f"{FOLDERS[kind]}/{started[:4]}/{identity}.yaml"):
            return identity
    raise RovlogError("no free id was found for the record", "try again")


def _refuse_invalid(logbook: Logbook, data: bytes, name: str, *, is_whole: bool = False) -> None:
    """Refuse what would not validate, before it is on the disk; the words are those of `validate`.

    A new record is checked whole, appended lines by kind and schema: the rules that need the lines
    before them were kept when those were written.
    """
    from rovlog.documents.schema import check_document, problems_of
    from rovlog.documents.tree import read

    tree, schemas = read(data, name), logbook.book.shipped.schemas()
    problems = check_document(tree, name, schemas) if is_whole else problems_of(tree, schemas)
    if problems:
        first = problems[0]
        raise UsageError(
            f"not recorded: {first.message} (found {first.found}; expected {first.expected})", first.mend
        )


def _refuse_ahead(at: str, now: str) -> None:
    """Raise UsageError for a typed time that lies ahead of the clock: nobody has seen that moment yet."""
    typed, shown = instant(at), instant(now)
    if typed is not None and shown is not None and (typed - shown).total_seconds() > CLOCK_APART_S:
        raise UsageError(
            f"not recorded: {at} is still to come, this laptop's clock says {now}",
            "give the time at which it happened; where the clock is wrong, set it first",
        )


def is_from_memory(at: str, now: str) -> bool:
    """True where a typed time lies more than two minutes from the clock's own."""
    typed, shown = instant(at), instant(now)
    return typed is None or shown is None or abs((typed - shown).total_seconds()) > CLOCK_APART_S
