"""What one difference does in the water and to the fuse, computed by swapping it into the baseline."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import cache
from itertools import pairwise
from typing import TYPE_CHECKING, Any

from rovlog.domain.drift.leaves import ABSENT, value_at, with_value
from rovlog.domain.drift.reach import SMALL_SHARE, Physics, Reach, reaches, rest_wrench
from rovlog.domain.drift.statements import trim_at
from rovlog.domain.drift.words import way
from rovlog.domain.vehicle import DEMANDS, Configuration
from rovlog.problems import RovlogError, UsageError
from rovlog.values import dataclass, field

if TYPE_CHECKING:
    from rovlog.domain.drift.supply_side import SupplySide

LEAST_LOSS = 0.005
"""A loss below half a per cent is not told (project default)."""


UNFIT = (LookupError, TypeError, ValueError, ArithmeticError, AttributeError)
"""What reading an object raises that no schema has seen: one value was swapped into it, and that value may
be anything a record holds (text for a number, a mapping for a list)."""


@dataclass(frozen=True, slots=True)
class CurrentChange:
    """Greatest nominal current before and after, ampere; None where it could not be computed."""

    before: float | None
    after: float | None


@dataclass(frozen=True, slots=True)
class Effect:
    """The physical effect of a difference.

    `reversed` are the demands whose controls now do the opposite of before. `lost` is the share of a
    demand's wrench that is gone, the greater of its two ways, full_stick counted; trims take
    no part in it. `is_known` is False where the changed configuration could not be computed.
    """

    text: str
    reversed: tuple[str, ...] = ()
    lost: Mapping[str, float] = field(default_factory=dict)
    worst_case_current_a: CurrentChange | None = None
    is_known: bool = True


@dataclass(frozen=True, slots=True)
class Reference:
    """A resolved object with what was computed of it once, to compare many changes against.

    `supply` computes fuse, voltages, wires, run time and depth when first asked: where only the reach is
    compared nobody pays for them. It raises a RovlogError where a number cannot be used.
    """

    resolved: Mapping[str, Any]
    configuration: Configuration | None
    reach: Mapping[str, Reach]
    worst_case_a: float | None
    net_up_n: float | None
    problem: str = ""
    supply: Callable[[], SupplySide | None] = lambda: None


def reference_of(resolved: Mapping[str, Any], physics: Physics) -> Reference:
    """Compute what the effects of differences are measured against; a RovlogError is kept as `problem`."""
    try:
        configuration = configured(resolved, physics)
        return Reference(
            resolved,
            configuration,
            reaches(configuration),
            physics.worst_case_a(configuration) if physics.worst_case_a else None,
            physics.net_up_n(configuration) if physics.net_up_n else None,
            supply=_once(physics, configuration),
        )
    except RovlogError as error:
        return Reference(resolved, None, {}, None, None, error.message)


def _once(physics: Physics, configuration: Configuration) -> Callable[[], SupplySide | None]:
    compute = physics.supply_side
    return cache(lambda: compute(configuration) if compute is not None else None)


def configured(resolved: Mapping[str, Any], physics: Physics) -> Configuration:
    """The configuration of a resolved object that no schema has seen, its power limit worked in.

    Raises:
        RovlogError: it does not fit together.
    """
    try:
        configuration = physics.configure(_with_power_limit(resolved))
    except UNFIT as error:
        raise UsageError(f"it does not fit together ({error})") from error
    missing = sorted({t.model for t in configuration.thrusters} - configuration.models.keys())
    if missing:
        raise UsageError(f"there is no thruster model {missing[0]}")
    return configuration


def effect_of(before: Reference, after: Mapping[str, Any], physics: Physics) -> Effect:
    """The effect of going from `before` to the resolved object `after`."""
    return effect_between(before, reference_of(after, physics))


def effect_between(before: Reference, changed: Reference) -> Effect:
    """The effect of going from one computed configuration to another."""
    if before.configuration is None or changed.configuration is None:
        problem = changed.problem or before.problem
        return Effect(f"the effect cannot be computed: {problem}", is_known=False)
    reversed_demands = tuple(d for d in DEMANDS if is_reversed(before.reach[d], changed.reach[d]))
    lost: dict[str, float] = {}
    for demand in DEMANDS:
        share = 0.0 if demand in reversed_demands else loss(before.reach[demand], changed.reach[demand])
        if share >= LEAST_LOSS:
            lost[demand] = round(share, 4)
    current = None
    if before.worst_case_a is not None or changed.worst_case_a is not None:
        current = CurrentChange(before.worst_case_a, changed.worst_case_a)
    try:
        supply = _supply(before, changed, current)
    except RovlogError as error:
        return Effect(f"the effect cannot be computed: {error.message}", is_known=False)
    text = "; ".join(
        _turned(reversed_demands)
        + _losses(lost, changed.reach)
        + _moved_controls(before.configuration, changed.configuration)
        + _rest_pushes(before.resolved, changed.resolved, changed.configuration)
        + supply
        + _buoyancy(before.net_up_n, changed.net_up_n)
    )
    return Effect(
        text or _nothing(before),
        reversed_demands,
        lost,
        current,
    )


def _supply(before: Reference, changed: Reference, current: CurrentChange | None) -> list[str]:
    from rovlog.domain.drift.supply_side import supply_words

    was, now = before.supply(), changed.supply()
    if was is None or now is None:
        assert changed.configuration is not None
        return _current(current, changed.configuration)
    return supply_words(was, now)


def _nothing(before: Reference) -> str:
    """That nothing changes, in the words of what was compared."""
    if before.supply() is None:
        return "at full stick no demand changes, nor the current or the buoyancy"
    return "at full stick no demand changes, nor current, fuse, voltage, run time, depth or buoyancy"


def is_reversed(before: Reach, after: Reach) -> bool:
    """True where a control that drives the demand in both does the opposite, at every end it has.

    Where no control drives it in both, the controls differ and nothing is called reversed.
    """
    scale = max(before.positive, -before.negative, after.positive, -after.negative)
    for control in before.by_control.keys() & after.by_control.keys():
        ends = [
            (old, new)
            for old, new in zip(before.by_control[control], after.by_control[control], strict=True)
            if abs(old) > SMALL_SHARE * scale
        ]
        if ends and all(old * new < 0 and abs(new) > SMALL_SHARE * scale for old, new in ends):
            return True
    return False


def loss(before: Reach, after: Reach) -> float:
    """Share of the wrench on a demand's own axis that is gone, 0 to 1, the greater of the two ways."""
    shares = [0.0]
    scale = max(before.positive, -before.negative)
    for old, new in ((before.positive, after.positive), (-before.negative, -after.negative)):
        if scale and old > SMALL_SHARE * scale:
            shares.append(min(1.0, max(0.0, 1.0 - new / old)))
    return max(shares)


