"""Reading the surface box: when its port may be opened, what a frame is worth, and how it is recorded."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from rovlog.domain.dive import Entry, Record
from rovlog.problems import NotRecordedError, RovlogError, UsageError
from rovlog.usecases.box_codes import tables_of, unexplained
from rovlog.usecases.hear_box import Heard
from rovlog.usecases.logbook import Logbook, start_order
from rovlog.usecases.ports import CommitOutcome
from rovlog.usecases.recording import author_of
from rovlog.values import dataclass

if TYPE_CHECKING:
    from rovlog.documents.readback_frame import BoxFrame
    from rovlog.usecases.compare_drift import Drift

USUAL_BAUD = 115200
"""Bits per second where the box's record does not say (project default)."""

WET_MARKS = ("in-water", "off-surface", "back-at-surface")

MOST_EVIDENCE = 10_000
"""Numbers tried for a file of evidence before giving up."""


@dataclass(frozen=True, slots=True)
class ReadBox:
    """A readback that is on the disk, with the bytes it came from in `evidence`.

    `doubts` are findings (a number nobody explains, another box than the vehicle's); `notes` are worth
    saying and no more.
    """

    record: str
    entry: Entry
    frame: BoxFrame
    evidence: str
    doubts: tuple[str, ...]
    notes: tuple[str, ...]
    commit: CommitOutcome


def box_of(logbook: Logbook, record: Record | None) -> str | None:
    """The box a record is about: its own, or its vehicle's as on file."""
    if record is None:
        return None
    if record.box:
        return record.box
    return str(logbook.vehicle(record.vehicle)["control_box"]["box"])


def baud_of(logbook: Logbook, box: str | None) -> int:
    """The speed of the box's line as its record says, else the usual one."""
    return int(logbook.box(box).get("baud", USUAL_BAUD)) if box is not None else USUAL_BAUD


def may_restart(logbook: Logbook, box: str | None) -> bool:
    """False only where the box's record says that opening its port does not restart it."""
    return box is None or logbook.box(box).get("restarts_on_open") is not False


def refuse_in_water(logbook: Logbook, box: str | None, *, even_if_gentle: bool = False) -> None:
    """Raise UsageError while a dive is marked in the water whose box the port may restart.

    Where nobody says which box is meant, every vehicle's counts. `even_if_gentle` refuses for a box
    that does not restart as well: nothing is set in the water.
    """
    for record in logbook.records(kinds=("dive",)):
        if record.is_closed or not is_in_water(record):
            continue
        theirs = _box_or_none(logbook, record)
        if box is not None and theirs != box:
            continue
        if even_if_gentle or may_restart(logbook, theirs):
            why = "nothing is set in the water" if even_if_gentle else "opening the port may restart the box"
            raise UsageError(
                f"{record.id} is marked in the water, and {why}",
                f"bring her out first, then: rovlog dive mark {record.id} out-of-water --by …",
            )


def is_in_water(record: Record) -> bool:
    """True from the mark that she is in the water to the mark that she is out of it."""
    marks = [str(e.fields.get("mark")) for e in record.of_kind("mark")]
    wet = [m for m in marks if m in (*WET_MARKS, "out-of-water")]
    return bool(wet) and wet[-1] != "out-of-water"


def refuse_replay(logbook: Logbook, frame: BoxFrame) -> int | None:
    """Raise UsageError for a frame that is not newer than the last one recorded of this box.

    Returns how often the box was started since then, None where that cannot be told. A boot count that
    went down is taken only after somebody has recorded that the box was changed.
    """
    last, is_changed = _last_said(logbook, frame.box)
    if last is None:
        return None
    boots, number = _count(last)
    if frame.boots < boots and not is_changed:
        raise UsageError(
            f"the box says it was started {frame.boots} times, and {boots} times is recorded on "
            f"{last.at[:10]}: old bytes, or the box's memory was cleared",
            "read the box again; if it was cleared or replaced, record that first: "
            "rovlog dive event DIVE box-changed --by …",
        )
    if frame.boots == boots and frame.frame <= number:
        raise UsageError(
            f"this is an old frame: number {frame.frame} of start {frame.boots}, and {number} of the same "
            "start is recorded already",
            "read the box again; old bytes are no news of it",
        )
    return frame.boots - boots if frame.boots >= boots else None


def _last_said(logbook: Logbook, box: str) -> tuple[Entry | None, bool]:
    """The newest readback of a box that says how often it was started, and whether the box was changed since.

    Newest since the box was last changed is the one of the greatest start and frame: the box counts them
    itself, and laptops' clocks may differ. It does not matter in which record it stands.
    """
    told: list[Entry] = []
    for record in logbook.records():
        for entry in record.of_kind("readback", "event"):
            if entry.kind == "event":
                is_told = entry.fields.get("event") == "box-changed" and _is_about(logbook, record, box)
            else:
                is_told = entry.fields.get("box") == box and "boots" in entry.fields
            if is_told:
                told.append(entry)
    told.sort(key=lambda e: (start_order(e.at), e.n))
    last: Entry | None = None
    is_changed = False
    for entry in told:
        if entry.kind == "event":
            is_changed = True
        elif last is None or is_changed or _count(entry) > _count(last):
            last, is_changed = entry, False
    return last, is_changed


