"""Currents that were read with a clamp meter, each beside the figure computed for what flew then.

A reading never replaces a computed figure: both are shown, and which is which.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from functools import cache
from typing import TYPE_CHECKING, Any

from rovlog.domain.axes import DEMANDS
from rovlog.problems import RovlogError
from rovlog.usecases.reading_names import CURRENT_KEYS
from rovlog.values import dataclass

if TYPE_CHECKING:
    from rovlog.domain.dive import Entry, Record
    from rovlog.domain.vehicle import Configuration
    from rovlog.usecases.configurations import Named
    from rovlog.usecases.logbook import Logbook

NEWEST_RECORDS = 40
"""How many dives and work records are looked through, newest first: a budget is asked for often."""

STANDING, WORST_WITH_SAG, WORST = "idle_current_a", "with_sag_current_a", "worst_case_current_a"
OF_ITEM = {
    "idle-current": STANDING,
    "blown-fuse-isolated": STANDING,
    "hardest-manoeuvre": WORST_WITH_SAG,
}
"""Items of the shipped lists that ask for a clamp meter's current, and the figure it stands beside."""

LOAD_STEPS = "load-step"
"""Readings so named are of a bench load, not of the vehicle."""


@dataclass(frozen=True, slots=True)
class MeasuredCurrent:
    """One current that was read, ampere, and the one computed for the configuration of that record.

    `what` is the item or the reading; `asked` the demands and channels it was read at, where they were
    noted; `of` names what was computed: standing loads (`idle_current_a`), the worst case
    (`with_sag_current_a`, `worst_case_current_a`) or "asked". `computed_a` is None with a `reason`.
    `configuration` is the digest of what flew, "" where it is not known.
    """

    record: str
    entry: str
    at: str
    by: str
    what: str
    measured_a: float
    computed_a: float | None
    of: str
    asked: Mapping[str, float]
    configuration: str
    reason: str = ""

    @property
    def ratio(self) -> float | None:
        """Measured over computed, no unit; None where nothing was computed or nothing should flow."""
        return self.measured_a / self.computed_a if self.computed_a else None


def measured_currents(
    logbook: Logbook, vehicle: str, newest: int = NEWEST_RECORDS
) -> tuple[MeasuredCurrent, ...]:
    """The currents read on a vehicle's newest records, newest first."""
    rows: list[MeasuredCurrent] = []
    for record in reversed(logbook.newest_records(vehicle, newest)):
        rows += reversed(currents_of(logbook, record))
    return tuple(rows)


def currents_of(logbook: Logbook, record: Record) -> tuple[MeasuredCurrent, ...]:
    """The currents read in one record, oldest first."""
    found = [row for e in record.entries for row in _read(e)]
    if not found:
        return ()
    named, reason = _as_flown(logbook, record)

    @cache
    def quantities() -> Mapping[str, float | None]:
        from rovlog.usecases.computed_quantities import configuration_quantities

        return configuration_quantities(logbook, named, None, None)[0] if named is not None else {}

    return tuple(_beside(record, named, reason, quantities, *row) for row in found)


def asked_of(values: Mapping[str, Any]) -> dict[str, float]:
    """The demands (`surge`) and channels (`channel-3`) that a reading's values name, as numbers."""
    asked = {}
    for name, value in values.items():
        word = name.replace("_", "-")
        if (word in DEMANDS or re.fullmatch(r"channel-[0-9]{1,3}", word)) and _is_number(value):
            asked[word] = float(value)
    return asked


def demands_at(
    configuration: Configuration, asked: Mapping[str, float]
) -> tuple[dict[str, float], dict[int, float]]:
    """Demands, and channels driven by themselves, of what a reading was taken at.

    Where demands are named, those that are not stand at their trim: it acts whatever the sticks do.
    """
    demands = {name: value for name, value in asked.items() if name in DEMANDS}
    direct = {int(n.removeprefix("channel-")): v for n, v in asked.items() if n not in DEMANDS}
    return {**configuration.trim_defaults, **demands} if demands else {}, direct


