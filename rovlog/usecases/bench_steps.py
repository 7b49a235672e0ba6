"""What the bench readings of a work record say: supply, way to the box, channels, warming of the drivers."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from functools import partial
from typing import TYPE_CHECKING, Any, TypeVar

from rovlog.domain.electrical.bench import ChannelCheck, LoadStep, SupplyFit, channel_check, supply_fit
from rovlog.domain.electrical.heat import Warming, warming
from rovlog.problems import OutOfRangeError, RovlogError, UsageError
from rovlog.values import dataclass

if TYPE_CHECKING:
    from rovlog.domain.dive import Entry, Record
    from rovlog.domain.vehicle import Configuration
    from rovlog.usecases.logbook import Logbook

READINGS = "load-step"
"""Readings whose name begins so are steps of a bench load."""

LOG_STEPS = "log steps: rovlog work reading WORK load-step voltage_v=12,52 current_a=5,1 --by PERSON"

Found = TypeVar("Found")


@dataclass(frozen=True, slots=True)
class LineCheck:
    """A straight line through load steps beside what the record says of that resistance, ohm.

    `fit` is None with a `reason`. `expected_ohm` is None where the record is not known; `pointer` is
    where it stands, "" where several values make it up.
    """

    fit: SupplyFit | None
    count: int
    expected_ohm: float | None
    pointer: str
    reason: str = ""
    mend: str = ""

    @property
    def agrees(self) -> bool | None:
        """Within twice the uncertainty and a fifth (project default); None where it cannot be judged."""
        if self.fit is None or self.expected_ohm is None:
            return None
        found = self.fit.resistance_ohm
        allowed = 2.0 * (found.uncertainty or 0.0) + 0.2 * self.expected_ohm
        return abs(found.value - self.expected_ohm) <= allowed


@dataclass(frozen=True, slots=True)
class ChannelSteps:
    """One channel's drop from box to motor against driver and pair of the record; None with a reason."""

    channel: int | None
    check: ChannelCheck | None
    count: int
    reason: str = ""


@dataclass(frozen=True, slots=True)
class WarmingSteps:
    """The first-order fit of the driver's temperature, and the time to its limit, seconds.

    `time_to_limit_s` is None where the limit is never reached or not recorded (`limit_c` None).
    `is_by_clock`: the times are those of the entries, since no reading has `time_s`.
    """

    fit: Warming | None
    count: int
    limit_c: float | None
    time_to_limit_s: float | None
    is_by_clock: bool
    reason: str = ""
    mend: str = ""


@dataclass(frozen=True, slots=True)
class BenchSteps:
    """Everything a record's load steps say; a part nobody read is None (or empty)."""

    record: str
    vehicle: str
    supply: LineCheck | None
    to_box: LineCheck | None
    channels: tuple[ChannelSteps, ...]
    warming: WarmingSteps | None
    notes: tuple[str, ...] = ()

    @property
    def is_in_order(self) -> bool:
        """True where every part that was read could be judged and agrees with the record."""
        lines = [x for x in (self.supply, self.to_box) if x is not None]
        return (
            all(x.fit is not None and x.agrees is not False for x in lines)
            and all(c.check is not None and c.check.agrees for c in self.channels)
            and (self.warming is None or self.warming.fit is not None)
        )


def bench_steps(logbook: Logbook, record: Record) -> BenchSteps:
    """Judge the load steps of a record.

    Raises:
        UsageError: the record holds no load step.
    """
    rows = list(_rows(record))
    if not rows:
        raise UsageError(f"{record.id} holds no reading load-step", LOG_STEPS)
    configuration, notes = _configuration(logbook, record)
    return BenchSteps(
        record.id,
        record.vehicle,
        _supply(rows, configuration),
        _to_box(rows, configuration),
        _channels(rows, configuration),
        _warming(rows, configuration),
        (*notes, *_unused(rows)),
    )


def _rows(record: Record) -> Iterator[tuple[Entry, dict[str, float]]]:
    for entry in record.of_kind("reading"):
        if str(entry.fields.get("reading", "")).startswith(READINGS):
            values = dict(entry.fields.get("values") or {})
            yield entry, {k: float(v) for k, v in values.items() if _is_number(v)}


def _configuration(logbook: Logbook, record: Record) -> tuple[Configuration | None, tuple[str, ...]]:
    from rovlog.usecases.configurations import working
    from rovlog.usecases.measured_current import as_flown_configuration

    if not record.vehicle:
        return None, ("work on a box: no vehicle's record to compare with",)
    found, reason = as_flown_configuration(logbook, record)
    if found is not None:
        return found, ()
    try:
        return working(logbook, record.vehicle).configuration, (
            f"{reason}: compared with the files as they are",
        )
    except RovlogError as error:
        return None, (f"nothing to compare with: {error.message}",)


Rows = list[tuple["Entry", dict[str, float]]]


def _supply(rows: Rows, configuration: Configuration | None) -> LineCheck | None:
    steps = _steps(rows, ("voltage_v", "supply_v"))
    expected = None if configuration is None else configuration.electrical.supply.internal_resistance_ohm
    return _line(steps, expected, "/electrical/supply/internal_resistance_ohm") if steps else None


