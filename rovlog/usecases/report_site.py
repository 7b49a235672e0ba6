"""What the owner of a site is shown of a dive: people, electricity, the water kept clear, times, events."""

from __future__ import annotations

from collections.abc import Mapping

from rovlog.domain.checks.checklist import Item
from rovlog.domain.checks.state import ItemState
from rovlog.domain.dive import Entry, Record
from rovlog.usecases.as_it_stood import first_mark, state_before
from rovlog.usecases.dive_state import dive_state
from rovlog.usecases.logbook import Logbook
from rovlog.usecases.report_dive import find_dive, vehicle_name
from rovlog.values import dataclass

WATER_GROUP, ELECTRICITY_GROUP = "A", "B"
"""Codes of the pre-dive groups on people and site, and on power."""

WATER_ITEMS = ("hands-clear", "last-look-swimmers", "clear-to-launch")
ELECTRICITY_ITEMS = ("stop-control", "stop-released", "last-look-fuse", "last-look-stop")
"""Items of other groups that belong to the same two questions."""


@dataclass(frozen=True, slots=True)
class SiteReport:
    """One dive for the owner of its site, the checks as they stood when it went into the water.

    No trims, no digests, no opinions on cause.
    """

    record: Record
    name: str
    number: int
    team: str
    site: str
    task: str
    crew: Mapping[str, str]
    chopping_hz: float | None
    supply_kind: str
    supply_v: float | None
    fuse_a: float | None
    electricity: tuple[tuple[Item, ItemState], ...]
    water: tuple[tuple[Item, ItemState], ...]
    marks: tuple[Entry, ...]
    faults: tuple[Entry, ...]
    events: tuple[Entry, ...]


def report_site(logbook: Logbook, name: str) -> SiteReport:
    """Gather the page for a dive."""
    record = find_dive(logbook, name)
    launch = first_mark(record, "in-water", "off-surface")
    state = state_before(logbook, record, launch) if launch else dive_state(logbook, record)
    start = next(iter(record.of_kind("start")), None)
    electrical = dict(state.resolved.get("electrical", {}))
    pre_dive = [(s, i) for c in state.lists if c.phase == "pre-dive" for s in c.sections for i in s.items]

    def about(group: str, names: tuple[str, ...]) -> tuple[tuple[Item, ItemState], ...]:
        mine = [i for s, i in pre_dive if s.code == group or i.item in names]
        return tuple((i, state.items[i.item]) for i in mine)

    return SiteReport(
        record,
        vehicle_name(logbook, record.vehicle),
        state.number,
        logbook.settings().title,
        state.site,
        str(start.fields.get("task") or "") if start else "",
        state.crew,
        dict(electrical.get("drivers") or {}).get("chopping_hz"),
        str(dict(electrical.get("supply") or {}).get("kind", "")),
        dict(electrical.get("supply") or {}).get("open_circuit_v"),
        dict(electrical.get("fuse") or {}).get("rating_a"),
        about(ELECTRICITY_GROUP, ELECTRICITY_ITEMS),
        about(WATER_GROUP, WATER_ITEMS),
        record.of_kind("mark"),
        record.of_kind("fault"),
        record.of_kind("event"),
    )