def _count(readback: Entry) -> tuple[int, int]:
    """The start the box counted, and the frame of that start; -1 where no frame was read."""
    return int(readback.fields["boots"]), int(readback.fields.get("frame", -1))


def _is_about(logbook: Logbook, record: Record, box: str) -> bool:
    return _box_or_none(logbook, record) == box


def _box_or_none(logbook: Logbook, record: Record) -> str | None:
    """The record's box, None where its vehicle's file is gone or broken: that is that vehicle's problem."""
    try:
        return box_of(logbook, record)
    except RovlogError:
        return None


def record_box(
    logbook: Logbook, record: Record, heard: Heard, *, by: str, text: str | None = None
) -> ReadBox:
    """Record what the box said: the bytes as a file of evidence first, then the readback that names them."""
    from hashlib import sha256

    from rovlog.usecases.recording import Row, append_all

    frame = heard.frame
    logbook.person(by)
    if frame.box not in logbook.stems("boxes"):
        raise UsageError(
            f"the box calls itself {frame.box!r}, and there is no boxes/{frame.box}.yaml",
            "correct the id in its firmware, or write its record",
        )
    starts = refuse_replay(logbook, frame)
    # The same start as at the last readback is no restart, however short the box has been on.
    has_restarted = heard.has_restarted and starts != 0
    doubts = _doubts(logbook, record, frame)
    notes = _notes(logbook, frame, starts, has_restarted)
    digest = "sha256:" + sha256(frame.raw).hexdigest()
    evidence = _keep(logbook, record, frame.raw)
    fields = readback_fields(frame) | {
        "raw": digest,
        "restarted": has_restarted or None,
        "text": "; ".join(x for x in (text, *doubts, *notes) if x) or None,
    }
    what = f"bytes of the readback: frame {frame.frame} of start {frame.boots} of {frame.box}"
    first, _ = append_all(
        logbook,
        record,
        [
            Row("readback", by, fields),
            Row("attachment", by, {"file": evidence, "digest": digest, "what": what}),
        ],
    )
    parts = [p.file for p in logbook.record(record.id).parts]
    commit = _commit(logbook, [*parts, evidence], f"Readback of {frame.box} on {record.id}", by)
    return ReadBox(record.id, first.entry, frame, evidence, tuple(doubts), tuple(notes), commit)


def readback_fields(frame: BoxFrame) -> dict[str, Any]:
    """A frame as the fields of a readback entry."""
    return {
        "box": frame.box,
        "firmware": frame.firmware,
        "boots": frame.boots,
        "uptime_s": frame.uptime_s,
        "in_use": dict(frame.in_use),
        "stored": dict(frame.stored) if frame.stored is not None else None,
        "source": "box-read",
        "frame": frame.frame,
        "supply_v": frame.supply_v,
        "hours": frame.hours,
        "link": frame.link,
        "outputs": frame.outputs,
    }


def _doubts(logbook: Logbook, record: Record, frame: BoxFrame) -> list[str]:
    doubts = unexplained(tables_of(logbook, frame.box), frame.firmware, frame.in_use, frame.stored)
    meant = box_of(logbook, record)
    if meant is not None and meant != frame.box:
        doubts.append(f"another box answered: {frame.box}, and {record.id} is about {meant}")
    return doubts


def _notes(logbook: Logbook, frame: BoxFrame, starts: int | None, has_restarted: bool) -> list[str]:
    notes = []
    if starts:
        notes.append(f"the box was started {starts} time{'s' if starts != 1 else ''} since its last readback")
    if has_restarted:
        notes.append(
            f"the box started about when its port was opened (it has been on for {frame.uptime_s} s): "
            "trim that was not stored is lost"
        )
        if not may_restart(logbook, frame.box):
            notes.append(
                f"boxes/{frame.box}.yaml says that opening the port does not restart it: look, and correct it"
            )
    if frame.unknown:
        notes.append("sentences not understood: " + ", ".join(sorted(set(frame.unknown))))
    return notes


def _keep(logbook: Logbook, record: Record, raw: bytes) -> str:
    """The bytes as a new file; its name says which record, and whose part where that is not the first."""
    own = next((p for p in record.parts if p.writer == logbook.book.writer), None)
    is_first = own is not None and not own.is_continuation
    stem = record.id if is_first else f"{record.id}.{logbook.book.writer}"
    names = (f"attachments/{stem}-readback-{n}.txt" for n in range(1, MOST_EVIDENCE))
    name = next((n for n in names if not logbook.book.files.exists(n)), None)
    if name is None:
        raise NotRecordedError(f"not recorded: {stem} has too many readbacks", "start a new record")
    logbook.book.files.create(name, raw)
    return name


def _commit(logbook: Logbook, names: list[str], message: str, by: str) -> CommitOutcome:
    from rovlog.problems import GitError

    try:
        return logbook.book.history.commit(names, message, author_of(logbook, by))
    except GitError as error:
        return CommitOutcome(None, error.message, error.mend)


def drift_after(logbook: Logbook, record: Record) -> Drift | None:
    """The comparison with the baseline as it stands now, None for work on a box."""
    if not record.vehicle:
        return None
    from rovlog.usecases.compare_drift import drift_of

    return drift_of(logbook, record.vehicle, logbook.record(record.id))
