"""The diagnosis: which explanations the observations leave, and the push that would tell most."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from rovlog.domain.diagnosis.dry_limits import DRY_LIMITS
from rovlog.domain.diagnosis.edits import (
    OTHER,
    Explanation,
    Priors,
    considered_controls,
    explanations,
    single_edits,
)
from rovlog.domain.diagnosis.evidence import Evidence, evidence
from rovlog.domain.diagnosis.observation import Observation
from rovlog.domain.diagnosis.posterior import Group, groups, log_likelihoods, updated
from rovlog.domain.diagnosis.prediction import channel_tables, predictions, space
from rovlog.domain.diagnosis.proposal import NextPush, Proposal, Terms, propose
from rovlog.domain.diagnosis.pushes import considered_pushes
from rovlog.domain.ranges import require_within
from rovlog.domain.vehicle import Configuration, SteeringScheme, ThrusterMap
from rovlog.problems import UsageError
from rovlog.values import dataclass, field

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray


@dataclass(frozen=True, slots=True)
class DiagnosisSettings:
    """Project defaults, all settable. Commands are shares of full, no unit.

    `misreport` is the probability that one thruster's report is wrong. A thruster counts as still
    below `still_below`; pushes with a command from there to `doubtful_below` are not proposed.
    `certainty` is the posterior at which no further push is proposed. `dry_command` is the greatest
    command of a thruster out of the water.
    """

    priors: Priors = field(default_factory=Priors)
    misreport: float = 0.03
    still_below: float = 0.08
    doubtful_below: float = 0.15
    certainty: float = 0.95
    dry_command: float = DRY_LIMITS.command_share


DEFAULT_SETTINGS = DiagnosisSettings()


@dataclass(frozen=True, slots=True)
class Ranked:
    """One group with its posterior and which observations speak for and against it."""

    edits: Explanation
    posterior: float
    same_as: tuple[Explanation, ...]
    evidence: Evidence | None


@dataclass(frozen=True, slots=True)
class Diagnosis:
    """All groups, most probable first, with a next push, or None with the reason in `why_no_push`.

    `at_zero_trim` is a push that tells once the trims are at zero, where none does as they are.
    `is_certain` when the first group has reached the certainty asked for; `is_unexplained` when
    that first one is `other`. `reports` is how many thrusters were seen in all.
    """

    ranked: tuple[Ranked, ...]
    next_push: NextPush | None
    why_no_push: str
    is_certain: bool
    is_unexplained: bool
    reports: int
    at_zero_trim: NextPush | None = None


EVIDENCE_FOR = 12
"""So many of the first groups get their evidence worked out; nobody reads further."""


def diagnose(
    configuration: Configuration,
    schemes: Mapping[int, SteeringScheme],
    maps: Mapping[int, ThrusterMap],
    observations: Sequence[Observation],
    *,
    is_dry: bool = False,
    settings: DiagnosisSettings = DEFAULT_SETTINGS,
) -> Diagnosis:
    """Exact posteriors over nothing wrong, every single edit, every pair of edits, and `other`.

    `schemes` and `maps` are the box's tables by number; the entries in force are taken from the
    configuration, with its trims at their defaults unless an observation has its own. With `is_dry` the
    proposal keeps to the limits out of the water.

    Raises UsageError for a vehicle without thrusters or controls, OutOfRangeError naming a setting.
    """
    import numpy as np

    _require(configuration, settings)
    edits = single_edits(configuration, schemes, maps)
    every, priors = explanations(edits, settings.priors)
    of = space(configuration, schemes, maps, every)
    pushes = considered_pushes(considered_controls(configuration, schemes))
    tables = channel_tables(of, pushes, of.setups)
    predicted = predictions(of, tables, settings.still_below)

    seen_pushes = [o.push for o in observations]
    seen_tables = channel_tables(of, seen_pushes, of.setups, [o.trims for o in observations])
    expected = predictions(of, seen_tables, settings.still_below)
    seen, was_seen = _reported(configuration, observations)
    likelihood = log_likelihoods(expected, seen, was_seen, settings.misreport)
    reports = int(was_seen.sum())
    weights, other = updated(np.array(priors), settings.priors.other, likelihood, reports)

    grouped = groups(every, weights, other, predicted)
    first = grouped[0]
    is_certain = first.posterior >= settings.certainty
    if is_certain:
        found = Proposal(None, "the first explanation has reached the certainty asked for")
    else:
        found = propose(
            of,
            pushes,
            tables,
            weights,
            other,
            Terms(
                settings.misreport,
                settings.still_below,
                settings.doubtful_below,
                settings.dry_command if is_dry else None,
            ),
        )
    evidence = [_evidence(g, expected, seen, was_seen, configuration) for g in grouped[:EVIDENCE_FOR]]
    return Diagnosis(
        ranked=_with_evidence(grouped, evidence),
        next_push=found.push,
        why_no_push=found.reason,
        is_certain=is_certain,
        is_unexplained=first.edits == OTHER,
        reports=reports,
        at_zero_trim=found.at_zero_trim,
    )


def _with_evidence(groups: Sequence[Group], evidence: Sequence[Evidence | None]) -> tuple[Ranked, ...]:
    """Every group as it is handed out; those beyond the evidence that was worked out have none."""
    spare = [None] * (len(groups) - len(evidence))
    return tuple(
        Ranked(g.edits, g.posterior, g.same_as, e) for g, e in zip(groups, (*evidence, *spare), strict=True)
    )


def _evidence(
    group: Group,
    expected: NDArray[np.int8],
    seen: NDArray[np.int8],
    was_seen: NDArray[np.bool_],
    configuration: Configuration,
) -> Evidence | None:
    if not group.members:
        return None
    names = [t.thruster for t in configuration.thrusters]
    # Explanation 0 is nothing wrong: what speaks for a fault is what the recorded wiring does not do.
    return evidence(expected[group.members[0]], expected[0], seen, was_seen, names)


def _reported(
    configuration: Configuration, observations: Sequence[Observation]
) -> tuple[NDArray[np.int8], NDArray[np.bool_]]:
    """Reported directions and which were seen, both of shape (observations, thrusters)."""
    import numpy as np

    place = {t.thruster: i for i, t in enumerate(configuration.thrusters)}
    seen = np.zeros((len(observations), len(place)), dtype=np.int8)
    was_seen = np.zeros((len(observations), len(place)), dtype=bool)
    for row, observed in enumerate(observations):
        for thruster, word in observed.seen:
            if word != "unseen":
                seen[row, place[thruster]] = {"ahead": 1, "astern": -1, "still": 0}[word]
                was_seen[row, place[thruster]] = True
    return seen, was_seen


def _require(configuration: Configuration, settings: DiagnosisSettings) -> None:
    if not configuration.thrusters:
        raise UsageError(f"{configuration.vehicle} has no thrusters", "there is nothing to diagnose")
    require_within("misreport", settings.misreport, 0.0, 0.5)
    require_within("still_below", settings.still_below, 0.0, 1.0)
    require_within("doubtful_below", settings.doubtful_below, settings.still_below, 1.0)
    require_within("certainty", settings.certainty, 0.0, 1.0)
    for name in ("none", "one", "two", "other"):
        require_within(f"prior of {name}", getattr(settings.priors, name), 0.0, 1.0)
    if settings.priors.none + settings.priors.one + settings.priors.two <= 0.0:
        raise UsageError("the priors of none, one and two are all 0", "give at least one of them above 0")
