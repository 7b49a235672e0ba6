"""Approving a configuration as a new revision, and withdrawing one with the reason."""

from __future__ import annotations

from collections.abc import Mapping

from rovlog.domain.findings import Finding
from rovlog.problems import GitError, UsageError
from rovlog.usecases.approvals import Approval
from rovlog.usecases.configurations import Named, working
from rovlog.usecases.logbook import Logbook
from rovlog.usecases.one_line import require_one_line
from rovlog.usecases.one_line import require_text as require_text  # noqa: PLC0414 - many take it from here
from rovlog.usecases.ports import CommitOutcome
from rovlog.usecases.recording import author_of
from rovlog.values import dataclass, field


@dataclass(frozen=True, slots=True)
class Approved:
    """The outcome: `revision` is None while findings still ask for a reason (`unanswered`)."""

    digest: str
    revision: int | None
    name: str | None
    unanswered: tuple[Finding, ...] = ()
    notes: tuple[Finding, ...] = ()
    accepted: Mapping[str, str] = field(default_factory=dict)
    commit: CommitOutcome = field(default_factory=lambda: CommitOutcome(None))


def approve_vehicle(
    logbook: Logbook,
    vehicle: str,
    *,
    by: str,
    reason: str,
    evidence: str | None = None,
    accept: Mapping[str, str] | None = None,
    at: str | None = None,
) -> Approved:
    """Approve what the working files say as the next revision.

    Every finding that would stop a dive needs a reason in `accept` (finding name to text); without
    all of them nothing is written. The working files and the approval are committed; the approval
    is durable even where git cannot take it. Raises UsageError for an unknown person, finding or
    an empty reason.
    """
    logbook.require_settings()
    logbook.person(by)
    require_text("reason", reason)
    require_one_line("evidence", evidence or "")
    accept = dict(accept or {})
    proposed = working(logbook, vehicle)
    stopping, notes = findings_of(proposed)
    unknown = sorted(set(accept) - {f.finding for f in stopping})
    if unknown:
        known = ", ".join(f.finding for f in stopping) or "none: nothing found stops a dive"
        raise UsageError(
            f"there is no finding {unknown[0]!r} to accept", f"findings that ask a reason: {known}"
        )
    for name, text in accept.items():
        require_text(f"reason for {name}", text)
    unanswered = tuple(f for f in stopping if f.finding not in accept)
    if unanswered:
        return Approved(proposed.digest, None, None, unanswered, notes)
    with logbook.book.files.lock(f"approvals-{vehicle}"):
        approvals = logbook.approvals(vehicle)
        revision = 1 + max((a.revision for a in approvals), default=0)
        name, outcome = _write(logbook, proposed, revision, by, reason, evidence, accept, at)
    return Approved(proposed.digest, revision, name, (), notes, accept, outcome)


def withdraw_revision(
    logbook: Logbook, name: str, *, by: str, reason: str, at: str | None = None
) -> tuple[Approval, CommitOutcome]:
    """Withdraw an approval with the reason; the approval itself is never changed."""
    from rovlog.usecases.configurations import named

    logbook.require_settings()
    logbook.person(by)
    require_text("reason", reason)
    vehicle, sign, _ = name.partition("@")
    if not sign:
        raise UsageError(f"{name!r} names no revision", "write VEHICLE@N")
    chosen = named(logbook, name)
    approval = next(
        (a for a in logbook.approvals(vehicle) if (a.revision, a.digest) == (chosen.revision, chosen.digest)),
        None,
    )
    if approval is None:
        raise UsageError(f"{name} is not an approved revision", "rovlog vehicle history VEHICLE lists them")
    if approval.withdrawn is not None:
        raise UsageError(f"{name} is withdrawn already: {approval.withdrawn['reason']}")
    stem = f"r{approval.revision}-{_eight(approval.digest)}-withdrawn"
    document = {
        "format": "rovlog/withdrawal/1",
        "withdrawal": stem,
        "vehicle": vehicle,
        "revision": approval.revision,
        "digest": approval.digest,
        "withdrawn_by": by,
        "at": at or logbook.book.clock.now(),
        "reason": reason,
    }
    file = f"approvals/{vehicle}/{stem}.yaml"
    _create(logbook, file, "withdrawal", document)
    who = logbook.person_name(by)
    outcome = commit_files(logbook, [file], f"Withdraw {name}: {reason}\n\nWithdrawn by {who}.", by, at)
    return approval, outcome


def findings_of(configuration: Named) -> tuple[tuple[Finding, ...], tuple[Finding, ...]]:
    """Findings that stop a dive, and notes, of one configuration by computation alone."""
    from rovlog.usecases.find_findings import all_findings

    found = all_findings(configuration.configuration)
    return tuple(f for f in found if f.severity == "stops"), tuple(f for f in found if f.severity != "stops")


def commit_files(
    logbook: Logbook, files: list[str], message: str, by: str, at: str | None = None
) -> CommitOutcome:
    """Commit files at a milestone; the outcome says why not, and nothing is lost by it."""
    try:
        return logbook.book.history.commit(files, message, author_of(logbook, by), at)
    except GitError as error:
        return CommitOutcome(None, error.message, error.mend)


def _write(
    logbook: Logbook,
    proposed: Named,
    revision: int,
    by: str,
    reason: str,
    evidence: str | None,
    accept: Mapping[str, str],
    at: str | None,
) -> tuple[str, CommitOutcome]:
    vehicle = proposed.vehicle
    who = logbook.person_name(by)
    sources = source_files(logbook, vehicle)
    settings = commit_files(
        logbook, sources, f"Record the files of {vehicle} as proposed for revision {revision}", by, at
    )
    stem = f"r{revision}-{_eight(proposed.digest)}"
    document = {
        "format": "rovlog/approval/1",
        "approval": stem,
        "vehicle": vehicle,
        "revision": revision,
        "digest": proposed.digest,
        "commit": settings.commit,
        "approved_by": by,
        "at": at or logbook.book.clock.now(),
        "reason": reason,
        **({"evidence": evidence} if evidence else {}),
        "findings_accepted": dict(accept),
        "configuration": dict(proposed.resolved),
    }
    file = f"approvals/{vehicle}/{stem}.yaml"
    _create(logbook, file, "approval", document)
    message = f"Approve {vehicle} revision {revision}: {reason}\n\nApproved by {who}."
    outcome = commit_files(logbook, [file], message, by, at)
    return file, outcome


def source_files(logbook: Logbook, vehicle: str) -> list[str]:
    """The files a vehicle's configuration is made of: its own, its box, its models, the logbook's."""
    document = logbook.vehicle(vehicle)
    models = sorted({t["model"] for t in document["thrusters"]})
    return [
        f"vehicles/{vehicle}.yaml",
        f"boxes/{document['control_box']['box']}.yaml",
        *(f"thrusters/{m}.yaml" for m in models),
    ]


def _create(logbook: Logbook, file: str, kind: str, document: Mapping[str, object]) -> None:
    from rovlog.documents.write import document_text, modeline

    text = document_text(dict(document), modeline(kind, file.count("/")))
    logbook.checked(text.encode(), file)
    logbook.book.files.create(file, text.encode())


def _eight(digest: str) -> str:
    return digest.removeprefix("sha256:")[:8]
