"""Baseline, working files, box and pilot side by side: each difference, and whether it stops the dive."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

from rovlog.domain.drift.rules import stopping_reasons
from rovlog.domain.drift.sources import (
    SOURCE_WORDS,
    Sources,
    apart_at,
    gather_sources,
    is_within,
    number,
    plain_value,
)
from rovlog.domain.drift.statements import Readback
from rovlog.domain.drift.swap import swapped
from rovlog.domain.drift.tables import BoxTables
from rovlog.domain.drift.words import place_words, trim_words, value_words
from rovlog.domain.findings import Finding
from rovlog.values import dataclass, field

if TYPE_CHECKING:
    from rovlog.domain.drift.effect import Effect, Reference
    from rovlog.domain.drift.reach import Physics

TRIM_TOLERANCE = 0.02
"""Share of full demand by which a trim may differ (project default; a logbook's policy may say otherwise)."""


@dataclass(frozen=True, slots=True)
class Waiver:
    """A person's leave for a difference at a pointer (or anything below it), in force now."""

    pointer: str
    reason: str
    by: str = ""
    until: str = ""


@dataclass(frozen=True, slots=True)
class Deviation:
    """One difference.

    A value is None where that source does not speak of the pointer, ABSENT where it does and there is
    none. `apart` names the sources that differ from the baseline. `reasons` says why it stops the
    dive, whether or not it was waived; `stops_dive` is True while it does. `words` has the value of every
    source that speaks, a box's number with its name under the firmware that source has.
    """

    pointer: str
    baseline: Any
    working: Any
    readback: Any
    stored: Any
    logged: Any
    effect: Effect | None
    stops_dive: bool
    waived: bool
    apart: tuple[str, ...] = ()
    reasons: tuple[str, ...] = ()
    text: str = ""
    words: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class DriftReport:
    """All differences, those that stop the dive first; `stops` also holds what no difference shows.

    `notes` says what could not be compared, and why. `together` is the effect of all differences at
    once, each as its best evidence has it; None where nothing differs or nothing was computed.
    """

    deviations: tuple[Deviation, ...]
    stops: tuple[Finding, ...]
    notes: tuple[str, ...] = ()
    together: Effect | None = None


def compare(
    baseline: Mapping[str, Any] | None,
    working: Mapping[str, Any],
    readback: Readback | None,
    logged: Mapping[str, Any] | None,
    tables: BoxTables | None,
    *,
    physics: Physics | None = None,
    trim_tolerance: float = TRIM_TOLERANCE,
    waivers: Sequence[Waiver] = (),
) -> DriftReport:
    """Compare field by field over the resolved objects.

    Args:
        baseline: the approved resolved object, None where no baseline is in force; then the others
            are compared with the working files.
        working: the resolved object of the working files.
        readback: what the box says; None where it was not read in this setup.
        logged: what the pilot says is set, keyed like `in_use` of a readback, later trims merged in.
        tables: the code tables of the box that was read.
        physics: the computations behind the effects; without them effects are None.
        trim_tolerance: share of full demand by which box and pilot may differ from the baseline.
        waivers: those in force now.
    """
    sources, notes = gather_sources(baseline, working, readback, logged, tables)
    reference = None
    if physics is not None:
        # Where nothing differs, or no effect is asked for, none of what computes it is loaded.
        from rovlog.domain.drift.effect import reference_of

        reference = reference_of(sources.reference, physics)
    case = _Case(sources, tables, reference, physics, trim_tolerance, tuple(waivers))
    rows = [_deviation(pointer, apart, case) for pointer, apart in apart_at(sources, trim_tolerance).items()]
    rows.sort(key=lambda d: (not d.stops_dive, not d.reasons, d.pointer))
    stops = _general_stops(baseline, readback) + [_finding(d) for d in rows if d.stops_dive]
    return DriftReport(tuple(rows), tuple(stops), tuple(notes), _together(rows, case))


@dataclass(frozen=True, slots=True)
class _Case:
    sources: Sources
    tables: BoxTables | None
    reference: Reference | None
    physics: Physics | None
    tolerance: float
    waivers: tuple[Waiver, ...]


def _finding(deviation: Deviation) -> Finding:
    return Finding(
        f"drift{deviation.pointer.replace('/', '-')}",
        "stops",
        f"{deviation.text} ({'; '.join(deviation.reasons)})",
        deviation.pointer,
        clears="put it back, accept it with a waiver, or approve the changed configuration",
    )


def _effect(case: _Case, after: Mapping[str, Any]) -> Effect | None:
    if case.reference is None or case.physics is None:
        return None
    from rovlog.domain.drift.effect import effect_of

    return effect_of(case.reference, after, case.physics)


def _together(rows: Sequence[Deviation], case: _Case) -> Effect | None:
    """All differences at once: two halves of one swap do together what neither does alone."""
    if not rows:
        return None
    if len(rows) == 1:
        return rows[0].effect
    after: Mapping[str, Any] = case.sources.reference
    for row in rows:
        after = swapped(after, row.pointer, case.sources.objects()[_speaker(row.apart, case.sources)])
    return _effect(case, dict(after))


def _speaker(apart: tuple[str, ...], sources: Sources) -> str:
    """Whose word on a difference counts: the best evidence that is not stale."""
    counted = [s for s in apart if not (s in ("readback", "stored") and sources.stale)]
    return (counted or list(apart))[0]


def _deviation(pointer: str, apart: tuple[str, ...], case: _Case) -> Deviation:
    sources = case.sources
    counted = tuple(s for s in apart if not (s in ("readback", "stored") and sources.stale))
    speaker = _speaker(apart, sources)
    after = swapped(sources.reference, pointer, sources.objects()[speaker])
    effect = _effect(case, after)
    values = (plain_value(sources.reference, pointer), plain_value(after, pointer))
    is_beyond = not is_within(pointer, *values, case.tolerance)
    reasons = stopping_reasons(pointer, counted, effect, is_beyond_tolerance=is_beyond)
    waived = any(
        pointer == w.pointer or pointer.startswith(w.pointer.rstrip("/") + "/") for w in case.waivers
    )
    sentence = _sentence(pointer, speaker, case, values)
    said = {s: sources.value(s, pointer) for s in ("baseline", "working", "readback", "stored", "logged")}
    return Deviation(
        pointer,
        **said,
        effect=effect,
        stops_dive=bool(reasons) and not waived,
        waived=waived,
        apart=apart,
        reasons=reasons,
        text=f"{sentence}: {effect.text}" if effect else sentence,
        words={
            source: value_words(pointer, value, case.tables, sources.firmware(source))
            for source, value in said.items()
            if value is not None
        },
    )


def _sentence(pointer: str, speaker: str, case: _Case, values: tuple[Any, Any]) -> str:
    sources, tables = case.sources, case.tables
    before, after = values
    against = "approved" if sources.baseline is not None else "in the working file"
    old_firmware, new_firmware = sources.firmware("baseline"), sources.firmware(speaker)
    if pointer.startswith("/trim_defaults/"):
        demand = pointer.rsplit("/", 1)[1]
        one, other = trim_words(demand, number(after, 0.0)), trim_words(demand, number(before, 0.0))
    else:
        place = place_words(pointer)
        one = f"{place} {value_words(pointer, after, tables, new_firmware)}"
        other = f"{place} {value_words(pointer, before, tables, old_firmware)}"
    return f"{one} {SOURCE_WORDS[speaker]}, {other} {against}"


def _general_stops(baseline: Mapping[str, Any] | None, readback: Readback | None) -> list[Finding]:
    stops = []
    if baseline is None:
        stops.append(
            Finding("no-baseline", "stops", "no baseline is in force for this vehicle",
                    clears="approve a configuration")
        )  # fmt: skip
    if readback is None:
        stops.append(
            Finding("box-unknown", "stops", "what the box holds is not known: it was not read in this setup",
                    "/control_box", clears="read the box, or type in what it shows")
        )  # fmt: skip
    elif readback.stale:
        stops.append(
            Finding("box-unknown", "stops", f"what the box holds is not known any more: {readback.stale}",
                    "/control_box", clears="read the box again")
        )  # fmt: skip
    return stops
