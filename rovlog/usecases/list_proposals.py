"""Changes to a checklist that the crew proposes from an item, and where they stand."""

from __future__ import annotations

from rovlog.domain.dive import Record
from rovlog.usecases.approve import require_text
from rovlog.usecases.dive_state import DiveState, dive_state
from rovlog.usecases.logbook import Logbook
from rovlog.usecases.recording import Written, append
from rovlog.values import dataclass


@dataclass(frozen=True, slots=True)
class Proposal:
    """One proposed change: of which item, against which revision of its list, by whom, and its words.

    `is_before_revision` is True once the list has had a newer revision: it may have been taken up.
    """

    item: str
    checklist: str
    revision: int | None
    by: str
    at: str
    record: str
    text: str
    is_before_revision: bool


def propose_change(
    logbook: Logbook,
    record: Record,
    name: str,
    text: str,
    *,
    by: str,
    at: str | None = None,
    state: DiveState | None = None,
) -> Written:
    """Propose a change to the list an item stands in; a person with the list in hand decides later."""
    from rovlog.usecases.find_item import find_item

    require_text("proposal", text)
    now = state or dive_state(logbook, record)
    item = find_item(now, name)
    revision = next((c.revision for c in now.fold.lists if c.checklist == item.checklist), None)
    fields = {
        "item": item.item,
        "checklist": item.checklist,
        "checklist_revision": revision,
        "text": text,
    }
    return append(logbook, record, "note", by, fields, at=at)


def proposals(logbook: Logbook, checklist: str, revision: int | None) -> tuple[Proposal, ...]:
    """What was proposed for a list, newest first. `revision` is that of the list as it stands."""
    found = []
    for record in logbook.records():
        for entry in record.of_kind("note"):
            fields = entry.fields
            if fields.get("checklist") != checklist or not fields.get("item"):
                continue
            then = fields.get("checklist_revision")
            is_before = revision is not None and isinstance(then, int) and then < revision
            words = str(fields.get("text", ""))
            found.append(
                Proposal(
                    str(fields["item"]), checklist, then, entry.by, entry.at, record.id, words, is_before
                )
            )
    return tuple(reversed(found))
