"""A record as it may be shown: a blind first answer stays covered until the second person has answered."""

from __future__ import annotations

from rovlog.domain.dive import Record
from rovlog.usecases.logbook import Logbook


def covered_record(logbook: Logbook, record: Record) -> Record:
    """The record with what may not be told yet covered. The lists are read only where an answer waits."""
    from rovlog.domain.checks.blind import covered, firsts_alone

    if not firsts_alone(record):
        return record
    from rovlog.usecases.checklists_of import checklists_for

    lists, _ = checklists_for(logbook, record.vehicle)
    return covered(record, {i.item for c in lists for i in c.items() if i.witness == "blind"})
