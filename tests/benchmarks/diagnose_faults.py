"""How often the diagnosis names a planted fault, how many pushes it asks for, and how long it takes.

    PYTHONPATH=.:tests python tests/benchmarks/diagnose_faults.py [--trials 300] [--seed 1]

Vehicles of 2 to 8 thrusters in common shapes, one or two faults planted by brute force, 3 % of the
reports wrong. Beside the diagnosis with its own priors stands the same with the simulation's priors
(no other rule of decision can do better on average). "first" is the share of trials with the planted
fault in the first group, "Brier" the mean of the squared errors summed over all groups.
"""

from __future__ import annotations

import argparse
import random
import time
from dataclasses import dataclass, replace

from planted_faults import what_happens
from vehicles import configuration_of, puffin

from rovlog.domain.diagnosis.diagnose import Diagnosis, DiagnosisSettings, diagnose
from rovlog.domain.diagnosis.edits import Explanation, Priors, considered_controls, explanations, single_edits
from rovlog.domain.diagnosis.observation import Observation, observation
from rovlog.domain.diagnosis.pushes import considered_pushes
from rovlog.domain.vehicle import Configuration, ControlEntry, SteeringScheme, Thruster, ThrusterMap

MISREPORT = 0.03
TRUE_PRIORS = Priors(none=0.0, one=2 / 3, two=1 / 3, other=0.0)
OWN = DiagnosisSettings()
EXACT = DiagnosisSettings(priors=TRUE_PRIORS)
D = 0.7071


@dataclass(frozen=True)
class Case:
    """One vehicle with its box's tables."""

    configuration: Configuration
    schemes: dict[int, SteeringScheme]
    maps: dict[int, ThrusterMap]


def shapes() -> dict[str, tuple[list[tuple[tuple[float, ...], tuple[float, ...]]], dict[str, list[float]]]]:
    """Position and direction of each thruster, and the shares of each demand in the same order."""
    axial = [((-0.2, -0.1, 0.0), (1.0, 0.0, 0.0)), ((-0.2, 0.1, 0.0), (1.0, 0.0, 0.0))]
    plan = [
        ((x, y, 0.0), (D, -D if x * y > 0 else D, 0.0))
        for x, y in ((0.2, -0.1), (0.2, 0.1), (-0.2, 0.1), (-0.2, -0.1))
    ]
    down = [((0.1, -0.1, 0.0), (0.0, 0.0, 1.0)), ((0.1, 0.1, 0.0), (0.0, 0.0, 1.0)),
            ((-0.1, -0.1, 0.0), (0.0, 0.0, 1.0)), ((-0.1, 0.1, 0.0), (0.0, 0.0, 1.0))]  # fmt: skip
    side = [((0.0, 0.0, 0.0), (0.0, 1.0, 0.0))]
    vector = {"surge": [1.0, 1.0, 1.0, 1.0], "sway": [1.0, -1.0, 1.0, -1.0], "yaw": [1.0, -1.0, -1.0, 1.0]}

    def more(
        table: dict[str, list[float]], before: int, heave: int, extra: dict[str, list[float]] | None = None
    ):
        wide = {d: row + [0.0] * heave for d, row in table.items()}
        wide["heave"] = [0.0] * before + [1.0] * heave
        return wide | (extra or {})

    two = {"surge": [1.0, 1.0], "yaw": [1.0, -1.0]}
    return {
        "two axials": (axial, two),
        "two axials, one vertical": (axial + down[:1], more(two, 2, 1)),
        "two axials, two verticals": (axial + down[:2], more(two, 2, 2, {"roll": [0.0, 0.0, -1.0, 1.0]})),
        "axials, vertical, lateral": (
            axial + down[:1] + side,
            {"surge": [1, 1, 0, 0], "yaw": [1, -1, 0, 0], "heave": [0, 0, 1, 0], "sway": [0, 0, 0, 1]},
        ),
        "four in plan": (plan, vector),
        "four in plan, one vertical": (plan + down[:1], more(vector, 4, 1)),
        "four in plan, two verticals": (plan + down[:2], more(vector, 4, 2, {"roll": [0, 0, 0, 0, -1, 1]})),
        "four in plan, three verticals": (
            plan + down[:3],
            more(vector, 4, 3, {"pitch": [0, 0, 0, 0, -1, -1, 1]}),
        ),
        "four in plan, four verticals": (
            plan + down,
            more(vector, 4, 4, {"roll": [0, 0, 0, 0, -1, 1, -1, 1], "pitch": [0, 0, 0, 0, -1, -1, 1, 1]}),
        ),
    }


CONTROLS = {
    "surge": "left-stick-y", "sway": "left-stick-x", "heave": "right-stick-y",
    "yaw": "right-stick-x", "roll": "left-front-top", "pitch": "right-front-top",
}  # fmt: skip


