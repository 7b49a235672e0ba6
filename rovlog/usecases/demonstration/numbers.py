"""Plausible answers to the lists' items: what a crew of this vehicle would read off on that day.

They follow from the configuration, the plan and the computed quantities, with the scatter of a
gauge or a hand on a stop watch. Nothing here was measured by anybody.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING, Any

from rovlog.usecases.computed_quantities import running_here_s

if TYPE_CHECKING:
    from rovlog.domain.checks.checklist import Item
    from rovlog.usecases.demonstration.run import Run

Given = dict[str, Any]

CHOICES: Mapping[str, str] = {
    "crew": "as-entered",
    "mains": "no-mains",
    "source": "battery-charger-away",
    "vacuum-port": "released-plug-in",
    "payload": "as-configured",
    "controller": "one",
    "differences": "none",
    "open-faults": "none",
    "direction-pattern": "match",
    "recovery-plan": "floats-up",
    "tether-lift": "not-allowed",
    "last-look-open": "none",
    "axes-wet": "as-commanded",
    "water-inside": "none",
    "opening": "not-opened",
    "put-back": "no-changes",
    "oddities": "none",
    "bench-sealing": "left-for-poolside",
    "fault-power": "all-off",
    "fault-readback": "stored",
}
"""What is chosen where the story does not say otherwise."""


READ_OUT = {"open-faults": ("open_waivers", "open_faults"), "last-look-open": ("deferred_and_expired",)}
"""Items whose answer is another where there is something to read out."""


def answer_for(item: Item, run: Run) -> Given:
    """Values for one item, as far as they are not proposed by the program itself."""
    make = VALUES.get(item.item)
    values = make(run) if make is not None else {}
    if item.item in CHOICES:
        values["choice"] = CHOICES[item.item]
    computed = run.state.computed
    if item.item == "water":
        values["choice"] = str((run.state.water or {}).get("kind", "fresh"))
    elif item.item == "next-notes":
        values["note"] = "none"
    elif any((computed.get(name) or 0) > 0 for name in READ_OUT.get(item.item, ())):
        values["choice"] = "read-out-and-accepted"
    said: Given = {"values": values} if values else {}
    if "pushes" in values and values["pushes"] != computed.get("direction_pushes_seen"):
        # This crew counts its habitual pushes twice on a card; the record counts each of them once.
        said["source"] = "paper"
    return said


def _limit(run: Run, name: str, otherwise: float) -> Any:
    return run.state.resolved.get("limits", {}).get(name, otherwise)


def _electrical(run: Run, *path: str) -> Any:
    value: Any = run.state.resolved["electrical"]
    for step in path:
        value = value[step]
    return value


def _near(run: Run, quantity: str, share: float, digits: int) -> float:
    """A reading near a computed quantity."""
    value = run.state.computed.get(quantity) or 0.0
    return round(value * (1.0 + run.stage.chance.uniform(-share, share)), digits)


def _site(run: Run) -> Given:
    water = run.plan.water
    wind = round(max(0.0, water.wind_m_s + run.stage.chance.uniform(-0.8, 0.8)), 1) if water.wind_m_s else 0.0
    flow = round(water.flow_m_s, 2)
    return {"depth": water.depth_m, "visibility": water.visibility_m, "flow": flow, "wind": wind}


def _resting(run: Run) -> float:
    return round(float(_electrical(run, "supply", "resting_v")) + run.stage.chance.uniform(0.05, 0.3), 2)


def _vacuum(run: Run) -> Given:
    """Two readings of a hold with a small true rise, and the rise as the program corrects it."""
    from rovlog.usecases.judge_vacuum import judge_vacuum

    chance = run.stage.chance
    start_below = run.stage.notes.get("vacuum", 25.0)
    start_c = round(min(24.0, run.plan.water.temperature_c + 4.0) + chance.uniform(-0.5, 0.5), 1)
    end_c = round(start_c - chance.uniform(0.2, 0.6), 1)
    outside = round(101.3 + chance.uniform(-1.4, 1.1), 1)
    true_rise = chance.uniform(0.06, 0.16)
    cooled = (outside - start_below + true_rise) * (end_c + 273.15) / (start_c + 273.15)
    end_below = round(outside - cooled, 2)
    held = judge_vacuum(
        start_below, start_c, end_below, end_c, outside_start_kpa=outside, outside_end_kpa=outside
    )
    return {
        "start_below": start_below,
        "start_temperature": start_c,
        "end_below": end_below,
        "end_temperature": end_c,
        "outside_start": outside,
        "outside_end": outside,
        "corrected_rise": round(held.hold.corrected_rise_kpa, 2),
    }


def _pulled(run: Run) -> Given:
    run.stage.notes["vacuum"] = run.stage.between(24.2, 26.0, 1)
    return {"below_outside": run.stage.notes["vacuum"]}


def _box_numbers(run: Run) -> Given:
    held = run.stage.boxes[run.box]
    return {"steering_scheme": held.steering_scheme, "thruster_map": held.thruster_map}


def _hardest(run: Run) -> Given:
    computed, chance = run.state.computed, run.stage.chance
    drawn = (computed.get("with_sag_current_a") or 0.0) * (1.0 + chance.uniform(-0.08, 0.03))
    return {
        "voltage": round((computed.get("box_v") or 0.0) + chance.uniform(-0.15, 0.2), 2),
        "current": round(drawn, 1),
    }


def _lowest(run: Run) -> Given:
    lowest = (run.state.computed.get("box_v") or 10.0) + run.stage.chance.uniform(0.0, 0.3)
    return {"lowest": round(lowest, 2), "end": round(_resting(run) - 0.15, 2)}


def _direction(run: Run) -> Given:
    return {**_pushes(run), "thrusters_still": 0}


def _pushes(run: Run) -> Given:
    """What the record counts; where that is not the whole test, the strokes on the crew's card."""
    counted, whole = (run.state.computed.get(n) or 0.0 for n in ("direction_pushes_seen", "direction_pushes"))
    if counted >= whole:
        return {"pushes": int(counted)}
    return {"pushes": len(run.record.of_kind("observation"))}


