"""What dives and work refer to: vehicle, box, people, parts, other records, corrected entries."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING, Any

from rovlog.documents.ids import file_name
from rovlog.documents.index import Index
from rovlog.documents.rows import mapping, rows, text
from rovlog.domain.nearest import did_you_mean
from rovlog.problems import Problem

if TYPE_CHECKING:
    from rovlog.documents.tree import Tree

RECORDS = ("dives", "work")


def record_references(index: Index) -> Iterator[Problem]:
    """Everything that dives and work name and that does not exist."""
    parts: dict[str, list[Tree]] = {}
    for name, tree in index.trees.items():
        file = file_name(name)
        if file.folder in RECORDS and isinstance(tree.value, Mapping):
            parts.setdefault(file.stem.partition(".")[0], []).append(tree)
    for identity, trees in parts.items():
        ids = {text(row, "id") for tree in trees for _, row in rows(tree.value, "", "entries")}
        for tree in trees:
            yield from _header(index, tree, identity, parts)
            for place, row in rows(tree.value, "", "entries"):
                yield from _entry(index, tree, place, row)
                yield from _other_entries(tree, place, row, ids, parts)


def _header(index: Index, tree: Tree, identity: str, parts: Mapping[str, list[Tree]]) -> Iterator[Problem]:
    value = tree.value
    yield from index.missing(tree, "/vehicle", "vehicles", value.get("vehicle"), "vehicle")
    yield from index.missing(tree, "/box", "boxes", value.get("box"), "box")
    if "continues" not in value:
        return
    first = next((t for t in parts[identity] if "continues" not in t.value), None)
    if first is None:
        found = text(value, "continues")
        yield tree.problem(
            "/continues",
            "missing-reference",
            f"the part continues '{found}', and there is no such record",
            f"'{found}'",
            f"the record {found}.yaml beside it",
            "fetch it from the laptop that started it",
        )
    elif text(first.value, "vehicle") != text(value, "vehicle"):
        yield tree.problem(
            "/vehicle",
            "vehicle-not-the-same",
            f"the part is about {text(value, 'vehicle') or 'no vehicle'}",
            f"'{text(value, 'vehicle')}'",
            f"'{text(first.value, 'vehicle')}'",
            f"{first.file} is about that vehicle",
        )


def _entry(index: Index, tree: Tree, place: str, row: Mapping[str, Any]) -> Iterator[Problem]:
    kind = text(row, "kind")
    yield from index.unknown_person(tree, f"{place}/by", row.get("by"), f"by of a {kind} entry")
    if "typed_by" in row:
        who = row.get("typed_by")
        yield from index.unknown_person(tree, f"{place}/typed_by", who, f"typed_by of a {kind} entry")
    for role, who in mapping(row, "crew").items():
        yield from index.unknown_person(tree, f"{place}/crew/{role}", who, role)
    if kind == "fitted":
        yield from index.missing(tree, f"{place}/part", "parts", row.get("part"), "the part fitted")
        yield from index.missing(tree, f"{place}/replaces", "parts", row.get("replaces"), "the part replaced")
    if kind == "readback":
        yield from index.missing(tree, f"{place}/box", "boxes", row.get("box"), "box of the readback")


def _other_entries(
    tree: Tree, place: str, row: Mapping[str, Any], ids: set[str], parts: Mapping[str, list[Tree]]
) -> Iterator[Problem]:
    corrects, record = text(row, "corrects"), text(row, "record")
    if corrects and corrects not in ids:
        yield tree.problem(
            f"{place}/corrects",
            "missing-reference",
            "the correction names an entry that is not in the record",
            corrects,
            "the id of an entry of this record",
            "copy the id of the entry that is wrong",
        )
    if text(row, "kind") == "same-as" and record and record not in parts:
        yield tree.problem(
            f"{place}/record",
            "missing-reference",
            f"same-as names '{record}', and there is no such record",
            f"'{record}'",
            "a dive or work on file",
            did_you_mean(record, parts) or "copy the record's id",
        )
