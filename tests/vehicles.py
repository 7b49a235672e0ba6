"""Invented vehicles for the tests: hand-made ones and generated ones, as documents and as values.

`Documents` holds what the files would say (vehicle, box, thruster models) as plain dicts.
`resolved_of` fills in the references and `configuration_of` makes the typed value; both are
written apart from `rovlog.documents`, so that they can also serve as its second opinion.
"""

from __future__ import annotations

import math
from copy import deepcopy
from dataclasses import dataclass, replace
from typing import Any

from hypothesis import strategies as st

from rovlog.domain.vehicle import (
    DEMANDS,
    Configuration,
    ControlBox,
    ControlEntry,
    Drivers,
    Electrical,
    Fuse,
    Housing,
    Hull,
    StandingLoad,
    SteeringScheme,
    Supply,
    Tether,
    Thruster,
    ThrusterMap,
    ThrusterModel,
    ThrustPoint,
)

Document = dict[str, Any]


@dataclass(frozen=True)
class Documents:
    """One vehicle with its box and its thruster models, as the files would say it."""

    vehicle: Document
    box: Document
    models: dict[str, Document]

    def copy(self) -> Documents:
        """A deep copy, free to be changed."""
        return deepcopy(self)


# -- building blocks ---------------------------------------------------------------------------


def model_document(model: str, points: list[tuple[float, float, float]], **more: Any) -> Document:
    """A thruster model; points are (command, thrust_n, current_a)."""
    rows = [{"command": c, "thrust_n": t, "current_a": i} for c, t, i in points]
    return {"format": "rovlog/thruster-model/1", "model": model, "rated_v": 12.0, "points": rows, **more}


def thruster_document(
    thruster: str,
    channel: int,
    position_m: list[float],
    thrust_direction: list[float],
    *,
    model: str = "heron-50",
    polarity: str = "normal",
) -> Document:
    """One fitted thruster."""
    return {
        "thruster": thruster,
        "model": model,
        "channel": channel,
        "polarity": polarity,
        "position_m": position_m,
        "thrust_direction": thrust_direction,
    }


def electrical_document(**more: Any) -> Document:
    """A plausible battery, fuse, tether and drivers; keyword arguments replace top keys."""
    return {
        "supply": {"kind": "battery", "open_circuit_v": 12.6, "internal_resistance_ohm": 0.024},
        "fuse": {"rating_a": 20, "resistance_ohm": 0.004, "characteristic": "iso-8820-3-blade"},
        "leads": {"resistance_ohm": 0.012},
        "drivers": {"on_resistance_ohm": 0.04, "channel_limit_a": 7.0},
        "tether": {"length_m": 22, "conductor_area_mm2": 1.0, "carries": "motor-pairs"},
        "standing_loads": [{"load": "camera", "current_a": 0.35}],
        "least_working_v": 9.2,
        **more,
    }


def box_document(
    shares: dict[str, dict[int, float]],
    controls: list[Document],
    *,
    channels: int = 8,
    when_saturated: str = "clip",
) -> Document:
    """A box with one steering scheme (2) and one thruster map (5)."""
    return {
        "format": "rovlog/box/1",
        "box": "quay-box",
        "firmware": "0.7",
        "channels": channels,
        "steering_schemes": {2: {"name": "two sticks", "controls": controls}},
        "thruster_maps": {
            5: {"name": "as built", "shares": shares, "when_saturated": when_saturated},
        },
    }


def vehicle_document(thrusters: list[Document], **more: Any) -> Document:
    """A vehicle with those thrusters; keyword arguments replace top keys."""
    return {
        "format": "rovlog/vehicle/1",
        "vehicle": "puffin",
        "name": "Puffin",
        "hull": {"mass_kg": 6.25, "displaced_volume_m3": 0.00631, "ballast_density_kg_m3": 11340},
        "housings": [{"housing": "barrel", "depth_rating_m": 28}],
        "control_box": {"box": "quay-box", "steering_scheme": 2, "thruster_map": 5},
        "thrusters": thrusters,
        "electrical": electrical_document(),
        **more,
    }


