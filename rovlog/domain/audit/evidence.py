"""What speaks for a function having worked on a dive, graded."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from rovlog.domain.audit.flights import Flight
from rovlog.domain.audit.known_good import Evidence
from rovlog.domain.axes import DEMANDS
from rovlog.domain.dive import Entry, Record

FUNCTION_CHECKS: Mapping[str, tuple[str, ...]] = {
    "demand": ("direction", "axis", "axes", "function"),
    "buoyancy": ("rises", "hands-off", "buoyancy"),
    "current": ("hardest", "load-step", "fuse-margin"),
}
"""Words within a check's id that make it a test of a function, by what a symptom is about."""

Agrees = Callable[[Record, Entry], bool | None]
"""Whether an observation shows what the configuration predicts; None where it cannot be told."""


def about(symptom: str | None) -> str:
    """What a symptom is about: "demand", "buoyancy", "current", or "" for a team's own slug."""
    if symptom in ("sinks", "rises"):
        return "buoyancy"
    if symptom == "fuse-opened":
        return "current"
    return "demand" if demand_of(symptom) else ""


def demand_of(symptom: str | None) -> str:
    """The demand a symptom names ("surge" in surge-weak), "" where it names none."""
    head = (symptom or "").rsplit("-", 1)[0]
    return head if head in DEMANDS else ""


def evidence_from(
    records: Mapping[str, Record], symptom: str | None, agrees: Agrees | None = None
) -> Callable[[Flight], Evidence | None]:
    """The evidence for a dive, from its own record; answers carried over from earlier dives are none."""

    def evidence(flight: Flight) -> Evidence | None:
        record = records.get(flight.dive)
        return None if record is None or flight.has_symptom(symptom) else _evidence(record, symptom, agrees)

    return evidence


def _evidence(record: Record, symptom: str | None, agrees: Agrees | None) -> Evidence | None:
    words = FUNCTION_CHECKS.get(about(symptom), ())
    checks = [e for e in record.of_kind("check") if any(w in str(e.fields.get("item", "")) for w in words)]
    if any(e.fields.get("outcome") == "fail" for e in checks):
        return None
    seen = [(e, agrees(record, e)) for e in record.of_kind("observation")] if agrees else []
    if any(answer is False for _, answer in seen):
        return None
    if checks:
        item = str(checks[-1].fields["item"])
        return "measured", f"its check {item} was passed, by {checks[-1].by}"
    if any(answer for _, answer in seen):
        count = sum(bool(answer) for _, answer in seen)
        return (
            "observed",
            f"{count} observation{'s' if count > 1 else ''} of the thrusters agreed with the prediction",
        )
    marks = {str(e.fields.get("mark")) for e in record.of_kind("mark")}
    if record.kind == "dive" and (marks & {"in-water", "off-surface"} or record.is_closed):
        return "nothing logged", "it was flown and no such fault was logged; nobody tested the function"
    return None
