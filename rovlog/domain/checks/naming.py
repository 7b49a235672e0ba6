"""Which items name a part, so that a fault on the part voids exactly their answers."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from rovlog.domain.checks.checklist import Item

_KEYED = {"thrusters": "thruster", "housings": "housing", "models": "thruster"}
"""Where ids of parts stand in a resolved configuration, and the word items use for them."""

_WORDS = (
    "thruster",
    "propeller",
    "housing",
    "seal",
    "fuse",
    "tether",
    "connector",
    "supply",
    "battery",
    "ballast",
    "payload",
    "controller",
    "box",
    "camera",
    "lights",
    "lamp",
    "leak-alarm",
)
_SAME = {"propeller": "thruster", "battery": "supply", "lamp": "lights"}


def words_of_part(
    part: str, resolved: Mapping[str, Any], fitted_to: Mapping[str, str] | None = None
) -> frozenset[str]:
    """The words items may name this part by: a thruster's id is a thruster, and so on.

    `fitted_to` says where parts with an identity were last fitted; that place counts as well.
    """
    words: set[str] = set()
    for name in (part, (fitted_to or {}).get(part, "")):
        text = name.casefold().strip()
        if not text:
            continue
        words |= {_SAME.get(w, w) for w in _WORDS if w in text.replace(" ", "-")}
        for key, word in _KEYED.items():
            ids = resolved.get(key)
            last = text.rsplit("/", 1)[-1]
            if isinstance(ids, Mapping) and last in ids:
                words.add(word)
        control_box = resolved.get("control_box")
        if isinstance(control_box, Mapping) and text == control_box.get("box"):
            words.add("box")
    return frozenset(words)


def names_part(item: Item, words: frozenset[str]) -> bool:
    """True if the item names a part known by one of these words."""
    return not words.isdisjoint(item.parts)
