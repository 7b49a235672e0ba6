"""A logbook's documents by kind and id, to look references up."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from rovlog.documents.ids import file_name, is_id
from rovlog.documents.rows import mapping
from rovlog.domain.nearest import nearest
from rovlog.problems import Problem
from rovlog.values import dataclass, field

if TYPE_CHECKING:
    from rovlog.documents.tree import Tree

FOLDERS = {
    "vehicles": "vehicle",
    "boxes": "box",
    "thrusters": "thruster model",
    "parts": "part",
    "checklists": "checklist",
}
PLURALS = {"person": "people", "box": "boxes"}


@dataclass(frozen=True, slots=True)
class Index:
    """Trees by folder and file stem, all trees by name, and the people (None without a logbook.yaml)."""

    trees: Mapping[str, Tree]
    people: Mapping[str, Any] | None
    by_stem: Mapping[str, Mapping[str, Tree]] = field(default_factory=dict)
    unreadable: frozenset[str] = frozenset()

    def has(self, folder: str, identity: str) -> bool:
        """True if that folder holds a record of that id, also one that cannot be read."""
        return identity in self.by_stem.get(folder, {}) or f"{folder}/{identity}.yaml" in self.unreadable

    def value(self, folder: str, identity: str) -> Mapping[str, Any]:
        """The record of that id, empty where there is none."""
        tree = self.by_stem.get(folder, {}).get(identity)
        return mapping(tree.value) if tree is not None else {}

    def missing(self, tree: Tree, pointer: str, folder: str, identity: Any, what: str) -> list[Problem]:
        """A problem if the id at that place names no record of the folder; `what` begins the sentence."""
        if not isinstance(identity, str) or not is_id(identity) or self.has(folder, identity):
            return []
        return [
            _missing(
                tree, pointer, identity, what, FOLDERS[folder], f"{folder}/", self.by_stem.get(folder, {})
            )
        ]

    def unknown_person(self, tree: Tree, pointer: str, who: Any, what: str) -> list[Problem]:
        """A problem if the id names nobody of logbook.yaml."""
        if self.people is None or not isinstance(who, str) or not is_id(who) or who in self.people:
            return []
        return [_missing(tree, pointer, who, what, "person", "logbook.yaml under people", self.people)]


def _missing(
    tree: Tree, pointer: str, found: str, what: str, kind: str, where: str, known: Mapping[str, Any]
) -> Problem:
    near = nearest(found, known)
    mend = (
        f"did you mean {near}?"
        if near
        else f"{PLURALS.get(kind, kind + 's')} on file: {', '.join(sorted(known)) or 'none'}"
    )
    return tree.problem(
        pointer,
        "missing-reference",
        f"{what} is '{found}', and there is no such {kind}",
        f"'{found}'",
        f"a {kind} in {where}",
        mend,
    )


def index_of(trees: Mapping[str, Tree]) -> Index:
    """The index of a whole logbook."""
    by_stem: dict[str, dict[str, Tree]] = {}
    for name, tree in trees.items():
        file = file_name(name)
        by_stem.setdefault(file.folder, {})[file.stem] = tree
    people = None
    if "logbook.yaml" in trees:
        people = mapping(trees["logbook.yaml"].value, "people")
    return Index(trees, people, by_stem)
