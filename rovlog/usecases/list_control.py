"""Lists under control: what a list says under one revision stays what it said when it was first used."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import TYPE_CHECKING, Any

from rovlog.domain.dive import Record
from rovlog.domain.findings import Finding
from rovlog.problems import GitError, RovlogError
from rovlog.values import dataclass

if TYPE_CHECKING:
    from rovlog.usecases.logbook import Logbook

CHANGED = "list-changed-"
"""How the name of such a finding begins; the list's id follows. It cannot be waived."""

CLEARS = (
    "put the list back as it was (rovlog checklist history {list} names the commits), or raise its revision "
    "and write reason and approved_by"
)


@dataclass(frozen=True, slots=True)
class HeldList:
    """What a list said under a revision: its digest, and where that is on record."""

    digest: str
    where: str


def list_digest(document: Mapping[str, Any]) -> str:
    """`sha256:…` over the canonical JSON of all that a list says, remarks for people left out."""
    from rovlog.documents.canonical import digest

    return digest({k: v for k, v in document.items() if k != "notes"})


def lists_in_use(logbook: Logbook) -> dict[str, dict[str, Any]]:
    """Revision and digest of every list that can be read, by its id: what a start entry keeps."""
    found: dict[str, dict[str, Any]] = {}
    for name in logbook.book.files.names("checklists"):
        try:
            document, digest = logbook.document(name), logbook.made(name, list_digest)
        except RovlogError:
            continue  # a damaged list stops the dive by a finding of its own
        found[str(document["checklist"])] = {"revision": document["revision"], "digest": digest}
    return found


def lists_to_keep(logbook: Logbook) -> dict[str, dict[str, Any]]:
    """As `lists_in_use`, with `committed` where git's last commit says something else under that revision."""
    found = lists_in_use(logbook)
    try:
        head = logbook.book.history.head()
        for name, row in found.items():
            data = logbook.book.history.read_at(head, f"checklists/{name}.yaml") if head else None
            held = logbook.checked(data, f"checklists/{name}.yaml") if data is not None else None
            if held is not None and held["revision"] == row["revision"]:
                committed = list_digest(held)
                if committed != row["digest"]:
                    row["committed"] = committed
    except (GitError, RovlogError):
        # Without git, or with a commit that cannot be read, the records' own digests are what there is.
        return found
    return found


def held_lists(starts: Iterable[tuple[str, Mapping[str, Any]]]) -> dict[tuple[str, int], HeldList]:
    """By list and revision, what it said first; `starts` are (record, its kept lists), oldest first."""
    held: dict[tuple[str, int], HeldList] = {}
    for record, lists in starts:
        for name, row in lists.items():
            digest = row.get("committed") or row["digest"]
            where = f"the commit before {record}" if row.get("committed") else record
            held.setdefault((name, int(row["revision"])), HeldList(str(digest), where))
    return held


def control_findings(logbook: Logbook, record: Record) -> tuple[Finding, ...]:
    """What stops an open record because a list says something else under the same revision."""
    if record.is_closed or not record.vehicle:
        return ()
    held = logbook.of_others(("lists-held",), record.id, lambda: _held(logbook, record))
    own = held_lists(_kept(record))
    if not held and not own:
        return ()
    found = []
    for name, row in lists_in_use(logbook).items():
        key = (name, int(row["revision"]))
        known = held.get(key) or own.get(key)
        if known is not None and known.digest != row["digest"]:
            found.append(
                Finding(
                    f"{CHANGED}{name}",
                    "stops",
                    changed_words(name, key[1], known),
                    clears=CLEARS.format(list=name),
                )
            )
    return tuple(found)


def changed_words(name: str, revision: int, known: HeldList) -> str:
    """That a list was changed without a new revision."""
    return f"checklists/{name}.yaml says something else under revision {revision} than in {known.where}"


def _held(logbook: Logbook, record: Record) -> dict[tuple[str, int], HeldList]:
    peers = logbook.records(record.vehicle)
    ids = [r.id for r in peers]
    earlier = peers[: ids.index(record.id)] if record.id in ids else peers
    return held_lists(kept for r in earlier for kept in _kept(r))


def _kept(record: Record) -> list[tuple[str, Mapping[str, Any]]]:
    start = next(iter(record.of_kind("start")), None)
    lists = start.fields.get("lists") if start is not None else None
    return [(record.id, lists)] if isinstance(lists, Mapping) else []