def _turned(demands: tuple[str, ...]) -> list[str]:
    if not demands:
        return []
    verb = "answers" if len(demands) == 1 else "answer"
    return [f"{_listed(demands)} {verb} the opposite way to before"]


def _losses(lost: Mapping[str, float], after: Mapping[str, Reach]) -> list[str]:
    gone = {d for d, share in lost.items() if share > 1.0 - SMALL_SHARE}
    dead = tuple(d for d in DEMANDS if d in gone and not after[d].positive and not after[d].negative)
    told = []
    if dead:
        told.append(f"{_listed(dead)} {'answers' if len(dead) == 1 else 'answer'} no longer")
    told += [f"{d} answers one way only" for d in DEMANDS if d in gone and d not in dead]
    told += [f"{d} loses {share:.0%}" for d, share in lost.items() if d not in gone]
    return told


def _moved_controls(before: Configuration, after: Configuration) -> list[str]:
    old = {d: sorted({e.control for e in before.steering_scheme.entries if e.drives == d}) for d in DEMANDS}
    new = {d: sorted({e.control for e in after.steering_scheme.entries if e.drives == d}) for d in DEMANDS}
    return [
        f"{d} moves from {_listed(tuple(old[d]))} to {_listed(tuple(new[d]))}"
        for d in DEMANDS
        if old[d] != new[d] and old[d] and new[d]
    ]


