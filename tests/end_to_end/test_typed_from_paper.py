"""From paper back into the record by the command line: from a file, a pipe, a terminal."""

from __future__ import annotations

import io
import sys
from pathlib import Path

import pytest
from calling import CommandLine, assert_one_clear_error, command, new_logbook

pytestmark = pytest.mark.system("git")

START = "2026-06-13T09:00:00+01:00"
SHEET = """\
# the sheet of 13 June
A1 09:05 nora
A5 09:06 ife 3,5
B1 09:08 ife no-mains second=tomas
B2 09:10 ife 15
B2 09:11 tomas 15
"""


@pytest.fixture
def line(tmp_path: Path) -> CommandLine:
    """A team with a dive that was started in the morning."""
    line = new_logbook(tmp_path / "book")
    crew = ("--crew", "supervisor=nora", "pilot=tomas", "tender=ife", "technician=ife")
    where = ("--site", "mill lock", "--water", "fresh:12", "--at", START)
    line("dive", "start", "auk", "--by", "nora", *where, *crew)
    return line


def transcribe(line: CommandLine, tmp_path: Path, text: str, *more: str, status: int = 0):
    sheet = tmp_path / "sheet.txt"
    sheet.write_text(text, "utf-8")
    return line("dive", "transcribe", "auk", "--by", "tomas", "--file", str(sheet), *more, status=status)


def test_a_sheet_is_kept_whole_and_is_valid(line: CommandLine, tmp_path: Path):
    said = transcribe(line, tmp_path, SHEET).out
    assert said.startswith("kept from paper: 5 answered\nopen still in pre-dive: ")
    entries = line("dive", "show", "auk", "--entries").out
    assert "~09:05:00" in entries
    items = line.json("dive", "show", "auk")["items"]
    assert (items["fuse"]["by"], items["fuse"]["second_by"]) == ("ife", "tomas")
    assert items["swimmers"]["at"] == "2026-06-13T09:05:00+01:00"
    line("validate")
    again = transcribe(line, tmp_path, SHEET).out
    assert "nothing new" in again
    assert "5 lines were on record already" in again


def test_a_pipe_says_the_same_and_data_names_every_line(line: CommandLine, monkeypatch):
    monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(SHEET.encode())))
    data = line.json("dive", "transcribe", "auk", "--by", "tomas", "--file", "-")
    assert [(row["line"], row["item"], row["what"], row["by"]) for row in data["lines"]] == [
        (2, "swimmers", "answered", "nora"),
        (3, "deck", "answered", "ife"),
        (4, "mains", "answered", "ife"),
        (5, "fuse", "answered", "ife"),
        (6, "fuse", "answered", "tomas"),
    ]
    assert data["typed_by"] == "tomas"
    assert "swimmers" not in data["open"]["pre-dive"]


def test_every_mistake_is_told_with_its_line_and_nothing_is_written(line: CommandLine, tmp_path: Path):
    before = line("dive", "show", "auk", "--entries").out
    called = transcribe(line, tmp_path, SHEET + "B3 09:12 ifa battery jet\nB5 9 ife 12,6\n", status=2)
    assert_one_clear_error(called)
    assert "sheet.txt:7:10: no-such-person: 'ifa' is nobody of logbook.yaml" in called.err
    assert "    B3 09:12 ifa battery jet\n             ^^^\n  mend: did you mean ife?" in called.err
    assert "sheet.txt:7:14: no-such-value" in called.err
    assert "sheet.txt:8:4: no-time" in called.err
    assert line("dive", "show", "auk", "--entries").out == before
    data = transcribe(line, tmp_path, "QQ 09:00 nora", "--json", status=2).data
    assert [(p["line"], p["column"], p["rule"]) for p in data["problems"]] == [(1, 1, "no-such-item")]


def test_a_failed_answer_is_a_finding_and_is_told(line: CommandLine, tmp_path: Path):
    called = transcribe(line, tmp_path, "A5 09:06 ife 0,5", status=1)
    assert "FAILED: A5 Deck" in called.out
    assert "at least 2 m does not hold" in called.out