def made(rng: random.Random) -> Case:
    """A vehicle of a random shape; sometimes two verticals on one channel, or a control per thruster."""
    layout, table = shapes()[rng.choice(list(shapes()))]
    channels = list(range(1, len(layout) + 1))
    if len(layout) >= 4 and rng.random() < 0.2 and "roll" not in table and "pitch" not in table:
        verticals = [i for i, (_, e) in enumerate(layout) if e[2]]
        channels = [min(v + 1 for v in verticals) if i in verticals else c for i, c in enumerate(channels)]
    thrusters = tuple(
        Thruster(f"t{i}", "heron-50", c, rng.choice((1, 1, -1)), r, e)
        for i, ((r, e), c) in enumerate(zip(layout, channels, strict=True), start=1)
    )
    # The map makes up for the polarity of the first thruster on each channel, as builders do.
    sign = {t.channel: t.sign for t in reversed(thrusters)}
    shares = {
        d: {c: s * sign[c] for c, s in zip(channels, row, strict=True) if s} for d, row in table.items()
    }
    entries = [ControlEntry(CONTROLS[d], d, 1.0, 0.05, 0.0, d == "surge") for d in shares]
    if rng.random() < 0.15:
        names = ("left-stick-y", "right-stick-y", "left-stick-x", "right-stick-x", "left-front-bottom",
                 "right-front-bottom", "left-front-top", "right-front-top")  # fmt: skip
        driven = sorted(set(channels))
        entries = [ControlEntry(names[i], f"channel-{c}") for i, c in enumerate(driven)]
    scheme = SteeringScheme(tuple(entries))
    configuration = replace(
        configuration_of(puffin()), thrusters=thrusters, steering_scheme=scheme,
        thruster_map=ThrusterMap(shares, rng.choice(("clip", "scale"))), trim_defaults={},
    )  # fmt: skip
    schemes = {2: scheme}
    for number in range(3, 3 + rng.choice((0, 1, 2))):
        used = [e.control for e in entries]
        rng.shuffle(used)
        schemes[number] = SteeringScheme(
            tuple(replace(e, control=c) for e, c in zip(entries, used, strict=True))
        )
    maps = {5: configuration.thruster_map}
    for number in range(6, 6 + rng.choice((0, 1, 2))):
        turned = {d: {c: s * rng.choice((1, 1, -1)) for c, s in row.items()} for d, row in shares.items()}
        maps[number] = ThrusterMap(turned, "clip")
    return Case(configuration, schemes, maps)


def planted(case: Case, rng: random.Random) -> Explanation:
    """One fault (two in three) or two, drawn as the simulation's priors say."""
    every, weights = explanations(single_edits(case.configuration, case.schemes, case.maps), TRUE_PRIORS)
    return rng.choices(every, weights)[0]


def reported(
    case: Case, edits: Explanation, push: dict[str, float], rng: random.Random, unseen: float
) -> Observation:
    """What the observer writes down."""
    words = what_happens(case.configuration, case.schemes, case.maps, edits, push)
    for thruster, word in words.items():
        if rng.random() < unseen:
            words[thruster] = "unseen"
        elif rng.random() < MISREPORT:
            words[thruster] = rng.choice([w for w in ("ahead", "astern", "still") if w != word])
    return observation(case.configuration, push, words)


class Score:
    """Adds up one condition."""

    def __init__(self) -> None:
        """Start at nothing."""
        self.trials = self.first = self.pushes = 0
        self.brier = 0.0

    def add(self, found: Diagnosis, edits: Explanation, pushes: int) -> None:
        """Count one trial."""
        self.trials += 1
        self.pushes += pushes
        hits = [r for r in found.ranked if edits == r.edits or edits in r.same_as]
        self.first += hits == [found.ranked[0]]
        self.brier += sum((r.posterior - (r in hits)) ** 2 for r in found.ranked)

    def text(self) -> str:
        """The figures."""
        n = self.trials
        return f"first {self.first / n:6.1%}   Brier {self.brier / n:.3f}   pushes {self.pushes / n:.1f}"


def main() -> None:
    """Run all conditions and print them."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--trials", type=int, default=300)
    parser.add_argument("--seed", type=int, default=1)
    args = parser.parse_args()
    scores = {
        (c, who): Score()
        for c in ("all pushes", "half, 30 % unseen", "own choice")
        for who in ("own priors", "exact")
    }
    slowest = 0.0
    for trial in range(args.trials):
        rng = random.Random(f"{args.seed}-{trial}")
        case = made(rng)
        edits = planted(case, rng)
        controls = considered_controls(case.configuration, case.schemes)
        singles = [dict(p) for p in considered_pushes(controls) if len(p) == 1]
        everything = [reported(case, edits, p, rng, 0.0) for p in singles]
        half = [reported(case, edits, p, rng, 0.3) for p in rng.sample(singles, (len(singles) + 1) // 2)]
        for who, settings in (("own priors", OWN), ("exact", EXACT)):
            for condition, seen in (("all pushes", everything), ("half, 30 % unseen", half)):
                start = time.perf_counter()
                found = diagnose(case.configuration, case.schemes, case.maps, seen, settings=settings)
                slowest = max(slowest, time.perf_counter() - start)
                scores[condition, who].add(found, edits, len(seen))
            chosen: list[Observation] = []
            again = random.Random(f"{args.seed}-{trial}-choice")
            while True:
                found = diagnose(case.configuration, case.schemes, case.maps, chosen, settings=settings)
                if found.next_push is None or len(chosen) >= 30:
                    break
                chosen.append(reported(case, edits, dict(found.next_push.push), again, 0.0))
            scores["own choice", who].add(found, edits, len(chosen))
    for (condition, who), score in scores.items():
        print(f"{condition:<20}{who:<12}{score.text()}")
    print(f"slowest diagnosis with its proposal: {slowest * 1e3:.0f} ms")


if __name__ == "__main__":
    main()
