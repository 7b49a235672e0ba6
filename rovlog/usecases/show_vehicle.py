"""What a configuration will do in the water: how it answers, what it can reach, what each control does."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from rovlog.domain.allocation.arrangement import Rank, rank
from rovlog.domain.allocation.authority import Authority, authority
from rovlog.domain.allocation.controls import ControlEffect, control_effects
from rovlog.domain.allocation.findings import motion_findings
from rovlog.domain.allocation.limits import Limit, limits
from rovlog.domain.allocation.shares import BestShares, best_shares
from rovlog.domain.findings import Finding
from rovlog.domain.vehicle import Configuration
from rovlog.values import dataclass

if TYPE_CHECKING:
    from rovlog.usecases.configurations import Named
    from rovlog.usecases.logbook import Logbook


@dataclass(frozen=True, slots=True)
class Motion:
    """How a configuration moves: by demand, by axis, by control; and what is worth saying about it.

    Figures in newton and newton metre at rated voltage, computed.
    """

    authority: Mapping[str, Authority]
    limit: Mapping[str, Limit]
    controls: Mapping[str, ControlEffect]
    findings: tuple[Finding, ...]
    rank: Rank
    best_shares: Mapping[str, BestShares]


def compute_motion(configuration: Configuration) -> Motion:
    """Everything about how a configuration moves; pure, no electrical figures."""
    return Motion(
        authority=authority(configuration),
        limit=limits(configuration),
        controls=control_effects(configuration),
        findings=tuple(motion_findings(configuration)),
        rank=rank(configuration),
        best_shares=best_shares(configuration),
    )


@dataclass(frozen=True, slots=True)
class Shown:
    """A configuration as named: how it moves, what its channels draw, and everything found about it.

    `per_channel_a` is each channel's own greatest current, ampere; `upper_bound_a` their sum with the
    standing loads, which the sticks need not be able to reach together.
    """

    named: Named
    motion: Motion
    per_channel_a: Mapping[int, float]
    upper_bound_a: float
    findings: tuple[Finding, ...]
    scheme_name: str = ""
    map_name: str = ""


def show_vehicle(logbook: Logbook, name: str) -> Shown:
    """The configuration of that name (working files, revision, commit or dive) and what it does.

    Raises:
        UsageError: no such configuration.
        DocumentError: its files are not valid.
    """
    from rovlog.domain.electrical.curves import standing_current_a
    from rovlog.domain.electrical.electrics import electrics
    from rovlog.usecases.configurations import named
    from rovlog.usecases.find_findings import all_findings

    found = named(logbook, name)
    configuration = found.configuration
    results = electrics(configuration)
    channels = results.per_channel_a
    bound = sum(channels.values()) + standing_current_a(configuration)
    findings = all_findings(configuration, results)
    return Shown(found, compute_motion(configuration), channels, bound, findings, *code_names(found))


def code_names(found: Named) -> tuple[str, str]:
    """Names of the steering scheme and thruster map in the box's tables, "" where they have none."""
    if found.box_document is None:
        return "", ""
    from rovlog.domain.drift.tables import box_tables

    tables = box_tables(found.box_document)
    box = found.resolved["control_box"]
    scheme = tables.scheme(box["firmware"], box["steering_scheme"])
    map_ = tables.map(box["firmware"], box["thruster_map"])
    return (scheme.name if scheme else ""), (map_.name if map_ else "")
