"""The configuration that a record is judged against: what flew, or what the files say now."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from rovlog.domain.dive import Record
from rovlog.problems import RovlogError
from rovlog.usecases.configurations import Named, digest_of, start_configuration, working
from rovlog.usecases.logbook import Logbook
from rovlog.values import dataclass


@dataclass(frozen=True, slots=True)
class Found:
    """The configuration, where there is one; `resolved` is empty and `problems` says why where not."""

    named: Named | None
    resolved: Mapping[str, Any]
    digest: str
    problems: tuple[str, ...] = ()


def judged_configuration(logbook: Logbook, record: Record) -> Found:
    """What the items are judged against: the working files while the record is open, else what flew."""
    if not record.vehicle:
        return Found(None, {}, "")
    try:
        if record.is_closed:
            flown = start_configuration(logbook, record)
            if flown is not None:
                digest = digest_of(flown)
                return Found(Named(record.id, record.vehicle, flown, digest, None), flown, digest)
        named = working(logbook, record.vehicle)
    except RovlogError as error:
        held = start_or_none(logbook, record)
        return Found(
            None, held or {}, "", (f"the files of {record.vehicle} cannot be used: {error.message}",)
        )
    return Found(named, named.resolved, named.digest)


def start_or_none(logbook: Logbook, record: Record) -> Mapping[str, Any] | None:
    """What the record started with, where the working files are broken."""
    try:
        return start_configuration(logbook, record)
    except RovlogError:
        # The approval is broken too; the caller says so already.
        return None
