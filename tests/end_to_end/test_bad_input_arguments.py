"""Every subcommand with junk in the place of every word: one clear error, never a traceback."""

# ruff: noqa: E501 - one call a line
from __future__ import annotations

import argparse
import io
import json
import random
from collections.abc import Iterator
from contextlib import redirect_stdout
from pathlib import Path

import pytest
from calling import CommandLine, new_logbook

from rovlog.faces.cli.main import COMMANDS, parser_for, run

CALLS = 900
"""Junk calls of the sweep, drawn with a fixed seed from some thousands: enough to reach every word."""

GOOD = """
validate vehicles/auk.yaml
vehicle list
vehicle show auk
vehicle approve dipper --by nora --reason r --evidence e --accept a=b
vehicle withdraw auk@9 --by nora --reason r
vehicle compare auk auk@1
vehicle history auk /hull/mass_kg
budget auk --temperature-c 11 --salinity 33 --depth-m 8
response auk --demand surge=1 --demand channel-1=0.5
response auk --stick left-stick-y=-1
ballast auk --from fresh:16 --to salt:11,5:34 --ballast-density-kg-m3 7850
vacuum --start-below-kpa 30 --start-c 14 --end-below-kpa 29 --end-c 14 --outside-start-kpa 101 --limit-kpa 1
drift auk
drift DIVE
checklist list
checklist show pre-dive --vehicle auk
checklist compare pre-dive pre-dive
checklist history pre-dive
dive start dipper --by nora --site s --water fresh:14 --crew pilot=nora --depth-m 3 --minutes 4
dive list auk
dive show auk --entries
diagnose DIVE --dry --misreport 0.05 --certainty 0.9
audit timeline --vehicle auk --since 2026-01-01 --until 2036-01-01
audit flown /hull/mass_kg 4.62 --vehicle auk
audit between DIVE DIVE
audit known-good --vehicle auk --symptom yaw-weak
audit field /hull/mass_kg --vehicle auk
audit suspects --vehicle auk --symptom yaw-weak
verify
work start auk --by nora --purpose p --crew pilot=nora --at 2026-06-01T10:00:00+01:00
work list auk
KIND tick REC stop-word --by nora --text t --source seen --outcome pass --at 2026-06-01T10:00:00+01:00
KIND tick REC fuse --by nora --value rating=15 --second
KIND mark REC power-on --by nora
KIND event REC housing-opened --by nora --part p --text t
KIND trim REC heave=0.06 --by nora --reason r
KIND setup REC steering_scheme=3 trim.heave=0.1 power_limit=0.8 --by nora
KIND readback REC --in-use steering_scheme=3 thruster_map=2 trim.heave=0.1 --stored steering_scheme=3 --boots 3 --by nora
KIND observe REC --push left-stick-y=-0.3 --seen aft-port=ahead --medium dry --by nora
KIND reading REC clamp-meter current_a=7,5 --source measured --by nora
KIND fault REC yaw-weak --part p --text t --by nora
KIND waive REC depth-rating --reason r --until dive --by nora
KIND waive REC --pointer /hull/mass_kg --reason r --until 2036-12-30 --by nora
KIND defer REC recording --reason r --until launch --by nora
KIND not-applicable REC lights --reason r --by nora
KIND pause REC --item swimmers --reason r --by nora
KIND resume REC --by nora
KIND complete REC pre-dive A --text t --by nora
KIND release REC release-power-on --text t --by nora
KIND note REC text --by nora
KIND crew REC pilot=nora --by nora
KIND place REC --site s --water salt:11:31 --depth-m 3 --visibility-m 2 --by nora
KIND fitted REC tether-red --to tether --replaces x --by nora
KIND attach REC attachments/a.txt --what w --by nora
KIND correct REC 1 site=quay --reason r --by nora
KIND show REC
"""

JUNK = [
    "", "-", "--", "x", "-1", "0", "@", "auk@", "auk@999999", "auk@zzzz", "auk@HEAD~1", "@1", "=", "a=", "=b", "a=b=c",
    "trim=3", "trim.x.y=1", "trim.heave=nan", "heave=9", "NaN", "inf", "-1e400", "1e999", "9" * 400, "n" * 10_000,
    "\x1b[31mred", "[/x]", "[bold]x", "\u202eevil", "\u3164", "\ud800", "\x00", "\n", "a\nb", "é" * 200, "café",
    "../../etc/passwd", "/", "//", "/~", "/~2", "a/b", "%s", "{}", "null", "~", "on", "*", "AUK", "CON", "sha256:00",
    "2026-13-45", "2026-06-01T25:61:00Z", "fresh:", "salt:abc", "salt:12:99", "fresh:1e9", "surge=1e309",
    "left-stick-y=5", "channel-99=1", "channel-=1", "auk-20260101-zzzz", "--json", "--vehicle", "--bogus=1",
]  # fmt: skip


@pytest.fixture(scope="module")
def logbook(tmp_path_factory: pytest.TempPathFactory) -> CommandLine:
    return new_logbook(tmp_path_factory.mktemp("junk") / "logbook")


