"""Suspects after a fault, ranked, with how sure one can be and what to try next."""

from __future__ import annotations

from collections.abc import Sequence

from rovlog.domain.audit.certainty import certainty, dives_words
from rovlog.domain.audit.computing import Computing
from rovlog.domain.audit.experiment import Candidate, Experiment, next_experiment
from rovlog.domain.audit.flights import Logbook
from rovlog.domain.audit.history import Change
from rovlog.domain.audit.score import (
    Weighed,
    day_weights,
    log_weight,
    log_weight_of_none,
    rate_in_force,
    rate_otherwise,
    shares,
)
from rovlog.domain.audit.statistics import Counts, fisher_greater, holm, ochiai, tarantula, wilson
from rovlog.domain.audit.suspects import Suspect, suspects_in
from rovlog.domain.drift.effect import effect_between
from rovlog.domain.drift.reach import Physics
from rovlog.values import dataclass


@dataclass(frozen=True, slots=True)
class Row:
    """One suspect ranked.

    `with_symptom` and `without_symptom` count the dives it was in force on. `p_adjusted` is Holm's over
    all groups. `fault` is the fault of wiring by which an event that names thrusters would bring most of the
    symptom, "" where none is computed. `grouped_with` holds suspects in force on exactly the same dives,
    the most plausible first.
    """

    suspect: Suspect
    text: str
    score: float
    ochiai: float
    tarantula: float
    p: float
    p_adjusted: float
    plausibility: float
    with_symptom: int
    without_symptom: int
    rate_interval: tuple[float, float]
    dives_until: int
    fault: str = ""
    grouped_with: tuple[Row, ...] = ()

    @property
    def group_score(self) -> float:
        """The chance that it or one of its group is to blame: the sum of their scores."""
        return self.score + sum(r.score for r in self.grouped_with)


@dataclass(frozen=True, slots=True)
class Ranking:
    """All suspects. `none` is the score of "none of these"; `certainty` says in words how sure one can be."""

    symptom: str | None
    with_symptom: int
    without_symptom: int
    ranked: tuple[Row, ...]
    none: float
    certainty: tuple[str, ...]
    experiment: Experiment | None
    notes: tuple[str, ...] = ()


def rank_suspects(
    logbook: Logbook, symptom: str | None, changes: Sequence[Change] = (), physics: Physics | None = None
) -> Ranking:
    """Rank every suspect for a symptom (any fault where None).

    Args:
        logbook: the vehicle's dives in order.
        symptom: a fault's symptom.
        changes: the commits, to name the one that brought a value in.
        physics: the computations behind plausibility; 0.5 throughout without them.
    """
    flights = logbook.flights
    shows = [f.has_symptom(symptom) for f in flights]
    weights = day_weights([f.day for f in flights])
    suspects = suspects_in(logbook, changes) if any(shows) else ()
    computing = Computing(symptom, physics, logbook, suspects)
    logs: dict[int, float] = {}
    plausible: dict[int, float] = {}
    weighed: dict[int, Weighed] = {}
    for key, suspect in enumerate(suspects):
        weighed[key] = _weighed(suspect, shows, weights)
        plausible[key] = computing.plausibility(suspect) if weighed[key].a else 0.0
        logs[key] = log_weight(weighed[key], plausible[key], _dives_until(suspect, shows))
    of_with = sum(w for w, s in zip(weights, shows, strict=True) if s)
    scores, none = shares(logs, log_weight_of_none(of_with, sum(weights) - of_with))
    rows = [
        _row(suspect, shows, scores[key], plausible[key], computing) for key, suspect in enumerate(suspects)
    ]
    order = sorted(
        range(len(rows)), key=lambda k: (-rows[k].score, -rows[k].plausibility, rows[k].suspect.what)
    )
    ranked = _grouped([rows[k] for k in order])
    candidates = [
        Candidate(
            suspects[k],
            scores[k],
            rate_in_force(weighed[k]),
            rate_otherwise(weighed[k]),
            _fault_undone(suspects[k], weighed[k], computing),
        )
        for k in order
    ]
    return Ranking(
        symptom,
        sum(shows),
        len(shows) - sum(shows),
        ranked,
        none,
        certainty(ranked, shows, [f.day for f in flights], none),
        next_experiment(symptom, candidates, (none, sum(shows) / len(shows)), len(flights) - 1)
        if candidates
        else None,
        (*logbook.notes, *_unknown(logbook)),
    )