VALUES: Mapping[str, Callable[[Run], Given]] = {
    "deck": lambda r: {"supply_from_edge": r.stage.between(2.5, 4.0, 1)},
    "site-limits": _site,
    "lift-plan": lambda r: {"people": 2},
    "fuse": lambda r: {"rating": _electrical(r, "fuse", "rating_a")},
    "source": lambda r: {"label": _electrical(r, "supply", "part")},
    "plug-polarity": lambda r: {"voltage": _resting(r)},
    "resting-voltage": lambda r: {"voltage": _resting(r)},
    "run-time": lambda r: {"planned": r.plan.minutes},
    "closures": lambda r: {"closed": _limit(r, "closures", 1)},
    "vacuum-pulled": _pulled,
    "vacuum-hold": _vacuum,
    "tether-fitted": lambda r: {"label": _electrical(r, "tether", "part")},
    "reach": lambda r: {"needed": r.plan.reach_m},
    "connectors-mated": lambda r: {"mated": _limit(r, "connectors", 1)},
    "blanks": lambda r: {"blanked": _limit(r, "blanks", 0)},
    "ballast-pieces": lambda r: {"pieces": _limit(r, "ballast_pieces", 1)},
    "idle-current": lambda r: {"current": _near(r, "idle_current_a", 0.1, 2)},
    "sag": lambda r: {"sag": r.stage.between(0.22, 0.45, 2)},
    "controller": lambda r: {"label": "pad-1" if r.box == "amber-box" else "pad-2"},
    "sticks-centred": lambda r: {"largest": r.stage.between(1, 3)},
    "full-throw": lambda r: {"least": r.stage.between(97, 100)},
    "setup-readback": _box_numbers,
    "link-loss": lambda r: {"stop_time": r.stage.between(0.3, 0.6, 1)},
    "direction": _direction,
    "recording": lambda r: {"clock_off": r.stage.between(-9, 14)},
    "lag": lambda r: {"lag": 10 * r.stage.between(13, 19)},
    "last-look-fuse": lambda r: {"rating": _electrical(r, "fuse", "rating_a")},
    "launch-floats": lambda r: {"watched": r.stage.between(60, 90)},
    "leak-signs": lambda r: {"watched": r.stage.between(120, 150)},
    "hands-off-rise": lambda r: {"rise_time": _near(r, "rise_time_s", 0.12, 1)},
    "still-attitude": lambda r: {"pitch": r.stage.between(-1.5, 2, 1), "roll": r.stage.between(-1, 1, 1)},
    "trim-in-water": lambda r: {"heave": r.stage.boxes[r.box].trim.get("heave", 0)},
    "hardest-manoeuvre": _hardest,
    "recovery-readback": lambda r: {"differences": int(r.first_trim != r.stage.boxes[r.box].trim)},
    "recovery-voltage": _lowest,
    "hours": lambda r: {"hours": round(running_here_s(r.record, None) / 3600.0, 3)},
    "battery-away": lambda r: {"voltage": round(_resting(r) - 0.1, 2), "charged_at": "club room shelf"},
    "bench-record": lambda r: {"revision": int(r.state.computed.get("baseline_revision") or 0)},
    "bench-setup": _box_numbers,
    "bench-fuse": lambda r: {
        "rating": _electrical(r, "fuse", "rating_a"),
        "distance": _electrical(r, "fuse", "distance_from_source_mm"),
        "type": "blade",
    },
    "bench-loop": lambda r: {"loop": _near(r, "tether_loop_ohm", 0.05, 3)},
    "bench-insulation": lambda r: {"insulation": r.stage.between(18, 40)},
    "fault-photos": lambda r: {"photos": r.stage.between(4, 9)},
    "fault-accounts": lambda r: {"accounts": 4},
    "blown-fuse-off": lambda r: {"voltage": 0.0},
    "blown-fuse-isolated": lambda r: {"voltage": _resting(r), "current": _near(r, "idle_current_a", 0.1, 2)},
    "blown-fuse-fitted": lambda r: {"rating": _electrical(r, "fuse", "rating_a")},
    "fault-function": _pushes,
}
"""By item: what is read or counted; what is not here asks for nothing, or the story answers it."""
