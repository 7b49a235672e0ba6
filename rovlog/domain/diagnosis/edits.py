"""What may be wrong: single edits of the wiring or the setup, and explanations made of them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import combinations, combinations_with_replacement, product
from typing import Literal

from rovlog.domain.vehicle import Configuration, SteeringScheme, ThrusterMap
from rovlog.values import dataclass

EditKind = Literal[
    "reversed",
    "still",
    "dead",
    "swapped",
    "wrong-thruster-map",
    "wrong-steering-scheme",
    "control-reversed",
    "other",
]

EDIT_KINDS: tuple[EditKind, ...] = (
    "reversed",
    "still",
    "dead",
    "swapped",
    "wrong-thruster-map",
    "wrong-steering-scheme",
    "control-reversed",
)
"""The kinds that can be computed; `other` stands for everything else."""

WIRING_KINDS = frozenset({"reversed", "still", "dead", "swapped"})
"""Edits behind the box's outputs; the rest are in the box's setup."""


@dataclass(frozen=True, slots=True)
class Edit:
    """One thing wrong. Only the field that its kind names is set.

    `reversed` and `still` have a thruster, `dead` a channel, `swapped` two channels (ascending), the
    `wrong-…` kinds the number that is really in force, `control-reversed` a control.
    """

    edit: EditKind
    thruster: str | None = None
    channel: int | None = None
    channels: tuple[int, int] | None = None
    number: int | None = None
    control: str | None = None


Explanation = tuple[Edit, ...]
"""Edits that are all in force at once; () is nothing wrong."""

OTHER: Explanation = (Edit("other"),)
"""Something that no edit describes."""


@dataclass(frozen=True, slots=True)
class Priors:
    """How likely explanations are before anything was seen; project defaults, no units.

    `none`, `one` and `two` share what `other` leaves. Kinds (for two: pairs of kinds) are equally
    likely, then their members.
    """

    none: float = 0.1
    one: float = 0.6
    two: float = 0.3
    other: float = 0.02


def single_edits(
    configuration: Configuration,
    schemes: Mapping[int, SteeringScheme],
    maps: Mapping[int, ThrusterMap],
) -> dict[EditKind, tuple[Edit, ...]]:
    """Every single edit by kind, kinds without a member left out.

    `schemes` and `maps` are the box's whole tables by number; channels are those with a thruster.
    """
    channels = configuration.channels_in_use
    box = configuration.control_box
    found: dict[EditKind, tuple[Edit, ...]] = {
        "reversed": tuple(Edit("reversed", thruster=t.thruster) for t in configuration.thrusters),
        "still": tuple(Edit("still", thruster=t.thruster) for t in configuration.thrusters),
        "dead": tuple(Edit("dead", channel=c) for c in channels),
        "swapped": tuple(Edit("swapped", channels=pair) for pair in combinations(channels, 2)),
        "wrong-thruster-map": tuple(
            Edit("wrong-thruster-map", number=n) for n in sorted(maps) if n != box.thruster_map
        ),
        "wrong-steering-scheme": tuple(
            Edit("wrong-steering-scheme", number=n) for n in sorted(schemes) if n != box.steering_scheme
        ),
        "control-reversed": tuple(
            Edit("control-reversed", control=c) for c in considered_controls(configuration, schemes)
        ),
    }
    return {kind: edits for kind, edits in found.items() if edits}


def considered_controls(
    configuration: Configuration, schemes: Mapping[int, SteeringScheme]
) -> tuple[str, ...]:
    """The controls of the scheme in force, then those of the box's other schemes, each once."""
    every = [configuration.steering_scheme, *(schemes[number] for number in sorted(schemes))]
    return tuple(dict.fromkeys(entry.control for scheme in every for entry in scheme.entries))


def explanations(
    edits: Mapping[EditKind, tuple[Edit, ...]], priors: Priors
) -> tuple[tuple[Explanation, ...], tuple[float, ...]]:
    """All explanations but `other`, and the prior of each; with `other` the priors sum to 1.

    Pairs that cannot both be in force are left out: two swaps sharing a channel, and two numbers for
    one setting of the box.
    """
    found: list[Explanation] = [()]
    weights = [priors.none]
    kinds = list(edits)
    for kind in kinds:
        found += [(edit,) for edit in edits[kind]]
        weights += [priors.one / len(kinds) / len(edits[kind])] * len(edits[kind])
    pairs = {of: list(_pairs(edits, *of)) for of in combinations_with_replacement(kinds, 2)}
    pairs = {of: members for of, members in pairs.items() if members}
    for members in pairs.values():
        found += members
        weights += [priors.two / len(pairs) / len(members)] * len(members)
    total = sum(weights)
    share = (1.0 - priors.other) / total if total > 0.0 else 0.0
    return tuple(found), tuple(weight * share for weight in weights)


def _pairs(
    edits: Mapping[EditKind, tuple[Edit, ...]], first: EditKind, second: EditKind
) -> Iterator[Explanation]:
    if first != second:
        yield from product(edits[first], edits[second])
        return
    for a, b in combinations(edits[first], 2):
        if first in ("wrong-thruster-map", "wrong-steering-scheme"):
            continue
        if a.channels and b.channels and set(a.channels) & set(b.channels):
            continue
        yield (a, b)
