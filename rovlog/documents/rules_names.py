"""Ids and file names: a record is found by its name, so both must agree."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING

from rovlog.documents.ids import KIND_OF_FOLDER, file_name, id_key, is_device_name, is_id
from rovlog.documents.rows import text
from rovlog.problems import Problem

if TYPE_CHECKING:
    from rovlog.documents.tree import Tree

DEPTH = {"vehicle": 0, "box": 0, "thruster-model": 0, "part": 0, "checklist": 0}
"""How many folders stand between a kind's own folder and its records."""


def name_problems(tree: Tree, kind: str, name: str) -> Iterator[Problem]:
    """The id against the file's stem, names that no file may have, and records in a wrong folder."""
    file = file_name(name)
    if kind == "logbook" or not isinstance(tree.value, Mapping):
        return
    if file.folder in KIND_OF_FOLDER and kind in DEPTH and file.middle:
        message = f"the record stands in {file.folder}/{file.middle}"
        mend = f"move it to {file.folder}/{file.stem}.yaml"
        yield tree.problem("", "wrong-folder", message, name, f"{file.folder}/{file.stem}.yaml", mend)
    key = id_key(kind)
    found = text(tree.value, key)
    stem = file.stem
    if kind in ("dive", "work") and "continues" in tree.value:
        key, stem = ("continues", file.stem.partition(".")[0])
        found = text(tree.value, key)
    if not found or not is_id(found):
        return
    if is_device_name(found):
        yield tree.problem(
            f"/{key}",
            "id-reserved",
            f"{key} is '{found}', a name that some systems keep for a device",
            f"'{found}'",
            "another id",
            f"call it {found}-1, in the file's name as well",
        )
    elif found != stem:
        mend = f"write {key}: {stem}, or rename the file to {found}.yaml"
        if not is_id(stem):
            mend = f"rename the file to {found}.yaml"
        yield tree.problem(
            f"/{key}",
            "id-not-file-name",
            f"{key} is '{found}' in the file {name.rpartition('/')[2]}",
            f"'{found}'",
            f"the file's name without .yaml, {stem}",
            mend,
        )
