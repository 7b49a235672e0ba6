"""The history of a checklist: its revisions, and what the crews proposed from its items."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import TYPE_CHECKING, Any

from rovlog.faces.reports.plain import clean

if TYPE_CHECKING:
    from rovlog.usecases.list_proposals import Proposal
    from rovlog.usecases.show_checklists import ListRevision


def list_history_text(
    rows: Sequence[ListRevision], proposed: Sequence[Proposal], names: Callable[[str], str]
) -> str:
    """Revisions, newest first, then the proposals, newest first."""
    lines = [_revision(r) for r in rows] or ["not in git yet"]
    if proposed:
        lines += ["", "proposed from its items:"]
    for p in proposed:
        state = "before the revision it has now" if p.is_before_revision else "not taken up yet"
        about = f"to revision {p.revision}, {state}" if p.revision is not None else "revision not known"
        lines.append(f"{p.at[:10]}  {clean(p.item)}  {clean(names(p.by))}: {clean(p.text)}")
        lines.append(f"            {about}; {clean(p.record)}")
    return "\n".join(lines) + "\n"


def _revision(row: ListRevision) -> str:
    message = row.message.splitlines()[0] if row.message else ""
    reason = f" ({clean(row.reason)})" if row.reason else ""
    head = f"{row.at[:10]}  revision {row.revision}  {row.commit[:10]}"
    return f"{head}  {clean(row.author)}: {clean(message)}{reason}"


def list_history_data(rows: Sequence[ListRevision], proposed: Sequence[Proposal]) -> Mapping[str, Any]:
    """The same as data."""
    return {
        "history": [
            {
                "revision": r.revision,
                "commit": r.commit,
                "author": r.author,
                "at": r.at,
                "message": r.message,
                "reason": r.reason,
            }
            for r in rows
        ],
        "proposals": [
            {
                "item": p.item,
                "revision": p.revision,
                "by": p.by,
                "at": p.at,
                "record": p.record,
                "text": p.text,
                "is_before_revision": p.is_before_revision,
            }
            for p in proposed
        ],
    }
