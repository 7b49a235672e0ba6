"""Configurations in words: lists, approvals, revisions, two of them side by side."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, Any

from rovlog.faces.reports.plain import clean

if TYPE_CHECKING:
    from rovlog.usecases.approvals import Approval
    from rovlog.usecases.approve import Approved
    from rovlog.usecases.compare_configurations import Compared
    from rovlog.usecases.list_vehicles import ListedVehicle
    from rovlog.usecases.show_vehicle import Shown

Names = Callable[[str], str]


def vehicles_data(rows: Sequence[ListedVehicle]) -> list[dict[str, Any]]:
    """The list of vehicles as data."""
    return [
        {
            "vehicle": r.vehicle,
            "name": r.name,
            "revision": r.in_force.approval.revision if r.in_force.approval else None,
            "digest": r.in_force.approval.digest if r.in_force.approval else None,
            "why_none": r.in_force.why_none,
            "departs": r.departs,
            "open_dives": list(r.open_dives),
            "problem": r.problem,
            "lent": None
            if r.loan is None
            else {"to": r.loan.to, "since": r.loan.since, "work": r.loan.record.id},
        }
        for r in rows
    ]


def vehicles_text(rows: Sequence[ListedVehicle]) -> str:
    """The list of vehicles, a line or two each."""
    if not rows:
        return "No vehicle is on file yet: write vehicles/<vehicle>.yaml.\n"
    lines = []
    for row in rows:
        lines.append(f"{clean(row.name)} ({row.vehicle}): {_force_words(row)}")
        if row.problem:
            lines.append(f"  {clean(row.problem)}")
        if row.loan is not None:
            lines.append(f"  {clean(row.loan.words)}: {row.loan.record.id}")
        lines += [f"  open dive: {dive}" for dive in row.open_dives]
    return "\n".join(lines) + "\n"


def _force_words(row: ListedVehicle) -> str:
    if row.in_force.approval is None:
        return row.in_force.why_none
    departs = {True: "; the working files depart from it", False: "", None: ""}[row.departs]
    return f"revision {row.in_force.approval.spoken}{departs}"


def approved_data(approved: Approved) -> dict[str, Any]:
    """An approval's outcome as data."""
    return {
        "digest": approved.digest,
        "revision": approved.revision,
        "file": approved.name,
        "commit": approved.commit.commit,
        "findings": [{"finding": f.finding, "text": f.text} for f in approved.unanswered],
        "notes": [{"finding": f.finding, "text": f.text} for f in approved.notes],
        "accepted": dict(approved.accepted),
    }


def approved_text(vehicle: str, approved: Approved) -> str:
    """What was approved, or which findings still ask for a reason."""
    lines = []
    if approved.revision is None:
        count = len(approved.unanswered)
        lines.append(f"Not approved: {count} finding{'s' if count > 1 else ''} would stop a dive.")
        for finding in approved.unanswered:
            lines.append(f"  {finding.finding}: {clean(finding.text)}")
            if finding.clears:
                lines.append(f"    ends when: {clean(finding.clears)}")
        lines.append('Change the configuration, or accept each with its reason: --accept FINDING="why".')
    else:
        digest = approved.digest.removeprefix("sha256:")
        lines.append(f"{vehicle} revision {approved.revision} {digest[:4].upper()} is approved and in force.")
        lines += [f"  accepted: {name}: {clean(text)}" for name, text in approved.accepted.items()]
    lines += [f"  note: {clean(note.text)}" for note in approved.notes]
    return "\n".join(lines) + "\n"


def revisions_data(rows: Sequence[Approval]) -> list[dict[str, Any]]:
    """The revisions as data, newest first."""
    return [
        {
            "revision": a.revision,
            "digest": a.digest,
            "approved_by": a.approved_by,
            "at": a.at,
            "reason": a.reason,
            "evidence": a.evidence,
            "findings_accepted": dict(a.findings_accepted),
            "commit": a.commit,
            "withdrawn": dict(a.withdrawn) if a.withdrawn else None,
        }
        for a in rows
    ]


def revisions_text(rows: Sequence[Approval], names: Names) -> str:
    """The revisions, newest first, with reasons."""
    if not rows:
        return "No configuration of this vehicle is approved.\n"
    lines = []
    for a in rows:
        lines.append(f"revision {a.spoken}  {a.at[:10]}  {clean(names(a.approved_by))}: {clean(a.reason)}")
        if a.evidence:
            lines.append(f"  evidence: {clean(a.evidence)}")
        lines += [f"  accepted: {f}: {clean(t)}" for f, t in a.findings_accepted.items()]
        if a.withdrawn:
            who = clean(names(str(a.withdrawn["withdrawn_by"])))
            lines.append(
                f"  withdrawn {str(a.withdrawn['at'])[:10]} by {who}: {clean(str(a.withdrawn['reason']))}"
            )
    return "\n".join(lines) + "\n"


