"""What a difference does to fuse, voltages, wires, run time and depth: the part no stick answers for."""

from __future__ import annotations

from collections.abc import Mapping

from rovlog.domain.electrical.endurance import endurance, usual_profile
from rovlog.domain.electrical.fuse import FuseVerdict, continuous_limit_a, fuse_verdict, seconds_words
from rovlog.domain.electrical.idle import idle
from rovlog.domain.electrical.sag import sag
from rovlog.domain.electrical.short import far_short
from rovlog.domain.electrical.worst_case import WorstCase, per_channel_worst_a, worst_case
from rovlog.domain.vehicle import Configuration
from rovlog.values import dataclass

LEAST_CURRENT_A = 0.05
LEAST_VOLTAGE_V = 0.05
LEAST_SHARE = 0.005
LEAST_RUN_SHARE = 0.05
"""Changes below these are not told (project default)."""

SHORT_SHARE = 0.1
"""No unit. A short's current that moves by less than this share is not told while the fuse does the same."""


@dataclass(frozen=True, slots=True)
class SupplySide:
    """One configuration at its worst manoeuvre, from a full supply.

    `worst_a` is nominal, ampere. `fuse` judges the greater of that and the current with sag. Voltages in
    volt and `thrust_lost` (share of the thrust at rated voltage) are None where there is no operating
    point; then `no_point` says why. `short_a` flows in a short at the far end of the tether. `over` are the
    channels above their driver's limit: channel to its greatest current. `run_time_min` None where the
    record gives no capacity, `depth_m` (the weakest housing's rating, metres) where it names no housing.
    """

    worst_a: float
    fuse: FuseVerdict
    continuous_a: float
    electronics_v: float | None
    least_v: float | None
    thrust_lost: float | None
    no_point: str
    short_a: float
    short_goes_on: bool
    over: Mapping[int, float]
    channel_limit_a: float | None
    run_time_min: float | None
    depth_m: float | None


def supply_side(configuration: Configuration, worst: WorstCase | None = None) -> SupplySide:
    """All of it for one configuration; `worst` where its worst case is at hand.

    Raises:
        OutOfRangeError: a number that no computation can use, named.
    """
    electrical = configuration.electrical
    worst = worst or worst_case(configuration)
    loaded = sag(configuration, worst.commands)
    point = loaded.point
    fuse = fuse_verdict(electrical.fuse, max(worst.total_a, point.current_a if point else 0.0))
    short = far_short(configuration)
    limit = electrical.drivers.channel_limit_a
    over: dict[int, float] = {}
    if limit is not None:
        greatest = per_channel_worst_a(configuration, limit)
        over = {n: a for n, a in greatest.items() if a > limit + 1e-9}
    at_idle = idle(configuration).current_a
    runs = endurance(electrical.supply, usual_profile(at_idle, max(worst.total_a, at_idle)))
    return SupplySide(
        worst_a=worst.total_a,
        fuse=fuse,
        continuous_a=continuous_limit_a(electrical.fuse),
        electronics_v=point.vehicle_v if point else None,
        least_v=electrical.least_working_v,
        thrust_lost=point.thrust_lost_share if point else None,
        no_point="" if point else loaded.reason,
        short_a=short.current_a,
        short_goes_on=short.may_go_on,
        over=over,
        channel_limit_a=limit,
        run_time_min=runs.run_time_min if runs else None,
        depth_m=min((h.depth_rating_m for h in configuration.housings), default=None),
    )


def supply_words(before: SupplySide, after: SupplySide) -> list[str]:
    """What changes from one to the other, in words, what stops or burns first; empty where nothing does."""
    return [
        *_fuse(before, after),
        *_voltage(before, after),
        *_channels(before, after),
        *_short(before, after),
        *_run_time(before, after),
        *_depth(before, after),
    ]


def _fuse(before: SupplySide, after: SupplySide) -> list[str]:
    current = ""
    if abs(after.worst_a - before.worst_a) >= LEAST_CURRENT_A:
        current = f"worst-case current {after.worst_a:.1f} A instead of {before.worst_a:.1f} A"
    same = (before.fuse.verdict, before.fuse.rating_a) == (after.fuse.verdict, after.fuse.rating_a)
    if same and (not current or after.fuse.verdict == "within-continuous"):
        return [current] if current else []
    rating, carried = f"the {after.fuse.rating_a:g} A fuse", f"{after.continuous_a:.1f} A it carries for ever"
    does = {
        "within-continuous": f"{rating} carries it for ever",
        "above-continuous": f"above the {carried} ({rating})",
        "may-open": f"{rating} may open after {seconds_words(after.fuse.shortest_s)} or not at all",
        "opens": f"{rating} opens, perhaps after {seconds_words(after.fuse.shortest_s)}",
    }[after.fuse.verdict]
    return [f"{current or f'worst case {after.fuse.current_a:.1f} A'}: {does}"]


def _voltage(before: SupplySide, after: SupplySide) -> list[str]:
    if after.electronics_v is None:
        return [f"at the worst manoeuvre {after.no_point}"] if before.electronics_v is not None else []
    told = []
    was, least = before.electronics_v, after.least_v
    is_low = least is not None and after.electronics_v < least
    was_low = was is not None and before.least_v is not None and was < before.least_v
    moved = was is None or abs(after.electronics_v - was) >= LEAST_VOLTAGE_V
    if moved or is_low != was_low:
        instead = f" instead of {was:.1f} V" if was is not None and moved else ""
        need = f", they need {least:g} V" if is_low else ""
        told.append(f"at the worst manoeuvre the electronics get {after.electronics_v:.1f} V{instead}{need}")
    lost, lost_before = after.thrust_lost, before.thrust_lost
    if lost is not None and lost_before is not None and abs(lost - lost_before) >= LEAST_SHARE:
        told.append(f"thrust lost to sag there {lost:.0%} instead of {lost_before:.0%}")
    return told


def _channels(before: SupplySide, after: SupplySide) -> list[str]:
    new = {n: a for n, a in after.over.items() if n not in before.over}
    if not new:
        return []
    drawn = ", ".join(f"channel {n} up to {a:.1f} A" for n, a in sorted(new.items()))
    return [f"{drawn}: above the driver's {after.channel_limit_a:g} A"]


def _short(before: SupplySide, after: SupplySide) -> list[str]:
    is_moved = abs(after.short_a - before.short_a) > SHORT_SHARE * before.short_a
    if after.short_goes_on == before.short_goes_on and not (is_moved and after.short_goes_on):
        return []
    short = f"a short at the far end of the tether draws {after.short_a:.1f} A"
    if after.short_goes_on:
        return [f"{short}: the {after.fuse.rating_a:g} A fuse may never open on it"]
    return [f"{short}: the {after.fuse.rating_a:g} A fuse opens on it now"]


def _run_time(before: SupplySide, after: SupplySide) -> list[str]:
    was, now = before.run_time_min, after.run_time_min
    if was is None or now is None or abs(now - was) < LEAST_RUN_SHARE * was:
        return []
    return [f"run time {now:.0f} min instead of {was:.0f} min"]


def _depth(before: SupplySide, after: SupplySide) -> list[str]:
    was, now = before.depth_m, after.depth_m
    if was is None or now is None or was == now:
        return []
    return [f"the weakest housing is rated to {now:g} m instead of {was:g} m"]
