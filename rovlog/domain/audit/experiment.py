"""The next experiment: the single change whose return is expected to tell the most."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Literal

from rovlog.domain.audit.evidence import about
from rovlog.domain.audit.suspects import Suspect
from rovlog.values import dataclass

BENCH_ERROR = 0.03
"""Chance that a function test on the bench is misread (project default, as in the diagnosis)."""

NONE_ON_BENCH = 0.5
"""Chance that a function test shows the symptom if none of the suspects is to blame (project default)."""

BENCH_POINTERS = ("/thrusters", "/thruster_map", "/steering_scheme", "/control_box")
"""Values whose effect a function test shows without water."""

BENCH_EVENTS = ("work", "connector-parted", "housing-opened", "thruster-touched", "knocked", "tether-changed")
"""Events whose effect on the wiring a function test shows without water."""

CONSIDERED = 12
"""Suspects considered for the experiment, the best first; more would hardly be chosen."""


@dataclass(frozen=True, slots=True)
class Experiment:
    """What to put back and where to look; `expected_bits` is the expected drop of the entropy.

    `deed` is the single change alone, `text` with where to look. `if_to_blame` is the chance that the
    symptom still shows afterwards if the change is to blame, `if_not` if it is not.
    """

    what: str
    kind: str
    pointer: str
    where: Literal["bench", "water"]
    text: str
    expected_bits: float
    deed: str = ""
    if_to_blame: float = 0.0
    if_not: float = 1.0


@dataclass(frozen=True, slots=True)
class Candidate:
    """A suspect as the experiment sees it: its score, and the symptom's rates with it and without.

    `fault` is the fault of wiring by which it would bring the symptom, "" where none is computed.
    """

    suspect: Suspect
    score: float
    rate_in_force: float
    rate_otherwise: float
    fault: str = ""


def next_experiment(
    symptom: str | None, candidates: Sequence[Candidate], none: tuple[float, float], last_dive: int
) -> Experiment | None:
    """The best single return; None where no suspect can be put back.

    A suspect can be put back if it was in force on the last dive; people and places can always be
    changed. Work as a whole is no single change where what was done in it is on record. Without the
    culprit the symptom shows at the lower rate; with another change put back, the culprit is still in
    force. On the bench one function test stands for a dive. `none` gives the score of "none of these" and
    the symptom's rate on all dives, which then goes on whatever is put back; a function test is taken to
    show it or not, evenly.
    """
    considered = candidates[:CONSIDERED]
    best: Experiment | None = None
    for candidate in considered:
        if not _can_be_put_back(candidate.suspect, last_dive) or _is_told_apart(candidate, candidates):
            continue
        where: Literal["bench", "water"] = "bench" if _shows_on_bench(symptom, candidate.suspect) else "water"
        bits = _expected_bits(candidate, considered, none, is_bench=where == "bench")
        if best is None or bits > best.expected_bits + 1e-9:
            s, deed = candidate.suspect, _deed(candidate)
            low, high = _rates(candidate, is_bench=where == "bench")
            text = f"{deed}; {LOOKS[where]}"
            best = Experiment(s.what, s.kind, s.pointer, where, text, round(bits, 4), deed, low, high)
    return best


def _expected_bits(
    tried: Candidate, considered: Sequence[Candidate], none: tuple[float, float], *, is_bench: bool
) -> float:
    prior = {id(c): c.score for c in considered}
    shows: dict[int, float] = {}
    for c in considered:
        low, high = _rates(c, is_bench=is_bench)
        shows[id(c)] = low if c is tried else high
    rest = max(none[0], 1.0 - sum(prior.values()))
    rest_shows = NONE_ON_BENCH if is_bench else none[1]
    rows = [*((prior[k], shows[k]) for k in prior), (rest, rest_shows)]
    whole = sum(p for p, _ in rows)
    rows = [(p / whole, s) for p, s in rows]
    chance = sum(p * s for p, s in rows)
    after = 0.0
    if chance > 0:
        after += chance * _entropy([p * s / chance for p, s in rows])
    if chance < 1:
        after += (1 - chance) * _entropy([p * (1 - s) / (1 - chance) for p, s in rows])
    return max(0.0, _entropy([p for p, _ in rows]) - after)


def _entropy(shares: Sequence[float]) -> float:
    return -sum(p * math.log2(p) for p in shares if p > 0)


def _can_be_put_back(suspect: Suspect, last_dive: int) -> bool:
    return suspect.kind in ("crew", "place") or last_dive in suspect.in_force


def _shows_on_bench(symptom: str | None, suspect: Suspect) -> bool:
    if about(symptom) != "demand" or str(symptom).endswith("-weak"):
        return False
    if suspect.kind == "event":
        return suspect.slug in BENCH_EVENTS
    return suspect.kind == "value" and suspect.pointer.startswith(BENCH_POINTERS)


_WAYS: Mapping[str, str] = {
    "value": "put back {what}",
    "part": "take out {what}, fit another",
    "event": "check and undo what was done: {what}",
    "crew": "fly once without {what}",
    "place": "fly once elsewhere than {what}",
}


LOOKS: Mapping[str, str] = {
    "bench": "look with a function test on the bench",
    "water": "look in the water, nothing else changed",
}
"""Where to look, in words."""


def _rates(candidate: Candidate, *, is_bench: bool) -> tuple[float, float]:
    """How often the symptom shows without the culprit, and with it."""
    return (BENCH_ERROR, 1 - BENCH_ERROR) if is_bench else (candidate.rate_otherwise, candidate.rate_in_force)


def _is_told_apart(candidate: Candidate, candidates: Sequence[Candidate]) -> bool:
    """True for work whose events are candidates themselves."""
    work = candidate.suspect
    return work.slug == "work" and any(
        c.suspect.kind == "event" and c.suspect.slug != "work" and c.suspect.after == work.after
        for c in candidates
    )


def _deed(candidate: Candidate) -> str:
    suspect = candidate.suspect
    if candidate.fault:
        return f"see whether it is {candidate.fault}, undo that and nothing else ({suspect.what})"
    return _WAYS[suspect.kind].format(what=suspect.what)
