"""How often the ranking of suspects puts the culprit first, on simulated logbooks.

    PYTHONPATH=tests python tests/benchmarks/suspects.py [--trials 300] [--seed 20260]

A simulated logbook has 30 to 300 dives, many harmless changes of every kind and one culprit that raises
the chance of the symptom from 5 % to 60 %. On the same trials stand two yardsticks: the latest change
before the first fault, and Fisher's exact test alone. A change flown on exactly the same dives as the culprit
cannot be told from it by counting, so a method scores where it puts the culprit's group; ties between
groups count as their middle. In the plain set the symptom is a team's own word, so plausibility says
nothing; in the demand set it names a demand and every value is computed on an invented vehicle.

The formula's constants were chosen on seed 1 (--seed 1); the figures in DEVELOPERS.md are of other seeds.
"""

from __future__ import annotations

import argparse
import random
import statistics
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any

from vehicles import puffin, resolved_of

from rovlog.documents.typed_configuration import configuration
from rovlog.domain.audit.flights import Fault, Flight, Happening, Logbook
from rovlog.domain.audit.flown import AsFlown
from rovlog.domain.audit.ranking import Ranking, rank_suspects
from rovlog.domain.audit.statistics import Counts, fisher_greater
from rovlog.domain.audit.suspects import suspects_in
from rovlog.domain.drift.leaves import value_at, with_value
from rovlog.domain.drift.reach import Physics

RARE, OFTEN = 0.05, 0.60
"""Chance of the symptom on a dive without the culprit in force, and with it."""

PEOPLE = ("ines", "tomas", "yuki", "bram")
SITES = ("lido", "quarry", "old-dock", "reservoir")
EVENTS = ("housing-opened", "connector-parted", "knocked", "supply-swapped", "thruster-touched")


@dataclass
class Trial:
    """One simulated logbook; `culprit` gives the positions of the dives it was in force on."""

    logbook: Logbook
    symptom: str
    culprit: frozenset[int]
    physics: Physics | None = None


@dataclass
class _Plan:
    """What is in force on each dive, before it is known who is to blame."""

    resolved: list[Mapping[str, Any]]
    before: list[list[Happening]]
    crew: list[dict[str, tuple[str, ...]]]
    place: list[dict[str, str]]
    days: list[str]
    steps: list[tuple[str, Any, int]] = field(default_factory=list)


def harmless_values(base: Mapping[str, Any], rng: random.Random) -> tuple[str, Any]:
    """A value that somebody might change, drawn at random: pointer and new value."""
    thruster = rng.choice(sorted(base["thrusters"]))
    control = rng.choice(sorted(base["steering_scheme"]["controls"]))
    demand = rng.choice(sorted(base["thruster_map"]["shares"]))
    channel = rng.choice(sorted(base["thruster_map"]["shares"][demand]))
    return rng.choice(
        [
            ("/hull/mass_kg", round(rng.uniform(6.0, 6.5), 3)),
            ("/electrical/tether/length_m", rng.randint(15, 60)),
            ("/electrical/fuse/rating_a", rng.choice([15, 25, 30])),
            ("/electrical/standing_loads/camera/current_a", round(rng.uniform(0.2, 1.5), 2)),
            (f"/trim_defaults/{rng.choice(['heave', 'yaw', 'surge'])}", round(rng.uniform(-0.2, 0.2), 2)),
            (f"/limits/{rng.choice('abcdefgh')}", rng.randint(1, 99)),
            (f"/thrusters/{thruster}/position_m", [round(rng.uniform(-0.3, 0.3), 2) for _ in range(3)]),
            (f"/thrusters/{thruster}/polarity", rng.choice(["normal", "reversed"])),
            (f"/steering_scheme/controls/{control}/0/full_stick", round(rng.uniform(0.4, 0.9), 2)),
            (f"/steering_scheme/controls/{control}/0/dead_band", round(rng.uniform(0.0, 0.1), 2)),
            (f"/steering_scheme/controls/{control}/0/reversed", rng.choice([True, False])),
            (f"/thruster_map/shares/{demand}/{channel}", round(rng.uniform(-1, 1), 2)),
        ]
    )