def _rest_pushes(
    before: Mapping[str, Any], after: Mapping[str, Any], configuration: Configuration
) -> list[str]:
    told = []
    for demand in DEMANDS:
        share = trim_at(after, demand)
        if abs(share - trim_at(before, demand)) < 1e-9:
            continue
        if not share:
            told.append(f"with the sticks at rest nothing pushes on {demand} any more")
            continue
        wrench = rest_wrench(configuration, demand, share)
        unit = "N" if demand in DEMANDS[:3] else "N m"
        told.append(f"with the sticks at rest {abs(wrench):.1f} {unit} {way(demand, wrench) or 'of push'}")
    return told


def _current(change: CurrentChange | None, configuration: Configuration) -> list[str]:
    if change is None or change.before is None or change.after is None:
        return []
    if abs(change.after - change.before) < 0.05:
        return []
    fuse = configuration.electrical.fuse
    limit = fuse.rating_a * fuse.continuous_share
    over = f", above the {limit:.1f} A the fuse carries for ever" if change.after > limit else ""
    return [f"worst-case current {change.after:.1f} A instead of {change.before:.1f} A{over}"]


def _buoyancy(before: float | None, after: float | None) -> list[str]:
    if before is None or after is None or abs(after - before) < 0.05:
        return []
    return [f"net lift {after:+.1f} N instead of {before:+.1f} N"]


def _listed(names: tuple[str, ...]) -> str:
    if len(names) < 2:
        return "".join(names)
    return ", ".join(names[:-1]) + " and " + names[-1]


def _with_power_limit(resolved: Mapping[str, Any]) -> Mapping[str, Any]:
    """The power limit worked into the thruster tables: every channel's command times the limit."""
    limit = value_at(resolved, "/power_limit")
    if limit is ABSENT or isinstance(limit, bool) or not isinstance(limit, int | float):
        return resolved
    plain = {key: value for key, value in resolved.items() if key != "power_limit"}
    if limit >= 1:
        return plain
    for model, table in dict(plain.get("models", {})).items():
        points = _shortened(table["points"], float(limit))
        plain = with_value(plain, f"/models/{model}/points", points)
    return plain


def _shortened(points: Any, limit: float) -> list[dict[str, float]]:
    """The part of a table within the limit, its ends interpolated, commands stretched to -1 to 1."""
    if limit <= 0:
        return [{"command": end, "thrust_n": 0, "current_a": 0} for end in (-1, 1)]
    rows = sorted((dict(p) for p in points), key=lambda p: float(p["command"]))
    if not any(float(r["command"]) == 0 for r in rows):
        rows = sorted(
            [*rows, {"command": 0, "thrust_n": 0, "current_a": 0}], key=lambda p: float(p["command"])
        )
    kept = [{**r, "command": r["command"] / limit} for r in rows if abs(r["command"]) < limit]
    low, high = _interpolated(rows, -limit), _interpolated(rows, limit)
    return [{**low, "command": -1}, *kept, {**high, "command": 1}]


def _interpolated(rows: list[dict[str, Any]], command: float) -> dict[str, float]:
    for one, other in pairwise(rows):
        if one["command"] <= command <= other["command"] and one["command"] < other["command"]:
            share = (command - one["command"]) / (other["command"] - one["command"])
            return {k: one[k] + share * (other[k] - one[k]) for k in ("command", "thrust_n", "current_a")}
    return dict(rows[-1])