def _weighed(suspect: Suspect, shows: Sequence[bool], weights: Sequence[float]) -> Weighed:
    a = b = c = d = 0.0
    for position, (symptom, weight) in enumerate(zip(shows, weights, strict=True)):
        if position in suspect.in_force:
            a, b = (a + weight, b) if symptom else (a, b + weight)
        else:
            c, d = (c + weight, d) if symptom else (c, d + weight)
    return Weighed(a, b, c, d)


def _dives_until(suspect: Suspect, shows: Sequence[bool]) -> int:
    """Dives in force before the symptom first showed in force; all of them where it never did."""
    positions = sorted(suspect.in_force)
    return next((k for k, position in enumerate(positions) if shows[position]), len(positions))


def _fault_undone(suspect: Suspect, counts: Weighed, computing: Computing) -> str:
    fault = computing.fault(suspect) if counts.a else None
    return fault.text if fault and fault.share > 0 else ""


def _row(
    suspect: Suspect, shows: Sequence[bool], score: float, plausibility: float, computing: Computing
) -> Row:
    failed = sum(shows[i] for i in suspect.in_force)
    passed = len(suspect.in_force) - failed
    counts = Counts(failed, passed, sum(shows) - failed, len(shows) - sum(shows) - passed)
    until = _dives_until(suspect, shows)
    p = fisher_greater(counts)
    return Row(
        suspect,
        _text(suspect, counts, until, computing),
        score,
        ochiai(counts),
        tarantula(counts),
        p,
        p,
        plausibility,
        failed,
        passed,
        wilson(failed, failed + passed),
        until,
        _fault_words(suspect, failed, computing),
    )


def _text(suspect: Suspect, counts: Counts, until: int, computing: Computing) -> str:
    flew = counts.in_force_with + counts.in_force_without
    rest = counts.else_with + counts.else_without
    words = (
        f"{suspect.what}: the symptom on {counts.in_force_with} of {dives_words(flew)} with it, "
        f"on {counts.else_with} of {dives_words(rest)} without it"
    )
    if counts.in_force_with and until == 0:
        words += "; on the first dive with it already"
    elif counts.in_force_with:
        words += f"; {dives_words(until)} with it went well before the first symptom"
    if not counts.in_force_with:
        return words
    pair = computing.pair(suspect) if suspect.kind == "value" else None
    if pair:
        words += f"; by computation: {effect_between(*pair).text}"
    fault = _fault_words(suspect, counts.in_force_with, computing)
    return words + (f"; by computation {fault}" if fault else "")


def _fault_words(suspect: Suspect, with_symptom: int, computing: Computing) -> str:
    fault = computing.fault(suspect) if with_symptom else None
    return f"{fault.text} would bring {fault.share:.0%} of it" if fault and fault.share > 0 else ""


def _grouped(rows: Sequence[Row]) -> tuple[Row, ...]:
    """Rows in force on exactly the same dives become one; Holm's correction runs over the groups."""
    groups: dict[frozenset[int], list[Row]] = {}
    for row in rows:
        groups.setdefault(row.suspect.in_force, []).append(row)
    adjusted = holm([members[0].p for members in groups.values()])
    found = []
    for members, p_adjusted in zip(groups.values(), adjusted, strict=True):
        members.sort(key=_most_plausible)
        first, *others = (_with_p(r, p_adjusted) for r in members)
        found.append(_with_p(first, p_adjusted, tuple(others)))
    found.sort(key=lambda r: -r.score)
    return tuple(found)


def _most_plausible(row: Row) -> tuple[float, bool, float, str]:
    """The most plausible first; of equals the whole work before what was done in it."""
    return -row.plausibility, row.suspect.slug != "work", -row.score, row.suspect.what


def _with_p(row: Row, p_adjusted: float, grouped: tuple[Row, ...] = ()) -> Row:
    return Row(
        row.suspect, row.text, row.score, row.ochiai, row.tarantula, row.p, p_adjusted, row.plausibility,
        row.with_symptom, row.without_symptom, row.rate_interval, row.dives_until, row.fault, grouped,
    )  # fmt: skip


def _unknown(logbook: Logbook) -> list[str]:
    blind = [f.dive for f in logbook.flights if f.as_flown.resolved is None]
    if not blind:
        return []
    return [f"the configuration of {', '.join(blind)} is not known: values are not counted as in force there"]