def _to_box(rows: Rows, configuration: Configuration | None) -> LineCheck | None:
    from rovlog.domain.electrical.tether import loop_resistance_ohm

    steps = _steps(rows, ("box_v",))
    expected = None
    if configuration is not None:
        e = configuration.electrical
        expected = e.supply.internal_resistance_ohm + e.fuse.resistance_ohm + e.leads_resistance_ohm
        if e.tether.carries == "supply-pair":
            expected += loop_resistance_ohm(e.tether)
    return _line(steps, expected, "") if steps else None


def _steps(rows: Rows, names: tuple[str, ...]) -> list[LoadStep]:
    found = []
    for _, values in rows:
        volts = next((values[n] for n in names if n in values), None)
        amperes = _current(values)
        if volts is not None and amperes is not None:
            found.append(LoadStep(volts, amperes))
    return found


def _line(steps: list[LoadStep], expected: float | None, pointer: str) -> LineCheck:
    fit, error = _tried(partial(supply_fit, steps))
    if fit is None or error is not None:
        said = (error.message, error.mend) if error else ("", "")
        return LineCheck(None, len(steps), expected, pointer, *said)
    if fit.resistance_ohm.value < -2.0 * (fit.resistance_ohm.uncertainty or 0.0) or (
        fit.resistance_ohm.uncertainty is None and fit.resistance_ohm.value < 0.0
    ):
        return LineCheck(
            None,
            len(steps),
            expected,
            pointer,
            "the voltage rises with the current: no supply does that",
            "look for voltage and current changed round, or steps of two batteries in one record",
        )
    return LineCheck(fit, len(steps), expected, pointer)


def _channels(rows: Rows, configuration: Configuration | None) -> tuple[ChannelSteps, ...]:
    from rovlog.domain.electrical.tether import loop_resistance_ohm

    drops: dict[int | None, list[LoadStep]] = {}
    for _, values in rows:
        drop, current = _drop(values), _current(values, "channel_current_a")
        if drop is not None and current is not None:
            number = values.get("channel")
            drops.setdefault(None if number is None else int(number), []).append(LoadStep(drop, current))
    expected = None
    if configuration is not None:
        e = configuration.electrical
        expected = e.drivers.on_resistance_ohm
        if e.tether.carries == "motor-pairs":
            expected += loop_resistance_ohm(e.tether)
    found = []
    for channel, steps in sorted(drops.items(), key=lambda item: (item[0] is None, item[0] or 0)):
        if expected is None:
            found.append(ChannelSteps(channel, None, len(steps), "no record to compare with"))
            continue
        check, error = _tried(partial(channel_check, steps, expected))
        found.append(ChannelSteps(channel, check, len(steps), error.message if error else ""))
    return tuple(found)


def _drop(values: Mapping[str, float]) -> float | None:
    if "drop_v" in values:
        return values["drop_v"]
    return values["box_v"] - values["motor_v"] if "box_v" in values and "motor_v" in values else None


def _warming(rows: Rows, configuration: Configuration | None) -> WarmingSteps | None:
    read = [(e, v, v.get("driver_c", v.get("temperature_c"))) for e, v in rows]
    warm = [(e, v, c) for e, v, c in read if c is not None]
    if not warm:
        return None
    is_by_clock = not all("time_s" in v for _, v, _ in warm)
    first = _moment(warm[0][0])
    points = [(_moment(e) - first if is_by_clock else v["time_s"], c) for e, v, c in warm]
    limit = None if configuration is None else configuration.electrical.drivers.temperature_limit_c
    fit, error = _tried(partial(warming, points))
    if fit is None or error is not None:
        said = (error.message, error.mend) if error else ("", "")
        return WarmingSteps(None, len(points), limit, None, is_by_clock, *said)
    to_limit = None if limit is None else fit.time_to_s(limit)
    return WarmingSteps(fit, len(points), limit, to_limit, is_by_clock)


def _moment(entry: Entry) -> float:
    from rovlog.usecases.times import instant

    at = instant(entry.at)
    return at.timestamp() if at is not None else 0.0


def _unused(rows: Rows) -> tuple[str, ...]:
    """Steps of which nothing could be made, by their entry."""
    volts = ("voltage_v", "supply_v", "box_v", "drop_v")
    return tuple(
        f"load step {n} ({', '.join(values) or 'no numbers'}): "
        + ("no current_a beside the voltage" if any(v in values for v in volts) else "nothing to use")
        for n, (_, values) in enumerate(rows, start=1)
        if not ({"driver_c", "temperature_c"} & values.keys())
        and (_current(values, "channel_current_a") is None or not any(v in values for v in volts))
    )


def _current(values: Mapping[str, float], *also: str) -> float | None:
    return next((values[n] for n in (*also, "current_a", "supply_current_a") if n in values), None)


def _tried(deed: Callable[[], Found]) -> tuple[Found | None, OutOfRangeError | None]:
    try:
        return deed(), None
    except OutOfRangeError as error:
        return None, error


def _is_number(value: Any) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool)