def compared_data(compared: Compared) -> dict[str, Any]:
    """Two configurations as data; a side without the value is null with its name under `absent`."""

    from rovlog.faces.reports.drift_text import effect_data

    return {
        "a": {"name": compared.a.name, "digest": compared.a.digest, "revision": compared.a.revision},
        "b": {"name": compared.b.name, "digest": compared.b.digest, "revision": compared.b.revision},
        "differences": [
            {
                "pointer": r.pointer,
                "a": _plain(r.a),
                "b": _plain(r.b),
                "effect": effect_data(r.effect),
            }
            for r in compared.rows
        ],
        "effect": effect_data(compared.effect),
    }


def compared_text(compared: Compared) -> str:
    """Two configurations side by side in words and numbers."""
    from rovlog.domain.drift.words import place_words

    a, b = compared.a, compared.b
    if not compared.rows:
        return f"{a.name} and {b.name} are the same configuration ({a.digest[7:11].upper()}).\n"
    lines = [f"{a.name} ({a.digest[7:11].upper()})  against  {b.name} ({b.digest[7:11].upper()})", ""]
    for row in compared.rows:
        lines.append(f"{clean(place_words(row.pointer))}  ({row.pointer})")
        lines.append(f"  {a.name}: {_value(row.a)}")
        lines.append(f"  {b.name}: {_value(row.b)}")
        if row.effect is not None:
            lines.append(f"  {clean(row.effect.text)}")
        lines.append("")
    if compared.effect is not None and len(compared.rows) > 1:
        lines.append(f"All together: {clean(compared.effect.text)}")
    return "\n".join(lines).rstrip() + "\n"


def _value(value: Any) -> str:
    import json

    try:
        return clean(json.dumps(value, ensure_ascii=False))
    except TypeError:
        return "not there"


def _plain(value: Any) -> Any:
    """The value, or None for the mark of a value that is not there."""
    return value if isinstance(value, str | int | float | bool | list | dict) else None


def shown_data(shown: Shown) -> dict[str, Any]:
    """A configuration and what it does as data."""
    from rovlog.faces.reports.motion_report import finding_data, motion_data

    return {
        "name": shown.named.name,
        "vehicle": shown.named.vehicle,
        "digest": shown.named.digest,
        "revision": shown.named.revision,
        "resolved": dict(shown.named.resolved),
        **motion_data(shown.motion),
        "per_channel_a": {str(c): a for c, a in shown.per_channel_a.items()},
        "total": {"current_a": shown.upper_bound_a, "at_most": True},
        "findings": [finding_data(f) for f in shown.findings],
    }


def shown_text(shown: Shown) -> str:
    """A configuration in words first, then what it can do in numbers."""
    from rovlog.faces.reports.motion_report import motion_report

    named = shown.named
    configuration = named.configuration
    box = configuration.control_box
    standing = f"approved as revision {named.revision}" if named.revision else "not approved"
    lines = [
        f"{clean(named.name)}  {named.digest[7:11].upper()}  {standing}",
        f"box {clean(box.box)}, firmware {clean(box.firmware)}, "
        f"steering scheme {box.steering_scheme}{_quoted(shown.scheme_name)}, "
        f"thruster map {box.thruster_map}{_quoted(shown.map_name)}",
        "",
        motion_report(shown.motion, configuration.thruster_map.shares).rstrip(),
        "",
        "Greatest current of each channel, computed, never measured",
        *(f"  channel {c}: {a:.1f} A" for c, a in shown.per_channel_a.items()),
        f"  all at once with the standing loads: at most {shown.upper_bound_a:.1f} A "
        "(a bound; `rovlog budget` finds the true worst case)",
        "A full reversal, or weed in several thrusters, draws more for a short time.",
    ]
    others = [f for f in shown.findings if f not in shown.motion.findings]
    if others:
        lines += ["", "Also found"]
        for f in others:
            lines.append(f"  {'stops a dive' if f.severity == 'stops' else 'note'}: {clean(f.text)}")
    return "\n".join(lines) + "\n"


def _quoted(name: str) -> str:
    return f" '{clean(name)}'" if name else ""
