"""What a configuration will do in the water: how it answers, what it can reach, what each control does."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from rovlog.domain.allocation.arrangement import Rank, rank
from rovlog.domain.allocation.authority import Authority, authority
from rovlog.domain.allocation.controls import ControlEffect, control_effects
from rovlog.domain.allocation.findings import motion_findings
from rovlog.domain.allocation.limits import Limit, limits
from rovlog.domain.allocation.shares import BestShares, best_shares
from rovlog.domain.findings import Finding
from rovlog.domain.vehicle import Configuration

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
    """A configuration as named, and how it moves."""

    named: Named
    motion: Motion


def show_vehicle(logbook: Logbook, name: str) -> Shown:
    """The configuration of that name (working files, revision, commit or dive) and how it moves.

    Raises:
        UsageError: no such configuration.
        DocumentError: its files are not valid.
    """
    from rovlog.usecases.configurations import named

    found = named(logbook, name)
    return Shown(found, compute_motion(found.configuration))
