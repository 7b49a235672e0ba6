"""Approvals and withdrawals as recorded, and which approval is in force."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from rovlog.values import dataclass


@dataclass(frozen=True, slots=True)
class Approval:
    """One approval as recorded, with the reason it was withdrawn for, if it was."""

    name: str
    vehicle: str
    revision: int
    digest: str
    configuration: Mapping[str, Any]
    commit: str | None
    approved_by: str
    at: str
    reason: str
    evidence: str | None
    findings_accepted: Mapping[str, str]
    withdrawn: Mapping[str, Any] | None = None

    @property
    def spoken(self) -> str:
        """Number and four characters of the digest, as said aloud."""
        return f"{self.revision} {self.digest.removeprefix('sha256:')[:4].upper()}"


@dataclass(frozen=True, slots=True)
class InForce:
    """The approval in force, or None with the reason in `why_none`; `claims` lists rival approvals."""

    approval: Approval | None
    why_none: str = ""
    claims: tuple[Approval, ...] = ()


def approvals_in(values: Mapping[str, Mapping[str, Any]]) -> tuple[Approval, ...]:
    """The approvals among documents by name, with their withdrawals, by revision, then digest."""
    gone = {
        (v["revision"], v["digest"]): v for v in values.values() if v.get("format") == "rovlog/withdrawal/1"
    }
    found = [
        Approval(
            name=name,
            vehicle=v["vehicle"],
            revision=v["revision"],
            digest=v["digest"],
            configuration=v["configuration"],
            commit=v.get("commit"),
            approved_by=v["approved_by"],
            at=v["at"],
            reason=v["reason"],
            evidence=v.get("evidence"),
            findings_accepted=v.get("findings_accepted") or {},
            withdrawn=gone.get((v["revision"], v["digest"])),
        )
        for name, v in values.items()
        if v.get("format") == "rovlog/approval/1"
    ]
    return tuple(sorted(found, key=lambda a: (a.revision, a.digest)))


def in_force_of(approvals: tuple[Approval, ...]) -> InForce:
    """The greatest revision without a withdrawal; none while two digests claim that number."""
    standing = [a for a in approvals if a.withdrawn is None]
    if not standing:
        return InForce(None, "no configuration of this vehicle is approved")
    greatest = max(a.revision for a in standing)
    claims = tuple(a for a in standing if a.revision == greatest)
    if len({a.digest for a in claims}) > 1:
        spoken = " and ".join(a.spoken for a in claims)
        return InForce(None, f"two approvals claim revision {greatest} ({spoken})", claims)
    return InForce(claims[0])