def puffin() -> Documents:
    """A hand-made vehicle: four horizontal thrusters at 45 degrees, two vertical, six channels.

    Surge, sway, heave and yaw answer as commanded. Sticks: left forward is ahead, left right is
    to starboard, right forward is up, right right turns to starboard.
    """
    s = math.sqrt(0.5)
    thrusters = [
        thruster_document("bow-port", 1, [0.2, -0.15, 0.0], [s, s, 0.0]),
        thruster_document("bow-starboard", 2, [0.2, 0.15, 0.0], [s, -s, 0.0]),
        thruster_document("stern-starboard", 3, [-0.2, 0.15, 0.0], [s, s, 0.0]),
        thruster_document("stern-port", 4, [-0.2, -0.15, 0.0], [s, -s, 0.0]),
        thruster_document("lift-port", 5, [0.0, -0.11, -0.03], [0.0, 0.0, 1.0]),
        thruster_document("lift-starboard", 6, [0.0, 0.11, -0.03], [0.0, 0.0, 1.0]),
    ]
    shares = {
        "surge": {1: 1.0, 2: 1.0, 3: 1.0, 4: 1.0},
        "sway": {1: 1.0, 2: -1.0, 3: 1.0, 4: -1.0},
        "heave": {5: 1.0, 6: 1.0},
        "yaw": {1: 0.8, 2: -0.8, 3: -0.8, 4: 0.8},
    }
    controls = [
        {"control": "left-stick-y", "drives": "surge", "reversed": True},
        {"control": "left-stick-x", "drives": "sway"},
        {"control": "right-stick-y", "drives": "heave"},
        {"control": "right-stick-x", "drives": "yaw", "dead_band": 0.06, "cubic_share": 0.4},
    ]
    points = [(-1.0, -9.0, 4.1), (-0.5, -3.2, 1.2), (0.0, 0.0, 0.0), (0.5, 3.9, 1.25), (1.0, 11.0, 4.4)]
    return Documents(
        vehicle_document(thrusters),
        box_document(shares, controls),
        {"heron-50": model_document("heron-50", points)},
    )


# -- documents to values -----------------------------------------------------------------------

_NOT_RESOLVED = ("format", "name", "note", "notes")


def _keyed(rows: list[Document], key: str) -> Document:
    return {
        row[key]: {k: deepcopy(v) for k, v in row.items() if k != key and k not in _NOT_RESOLVED}
        for row in rows
    }


def resolved_of(documents: Documents) -> Document:
    """The resolved object: the vehicle with its box's tables and its models filled in."""
    vehicle, box = documents.vehicle, documents.box
    asked = vehicle["control_box"]
    scheme = box["steering_schemes"][asked["steering_scheme"]]
    thruster_map = box["thruster_maps"][asked["thruster_map"]]
    controls: Document = {}
    for row in scheme["controls"]:
        entry = {k: v for k, v in row.items() if k != "control"}
        controls.setdefault(row["control"], []).append(entry)
    electrical = deepcopy(vehicle["electrical"])
    electrical["standing_loads"] = _keyed(electrical.get("standing_loads", []), "load")
    resolved: Document = {
        "vehicle": vehicle["vehicle"],
        "hull": deepcopy(vehicle["hull"]),
        "housings": _keyed(vehicle["housings"], "housing"),
        "control_box": {"firmware": box["firmware"], "channels": box["channels"], **asked},
        "steering_scheme": {"controls": controls},
        "thruster_map": {
            "shares": {d: {str(c): s for c, s in row.items()} for d, row in thruster_map["shares"].items()},
            "when_saturated": thruster_map["when_saturated"],
        },
        "thrusters": _keyed(vehicle["thrusters"], "thruster"),
        "models": {
            m: {k: deepcopy(v) for k, v in document.items() if k != "model" and k not in _NOT_RESOLVED}
            for m, document in documents.models.items()
        },
        "trim_defaults": {d: t for d, t in vehicle.get("trim_defaults", {}).items() if t != 0},
        "electrical": electrical,
    }
    if vehicle.get("limits"):
        resolved["limits"] = deepcopy(vehicle["limits"])
    return resolved


def configuration_of(documents: Documents) -> Configuration:
    """The typed configuration of those documents, with `resolved` filled in."""
    vehicle, box = documents.vehicle, documents.box
    asked = vehicle["control_box"]
    scheme = box["steering_schemes"][asked["steering_scheme"]]
    thruster_map = box["thruster_maps"][asked["thruster_map"]]
    return Configuration(
        vehicle=vehicle["vehicle"],
        hull=Hull(**vehicle["hull"]),
        housings=tuple(Housing(**{k: v for k, v in h.items() if k != "name"}) for h in vehicle["housings"]),
        control_box=ControlBox(
            asked["box"], box["firmware"], box["channels"], asked["steering_scheme"], asked["thruster_map"]
        ),
        steering_scheme=SteeringScheme(tuple(_entry(row) for row in scheme["controls"])),
        thruster_map=ThrusterMap(
            {d: dict(row) for d, row in thruster_map["shares"].items()}, thruster_map["when_saturated"]
        ),
        thrusters=tuple(_thruster(row) for row in vehicle["thrusters"]),
        models={m: _model(document) for m, document in documents.models.items()},
        trim_defaults=dict(vehicle.get("trim_defaults", {})),
        electrical=_electrical(vehicle["electrical"]),
        limits=dict(vehicle.get("limits", {})),
        resolved=resolved_of(documents),
    )


