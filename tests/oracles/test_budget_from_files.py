"""The whole budget from files against brute force over the sticks and SciPy's root finder, end to end.

Nothing of the program is used on the other side: the files are read by PyYAML, shaped, mixed and
looked up with numpy. Three controls allow a grid so dense that nothing hides between its places.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import numpy as np
import pytest
import yaml
from calling import CommandLine
from scipy.optimize import fsolve
from three_thrusters import BOX, FILES, MODEL, VEHICLE, three_thrusters

pytestmark = pytest.mark.system("git")

DEMANDS = ("surge", "sway", "heave", "roll", "pitch", "yaw")
CONTROLS = ("left-stick-y", "left-stick-x", "right-stick-y")
STEPS = 81
COPPER = 1 / 58.0  # ohm mm2/m at 20 degrees C, IEC 60028


class Files:
    """The three files as PyYAML reads them, and what they say by numpy."""

    def __init__(self, root: Path) -> None:
        self.vehicle, self.box, self.model = (
            yaml.safe_load((root / name).read_text(encoding="utf-8")) for name in (VEHICLE, BOX, MODEL)
        )
        points = sorted((p["command"], p["thrust_n"], p["current_a"]) for p in self.model["points"])
        self.commands = np.array([c for c, _, _ in points] + [0.0])
        order = np.argsort(self.commands)
        self.commands = self.commands[order]
        self.current = np.array([i for _, _, i in points] + [0.0])[order]

    def demand(self, sticks: dict[str, np.ndarray]) -> dict[str, np.ndarray]:
        """Shaped, added up, trimmed and clipped."""
        total = {d: np.zeros(()) + self.vehicle.get("trim_defaults", {}).get(d, 0.0) for d in DEMANDS}
        for row in self.box["steering_schemes"][1]["controls"]:
            x, b, c = sticks[row["control"]], row.get("dead_band", 0.0), row.get("cubic_share", 0.0)
            y = np.where(np.abs(x) <= b, 0.0, np.sign(x) * (np.abs(x) - b) / (1 - b))
            y = ((1 - c) * y + c * y**3) * row.get("full_stick", 1.0) * (-1 if row.get("reversed") else 1)
            total[row["drives"]] = total[row["drives"]] + y
        return {d: np.clip(v, -1.0, 1.0) for d, v in total.items()}

    def channels(self, demand: dict[str, np.ndarray]) -> dict[int, np.ndarray]:
        """Mixed by the map, then saturated."""
        table = self.box["thruster_maps"][1]
        u: dict[int, Any] = {c: 0.0 for c in range(1, self.box["channels"] + 1)}
        for name, shares in table["shares"].items():
            for c, share in shares.items():
                u[c] = u[c] + share * demand[name]
        if table["when_saturated"] == "clip":
            return {c: np.clip(v, -1.0, 1.0) for c, v in u.items()}
        most = np.maximum(1.0, np.max(np.broadcast_arrays(*[np.abs(v) for v in u.values()]), axis=0))
        return {c: v / most for c, v in u.items()}

    def standing(self) -> float:
        return sum(load["current_a"] for load in self.vehicle["electrical"]["standing_loads"])

    def total(self, sticks: dict[str, np.ndarray]) -> np.ndarray:
        """Nominal current at positions of the sticks, ampere."""
        u = self.channels(self.demand(sticks))
        drawn = [
            np.interp(self.sign(t) * u[t["channel"]], self.commands, self.current)
            for t in self.vehicle["thrusters"]
        ]
        return self.standing() + np.sum(np.broadcast_arrays(*drawn), axis=0)

    @staticmethod
    def sign(thruster: dict[str, Any]) -> int:
        return -1 if thruster["polarity"] == "reversed" else 1

    def motor(self, side: int, v: float) -> float:
        """Motor current I(c) / c at an effective voltage; the last segment is carried on to 1.25."""
        c = max(v, 1e-9) / self.model["rated_v"]
        half = self.commands * side >= 0
        x, y = np.abs(self.commands[half]), self.current[half]
        order = np.argsort(x)
        x, y = x[order], y[order]
        slope = (y[-1] - y[-2]) / (x[-1] - x[-2])
        current = np.interp(c, x, y) if c <= 1 else y[-1] + slope * (c - 1)
        return float(current / c)

    def sag(self, u: dict[int, float]) -> dict[str, Any]:
        """Box voltage and effective voltages by fsolve; one thruster a channel."""
        e = self.vehicle["electrical"]
        pair = 2 * e["tether"]["length_m"] * COPPER / e["tether"]["conductor_area_mm2"]
        is_pairs = e["tether"]["carries"] == "motor-pairs"
        source = e["supply"]["internal_resistance_ohm"]
        path = e["fuse"]["resistance_ohm"] + e["leads"]["resistance_ohm"] + (0 if is_pairs else pair)
        driver = e["drivers"]["on_resistance_ohm"] + (pair if is_pairs else 0)
        turning = [t for t in self.vehicle["thrusters"] if abs(u[t["channel"]]) > 1e-9]
        duty = np.array([abs(u[t["channel"]]) for t in turning])
        sides = [self.sign(t) * (1 if u[t["channel"]] > 0 else -1) for t in turning]

        v0 = e["supply"]["open_circuit_v"]
        still: set[int] = set()

        def currents(y: np.ndarray) -> np.ndarray:
            """Of a motor that stands still driver and pair alone hold the current."""
            return np.array(
                [
                    duty[k] * y[0] / driver if k in still else self.motor(side, y[1 + k])
                    for k, side in enumerate(sides)
                ]
            )

        def excess(y: np.ndarray) -> np.ndarray:
            motors = currents(y)
            box = v0 - (source + path) * (self.standing() + duty @ motors)
            return np.concatenate([[y[0] - box], y[1:] - duty * y[0] + motors * driver])

        while True:
            start = np.concatenate([[v0], 0.9 * duty * v0])
            y, _, _, _ = fsolve(excess, start, xtol=1e-13, full_output=True)
            assert np.abs(excess(y)).max() < 1e-9
            below = {k for k in range(len(sides)) if y[1 + k] < -1e-9}
            if not below:
                break
            still |= below  # no duty turns it: its table asks for more at standstill than it is given
        current = self.standing() + float(duty @ currents(y))
        return {
            "current_a": current,
            "box_v": y[0],
            "supply_v": v0 - source * current,
            "thruster_v": {t["thruster"]: None if k in still else y[1 + k] for k, t in enumerate(turning)},
        }


VARIANTS: dict[str, list[tuple[str, str, str]]] = {
    "as written": [],
    "scaled": [(BOX, "when_saturated: clip", "when_saturated: scale")],
    "electronics on the vehicle": [(VEHICLE, "carries: motor-pairs", "carries: supply-pair")],
    "one stick on two demands' channels": [
        (BOX, "yaw: {1: 0.9, 2: -0.9}", "yaw: {1: 0.7, 2: -0.7, 3: 0.4}"),
        (BOX, "heave: {3: 1}", "heave: {1: 0.5, 2: 0.3, 3: 1}"),
    ],
    "scaled, trimmed hard, sticks short of full": [
        (BOX, "when_saturated: clip", "when_saturated: scale"),
        (BOX, "heave: {3: 1}", "heave: {1: -0.6, 2: 0.4, 3: 1}"),
        (BOX, "reversed: true, dead_band: 0.05", "reversed: true, full_stick: 0.7, dead_band: 0.05"),
        (VEHICLE, "{heave: 0.06, surge: 0.03}", "{heave: 0.35, surge: -0.2, yaw: 0.15}"),
    ],
}


def written(call: CommandLine, changes: list[tuple[str, str, str]]) -> Files:
    texts = dict(FILES)
    for name, old, new in changes:
        assert old in texts[name]
        texts[name] = texts[name].replace(old, new)
    for name, text in texts.items():
        (call.root / name).write_text(text, encoding="utf-8")
    return Files(call.root)


@pytest.fixture(scope="module")
def call(tmp_path_factory: pytest.TempPathFactory) -> CommandLine:
    return three_thrusters(tmp_path_factory.mktemp("oracle") / "book")


@pytest.mark.parametrize("variant", VARIANTS)
def test_the_worst_case_is_that_of_brute_force_over_the_sticks(call: CommandLine, variant: str) -> None:
    files = written(call, VARIANTS[variant])
    nominal = call.json("budget", "smew", status=None)["nominal"]
    axis = np.linspace(-1.0, 1.0, STEPS)
    grid = dict(zip(CONTROLS, np.meshgrid(axis, axis, axis, sparse=True), strict=True))
    totals = files.total(grid)
    place = np.unravel_index(np.argmax(totals), totals.shape)
    greatest = float(totals[place])
    # meshgrid swaps the first two axes
    best = {CONTROLS[0]: axis[place[1]], CONTROLS[1]: axis[place[0]], CONTROLS[2]: axis[place[2]]}
    for n in range(40):  # climb from the best place of the grid, with a step that shrinks
        step = 2.0 / STEPS * 0.8**n
        for name in CONTROLS:
            tried = [{**best, name: float(np.clip(best[name] + d, -1, 1))} for d in (-step, 0.0, step)]
            best = max(tried, key=lambda s: float(files.total({k: np.asarray(v) for k, v in s.items()})))
        greatest = max(greatest, float(files.total({k: np.asarray(v) for k, v in best.items()})))
    assert not nominal["at_most"]
    assert nominal["worst_case_current_a"] >= greatest - 1e-9
    assert nominal["worst_case_current_a"] == pytest.approx(greatest, rel=1e-4)
    named = {c: np.asarray(nominal["sticks"].get(c, 0.0)) for c in CONTROLS}
    assert float(files.total(named)) == pytest.approx(nominal["worst_case_current_a"], rel=1e-9)


@pytest.mark.parametrize("variant", VARIANTS)
def test_the_operating_point_is_that_of_a_root_finder(call: CommandLine, variant: str) -> None:
    files = written(call, VARIANTS[variant])
    budget = call.json("budget", "smew", status=None)
    for found, sticks in (
        (budget["with_sag"], budget["nominal"]["sticks"]),
        (budget["with_sag"]["full_ahead"], budget["with_sag"]["full_ahead"]["sticks"]),
    ):
        demand = files.demand({c: np.asarray(sticks.get(c, 0.0)) for c in CONTROLS})
        expected = files.sag({c: float(u) for c, u in files.channels(demand).items()})
        for name in ("current_a", "box_v", "supply_v"):
            assert found[name] == pytest.approx(expected[name], rel=1e-7), name
        for name, v in expected["thruster_v"].items():
            assert (found["thruster_v"][name] is None) == (v is None), name
            assert v is None or found["thruster_v"][name] == pytest.approx(v, abs=1e-6), name


@pytest.mark.parametrize("seed", range(4))
def test_responses_are_those_of_numpy_at_any_sticks(call: CommandLine, seed: int) -> None:
    files = written(call, list(VARIANTS.values())[seed])
    rng = np.random.default_rng(seed)
    sticks = {c: float(np.round(rng.uniform(-1, 1), 3)) for c in CONTROLS}
    words = [w for c, x in sticks.items() for w in ("--stick", f"{c}={x}")]
    found = call.json("response", "smew", *words)
    demand = files.demand({c: np.asarray(x) for c, x in sticks.items()})
    channels = files.channels(demand)
    for name in ("surge", "heave", "yaw"):
        assert found["demands"][name] == pytest.approx(float(demand[name]), abs=1e-12)
    for t in files.vehicle["thrusters"]:
        u = files.sign(t) * float(channels[t["channel"]])
        current = found["thrusters"][t["thruster"]]["current_a"]
        assert current == pytest.approx(float(np.interp(u, files.commands, files.current)), abs=1e-12)


def test_what_a_clamp_meter_is_beside_is_the_root_finder_s_figure(call: CommandLine) -> None:
    files = written(call, [])
    work = call.json("work", "start", "smew", "--by", "aino", "--purpose", "clamp meter")["work"]
    call("work", "reading", work, "clamp-meter", "current_a=8.4", "surge=1", "yaw=0.3", "--by", "aino")
    row = call.json("budget", "smew", status=None)["measured"][0]
    trims = files.vehicle["trim_defaults"]
    demand = {d: np.asarray({**trims, "surge": 1.0, "yaw": 0.3}.get(d, 0.0)) for d in DEMANDS}
    expected = files.sag({c: float(u) for c, u in files.channels(demand).items()})["current_a"]
    assert row["computed_a"] == pytest.approx(expected, rel=1e-7)
    assert row["measured_a"] == 8.4
    assert row["ratio"] == pytest.approx(8.4 / expected, rel=1e-7)
    assert row["dive"] == work
    scaled = call.json("bench", "scale", "loach-30", "--from", work)
    for point in files.model["points"]:
        point["current_a"] *= scaled["factor"]
    (call.root / MODEL).write_text(yaml.safe_dump(files.model), encoding="utf-8")
    again = Files(call.root)
    # with the proposed table the root finder gives what the meter read
    assert again.sag({c: float(u) for c, u in again.channels(demand).items()})["current_a"] == pytest.approx(
        8.4, abs=1e-4
    )
