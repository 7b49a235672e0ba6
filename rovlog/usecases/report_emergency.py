"""The emergency cards of a logbook, for paper."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rovlog.problems import UsageError
from rovlog.usecases.logbook import Logbook

if TYPE_CHECKING:
    from rovlog.domain.checks.checklist import Checklist


def report_emergency(logbook: Logbook) -> tuple[Checklist, ...]:
    """Every list of the emergency phase; UsageError where the logbook has none."""
    from rovlog.documents.checklist import checklist_from

    found = [checklist_from(logbook.document(n)) for n in logbook.book.files.names("checklists")]
    cards = tuple(c for c in found if c.phase == "emergency")
    if not cards:
        raise UsageError("this logbook has no emergency cards", "copy checklists/emergency.yaml into it")
    return cards
