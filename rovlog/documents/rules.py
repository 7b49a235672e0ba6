"""The rules that a schema cannot state: which rules look at which kind of document."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from typing import TYPE_CHECKING, Any

from rovlog.problems import Problem
from rovlog.values import replace

if TYPE_CHECKING:
    from rovlog.documents.tree import Tree


def problems_in_document(
    tree: Tree, kind: str, name: str, schemas: Mapping[str, Mapping[str, Any]]
) -> list[Problem]:
    """What the rules find in one document by itself; it may be invalid by its schema."""
    from rovlog.documents import rules_approval, rules_box, rules_checklist, rules_names, rules_record
    from rovlog.documents.rules_model import model_problems
    from rovlog.documents.rules_vehicle import vehicle_problems

    found = list(rules_names.name_problems(tree, kind, name))
    if kind == "vehicle":
        found += vehicle_problems(tree)
    elif kind == "box":
        found += rules_box.box_problems(tree)
    elif kind == "thruster-model":
        found += model_problems(tree, "")
    elif kind == "checklist":
        found += rules_checklist.checklist_problems(tree, schemas["approval"])
    elif kind in ("approval", "withdrawal"):
        found += rules_approval.approval_problems(tree, kind, name)
    elif kind in ("dive", "work"):
        found += rules_record.record_problems(tree, kind, name)
    return found


def check_together(trees: Mapping[str, Tree], unreadable: Collection[str] = ()) -> list[Problem]:
    """What is wrong between documents (references, numbers in tables), sorted by place.

    `trees` holds the whole logbook by name; documents that are invalid by themselves are used as
    far as they go. `unreadable` names files that are there and cannot be read at all: a reference to
    one of them is not missing.
    """
    from rovlog.documents.index import index_of
    from rovlog.documents.references_checklist import checklist_references
    from rovlog.documents.references_record import record_references
    from rovlog.documents.references_vehicle import vehicle_references

    index = replace(index_of(trees), unreadable=frozenset(unreadable))
    found = list(vehicle_references(index))
    found += checklist_references(index)
    found += record_references(index)
    return sorted(found, key=lambda p: (p.place, p.rule, p.pointer))


def check_document(tree: Tree, name: str, schemas: Mapping[str, Mapping[str, Any]]) -> list[Problem]:
    """Schema and rules of one document by itself; see `schema.check_document`."""
    from rovlog.documents import schema

    return schema.check_document(tree, name, schemas)