def good_calls(line: CommandLine) -> list[list[str]]:
    """The sound calls, with the ids of a dive and of work in them."""
    line("vehicle", "approve", "auk", "--by", "nora", "--reason", "as built", status=None)
    (line.root / "attachments").mkdir(exist_ok=True)
    (line.root / "attachments" / "a.txt").write_text("x")
    started = ("--by", "nora", "--crew", "supervisor=nora", "pilot=tomas")
    dive = line.json("dive", "start", "auk", *started, "--site", "jetty", "--water", "fresh:14")["dive"]
    work = line.json("work", "start", "auk", *started, "--purpose", "bench")["work"]
    calls = []
    for row in GOOD.strip().splitlines():
        for kind, record in (("dive", dive), ("work", work)) if row.startswith("KIND") else (("dive", dive),):
            words = {"KIND": kind, "REC": record, "DIVE": dive}
            calls.append([words.get(w, w) for w in row.split()])
    return calls


def swept(good: list[list[str]]) -> Iterator[list[str]]:
    """Junk calls: a word replaced, half of a NAME=VALUE replaced, or a word too many."""
    chance = random.Random(20260613)
    for _ in range(CALLS):
        words = list(chance.choice(good))
        place, junk = chance.randrange(1, len(words) + 1), chance.choice(JUNK)
        if place == len(words):
            words.append(junk)
        elif "=" in words[place] and chance.random() < 0.6:
            name, _, value = words[place].partition("=")
            words[place] = chance.choice([f"{name}={junk}", f"{junk}={value}"])
        else:
            words[place] = junk
        yield [*words, "--json"] if chance.random() < 0.3 else words


def test_junk_in_the_place_of_any_word_is_answered_in_words(logbook: CommandLine) -> None:
    for words in swept(good_calls(logbook)):
        out, err = io.StringIO(), io.StringIO()
        with redirect_stdout(out):
            status = run(["--logbook", str(logbook.root), *words], out, err)
        said = out.getvalue() + err.getvalue()
        assert status in (0, 1, 2), words
        assert status != 2 or err.getvalue().strip(), words
        assert not [c for c in said if (c != "\n" and not c.isprintable()) or c in "\u202e\u3164"], words
        if "--json" in words and "--" not in words:
            json.loads(out.getvalue())


def test_the_sound_calls_of_the_sweep_reach_what_they_mean(tmp_path: Path) -> None:
    line = new_logbook(tmp_path / "logbook")
    refused = [w for w in good_calls(line) if line(*w, status=None).status == 2]
    # What these ask for is not there, or not yet to be done: that is what they are answered.
    expected = {"approve", "withdraw", "complete", "release", "known-good", "suspects", "defer"}
    assert {w[1] for w in refused} <= expected, refused


def test_after_the_sweep_every_record_is_still_sound(logbook: CommandLine) -> None:
    found = logbook.json("validate", status=None)
    # A part or an item that is not on file may have been named by junk; nothing else may be wrong.
    rules = {p["rule"] for p in found["problems"]}
    assert rules <= {"unknown-part", "unknown-item", "missing-reference"}, found["problems"][:3]


def leaves(parser: argparse.ArgumentParser) -> Iterator[argparse.ArgumentParser]:
    """A parser and all its subcommands' parsers."""
    yield parser
    for action in parser._actions:
        if isinstance(action, argparse._SubParsersAction):
            for inner in action.choices.values():
                yield from leaves(inner)


@pytest.mark.parametrize("name", [n for n in COMMANDS if n != "demo"])
def test_every_parser_refuses_junk_in_one_sentence(name: str, tmp_path: Path) -> None:
    for parser in leaves(parser_for(name)):
        words = parser.prog.split()[1:]
        for junk in (["--no-such-option"], ["\x1b]0;x\x07", "--\u202e"], ["x"] * 12, ["--at"], ["--by"]):
            out, err = io.StringIO(), io.StringIO()
            status = run(["--logbook", str(tmp_path), *words, *junk], out, err)
            assert status == 2, (words, junk)
            assert out.getvalue() == ""
            assert err.getvalue().startswith("rovlog: ")
            assert "\x1b" not in err.getvalue()


def test_a_command_that_is_not_there_names_the_nearest(tmp_path: Path) -> None:
    err = io.StringIO()
    assert run(["--logbook", str(tmp_path), "vehcile"], io.StringIO(), err) == 2
    assert "vehicle" in err.getvalue()


def test_a_terminal_that_knows_few_characters_shows_the_others_escaped(logbook: CommandLine) -> None:
    called = logbook.installed("dive", "list", PYTHONIOENCODING="ascii", PYTHONUTF8="0")
    assert called.status == 0, called
    assert called.out.isascii()


def test_the_reader_of_the_output_may_go_away(logbook: CommandLine) -> None:
    import subprocess

    from calling import command

    program = f"{command()} checklist show pre-dive | head -n 1"
    done = subprocess.run(["sh", "-c", program], cwd=logbook.root, capture_output=True, text=True, timeout=60)
    assert done.returncode == 0
    assert "Traceback" not in done.stderr
