"""The budget as data, as `rovlog budget --json` gives it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

from rovlog.domain.electrical.unrecorded import unrecorded_resistances
from rovlog.values import asdict

if TYPE_CHECKING:
    from rovlog.domain.electrical.electrics import Electrics, Loaded
    from rovlog.domain.electrical.fuse import FuseVerdict
    from rovlog.domain.electrical.sag import Sag
    from rovlog.usecases.compute_budget import Budget
    from rovlog.usecases.measured_current import MeasuredCurrent

_DRAWN = ("/thrusters", "/models", "/thruster_map", "/steering_scheme", "/trim_defaults",
          "/electrical/standing_loads")  # fmt: skip
_WITH_SAG = (*_DRAWN, "/electrical/supply", "/electrical/fuse", "/electrical/leads", "/electrical/drivers",
             "/electrical/tether")  # fmt: skip
INPUTS: Mapping[str, tuple[str, ...]] = {
    "nominal": _DRAWN,
    "with_sag": _WITH_SAG,
    "fuse": (*_WITH_SAG, "/electrical/thinnest_wire_mm2"),
    "endurance": (*_DRAWN, "/electrical/supply"),
    "buoyancy": ("/hull", "/housings", "/electrical/tether", "/thrusters", "/models", "/thruster_map"),
}
"""By section the places of the configuration its figures are computed from (RFC 6901)."""


def budget_data(budget: Budget, measured: Sequence[MeasuredCurrent] = (), digest: str = "") -> dict[str, Any]:
    """The budget as `rovlog budget --json` gives it; null is no limit, or no answer with a `reason`.

    `measured` are clamp readings, `digest` that of the configuration the budget is of.
    """
    e = budget.electrics
    data: dict[str, Any] = {
        "vehicle": budget.vehicle,
        "nominal": {
            "worst_case_current_a": e.worst.total_a,
            "demand": dict(e.worst.demand),
            "sticks": dict(e.worst.sticks),
            "at_most": e.worst.is_at_most,
            "per_channel_a": {str(c): current for c, current in e.per_channel_a.items()},
            "standing_a": e.idle.standing_a,
        },
        "with_sag": {
            **_sag_data(e.full.worst),
            "taken_as_0_ohm": list(unrecorded_resistances(budget.configuration)),
            "full_ahead": _ahead_data(e, e.full),
            "at_rest": None
            if e.at_rest is None
            else {**_sag_data(e.at_rest.worst), "full_ahead": _ahead_data(e, e.at_rest)},
        },
        "fuse": _about_fuse(budget),
        "stall": _stall_data(e),
        "idle": {
            "current_a": e.idle.current_a,
            "standing_a": e.idle.standing_a,
            "trim_a": e.idle.trim_a,
            "demand": dict(e.idle.demand),
        },
        "endurance": None if e.endurance is None else _endurance_data(budget),
        "tether": {"loop_ohm": e.tether_loop_ohm},
        "measured": [measured_data(row, digest) for row in measured],
        "findings": [asdict(finding) for finding in budget.findings],
        "origin": "computed, never measured, but for `measured`",
        "inputs": {section: list(pointers) for section, pointers in INPUTS.items()},
    }
    return data if budget.water is None else {**data, **_water_data(budget)}


def _about_fuse(budget: Budget) -> dict[str, Any]:
    e = budget.electrics
    return {
        **_fuse_data(e.fuse),
        "continuous_limit_a": e.continuous_limit_a,
        "characteristic": budget.configuration.electrical.fuse.characteristic,
        "short_at_far_end": {
            "current_a": e.short.current_a,
            "verdict": e.short.fuse.verdict,
            "shortest_s": e.short.fuse.shortest_s,
            "longest_s": e.short.fuse.longest_s,
            "driver_cuts_off": e.short.driver_cuts_off,
            "supply_limits": e.short.is_limited,
        },
        "thinnest_wire": {
            "area_mm2": e.wire.area_mm2,
            "rating_a": e.wire.rating_a,
            "is_tether_conductor": e.wire.is_tether,
        },
        "when_hot": when_hot(budget),
        "sizing_rule": sizing_rule(budget),
        "less_demand": None
        if e.less is None
        else {"full_stick_share": e.less.share, "current_a": e.less.current_a},
    }


def _stall_data(e: Electrics) -> dict[str, Any] | None:
    if e.stall is None:
        return None
    return {
        "thruster": e.stall.thruster,
        "stall_current_a": e.stall.stall_current_a,
        "current_a": e.stall.total_a,
        "channel_a": e.stall.channel_a,
        "verdict": e.stall.fuse.verdict,
        "shortest_s": e.stall.fuse.shortest_s,
        "without_stall_current": list(e.stall.without),
    }


def measured_data(row: MeasuredCurrent, digest: str) -> dict[str, Any]:
    """One clamp reading beside what was computed; `of` says what, `same_configuration` whether it is this."""
    return {
        "dive": row.record,
        "entry": row.entry,
        "at": row.at,
        "by": row.by,
        "what": row.what,
        "measured_a": row.measured_a,
        "computed_a": row.computed_a,
        "ratio": row.ratio,
        "of": row.of,
        "asked": dict(row.asked),
        "configuration": row.configuration or None,
        "same_configuration": bool(digest) and row.configuration == digest,
        "reason": row.reason or None,
    }


def _water_data(budget: Budget) -> dict[str, Any]:
    floating = budget.water
    assert floating is not None
    upright = floating.righting
    return {
        "buoyancy": {
            **asdict(floating.buoyancy),
            "ballast_to_neutral_kg": floating.ballast_to_neutral_kg,
        },
        "pressure": asdict(floating.pressure),
        "rise": asdict(floating.rise),
        "righting": None if upright is None else {**asdict(upright), "is_upright": upright.is_upright},
    }


def _sag_data(sag: Sag) -> dict[str, Any]:
    point = sag.point
    if point is None:
        nothing = dict.fromkeys(("current_a", "supply_v", "box_v", "vehicle_v", "drop_v", "drop_share"))
        return {
            **nothing,
            "thruster_v": None,
            "thrust_lost": None,
            "thrust_lost_share": None,
            "reason": sag.reason,
        }
    still = [name for name, v in point.thruster_v.items() if v is None]
    reason = f"too small a command to turn {', '.join(still)} by its table" if still else None
    return {
        "current_a": point.current_a,
        "supply_v": point.supply_v,
        "box_v": point.box_v,
        "vehicle_v": point.vehicle_v,
        "drop_v": point.drop_v,
        "drop_share": point.drop_share,
        "thruster_v": dict(point.thruster_v),
        "thrust_lost": dict(point.thrust_lost),
        "thrust_lost_share": point.thrust_lost_share,
        "supply_limits": point.is_limited,
        "unique": point.is_unique,
        "reason": reason,
    }


def _ahead_data(e: Electrics, loaded: Loaded) -> dict[str, Any] | None:
    if e.ahead is None or loaded.ahead is None:
        return None
    return {**_sag_data(loaded.ahead), "demand": dict(e.ahead.demand), "sticks": dict(e.ahead.sticks)}


def _fuse_data(verdict: FuseVerdict) -> dict[str, Any]:
    return {
        "rating_a": verdict.rating_a,
        "current_a": verdict.current_a,
        "shortest_s": verdict.shortest_s,
        "longest_s": verdict.longest_s,
        "verdict": verdict.verdict,
    }


def when_hot(budget: Budget) -> dict[str, Any]:
    """The continuous limit by temperature around the fuse, and where that comes from."""
    from rovlog.domain.electrical.fuse import continuous_limit_a

    fuse = budget.configuration.electrical.fuse
    limits = {f"{c:g}": continuous_limit_a(fuse, c) for c in (65.0, 85.0)}
    return {"continuous_limit_a": limits, "origin": "stand-in: figures of a larger blade fuse, second-hand"}


def sizing_rule(budget: Budget) -> dict[str, Any]:
    """What a competition-style sizing rule would ask for, with its year."""
    from rovlog.domain.electrical.fuse import RULE_CAP_A, RULE_FACTOR, RULE_YEAR, rule_size_a

    return {
        "size_a": rule_size_a(budget.electrics.worst.total_a),
        "factor": RULE_FACTOR,
        "cap_a": RULE_CAP_A,
        "year": RULE_YEAR,
        "origin": "a competition-style rule to compare with, not advice; such rules change every year",
    }


def _endurance_data(budget: Budget) -> dict[str, Any]:
    found = budget.electrics.endurance
    assert found is not None
    return {
        "run_time_min": found.run_time_min,
        "mean_current_a": found.mean_current_a,
        "reserve_share": found.reserve_share,
        "peukert_exponent": found.peukert_exponent,
        "rated_hours": found.rated_hours,
        "profile": [asdict(phase) for phase in found.phases],
        "assumed": [*found.is_assumed, "profile"],
    }