def _read(entry: Entry) -> Iterator[tuple[Entry, str, float, str, dict[str, float]]]:
    """Entry, what, ampere, which computed figure, and what was asked for meanwhile."""
    values = entry.fields.get("values")
    if entry.kind not in ("reading", "check") or not values:
        return
    if entry.kind == "reading":
        what = str(entry.fields.get("reading", ""))
        current = next((values[k] for k in CURRENT_KEYS if _is_number(values.get(k))), None)
        if current is None or what.startswith(LOAD_STEPS):
            return
        asked = asked_of(values)
        idle = "idle" in what or "isolated" in what
        yield entry, what, float(current), "asked" if asked else STANDING if idle else WORST_WITH_SAG, asked
    else:
        of_value = {r["value"]: of for r in _limits(entry) if (of := _named(r))}
        item = str(entry.fields.get("item", ""))
        if item in OF_ITEM:
            of_value.setdefault("current", OF_ITEM[item])
        for name, of in of_value.items():
            if _is_number(values.get(name)):
                yield entry, item, float(values[name]), of, {}


def _limits(entry: Entry) -> list[dict[str, Any]]:
    return [dict(r) for r in entry.fields.get("limits") or () if "value" in r]


def _named(limit: Mapping[str, Any]) -> str:
    """The current that an answer's limit was computed from, "" where it was none; any list's items count."""
    found = re.match(r"computed: ([a-z_]+)", str(limit.get("origin", "")))
    return found[1] if found and found[1] in (STANDING, WORST_WITH_SAG, WORST) else ""


def as_flown_configuration(logbook: Logbook, record: Record) -> tuple[Configuration | None, str]:
    """The typed configuration that flew on a record, or None with the reason."""
    named, reason = _as_flown(logbook, record)
    if named is None:
        return None, reason
    try:
        return named.configuration, ""
    except KeyError as error:
        return None, f"the configuration that flew has no {error}"


def _as_flown(logbook: Logbook, record: Record) -> tuple[Named | None, str]:
    from rovlog.usecases.audit_history import as_flown_of
    from rovlog.usecases.configurations import Named, digest_of

    try:
        flown = as_flown_of(logbook, record)
    except RovlogError as error:
        return None, f"what flew cannot be told: {error.message}"
    if flown.resolved is None:
        return None, "the record does not say which configuration it flew"
    return Named(record.id, record.vehicle, flown.resolved, digest_of(flown.resolved), None), ""


def _beside(
    record: Record,
    named: Named | None,
    reason: str,
    quantities: Callable[[], Mapping[str, float | None]],
    entry: Entry,
    what: str,
    measured_a: float,
    of: str,
    asked: dict[str, float],
) -> MeasuredCurrent:
    computed: float | None = None
    if named is not None:
        computed, reason = _computed(named, quantities, of, asked)
    return MeasuredCurrent(
        record.id,
        entry.id,
        entry.at,
        entry.by,
        what,
        measured_a,
        computed,
        of,
        asked,
        named.digest if named else "",
        reason,
    )


def _computed(
    named: Named,
    quantities: Callable[[], Mapping[str, float | None]],
    of: str,
    asked: Mapping[str, float],
) -> tuple[float | None, str]:
    try:
        if of == "asked":
            return _asked(named.configuration, asked)
        value = quantities().get(of)
    except RovlogError as error:
        return None, error.message
    except KeyError as error:
        # A configuration approved long ago may lack what is asked for today.
        return None, f"the configuration that flew has no {error}"
    return value, "" if value is not None else "it cannot be computed for the configuration that flew"


def _asked(configuration: Configuration, asked: Mapping[str, float]) -> tuple[float | None, str]:
    from rovlog.domain.electrical.asked import asked_current

    demands, direct = demands_at(configuration, asked)
    found = asked_current(configuration, demands, direct)
    return found.total_a, found.reason


def _is_number(value: Any) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool)