def test_the_first_of_two_blind_answers_is_not_told_even_where_it_failed(line: CommandLine, tmp_path: Path):
    called = transcribe(line, tmp_path, "B2 09:06 ife 30", status=1)
    assert "FAILED" not in called.out
    assert "failed" not in called.out
    assert "30" not in called.out + called.err
    [row] = transcribe(line, tmp_path, "B2 09:06 ife 30", "--json").data["lines"]
    assert (row["what"], row["judged"]) == ("answered", [])


def test_a_slip_is_told_and_kept(line: CommandLine, tmp_path: Path):
    called = transcribe(line, tmp_path, "B5 09:06 ife 126", status=1)
    assert "over 5 times its limit" in called.err
    assert "Kept as typed" in called.err


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ((), "give the sheet with --file SHEET"),
        (("--file", "nowhere.txt"), "nowhere.txt cannot be read"),
        (("--file", "-", "--day", "tomorrow"), "'tomorrow' is no day"),
    ],
)
def test_wrong_use_is_told(line: CommandLine, monkeypatch, words, said):
    monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(b"")))
    called = line("dive", "transcribe", "auk", "--by", "tomas", *words, status=2)
    assert_one_clear_error(called)
    assert said in called.err


def test_work_on_the_bench_is_typed_in_as_well(line: CommandLine, tmp_path: Path):
    line("work", "start", "auk", "--by", "nora", "--purpose", "bench", "--at", START)
    sheet = tmp_path / "bench.txt"
    code = line.json("checklist", "show", "bench")["sections"][0]["items"][0]
    values = " ".join(f"{a['value']}=1" for a in code.get("asks", []))
    choice = f"choice={code['options'][0]}" if code.get("options") else ""
    sheet.write_text(f"{code['code']} 09:05 ife {choice} {values}\n", "utf-8")
    line("work", "transcribe", "auk", "--by", "nora", "--file", str(sheet), status=None)
    assert code["item"] in {
        i for i, s in line.json("work", "show", "auk")["items"].items() if s["by"] == "ife"
    }


@pytest.mark.skipif(sys.platform == "win32", reason="no pseudo-terminals on this system")
def test_at_a_terminal_each_open_item_is_asked_for_in_turn(line: CommandLine):
    import pexpect

    words = ["dive", "transcribe", "auk", "--by", "tomas", "--list", "pre-dive"]
    child = pexpect.spawn(str(command()), words, cwd=str(line.root), encoding="utf-8", timeout=30)

    def answer(code: str, typed: str) -> None:
        child.expect_exact(f"{code}> ")
        child.sendline(typed)

    child.expect_exact("A1  Swimmers and divers: none in the water")
    answer("A1", "09:05 norra")
    child.expect_exact("did you mean nora or tomas?")
    answer("A1", "09:05 nora")
    child.expect_exact("kept from paper: 1 answered")
    for code in ("A2", "A3", "A4"):
        answer(code, "")
    child.expect_exact("supply_from_edge (m)")
    answer("A5", "09:06 ife 3,5")
    for code in ("A6", "A7", "A8"):
        answer(code, "")
    answer("B1", "09:08 ife no-mains second=tomas")
    answer("B2", "09:10 ife 15")
    child.expect_exact("the second person's line; the first was ife's")
    answer("B2", "09:11 tomas 15")
    child.expect_exact("B3> ")
    child.sendeof()
    child.expect_exact("ended; what was kept stays")
    child.expect(pexpect.EOF)
    child.close()
    assert child.exitstatus == 0
    items = line.json("dive", "show", "auk")["items"]
    assert [items[n]["by"] for n in ("swimmers", "deck", "mains", "fuse")] == ["nora", "ife", "ife", "ife"]
    assert items["fuse"]["second_by"] == "tomas"
    line("validate")
