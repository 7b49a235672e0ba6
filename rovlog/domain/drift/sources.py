"""Who says what is on the vehicle: box, pilot and working files laid beside the baseline."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from rovlog.domain.axes import DEMANDS
from rovlog.domain.drift.leaves import ABSENT, differences, value_at
from rovlog.domain.drift.statements import Laid, Readback, lay_over, speaks_of
from rovlog.domain.drift.swap import causes
from rovlog.domain.drift.tables import BoxTables
from rovlog.values import dataclass, field

SOURCES = ("readback", "logged", "working", "stored")
"""Who speaks for what is on the vehicle now, the best evidence first."""

SOURCE_WORDS = {
    "readback": "in the box",
    "logged": "by the pilot's word",
    "working": "in the working file",
    "stored": "stored in the box for the next power-up",
}


@dataclass(frozen=True, slots=True)
class Sources:
    """All sources of one comparison; `reference` is the baseline, or the working object without one."""

    reference: Mapping[str, Any]
    baseline: Mapping[str, Any] | None
    working: Mapping[str, Any]
    laid: Mapping[str, Laid] = field(default_factory=dict)
    stale: str | None = None

    def objects(self) -> dict[str, Mapping[str, Any]]:
        """Every source that speaks, as a whole resolved object."""
        found = {name: laid.resolved for name, laid in self.laid.items()}
        if self.baseline is not None:
            found["working"] = self.working
        return found

    def firmware(self, source: str) -> str:
        """The firmware under which a source's numbers are to be read."""
        resolved = self.objects().get(source, self.working if source == "working" else self.reference)
        return str(dict(resolved.get("control_box", {})).get("firmware", ""))

    def value(self, source: str, pointer: str) -> Any:
        """What a source says at a pointer: a value, ABSENT, or None."""
        if source == "baseline":
            return None if self.baseline is None else plain_value(self.baseline, pointer)
        if source == "working":
            return plain_value(self.working, pointer)
        laid = self.laid.get(source)
        return plain_value(laid.resolved, pointer) if laid and speaks_of(laid, pointer) else None


def gather_sources(
    baseline: Mapping[str, Any] | None,
    working: Mapping[str, Any],
    readback: Readback | None,
    logged: Mapping[str, Any] | None,
    tables: BoxTables | None,
) -> tuple[Sources, list[str]]:
    reference = working if baseline is None else baseline
    laid: dict[str, Laid] = {}
    box = firmware = None
    if readback is not None:
        if not readback.stale:
            box, firmware = readback.box, readback.firmware
        laid["readback"] = lay_over(
            reference,
            readback.in_use,
            tables,
            box=readback.box,
            firmware=readback.firmware,
            is_whole_trim=True,
        )
        if readback.stored is not None:
            laid["stored"] = lay_over(
                reference, readback.stored, tables, box=readback.box, firmware=readback.firmware,
                is_whole_trim=True,
            )  # fmt: skip
    if logged:
        spoken = lay_over(reference, logged, tables, box=box, firmware=firmware, is_whole_trim=False)
        own = spoken.spoken - {f"/control_box/{k}" for k in ("box", "firmware") if k not in logged}
        own -= {f"/{c}" for c in ("steering_scheme", "thruster_map") if c not in logged}
        laid["logged"] = Laid(spoken.resolved, own, spoken.undecoded, spoken.unused)
    notes = [n for name in laid for n in laid[name].undecoded]
    notes += [
        f"not compared: {key} ({SOURCE_WORDS[name]})" for name, one in laid.items() for key in one.unused
    ]
    if readback is not None and readback.stale:
        notes.append(f"the readback is stale ({readback.stale}): it is shown, but proves nothing now")
    stale = readback.stale if readback else None
    return Sources(reference, baseline, working, laid, stale), list(dict.fromkeys(notes))


def apart_at(sources: Sources, tolerance: float) -> dict[str, tuple[str, ...]]:
    """Every pointer at which a source differs from the reference, with those sources, best evidence first."""
    found: dict[str, list[str]] = {}
    objects = sources.objects()
    for name in SOURCES:
        if name not in objects:
            continue
        for pointer, before, after in causes(differences(sources.reference, objects[name])):
            if name != "working" and not speaks_of(sources.laid[name], pointer):
                continue
            if name != "working" and is_within(pointer, before, after, tolerance):
                continue
            found.setdefault(pointer, []).append(name)
    return {pointer: tuple(names) for pointer, names in sorted(found.items())}


def is_within(pointer: str, before: Any, after: Any, tolerance: float) -> bool:
    if pointer.startswith("/trim_defaults/"):
        return abs(number(before, 0.0) - number(after, 0.0)) <= tolerance + 1e-9
    if pointer == "/power_limit":
        return abs(number(before, 1.0) - number(after, 1.0)) <= 1e-9
    return False


def plain_value(resolved: Mapping[str, Any], pointer: str) -> Any:
    """The value at a pointer; a trim that is not there is 0."""
    value = value_at(resolved, pointer)
    path = pointer.split("/")
    if value is ABSENT and len(path) == 3 and path[1] == "trim_defaults" and path[2] in DEMANDS:
        return 0.0
    return value


def number(value: Any, otherwise: float) -> float:
    return float(value) if isinstance(value, int | float) and not isinstance(value, bool) else otherwise