def _entry(row: Document) -> ControlEntry:
    shape = {k: row[k] for k in ("full_stick", "dead_band", "cubic_share") if k in row}
    return ControlEntry(row["control"], row["drives"], is_reversed=row.get("reversed", False), **shape)


def _thruster(row: Document) -> Thruster:
    sign = -1 if row["polarity"] == "reversed" else 1
    position, direction = tuple(row["position_m"]), tuple(row["thrust_direction"])
    return Thruster(row["thruster"], row["model"], row["channel"], sign, position, direction)


def _model(document: Document) -> ThrusterModel:
    points = tuple(ThrustPoint(**p) for p in sorted(document["points"], key=lambda p: p["command"]))
    return ThrusterModel(document["model"], document["rated_v"], points, document.get("stall_current_a"))


def _electrical(document: Document) -> Electrical:
    return Electrical(
        supply=Supply(**document["supply"]),
        fuse=Fuse(**document["fuse"]),
        leads_resistance_ohm=document.get("leads", {}).get("resistance_ohm", 0.0),
        drivers=Drivers(**document.get("drivers", {})),
        tether=Tether(**document["tether"]),
        standing_loads=tuple(StandingLoad(**row) for row in document.get("standing_loads", [])),
        least_working_v=document.get("least_working_v"),
    )


# -- generated vehicles ------------------------------------------------------------------------


def hundredths(low: float, high: float) -> st.SearchStrategy[float]:
    """Numbers with two decimals: quick to draw, quick to shrink, and what people write in files."""
    return st.integers(round(low * 100), round(high * 100)).map(lambda n: n / 100)


_D = round(math.sqrt(0.5), 4)
DIRECTIONS = (
    [1.0, 0.0, 0.0], [-1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, -1.0, 0.0], [0.0, 0.0, 1.0], [0.0, 0.0, -1.0],
    [_D, _D, 0.0], [_D, -_D, 0.0], [-_D, _D, 0.0], [0.0, _D, _D], [0.0, -_D, _D],
    [0.6, 0.0, 0.8], [0.48, 0.6, 0.64],
)  # fmt: skip


@st.composite
def model_documents(draw: st.DrawFn, model: str = "heron-50", *, is_odd: bool = False) -> Document:
    """A monotone table with both ends; `is_odd` makes both halves mirror each other."""
    forward = draw(_half_table())
    astern = forward if is_odd else draw(_half_table())
    points = [(-c, -t, i) for c, t, i in reversed(astern)] + [(0.0, 0.0, 0.0)] * draw(st.booleans()) + forward
    return model_document(model, points)


@st.composite
def _half_table(draw: st.DrawFn) -> list[tuple[float, float, float]]:
    inner = draw(st.lists(st.integers(1, 19), max_size=3, unique=True).map(sorted))
    commands = [n / 20 for n in inner] + [1.0]
    thrust, current, rows = 0.0, 0.0, []
    for c in commands:
        thrust += draw(st.integers(1, 60)) / 10
        current += draw(st.integers(1, 30)) / 10
        rows.append((c, round(thrust, 1), round(current, 1)))
    return rows


@st.composite
def thruster_rows(
    draw: st.DrawFn, models: tuple[str, ...], *, most: int = 6, channels: int = 8, may_share: bool = True
) -> list[Document]:
    """One to `most` thrusters on channels 1 to `channels`, several on one channel if allowed."""
    count = draw(st.integers(1, most))
    if may_share:
        on = draw(st.lists(st.integers(1, channels), min_size=count, max_size=count))
    else:
        on = draw(st.permutations(range(1, channels + 1)))[:count]
    return [
        thruster_document(
            f"t{n}",
            channel,
            [draw(hundredths(-0.4, 0.4)) for _ in range(3)],
            list(draw(st.sampled_from(DIRECTIONS))),
            model=draw(st.sampled_from(models)),
            polarity=draw(st.sampled_from(("normal", "reversed"))),
        )
        for n, channel in enumerate(on, start=1)
    ]


@st.composite
def share_tables(draw: st.DrawFn, channels: list[int]) -> dict[str, dict[int, float]]:
    """Shares of some demands on some of those channels, not all zero."""
    table = {}
    for demand in draw(st.lists(st.sampled_from(DEMANDS), min_size=1, max_size=6, unique=True)):
        on = draw(st.lists(st.sampled_from(channels), min_size=1, max_size=4, unique=True))
        table[demand] = {c: draw(st.sampled_from((1.0, -1.0, 0.8, -0.6, 0.35, -0.25))) for c in on}
    return table