def _plan(rng: random.Random, base: Mapping[str, Any]) -> _Plan:
    count = rng.randint(30, 300)
    days, day = [], 0
    while len(days) < count:
        day += rng.randint(1, 9)
        days += [f"{2020 + day // 336}-{1 + day % 336 // 28:02}-{1 + day % 28:02}"] * rng.randint(1, 4)
    at: dict[int, list[tuple[str, Any]]] = {}
    for _ in range(rng.randint(15, 40)):
        start = rng.randrange(1, count)
        pointer, value = harmless_values(base, rng)
        at.setdefault(start, []).append((pointer, value))
        if rng.random() < 0.3 and start + 1 < count:
            at.setdefault(rng.randrange(start + 1, count), []).append((pointer, value_at(base, pointer)))
    resolved, state, steps = [], base, []
    for position in range(count):
        for pointer, value in at.get(position, []):
            state = with_value(state, pointer, value)
            steps.append((pointer, value, position))
        resolved.append(state)
    before: list[list[Happening]] = [[] for _ in range(count)]
    for _ in range(rng.randint(4, 12)):
        position = rng.randrange(1, count)
        slug = rng.choice(EVENTS)
        before[position].append(Happening("event", slug, f"work-{position}", days[position], text=slug))
    crew = [{"pilot": (rng.choice(PEOPLE[:3]),), "tender": (rng.choice(PEOPLE[1:]),)} for _ in range(count)]
    place = [{"site": rng.choice(SITES)} for _ in range(count)]
    return _Plan(resolved, before, crew, place, days[:count], steps)


def _logbook(plan: _Plan, symptom: str, shows: list[bool]) -> Logbook:
    flights = []
    for i, resolved in enumerate(plan.resolved):
        dive = f"dive-{i:03}"
        at = f"{plan.days[i]}T10:00:00+00:00"
        faults = (Fault(dive, f"f{i}", at, symptom),) if shows[i] else ()
        flights.append(
            Flight(dive, "puffin", i + 1, at, plan.days[i], AsFlown(dive, resolved), {}, plan.crew[i],
                   plan.place[i], faults, tuple(plan.before[i]), (), True)
        )  # fmt: skip
    return Logbook(tuple(flights))


def simulate(rng: random.Random, *, is_about_a_demand: bool) -> Trial:
    """One trial. A culprit is in force on at least three dives and not on at least three others."""
    base = resolved_of(puffin())
    base.setdefault("limits", {}).update(dict.fromkeys("abcdefgh", 0))
    while True:
        plan = _plan(rng, base)
        quiet = _logbook(plan, "", [False] * len(plan.resolved))
        choices = [s for s in suspects_in(quiet) if 3 <= len(s.in_force) <= len(plan.resolved) - 3]
        symptom, physics = "odd-noise", None
        if is_about_a_demand:
            symptom, choices = _demand_symptom(rng, choices)
            physics = Physics(configuration)
        if not choices:
            continue
        culprit = rng.choice(choices)
        shows = [rng.random() < (OFTEN if i in culprit.in_force else RARE) for i in range(len(plan.resolved))]
        if any(shows[i] for i in culprit.in_force):
            return Trial(_logbook(plan, symptom, shows), symptom, culprit.in_force, physics)


