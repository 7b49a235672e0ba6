"""Finding a configuration by the name a person gives it: working files, a revision, a commit, a dive."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from rovlog.problems import UsageError
from rovlog.usecases.approvals import Approval
from rovlog.usecases.logbook import Logbook
from rovlog.values import dataclass

if TYPE_CHECKING:
    from rovlog.domain.dive import Record
    from rovlog.domain.vehicle import Configuration


@dataclass(frozen=True, slots=True)
class Named:
    """A configuration with what it was called. `revision` is the approved one of this digest, or None.

    `box_document` is the surface box's whole document (code tables of all schemes and maps), None
    where the configuration comes from an approval whose box is no longer on file.
    """

    name: str
    vehicle: str
    resolved: Mapping[str, Any]
    digest: str
    revision: int | None
    box_document: Mapping[str, Any] | None = None

    @property
    def configuration(self) -> Configuration:
        """The typed values that all computations take."""
        from rovlog.documents.configuration import configuration

        return configuration(self.resolved)


def digest_of(resolved: Mapping[str, Any]) -> str:
    """`sha256:…` over the canonical JSON of a resolved configuration."""
    from rovlog.documents.canonical import digest

    return digest(resolved)


def named(logbook: Logbook, name: str) -> Named:
    """The configuration a person named.

    `kelpie` is what the working files say now; `kelpie@7` a revision; `kelpie@7-4f2a` one of two
    that claim a number; `kelpie@<commit>` the files of a commit; a dive's id what flew on it.
    """
    if "@" in name:
        vehicle, _, which = name.partition("@")
        # A vehicle that is no longer on file may still be asked for by its approvals.
        if re.fullmatch(r"[0-9]{1,6}(-[0-9a-f]{4,64})?", which):
            return _by_revision(logbook, name, vehicle, which)
        return _by_commit(logbook, name, vehicle, which)
    if name in logbook.vehicles():
        return working(logbook, name)
    if re.fullmatch(r".+-[0-9]{8}-[a-z]{4}", name):
        return flown_on(logbook, logbook.record(name), name)
    logbook.vehicle(name)  # raises with the nearest vehicle
    raise UsageError(f"there is no configuration {name!r}")


def working(logbook: Logbook, vehicle: str) -> Named:
    """What the working files say now."""
    document = logbook.vehicle(vehicle)
    box = logbook.box(document["control_box"]["box"])
    models = {t["model"]: logbook.model(t["model"]) for t in document["thrusters"]}

    def make() -> tuple[dict[str, Any], str]:
        resolved = _resolved(document, box, models)
        return resolved, digest_of(resolved)

    resolved, digest = logbook.made_of(("working", vehicle), (document, box, *models.values()), make)
    return _named(logbook, vehicle, vehicle, resolved, box, digest)


def of_approval(logbook: Logbook, approval: Approval) -> Named:
    """What an approval holds."""
    name = f"{approval.vehicle}@{approval.revision}"
    box = _box_on_file(logbook, approval.configuration)
    return Named(name, approval.vehicle, approval.configuration, approval.digest, approval.revision, box)


def flown_on(logbook: Logbook, record: Record, name: str) -> Named:
    """What was on the vehicle when the dive started: the baseline with the deviations recorded then."""
    resolved = start_configuration(logbook, record)
    if resolved is None:
        raise UsageError(
            f"{record.id} does not say which configuration it flew",
            "its start entry names no baseline and no working files; compare with a revision instead",
        )
    return _named(logbook, name, record.vehicle, resolved, _box_on_file(logbook, resolved))


def start_configuration(logbook: Logbook, record: Record) -> Mapping[str, Any] | None:
    """The resolved object a record started with, or None where it cannot be known.

    An approval that cannot be read hides no other: it is raised only where it may be the one.
    """
    start = next(iter(record.of_kind("start")), None)
    if start is None:
        return None
    baseline = start.fields.get("baseline")
    held = _approval_of(logbook, record.vehicle, str(baseline)) if baseline else None
    deviations = start.fields.get("deviations") or []
    if held is None:
        whole = next((d for d in deviations if d["pointer"] == ""), None)
        return dict(whole["working"]) if whole else None
    from rovlog.domain.drift.leaves import ABSENT, with_value

    resolved: Any = held.configuration
    for deviation in deviations:
        resolved = with_value(resolved, deviation["pointer"], deviation.get("working", ABSENT))
    return dict(resolved)


def _approval_of(logbook: Logbook, vehicle: str, digest: str) -> Approval | None:
    readable, unreadable = logbook.readable_approvals(vehicle)
    found = {a.digest: a for a in readable}.get(digest)
    if found is not None or not unreadable:
        return found
    return {a.digest: a for a in logbook.approvals(vehicle)}.get(digest)


def deviations_of(baseline: Mapping[str, Any] | None, now: Mapping[str, Any]) -> list[dict[str, Any]]:
    """Leaf by leaf where `now` departs from the baseline, as a start entry records it.

    A side that lacks the value has no key for it. Without a baseline one row holds the whole.
    """
    if baseline is None:
        return [{"pointer": "", "working": dict(now)}]
    from rovlog.domain.drift.leaves import ABSENT, differences

    rows = []
    for pointer, before, after in differences(baseline, now):
        row: dict[str, Any] = {"pointer": pointer}
        if before is not ABSENT:
            row["baseline"] = before
        if after is not ABSENT:
            row["working"] = after
        rows.append(row)
    return rows


def _resolved(
    document: Mapping[str, Any], box: Mapping[str, Any], models: Mapping[str, Any]
) -> dict[str, Any]:
    from rovlog.documents.configuration import resolve

    return resolve(document, box, models)


def _named(
    logbook: Logbook,
    name: str,
    vehicle: str,
    resolved: Mapping[str, Any],
    box: Mapping[str, Any] | None,
    known_digest: str = "",
) -> Named:
    digest = known_digest or digest_of(resolved)
    revisions = [a.revision for a in logbook.approvals(vehicle) if a.digest == digest and a.withdrawn is None]
    return Named(name, vehicle, resolved, digest, max(revisions, default=None), box)


def _box_on_file(logbook: Logbook, resolved: Mapping[str, Any]) -> Mapping[str, Any] | None:
    name = f"boxes/{resolved['control_box']['box']}.yaml"
    return logbook.document(name) if logbook.book.files.exists(name) else None


def _by_revision(logbook: Logbook, name: str, vehicle: str, which: str) -> Named:
    number, _, letters = which.partition("-")
    approvals = logbook.approvals(vehicle)
    if not approvals:
        logbook.vehicle(vehicle)  # a misspelt vehicle is the likelier mistake
        raise UsageError(f"no configuration of {vehicle} is approved", "rovlog vehicle approve VEHICLE …")
    hits = [
        a
        for a in approvals
        if a.revision == int(number) and a.digest.removeprefix("sha256:").startswith(letters)
    ]
    if not hits:
        known = ", ".join(str(a.revision) for a in approvals)
        raise UsageError(f"{vehicle} has no revision {which}", f"revisions are: {known}")
    if len({a.digest for a in hits}) > 1:
        ways = " or ".join(f"{vehicle}@{number}-{a.digest.removeprefix('sha256:')[:8]}" for a in hits)
        raise UsageError(f"two approvals claim revision {number} of {vehicle}", f"name one: {ways}")
    return of_approval(logbook, hits[0])


def _by_commit(logbook: Logbook, name: str, vehicle: str, which: str) -> Named:
    if not re.fullmatch(r"[0-9a-fA-F]{7,64}", which):
        raise UsageError(
            f"{which!r} is neither a revision nor a commit",
            "write VEHICLE@7 for a revision or VEHICLE@<commit> with at least seven hexadecimal digits",
        )
    history = logbook.book.history
    commit = history.expand(which.lower())

    def at(document: str) -> Mapping[str, Any]:
        data = history.read_at(commit, document)
        if data is None:
            raise UsageError(
                f"{document} is not in commit {commit[:10]}", "name another commit or a revision"
            )
        value: Mapping[str, Any] = logbook.checked(data, document)
        return value

    document = at(f"vehicles/{vehicle}.yaml")
    box = at(f"boxes/{document['control_box']['box']}.yaml")
    models = {t["model"]: at(f"thrusters/{t['model']}.yaml") for t in document["thrusters"]}
    return _named(logbook, name, vehicle, _resolved(document, box, models), box)