CONTROL_NAMES = (
    "left-stick-x", "left-stick-y", "right-stick-x", "right-stick-y",
    "left-cluster-top", "left-cluster-bottom", "right-front-bottom", "left-front-bottom",
)  # fmt: skip


@st.composite
def control_rows(draw: st.DrawFn, drives: list[str], *, most: int = 6) -> list[Document]:
    """Controls driving some of those demands or channels; one control may stand in several rows."""
    rows = []
    for _ in range(draw(st.integers(1, most))):
        row: Document = {
            "control": draw(st.sampled_from(CONTROL_NAMES)),
            "drives": draw(st.sampled_from(drives)),
        }
        if draw(st.booleans()):
            row["reversed"] = draw(st.booleans())
            row["full_stick"] = draw(st.sampled_from((1.0, 0.5, 0.7, 0.25)))
            row["dead_band"] = draw(st.sampled_from((0.0, 0.05, 0.12)))
            row["cubic_share"] = draw(st.sampled_from((0.0, 0.3, 1.0)))
        rows.append(row)
    return rows


@st.composite
def electrical_documents(draw: st.DrawFn) -> Document:
    """Supply, fuse, leads, drivers, tether and standing loads in the range of small 12 V vehicles."""
    supply: Document = {
        "kind": draw(st.sampled_from(("battery", "regulated"))),
        "open_circuit_v": draw(hundredths(11.5, 14.0)),
        "internal_resistance_ohm": draw(hundredths(0.0, 0.08)),
    }
    tether = {
        "length_m": draw(st.integers(5, 60)),
        "conductor_area_mm2": draw(st.sampled_from((0.5, 0.75, 1.0, 1.5, 2.5))),
        "carries": draw(st.sampled_from(("motor-pairs", "supply-pair"))),
    }
    return electrical_document(
        supply=supply,
        fuse={"rating_a": draw(st.sampled_from((7.5, 10, 15, 20, 25, 30))), "resistance_ohm": 0.004},
        leads={"resistance_ohm": draw(hundredths(0.0, 0.05))},
        drivers={
            "on_resistance_ohm": draw(hundredths(0.0, 0.12)),
            "channel_limit_a": draw(hundredths(3, 12)),
        },
        tether=tether,
        standing_loads=[{"load": "camera", "current_a": draw(hundredths(0.0, 1.5))}],
    )


@st.composite
def documents(
    draw: st.DrawFn,
    *,
    is_odd: bool = False,
    may_share: bool = True,
    when_saturated: str | None = None,
    most_thrusters: int = 6,
    has_direct: bool = True,
    has_trims: bool = True,
    vary_electrical: bool = False,
) -> Documents:
    """A whole vehicle. Keyword arguments narrow it; every result would validate."""
    models = {m: draw(model_documents(m, is_odd=is_odd)) for m in ("heron-50", "gull-30")}
    thrusters = draw(thruster_rows(tuple(models), most=most_thrusters, may_share=may_share))
    channels = sorted({t["channel"] for t in thrusters})
    shares = draw(share_tables(channels))
    drives = list(shares) + ([f"channel-{c}" for c in channels] if has_direct else [])
    saturated = when_saturated or draw(st.sampled_from(("clip", "scale")))
    box = box_document(shares, draw(control_rows(drives)), when_saturated=saturated)
    vehicle = vehicle_document(thrusters)
    if has_trims and draw(st.booleans()):
        vehicle["trim_defaults"] = {draw(st.sampled_from(list(shares))): draw(hundredths(-0.4, 0.4))}
    if vary_electrical:
        vehicle["electrical"] = draw(electrical_documents())
    used = {t["model"] for t in thrusters}
    return Documents(vehicle, box, {m: d for m, d in models.items() if m in used})


def configurations(**narrowed: Any) -> st.SearchStrategy[Configuration]:
    """Generated configurations; takes the keyword arguments of `documents`."""
    return documents(**narrowed).map(configuration_of)


def stick_positions(configuration: Configuration) -> st.SearchStrategy[dict[str, float]]:
    """Positions for the controls of a configuration's scheme, each within its range."""
    names = sorted({e.control for e in configuration.steering_scheme.entries})
    ranges = {
        n: hundredths(-1.0, 1.0) if "-stick-" in n and n[-1] in "xy" else hundredths(0.0, 1.0) for n in names
    }
    return st.fixed_dictionaries(ranges)


def mirrored(configuration: Configuration) -> Configuration:
    """The same vehicle built port for starboard: y of positions and directions turned round."""
    flipped = tuple(
        replace(
            t,
            position_m=(t.position_m[0], -t.position_m[1], t.position_m[2]),
            thrust_direction=(t.thrust_direction[0], -t.thrust_direction[1], t.thrust_direction[2]),
        )
        for t in configuration.thrusters
    )
    return replace(configuration, thrusters=flipped)
