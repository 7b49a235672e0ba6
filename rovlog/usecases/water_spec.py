"""A water as people type it: kind:temperature[:salinity]."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from rovlog.domain.hydrostatics.water import (
    LEAST_BRACKISH_SALINITY,
    WATER_KINDS,
    Water,
    WaterKind,
    water_density,
)
from rovlog.domain.ranges import require_within
from rovlog.problems import UsageError

_FORM = "write kind:temperature[:salinity], such as fresh:18 or salt:12:33; kind is fresh, brackish or salt"
_NUMBER = re.compile(r"[+-]?[0-9]{1,6}(?:[.,][0-9]{0,6})?")


def parse_water(text: str) -> Water:
    """The water named by `kind:temperature[:salinity]`, decimal point or comma.

    Raises UsageError for another form, for fresh water with salt in it and for brackish or salt water
    without; OutOfRangeError for a temperature outside 0 to 40 degrees C or a salinity outside 0 to 43.
    """
    kind_text, *numbers = [part.strip() for part in text.split(":")]
    kind = _kind(kind_text, text)
    if not 1 <= len(numbers) <= 2:
        raise UsageError(f"the water {text!r} has {len(numbers)} numbers; expected one or two", _FORM)
    temperature_c = _number("temperature", numbers[0], text)
    require_within("temperature_c", temperature_c, 0.0, 40.0)
    if len(numbers) == 1:
        return Water(kind, temperature_c)
    salinity = _number("salinity", numbers[1], text)
    require_within("salinity", salinity, 0.0, 43.0)
    is_salty = salinity >= LEAST_BRACKISH_SALINITY
    if is_salty == (kind == "fresh"):
        raise UsageError(
            f"the water {text!r} is called {kind} at a salinity of {salinity:g}",
            f"water counts as fresh below a salinity of {LEAST_BRACKISH_SALINITY:g}:"
            " change the word or the number",
        )
    return Water(kind, temperature_c, salinity)


def water_fields(text: str) -> dict[str, Any]:
    """A typed water as a record keeps it: {kind, temperature_c, salinity?}; raises as parse_water."""
    water = parse_water(text)
    fields: dict[str, Any] = {"kind": water.kind, "temperature_c": water.temperature_c}
    if water.salinity is not None:
        fields["salinity"] = water.salinity
    return fields


def recorded_salinity(water: Mapping[str, Any]) -> float | None:
    """Salinity of a recorded water: as given, else what its kind stands for; None: brackish, not given."""
    given = water.get("salinity")
    salinity = float(given) if given is not None else None
    return Water(water["kind"], float(water["temperature_c"]), salinity).salinity_taken


def density_of(water: Water) -> float:
    """Density at the surface, kg/m^3; UsageError for brackish water of unknown salinity."""
    salinity = water.salinity_taken
    if salinity is None:
        raise UsageError(
            "brackish water has no usual salinity, so its density is not known",
            f"give the salinity: brackish:{water.temperature_c:g}:<salinity>",
        )
    return water_density(salinity, water.temperature_c)


def _kind(word: str, text: str) -> WaterKind:
    for kind in WATER_KINDS:
        if word.lower() == kind:
            return kind
    raise UsageError(f"the water {text!r} begins with {word!r}", _FORM)


def _number(name: str, word: str, text: str) -> float:
    if not _NUMBER.fullmatch(word):
        raise UsageError(f"the {name} of the water {text!r} is {word!r}, which is not a number", _FORM)
    return float(word.replace(",", "."))
