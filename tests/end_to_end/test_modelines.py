"""The first line of a record leads a stock YAML language server to a schema that the record keeps.

Nothing of ours takes part in the judging: PyYAML reads, jsonschema judges, and the schema is the file
that the modeline names, resolved from the record's own folder as an editor does.
"""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

import pytest
import yaml
from calling import CommandLine
from hand_written import PEOPLE, write_files
from jsonschema import Draft202012Validator

from rovlog.documents.ids import KIND_OF_FOLDER
from rovlog.documents.write import modeline
from rovlog.wiring import open_book

GOOD = Path(__file__).parents[1] / "documents" / "good"
MODELINE = re.compile(r"# yaml-language-server: \$schema=(\S+)")


class EditorLoader(yaml.SafeLoader):
    """YAML 1.2 as the editors' servers read it: times stay text, yes and no are words, keys are names."""

    def construct_mapping(self, node: Any, deep: bool = False) -> dict[str, Any]:
        for key, _ in node.value:
            key.tag = "tag:yaml.org,2002:str"
        return super().construct_mapping(node, deep)


EditorLoader.yaml_implicit_resolvers = {
    first: [(tag, pattern) for tag, pattern in rows if tag.rpartition(":")[2] in ("null", "float", "int")]
    for first, rows in yaml.SafeLoader.yaml_implicit_resolvers.items()
}
EditorLoader.add_implicit_resolver("tag:yaml.org,2002:bool", re.compile("true|false"), list("tf"))


def problems(path: Path) -> list[str]:
    """What an editor would underline in this file."""
    text = path.read_text("utf-8")
    match = MODELINE.fullmatch(text.splitlines()[0])
    assert match, f"{path} has no modeline"
    schema_file = (path.parent / match.group(1)).resolve()
    assert schema_file.is_file(), f"{path} leads to {schema_file}"
    schema = json.loads(schema_file.read_text("utf-8"))
    Draft202012Validator.check_schema(schema)
    value = yaml.load(text, Loader=EditorLoader)
    return [f"{e.json_path}: {e.message}" for e in Draft202012Validator(schema).iter_errors(value)]


@pytest.fixture(scope="module")
def good(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The good documents as a logbook on disk; one without a modeline gets the one the program writes."""
    root = tmp_path_factory.mktemp("good")
    for path in sorted(GOOD.rglob("*.yaml")):
        name = path.relative_to(GOOD)
        text = path.read_text("utf-8")
        if not MODELINE.match(text):
            kind = re.search(r"^format: rovlog/([a-z-]+)/1$", text, re.MULTILINE)
            assert kind
            text = modeline(kind.group(1), len(name.parts) - 1) + "\n" + text
        (root / name).parent.mkdir(parents=True, exist_ok=True)
        (root / name).write_text(text, "utf-8")
    open_book(str(root))
    return root


@pytest.mark.parametrize("name", sorted(p.relative_to(GOOD).as_posix() for p in GOOD.rglob("*.yaml")))
def test_an_editor_finds_nothing_wrong_in_a_good_document(good, name):
    assert problems(good / name) == []


def test_an_editor_underlines_a_mistake(good):
    path = good / "vehicles" / "shearwater.yaml"
    text = path.read_text("utf-8")
    try:
        path.write_text(text.replace("mass_kg", "mas_kg", 1), "utf-8")
        assert any("mas_kg" in line for line in problems(path))
    finally:
        path.write_text(text, "utf-8")


@pytest.mark.system("git")
def test_whatever_the_program_writes_leads_editors_to_its_schema(tmp_path):
    root = tmp_path / "logbook"
    call = CommandLine(root)
    assert (
        call.installed("init", str(root), *(w for p in PEOPLE for w in ("--person", p)), cwd=tmp_path).status
        == 0
    )
    write_files(root)
    call("vehicle", "approve", "auk", "--by", "nora", "--reason", "first",
         *(w for f in findings(call) for w in ("--accept", f"{f}=known")))  # fmt: skip
    call("vehicle", "withdraw", "auk@1", "--by", "nora", "--reason", "too early")
    call(
        "dive",
        "start",
        "auk",
        "--by",
        "nora",
        "--site",
        "lock",
        "--water",
        "fresh:12",
        "--crew",
        "pilot=nora",
    )
    call("work", "start", "jetty-box", "--by", "ife", "--purpose", "new battery")
    written = [
        p
        for p in root.rglob("*.yaml")
        if p.parent.name not in ("vehicles", "boxes", "thrusters") and ".rovlog" not in p.parts
    ]
    kinds = {p.relative_to(root).parts[0] for p in written}
    assert {"logbook.yaml", "checklists", "approvals", "dives", "work"} <= kinds
    assert set(KIND_OF_FOLDER) >= kinds - {"logbook.yaml"}
    for path in written:
        assert problems(path) == [], path


def findings(call: CommandLine) -> list[str]:
    found = call.json("vehicle", "approve", "auk", "--by", "nora", "--reason", "first", status=None)
    return [f["finding"] for f in found["findings"]] if found["revision"] is None else []
