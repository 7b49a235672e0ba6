"""What an entry does to earlier answers: which void events it stands for, and in whose words."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from rovlog.domain.checks.moments import Moment
from rovlog.domain.dive import VOID_EVENTS, WHILE_AWAY, Entry
from rovlog.values import dataclass, field

FITTED_VOIDS: tuple[tuple[str, tuple[str, ...]], ...] = (
    ("fuse", ("fuse-changed",)),
    ("tether", ("tether-changed",)),
    ("supply", ("supply-swapped",)),
    ("battery", ("supply-swapped",)),
    ("thruster", ("thruster-touched", "connector-parted")),
    ("propeller", ("thruster-touched",)),
    ("housing", ("housing-opened",)),
    ("seal", ("housing-opened",)),
    ("controller", ("connector-parted",)),
    ("box", ("box-changed", "connector-parted")),
    ("ballast", ("load-changed",)),
    ("float", ("load-changed",)),
)
"""What fitting a part voids, by a word in where it is fitted or in its name; anything else is load."""

TRIM_CHANGED = "trim-changed"
"""The event that a logged trim stands for."""

TEMPERATURE_STEP_K = 5.0
"""Project default: a move of temperature that voids what it can change."""


@dataclass(frozen=True, slots=True)
class Policy:
    """The numbers a team may set; all are project defaults. Shares have no unit."""

    pause_gap_s: float = 600.0
    trim_tolerance: float = 0.02
    temperature_step_k: float = TEMPERATURE_STEP_K
    agreement_share: float = 0.05


@dataclass(frozen=True, slots=True)
class Happening:
    """A void event: its slug, what it was in words, and the part it names ("" for none)."""

    event: str
    words: str
    part: str = ""


@dataclass(slots=True)
class Known:
    """What is known just before an entry: the place, the crew, the box, the configuration."""

    digest: str = ""
    site: str = ""
    water: str = ""
    temperature_c: float | None = None
    crew: Mapping[str, str] = field(default_factory=dict)
    in_use: Mapping[str, Any] = field(default_factory=dict)
    firmware: str = ""
    box: str = ""
    is_powered: bool = False

    def copy(self) -> Known:
        """A copy that can go its own way."""
        return Known(
            self.digest,
            self.site,
            self.water,
            self.temperature_c,
            self.crew,
            self.in_use,
            self.firmware,
            self.box,
            self.is_powered,
        )


def happenings(moment: Moment, known: Known, policy: Policy) -> list[Happening]:
    """The void events an entry stands for; `known` is brought up to date."""
    entry = moment.entry
    found: list[Happening] = []
    if entry.kind in ("start", "check"):
        found += _configuration(entry, known)
    if entry.kind in ("start", "place"):
        found += _place(entry, known, policy)
    if entry.kind in ("start", "crew"):
        found += _crew(entry, known)
    if entry.kind == "event" and entry.fields.get("event") in VOID_EVENTS:
        found += _event(entry)
    if entry.kind == "fault":
        found += _fault(entry)
    if entry.kind == "fitted":
        found += _fitted(entry)
    if entry.kind in ("readback", "setup", "trim"):
        found += _box(entry, known, policy)
    return found


def _event(entry: Entry) -> Iterator[Happening]:
    slug, part = str(entry.fields["event"]), str(entry.fields.get("part", ""))
    if slug == "returned":
        text = str(entry.fields.get("text", ""))
        words = VOID_EVENTS[slug] + (f" ({text})" if text else "")
        yield from (Happening(one, words) for one in WHILE_AWAY)
    else:
        yield Happening(slug, VOID_EVENTS[slug] + (f" ({part})" if part else ""), part)


def _configuration(entry: Entry, known: Known) -> Iterator[Happening]:
    keys = ("working", "baseline") if entry.kind == "start" else ("configuration",)
    digest = next((str(entry.fields[k]) for k in keys if entry.fields.get(k)), "")
    if digest and known.digest and digest != known.digest:
        yield Happening("configuration-changed", "configuration changed")
    known.digest = digest or known.digest


def _place(entry: Entry, known: Known, policy: Policy) -> Iterator[Happening]:
    site = str(entry.fields.get("site") or known.site)
    water = entry.fields.get("water")
    kind = str(water.get("kind") or known.water) if isinstance(water, Mapping) else known.water
    temperature = water.get("temperature_c") if isinstance(water, Mapping) else None
    if known.site and site != known.site:
        yield Happening("water-changed", f"site changed from {known.site} to {site}")
    elif known.water and kind != known.water:
        yield Happening("water-changed", f"water changed from {known.water} to {kind}")
    known.site, known.water = site, kind
    if isinstance(temperature, int | float) and not isinstance(temperature, bool):
        before = known.temperature_c
        if before is not None and abs(temperature - before) > policy.temperature_step_k:
            yield Happening("temperature-moved", f"temperature moved from {before:g} to {temperature:g} °C")
        # The reference moves only with a step, so that small steps in one direction add up.
        if before is None or abs(temperature - before) > policy.temperature_step_k:
            known.temperature_c = float(temperature)


def _crew(entry: Entry, known: Known) -> Iterator[Happening]:
    crew = entry.fields.get("crew")
    if not isinstance(crew, Mapping) or not crew:
        return
    if known.crew and dict(crew) != dict(known.crew):
        changed = sorted(r for r in {*crew, *known.crew} if crew.get(r) != known.crew.get(r))
        yield Happening("crew-changed", "people changed: " + ", ".join(changed))
    known.crew = dict(crew)


def _fault(entry: Entry) -> Iterator[Happening]:
    symptom, part = str(entry.fields.get("symptom", "")), str(entry.fields.get("part", ""))
    yield Happening("fault", f"fault logged: {symptom}" + (f" ({part})" if part else ""), part)
    if symptom == "fuse-opened":
        yield Happening("fuse-changed", "fuse opened", part)


def _fitted(entry: Entry) -> Iterator[Happening]:
    part, to = str(entry.fields.get("part", "")), str(entry.fields.get("to", ""))
    for place in (to, part):
        for word, slugs in FITTED_VOIDS:
            if word in place.casefold():
                yield from (Happening(slug, f"{part} fitted to {to}", part) for slug in slugs)
                return
    yield Happening("load-changed", f"{part} fitted to {to}", part)


def _box(entry: Entry, known: Known, policy: Policy) -> Iterator[Happening]:
    """A difference that nobody wrote down is a change of the box; a trim that was logged is not, but
    what was said of the trim before is over."""
    if entry.kind == "trim":
        trim = entry.fields.get("trim")
        known.in_use = {**known.in_use, **flat({"trim": trim})} if known.in_use else known.in_use
        if isinstance(trim, Mapping) and trim:
            yield Happening(TRIM_CHANGED, f"control trim changed: {', '.join(map(str, trim))}")
        return
    said = entry.fields.get("in_use") if entry.kind == "readback" else entry.fields.get("values")
    if not isinstance(said, Mapping):
        return
    values = flat(said)
    changed = [k for k, v in values.items() if k in known.in_use and _differs(v, known.in_use[k], policy)]
    if entry.kind == "readback":
        # A trim that a readback leaves out is 0, as it is in a configuration.
        gone = [
            k
            for k, v in known.in_use.items()
            if k.startswith("trim.") and k not in values and _differs(v, 0, policy)
        ]
        new = [
            k for k, v in values.items() if known.in_use and k.startswith("trim.") and k not in known.in_use
        ]
        changed += (gone if "trim" in said else []) + [k for k in new if _differs(values[k], 0, policy)]
        firmware, box = str(entry.fields.get("firmware", "")), str(entry.fields.get("box", ""))
        changed += ["firmware"] if known.firmware and firmware != known.firmware else []
        changed += ["box"] if known.box and box != known.box else []
        known.firmware, known.box = firmware, box
        known.in_use = values
    else:
        known.in_use = {**known.in_use, **values}
    if changed:
        what = (
            "the box reads back differently"
            if entry.kind == "readback"
            else "the pilot says it is set differently"
        )
        yield Happening(
            "box-changed", f"{what}: " + ", ".join(k.replace("_", " ").replace(".", " ") for k in changed)
        )


def flat(values: Mapping[str, Any], prefix: str = "") -> dict[str, Any]:
    """Nested values by dotted names: {trim: {heave: 0.1}} is {"trim.heave": 0.1}."""
    found: dict[str, Any] = {}
    for key, value in values.items():
        if isinstance(value, Mapping):
            found |= flat(value, f"{prefix}{key}.")
        else:
            found[f"{prefix}{key}"] = value
    return found


def _differs(one: Any, other: Any, policy: Policy) -> bool:
    numbers = [x for x in (one, other) if isinstance(x, int | float) and not isinstance(x, bool)]
    if len(numbers) == 2 and (isinstance(one, float) or isinstance(other, float)):
        return abs(numbers[0] - numbers[1]) > policy.trim_tolerance + 1e-9
    return bool(one != other)
