"""Checking one document: its kind, its schema, and the rules that a schema cannot state.

jsonschema-rs says fast whether a document is valid; only where it is not does jsonschema explain.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from rovlog.documents.ids import KIND_OF_FOLDER, KINDS, file_name
from rovlog.domain.nearest import did_you_mean
from rovlog.problems import Problem

if TYPE_CHECKING:
    from rovlog.documents.tree import Tree

Schemas = Mapping[str, Mapping[str, Any]]
"""JSON Schema by kind of document."""

_VALIDATORS: dict[int, tuple[Mapping[str, Any], Any]] = {}
"""Compiled validators by the identity of their schema, which is kept alive beside them."""


def check_document(tree: Tree, name: str, schemas: Schemas) -> list[Problem]:
    """Every problem of one document by itself, sorted by place; [] if there is none.

    `name` is relative to the logbook; folder and stem say what the document must be and its id.
    """
    from rovlog.documents.rules import problems_in_document

    kind, problems = kind_of(tree, name)
    if kind is None:
        return problems
    problems += _schema_problems(tree, kind, schemas, is_format_known=not problems)
    known = {p.pointer for p in problems}
    problems += [p for p in problems_in_document(tree, kind, name, schemas) if p.pointer not in known]
    return sorted(problems, key=lambda p: (p.place, p.rule, p.pointer))


def problems_of(tree: Tree, schemas: Schemas) -> list[Problem]:
    """What is wrong by kind and schema alone."""
    kind, problems = kind_of(tree, tree.file)
    return problems if kind is None else problems + _schema_problems(tree, kind, schemas, not problems)


def is_valid(value: Any, schema: Mapping[str, Any]) -> bool:
    """True if the plain value keeps to the schema."""
    return bool(_validator(schema).is_valid(value))


def kind_of(tree: Tree, name: str) -> tuple[str | None, list[Problem]]:
    """The kind by which the document is to be checked, None if unknown, and what is wrong about it."""
    value = tree.value
    if not isinstance(value, Mapping):
        return None, [
            tree.problem(
                "",
                "not-a-record",
                "the document is not a mapping of keys to values",
                "a list" if isinstance(value, list) else f"'{value}'",
                "a mapping that begins with format: rovlog/<kind>/1",
                "write the record's keys, one a line",
            )
        ]
    expected = _expected_kinds(name)
    by_folder = expected[0] if len(expected) == 1 else None
    wanted = " or ".join(f"rovlog/{kind}/1" for kind in expected) if expected else "rovlog/<kind>/1"
    if "format" not in value:
        mend = f"write format: {wanted} as the first key"
        problem = tree.problem("", "missing-key", "format is missing", "no format", f"format: {wanted}", mend)
        return by_folder, [problem]
    kind, problem_or_none = _kind_by_format(tree, value["format"], wanted)
    if problem_or_none is not None:
        return by_folder, [problem_or_none]
    if expected and kind not in expected:
        folder = name.rpartition("/")[0] or "the logbook's own folder"
        problem = tree.problem(
            "/format",
            "wrong-folder",
            f"a record of kind {kind} stands in {folder}",
            f"rovlog/{kind}/1",
            wanted,
            f"move the file to {_folder_of(str(kind))}, or write format: {wanted}",
        )
        return kind, [problem]
    return kind, []


def _kind_by_format(tree: Tree, found: Any, wanted: str) -> tuple[str | None, Problem | None]:
    match = re.fullmatch(r"rovlog/([a-z-]+)/([0-9]+)", found) if isinstance(found, str) else None
    if match is None:
        return None, tree.problem(
            "/format", "wrong-format", f"format is '{found}'", f"'{found}'", wanted, f"write format: {wanted}"
        )
    if match[1] not in KINDS:
        mend = did_you_mean(match[1], KINDS) or f"kinds are {', '.join(KINDS)}"
        return None, tree.problem(
            "/format", "wrong-format", f"there is no kind of record '{match[1]}'", f"'{found}'", wanted, mend
        )
    if match[2] != "1":
        return None, tree.problem(
            "/format",
            "wrong-format",
            f"format is version {match[2]} of {match[1]}",
            f"'{found}'",
            f"rovlog/{match[1]}/1",
            "this program knows version 1 alone; a newer rovlog may read it",
        )
    return match[1], None


def _expected_kinds(name: str) -> tuple[str, ...]:
    if name == "logbook.yaml":
        return ("logbook",)
    return KIND_OF_FOLDER.get(file_name(name).folder, ())


def _folder_of(kind: str) -> str:
    return next((f"{folder}/" for folder, kinds in KIND_OF_FOLDER.items() if kind in kinds), "logbook.yaml")


def _schema_problems(tree: Tree, kind: str, schemas: Schemas, is_format_known: bool) -> list[Problem]:
    schema = schemas[kind]
    if is_valid(tree.value, schema):
        return []
    from rovlog.documents.schema_problems import explain

    problems = explain(tree, schema)
    if not is_format_known:
        problems = [p for p in problems if p.pointer != "/format" and p.found != "no format"]
    elif not problems:
        problems = [_unexplained(tree, schema)]
    return problems


def _unexplained(tree: Tree, schema: Mapping[str, Any]) -> Problem:
    """The two validators disagree: never let such a document pass, nor leave it without a word."""
    error = next(iter(_validator(schema).iter_errors(tree.value)))
    pointer = "".join(f"/{step}" for step in error.instance_path)
    return tree.problem(
        pointer, "not-valid", str(error.message), "this", "what the schema says", "see the schema"
    )


def _validator(schema: Mapping[str, Any]) -> Any:
    known = _VALIDATORS.get(id(schema))
    if known is None:
        import jsonschema_rs

        known = _VALIDATORS[id(schema)] = (schema, jsonschema_rs.Draft202012Validator(dict(schema)))
    return known[1]
