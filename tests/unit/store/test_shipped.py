"""Schemas and checklists travel with the program and reach the logbook's editor."""

from __future__ import annotations

import json
import os
from pathlib import Path

import pytest

from rovlog.store import shipped
from rovlog.store.shipped import ShippedFiles

ROOT = Path(__file__).parents[3]


def test_every_schema_beside_the_package_is_offered_by_its_kind(tmp_path: Path) -> None:
    found = ShippedFiles(str(tmp_path)).schemas()
    assert found == {
        p.name[: -len("-1.json")]: json.loads(p.read_bytes()) for p in (ROOT / "schemas").glob("*-1.json")
    }
    assert {"vehicle", "dive"} <= set(found)


def test_every_checklist_beside_the_package_is_offered_by_its_stem(tmp_path: Path) -> None:
    found = ShippedFiles(str(tmp_path)).checklists()
    assert found == {p.stem: p.read_bytes() for p in (ROOT / "checklists").glob("*.yaml")}
    assert found


def test_an_installed_package_brings_its_own(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "rovlog" / "_shipped" / "schemas").mkdir(parents=True)
    (tmp_path / "rovlog" / "_shipped" / "schemas" / "dive-1.json").write_text('{"a": 1}')
    (tmp_path / "schemas").mkdir()
    monkeypatch.setattr(shipped, "_PACKAGE", str(tmp_path / "rovlog"))
    assert ShippedFiles(str(tmp_path)).schemas() == {"dive": {"a": 1}}


def test_refresh_copies_what_differs_and_leaves_the_rest(tmp_path: Path) -> None:
    ShippedFiles(str(tmp_path)).refresh()
    copies = tmp_path / ".rovlog" / "schemas"
    assert {p.name: p.read_bytes() for p in copies.iterdir()} == {
        p.name: p.read_bytes() for p in (ROOT / "schemas").glob("*-1.json")
    }
    (copies / "vehicle-1.json").write_text("{}")
    untouched = (copies / "dive-1.json").stat()
    ShippedFiles(str(tmp_path)).refresh()
    assert (copies / "vehicle-1.json").read_bytes() == (ROOT / "schemas" / "vehicle-1.json").read_bytes()
    assert (copies / "dive-1.json").stat().st_ino == untouched.st_ino


def test_refresh_is_quiet_where_nothing_can_be_written(tmp_path: Path) -> None:
    (tmp_path / ".rovlog").write_text("in the way")
    ShippedFiles(str(tmp_path)).refresh()
    assert (tmp_path / ".rovlog").read_text() == "in the way"
    ShippedFiles(str(tmp_path / "missing")).refresh()


def test_the_digest_follows_every_byte(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    before = ShippedFiles(str(tmp_path)).schemas_digest()
    assert before == ShippedFiles(str(tmp_path)).schemas_digest()
    (tmp_path / "rovlog" / "_shipped" / "schemas").mkdir(parents=True)
    for path in (ROOT / "schemas").glob("*-1.json"):
        (tmp_path / "rovlog" / "_shipped" / "schemas" / path.name).write_bytes(path.read_bytes() + b" ")
    monkeypatch.setattr(shipped, "_PACKAGE", str(tmp_path / "rovlog"))
    assert ShippedFiles(str(tmp_path)).schemas_digest() != before


def test_the_program_is_another_one_once_a_file_of_it_is(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    package = tmp_path / "rovlog"
    for kind in ("schemas", "checklists"):
        (package / "_shipped" / kind).mkdir(parents=True)
    (package / "store").mkdir()
    module = package / "store" / "one.py"
    module.write_text("A = 1\n")
    monkeypatch.setattr(shipped, "_PACKAGE", str(package))
    book = ShippedFiles(str(tmp_path))
    seen = [book.program()]
    (package / "store" / "__pycache__").mkdir()
    (package / "store" / "__pycache__" / "one.pyc").write_bytes(b"compiled")
    assert book.program() == seen[0]
    module.write_text("A = 12\n")
    seen.append(book.program())
    os.utime(module, ns=(1, 1))
    seen.append(book.program())
    (package / "store" / "two.py").write_text("")
    seen.append(book.program())
    (package / "_shipped" / "checklists" / "short.yaml").write_text("title: Short\n")
    seen.append(book.program())
    module.unlink()
    seen.append(book.program())
    assert len(set(seen)) == len(seen)
