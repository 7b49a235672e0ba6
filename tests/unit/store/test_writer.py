"""A laptop keeps one name as a writer, and never shares it by accident."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from rovlog.problems import UsageError
from rovlog.store.writer import this_writer


@pytest.fixture(autouse=True)
def own_state(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.delenv("ROVLOG_WRITER", raising=False)
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    return tmp_path / "state"


def test_the_name_is_a_slug_made_once_and_kept(own_state: Path) -> None:
    first = this_writer()
    assert re.fullmatch(r"[a-z][a-z0-9-]*-[a-z]{4}", first)
    assert this_writer() == first
    assert [p.name for p in (own_state / "rovlog").iterdir()] == ["writer"]


@pytest.mark.parametrize("host", ["North Laptop.lan", "9lives", "", "ünïcode", "-", "X" * 80])
def test_any_host_name_becomes_a_slug(host: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("platform.node", lambda: host)
    assert re.fullmatch(r"[a-z][a-z0-9-]*[a-z0-9]-[a-z]{4}", this_writer())


def test_two_laptops_of_one_host_name_differ(own_state: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("platform.node", lambda: "laptop")
    first = this_writer()
    monkeypatch.setenv("XDG_STATE_HOME", str(own_state / "other"))
    assert this_writer() != first


def test_the_environment_overrides(monkeypatch: pytest.MonkeyPatch, own_state: Path) -> None:
    monkeypatch.setenv("ROVLOG_WRITER", "south-laptop")
    assert this_writer() == "south-laptop"
    assert not own_state.exists()


@pytest.mark.parametrize("name", ["South", "../up", "a b", "9th", "x" * 41, "a\nb"])
def test_an_override_that_is_no_slug_is_refused(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("ROVLOG_WRITER", name)
    with pytest.raises(UsageError, match="cannot name a laptop"):
        this_writer()


@pytest.mark.parametrize("kept", [b"", b"\0\0\0\0", b"Not A Slug\n", b"\xff\xfe"])
def test_a_damaged_name_is_replaced_by_a_new_one(kept: bytes, own_state: Path) -> None:
    (own_state / "rovlog").mkdir(parents=True)
    (own_state / "rovlog" / "writer").write_bytes(kept)
    fresh = this_writer()
    assert re.fullmatch(r"[a-z][a-z0-9-]*", fresh)
    assert this_writer() == fresh


def test_where_it_cannot_be_kept_each_run_has_its_own(own_state: Path) -> None:
    own_state.write_text("a file in place of the folder")
    assert this_writer() != this_writer()


def test_a_relative_state_folder_is_ignored(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setenv("XDG_STATE_HOME", "state")
    monkeypatch.setenv("HOME", str(tmp_path))
    this_writer()
    assert (tmp_path / ".local" / "state" / "rovlog" / "writer").is_file()