def _demand_symptom(rng: random.Random, choices: list[Any]) -> tuple[str, list[Any]]:
    """A symptom that a culprit among the values could really bring, by what the value means.

    It is drawn without the program's own computation: a thruster's polarity or a control's sense turns
    round what it feeds, a share or a full stick weakens its demand.
    """
    feeds = {"bow": ("surge", "sway", "yaw"), "stern": ("surge", "sway", "yaw"), "lift": ("heave",)}
    drives = {
        "left-stick-y": "surge",
        "left-stick-x": "sway",
        "right-stick-y": "heave",
        "right-stick-x": "yaw",
    }
    possible = []
    for suspect in choices:
        path = suspect.pointer.split("/")
        before, after = suspect.before, suspect.after
        if suspect.pointer.endswith("/polarity") and after == "reversed":
            possible.append((f"{rng.choice(feeds[path[2].split('-')[0]])}-weak", suspect))
        elif suspect.pointer.endswith("/reversed") and (before is True) != (after is True):
            possible.append((f"{drives[path[3]]}-reversed", suspect))
        elif suspect.pointer.endswith("/full_stick") and _size(after) < _size(before):
            possible.append((f"{drives[path[3]]}-weak", suspect))
        elif suspect.pointer.startswith("/thruster_map/shares/") and _size(after) < 0.7 * _size(before):
            possible.append((f"{path[3]}-weak", suspect))
    if not possible:
        return "", []
    symptom, suspect = rng.choice(possible)
    return symptom, [suspect]


def _size(value: Any) -> float:
    """A share's size; an absent full stick is full."""
    return abs(float(value)) if isinstance(value, int | float) else 1.0


Ranks = Callable[[Trial], float]


def rank_of(scores: Mapping[frozenset[int], float], culprit: frozenset[int]) -> float:
    """The culprit's rank among groups, from 1; ties count as their middle."""
    own = scores[culprit]
    above = sum(s > own + 1e-15 for s in scores.values())
    level = sum(abs(s - own) <= 1e-15 for s in scores.values())
    return above + (level + 1) / 2


def by_ranking(trial: Trial) -> float:
    """The program's ranking."""
    found: Ranking = rank_suspects(trial.logbook, trial.symptom, (), trial.physics)
    return rank_of({r.suspect.in_force: r.score for r in found.ranked}, trial.culprit)


def by_fisher(trial: Trial) -> float:
    """Fisher's exact test alone."""
    shows = [bool(f.faults) for f in trial.logbook.flights]
    scores = {}
    for suspect in suspects_in(trial.logbook):
        a = sum(shows[i] for i in suspect.in_force)
        b = len(suspect.in_force) - a
        scores[suspect.in_force] = -fisher_greater(Counts(a, b, sum(shows) - a, len(shows) - sum(shows) - b))
    return rank_of(scores, trial.culprit)


def by_latest(trial: Trial) -> float:
    """The latest change that came in at or before the first fault."""
    first = next(i for i, f in enumerate(trial.logbook.flights) if f.faults)
    scores = {
        s.in_force: float(s.since if s.since <= first else -s.since)
        for s in suspects_in(trial.logbook)
        if s.kind in ("value", "part", "event")
    }
    if trial.culprit not in scores:
        return float(len(scores) + 1)
    return rank_of(scores, trial.culprit)


METHODS: dict[str, Ranks] = {
    "latest change before the first fault": by_latest,
    "Fisher's test alone": by_fisher,
    "the ranking": by_ranking,
}


def main() -> None:
    """Run both sets and print each method's share of first places and mean reciprocal rank."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--trials", type=int, default=300)
    parser.add_argument("--seed", type=int, default=20260)
    args = parser.parse_args()
    for is_about_a_demand in (False, True):
        rng = random.Random(f"{args.seed}-{is_about_a_demand}")
        trials = [simulate(rng, is_about_a_demand=is_about_a_demand) for _ in range(args.trials)]
        print(
            "demand set" if is_about_a_demand else "plain set", f"({args.trials} logbooks, seed {args.seed})"
        )
        for name, method in METHODS.items():
            ranks = [method(t) for t in trials]
            first = sum(r == 1 for r in ranks) / len(ranks)
            mean = statistics.fmean(1 / r for r in ranks)
            print(f"  {name:38} first {first:6.1%}   mean reciprocal rank {mean:.3f}")


if __name__ == "__main__":
    main()
