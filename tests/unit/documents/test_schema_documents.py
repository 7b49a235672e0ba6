"""Whole documents: the good ones have no problem, each bad one exactly the message written beside it."""

from __future__ import annotations

import json
from pathlib import Path

import jsonschema_rs
import pytest
from jsonschema import Draft202012Validator

from rovlog.documents.rules import check_together
from rovlog.documents.schema import check_document, kind_of
from rovlog.documents.tree import Tree, read
from rovlog.faces.reports.problem_text import problems_text
from rovlog.problems import Problem

ROOT = Path(__file__).parents[3]
SCHEMAS = {
    p.name.removesuffix("-1.json"): json.loads(p.read_text("utf-8")) for p in ROOT.glob("schemas/*.json")
}
GOOD = ROOT / "tests" / "documents" / "good"
BAD = sorted((ROOT / "tests" / "documents" / "bad").glob("*.yaml"))
STANDS_AS = "# stands as "


def good_trees() -> dict[str, Tree]:
    """The good logbook, as a fresh set of trees by name."""
    paths = {path.relative_to(GOOD).as_posix(): path for path in sorted(GOOD.rglob("*.yaml"))}
    return {name: read(path.read_bytes(), name) for name, path in paths.items()}


TREES = good_trees()


def bad_tree(path: Path) -> Tree:
    """A bad document under the name its first line gives it."""
    data = path.read_bytes()
    return read(data, data.decode().splitlines()[0].removeprefix(STANDS_AS))


def problems(tree: Tree) -> list[Problem]:
    """All problems of a document that is added to the good logbook, or put in place of one of it."""
    found = check_document(tree, tree.file, SCHEMAS) + check_together({**TREES, tree.file: tree})
    found = [problem for problem in found if problem.place.file == tree.file]
    return sorted(found, key=lambda p: (p.place, p.rule, p.pointer))


@pytest.mark.parametrize("name", sorted(TREES))
def test_a_good_document_has_no_problem(name):
    assert check_document(TREES[name], name, SCHEMAS) == []


def test_the_good_documents_fit_together():
    assert check_together(TREES) == []


def test_the_good_logbook_has_every_kind_and_every_kind_of_entry():
    kinds = {kind_of(tree, name)[0] for name, tree in TREES.items()}
    assert kinds == set(SCHEMAS)
    entries = {e["kind"] for tree in TREES.values() for e in tree.value.get("entries", ())}
    named = SCHEMAS["dive"]["properties"]["entries"]["items"]["properties"]["kind"]["enum"]
    assert entries == set(named)


@pytest.mark.parametrize("path", BAD, ids=lambda path: path.stem)
def test_a_bad_document_has_exactly_the_message_written_beside_it(path):
    assert problems_text(problems(bad_tree(path))) == path.with_suffix(".txt").read_text("utf-8")


@pytest.mark.parametrize("path", BAD, ids=lambda path: path.stem)
def test_a_bad_document_has_one_problem_with_a_mend(path):
    (problem,) = problems(bad_tree(path))
    assert problem.mend
    assert problem.expected
    assert problem.found


@pytest.mark.parametrize("tree", [*TREES.values(), *map(bad_tree, BAD)], ids=lambda tree: tree.file)
def test_both_validators_agree_on_every_document(tree):
    kind, _ = kind_of(tree, tree.file)
    schema = SCHEMAS[kind or "vehicle"]
    fast = jsonschema_rs.Draft202012Validator(schema).is_valid(tree.value)
    assert fast == Draft202012Validator(schema).is_valid(tree.value)


def test_every_bad_document_has_its_message_and_every_message_its_document():
    stems = {path.stem for path in BAD}
    assert stems == {path.stem for path in BAD[0].parent.glob("*.txt")}
    assert len(stems) > 90


def test_the_checklists_that_are_shipped_have_no_problem():
    trees = {
        f"checklists/{p.name}": read(p.read_bytes(), f"checklists/{p.name}")
        for p in ROOT.glob("checklists/*.yaml")
    }
    found = [p for name, tree in trees.items() for p in check_document(tree, name, SCHEMAS)]
    assert found + check_together(trees) == []
