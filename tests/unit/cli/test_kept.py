"""What a command says from the index is what it would say anew, also where a file was broken since."""

from __future__ import annotations

import sqlite3
from pathlib import Path

import pytest
from calling import Called, CommandLine
from team_logbook import fill

from rovlog.wiring import new_book


@pytest.fixture
def rovlog(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> CommandLine:
    monkeypatch.setenv("GIT_CONFIG_GLOBAL", str(tmp_path / "gitconfig"))
    (tmp_path / "gitconfig").write_text("[user]\nname = Ada Test\nemail = ada@example.invalid\n")
    fill(new_book(str(tmp_path / "book")))
    return CommandLine(tmp_path / "book")


def dive_of(rovlog: CommandLine) -> str:
    """The newest closed dive of grebe."""
    return next(d["dive"] for d in rovlog.json("dive", "list", "grebe")["dives"] if d["closed"])


def commands(rovlog: CommandLine) -> list[tuple[str, ...]]:
    dive = dive_of(rovlog)
    return [
        ("dive", "show", dive),
        ("dive", "show", dive, "--json"),
        ("dive", "show", dive, "--entries"),
        ("drift", dive),
        ("drift", dive, "--json"),
        ("audit", "timeline", "--vehicle", "grebe"),
        ("audit", "timeline", "--box", "amber-box", "--json"),
        ("audit", "suspects", "--vehicle", "grebe"),
        ("checklist", "show", "pre-dive"),
        ("checklist", "show", "pre-dive", "--vehicle", "grebe"),
        ("vehicle", "list"),
        ("part", "list"),
        ("part", "show", "battery-a"),
        ("part", "due", "--json"),
    ]


def kept(rovlog: CommandLine) -> list[str]:
    """Keys of the answers in the index."""
    base = sqlite3.connect(rovlog.root / ".rovlog" / "index.sqlite")
    try:
        return [key for (key,) in base.execute("SELECT k FROM kept WHERE k LIKE 'answer:%'")]
    finally:
        base.close()


def every(rovlog: CommandLine) -> list[Called]:
    return [rovlog(*words, status=None) for words in commands(rovlog)]


def without_index(rovlog: CommandLine) -> list[Called]:
    (rovlog.root / ".rovlog" / "index.sqlite").unlink()
    return every(rovlog)


def test_said_again_it_is_the_same_and_each_answer_was_kept(rovlog: CommandLine) -> None:
    fresh = every(rovlog)
    # with and without --json it is one answer
    assert len(kept(rovlog)) == 12
    assert every(rovlog) == fresh
    assert {c.status for c in fresh} <= {0, 1}


@pytest.mark.parametrize(
    ("place", "text"),
    [
        ("dives", "- {id: damaged\n"),
        ("dives", '- {id: "01JZ0000000000000000000000", n: 900, at: "2026-05-09T10:00:00+02:00", '
         'mono_s: 1.0, by: runa, kind: note, text: "a word more"}\n'),
        ("vehicles", "more: than is known\n"),
        ("boxes", "- no mapping\n"),
    ],
)  # fmt: skip
def test_a_file_changed_by_hand_is_told_as_without_an_index(
    rovlog: CommandLine, place: str, text: str
) -> None:
    before = every(rovlog)
    name = {"dives": dive_of(rovlog), "vehicles": "grebe", "boxes": "amber-box"}[place]
    with (rovlog.root / place / f"{name}.yaml").open("a", encoding="utf-8") as file:
        file.write(text)
    now = every(rovlog)
    assert now != before
    assert now == every(rovlog) == without_index(rovlog)


def test_an_open_dive_is_judged_anew_each_time(rovlog: CommandLine) -> None:
    started = rovlog.json(
        "dive", "start", "wigeon", "--by", "runa", "--site", "reed-basin", "--water", "fresh:14",
        "--crew", "supervisor=runa", "pilot=iben", "tender=tariq", "technician=iben",
    )  # fmt: skip
    before = kept(rovlog)
    rovlog("dive", "show", started["dive"])
    rovlog("dive", "show", "wigeon")
    assert kept(rovlog) == before
