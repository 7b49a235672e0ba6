"""What checklists refer to: vehicles, items that are repeated, and ids unique over all lists."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from typing import TYPE_CHECKING, Any

from rovlog.documents.index import Index
from rovlog.documents.rows import mapping, rows, text
from rovlog.domain.nearest import did_you_mean
from rovlog.problems import Problem

if TYPE_CHECKING:
    from rovlog.documents.tree import Tree


def checklist_references(index: Index) -> Iterator[Problem]:
    """Items of two lists with one id, and what lists name and that does not exist."""
    trees = index.by_stem.get("checklists", {})
    items = [found for tree in trees.values() for found in _items(tree)]
    first: dict[str, tuple[Tree, str]] = {}
    for tree, place, item in items:
        held = first.setdefault(item, (tree, place))
        if held[0] is not tree:
            yield tree.problem(
                f"{place}/item",
                "duplicate-id",
                f"item {item} is in {held[0].file} as well",
                f"'{item}'",
                "an id that is unique over all checklists",
                f"call it {tree.value['checklist']}-{item}"
                if isinstance(tree.value.get("checklist"), str)
                else "give it another id",
            )
    for tree in trees.values():
        for place, section in rows(tree.value, "", "sections"):
            for at, row in rows(section, place, "items"):
                repeats = text(row, "repeats")
                if repeats and repeats not in first:
                    yield tree.problem(
                        f"{at}/repeats",
                        "missing-reference",
                        f"item {text(row, 'item')} repeats '{repeats}'",
                        f"'{repeats}'",
                        "an item of a checklist",
                        did_you_mean(repeats, first) or "name an item that exists",
                    )
                yield from _reopened(tree, at, row, first)
        applies = mapping(tree.value).get("applies_to")
        for number, vehicle in enumerate(applies if isinstance(applies, list) else ()):
            if vehicle != "all":
                yield from index.missing(tree, f"/applies_to/{number}", "vehicles", vehicle, "applies_to")


def _reopened(tree: Tree, at: str, item: Mapping[str, Any], known: Collection[str]) -> Iterator[Problem]:
    """Items that are to be reopened and that no list has, or the item itself."""
    reopens, mine = item.get("reopens"), text(item, "item")
    for number, name in enumerate(reopens if isinstance(reopens, list) else ()):
        if isinstance(name, str) and (name not in known or name == mine):
            yield tree.problem(
                f"{at}/reopens/{number}",
                "missing-reference",
                f"item {mine} reopens {'itself' if name == mine else repr(name)}",
                f"'{name}'",
                "another item of a checklist",
                (name != mine and did_you_mean(name, known)) or "name an item that exists",
            )


def _items(tree: Tree) -> Iterator[tuple[Tree, str, str]]:
    for place, section in rows(tree.value, "", "sections"):
        for at, item in rows(section, place, "items"):
            if text(item, "item"):
                yield tree, at, text(item, "item")
