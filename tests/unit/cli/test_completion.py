"""Completion: made from the parsers, and asked of the shells themselves."""

from __future__ import annotations

import argparse
import io
import os
import subprocess
import sys
from pathlib import Path

import pytest
from team_logbook import fill

from rovlog.faces.cli.completion_shells import bash_script, fish_script, zsh_script
from rovlog.faces.cli.completion_tree import nodes
from rovlog.faces.cli.main import COMMANDS, parser_for
from rovlog.faces.cli.main import run as main
from rovlog.wiring import new_book

NODES = nodes()


def test_every_command_subcommand_and_option_of_the_parsers_is_known():
    by_path = {n.path: n for n in NODES}
    assert [name for name, _ in by_path[""].subcommands] == list(COMMANDS)
    for name in COMMANDS:
        check(parser_for(name), name, by_path)


def check(parser, path, by_path):
    node = by_path[path]
    written = {name for o in node.options for name in o.names}
    for action in parser._actions:
        if isinstance(action, argparse._SubParsersAction):
            for name, sub in action.choices.items():
                check(sub, f"{path} {name}", by_path)
        elif action.help is not argparse.SUPPRESS:
            assert set(action.option_strings) <= written | {"-h"}, path


def test_options_take_what_their_parser_says():
    tick = next(n for n in NODES if n.path == "dive tick")
    takes = {name: o.takes for o in tick.options for name in o.names}
    assert takes["--outcome"] == "choices:pass fail"
    assert takes["--by"] == "words:people"
    assert takes["--second"] == ""
    assert [p.takes for p in tick.places] == ["words:open-dives", "words:items"]


@pytest.mark.parametrize(
    ("shell", "make"), [("bash", bash_script), ("zsh", zsh_script), ("fish", fish_script)]
)
def test_the_command_prints_the_script_as_it_is(shell, make):
    out, err = io.StringIO(), io.StringIO()
    assert main(["completion", shell], out, err) == 0
    assert out.getvalue() == make(NODES)
    assert "<U+" not in out.getvalue()
    assert err.getvalue() == ""


def test_a_per_cent_sign_in_help_stands_once():
    assert not [n.path for n in NODES if "%%" in " ".join(w for _, w in n.subcommands)]
    assert not [o.names for n in NODES for o in n.options if "%%" in o.help]


@pytest.mark.system("fish")
def test_fish_shows_the_help_beside_each_word(team: Path, tmp_path: Path):
    script = tmp_path / "rovlog.fish"
    script.write_text(through_the_command("fish"))
    out = run(["fish", "--no-config", "-c", f"source {script}; complete -C 'rovlog vali'"], team, tmp_path)
    word, tab, words_beside = out.strip().partition("\t")
    assert (word, tab) == ("validate", "\t")
    assert words_beside


def through_the_command(shell: str) -> str:
    """The script as the command prints it, which is the one that people have."""
    out = io.StringIO()
    assert main(["completion", shell], out, io.StringIO()) == 0
    return out.getvalue()


@pytest.fixture(scope="module")
def team(tmp_path_factory) -> Path:
    folder = tmp_path_factory.mktemp("team") / "logbook"
    fill(new_book(str(folder)))
    return folder


ASKED = [
    ("rovlog rep", {"report"}),
    ("rovlog report pilot", {"pilot-card"}),
    ("rovlog report dive grebe-2026050", {"grebe-20260503-test", "grebe-20260509-test"}),
    ("rovlog dive tick grebe fuse --outcome ", {"pass", "fail"}),
    ("rovlog dive tick grebe fuse --by ", {"runa", "iben", "tariq"}),
    ("rovlog part show tether-s", {"tether-short", "tether-spare"}),
    ("rovlog dive mark grebe power-", {"power-on", "power-off"}),
    ("rovlog report site grebe --ini", {"--initials"}),
    ("rovlog report vehicle grebe", {"grebe", "grebe@1"}),
    ("rovlog dive tick grebe A2 --json --value ", {"choice=as-entered", "choice=entered-anew"}),
    ("rovlog dive tick grebe deck --value supply", {"supply_from_edge="}),
    ("rovlog dive complete grebe recovery recov", {"recovery"}),
    ("rovlog audit field --vehicle grebe /hull/m", {"/hull/mass_kg"}),
    ("rovlog dive fault grebe yaw-", {"yaw-weak", "yaw-reversed", "yaw-dead"}),
    ("rovlog audit suspects --vehicle grebe --symptom sin", {"sinks"}),
    ("rovlog dive trim grebe hea", {"heave="}),
    ("rovlog response grebe --stick left-stick-", {"left-stick-x=", "left-stick-y="}),
    ("rovlog dive start grebe --crew tender=", {"tender=tariq"}),
    ("rovlog dive release grebe release-power", {"release-power-on"}),
    ("rovlog dive release grebe swim", set()),
]


def environment(folder: Path, scripts: Path) -> dict[str, str]:
    """The installed command, or this source tree's, first on the path."""
    program = scripts / "rovlog"
    program.write_text(f'#!/bin/sh\nexec {sys.executable} -m rovlog "$@"\n')
    program.chmod(0o755)
    return {
        **os.environ,
        "PATH": f"{scripts}:{os.environ['PATH']}",
        "PYTHONPATH": os.getcwd(),
        "TERM": "dumb",
    }


@pytest.mark.system("bash")
def test_bash_offers_what_fits(team: Path, tmp_path: Path):
    script = tmp_path / "complete.bash"
    script.write_text(through_the_command("bash"))
    asks = "\n".join(
        f"COMP_WORDS=({words(line)}); COMP_CWORD=$((${{#COMP_WORDS[@]}} - 1)); COMPREPLY=(); _rovlog; "
        'echo "${COMPREPLY[*]}"'
        for line, _ in ASKED
    )
    out = run(["bash", "--norc", "-c", f"set -u; source {script}\ncd {team}\n{asks}"], team, tmp_path)
    assert [set(line.split()) for line in out.splitlines()] == [wanted for _, wanted in ASKED]


def words(line: str) -> str:
    return line + '""' if line.endswith(" ") else line


@pytest.mark.system("bash")
def test_bash_passes_the_logbook_named_on_the_line_on(team: Path, tmp_path: Path):
    script = tmp_path / "complete.bash"
    script.write_text(through_the_command("bash"))
    ask = f"COMP_WORDS=(rovlog --logbook {team} part show tether-sp); COMP_CWORD=5; _rovlog"
    ask += "; echo ${COMPREPLY[*]}"
    assert run(["bash", "--norc", "-c", f"source {script}; cd /; {ask}"], team, tmp_path).split() == [
        "tether-spare"
    ]


@pytest.mark.system("bash")
def test_where_there_is_no_logbook_the_shell_is_told_nothing(tmp_path: Path):
    script = tmp_path / "complete.bash"
    script.write_text(through_the_command("bash"))
    ask = 'COMP_WORDS=(rovlog part show ""); COMP_CWORD=3; _rovlog; echo "[${COMPREPLY[*]}]"'
    env = environment(tmp_path, tmp_path)
    done = subprocess.run(
        ["bash", "--norc", "-c", f"source {script}; cd /; {ask}"], env=env, capture_output=True, text=True
    )
    assert (done.stdout, done.stderr) == ("[]\n", "")


@pytest.mark.system("fish")
def test_fish_offers_what_fits(team: Path, tmp_path: Path):
    script = tmp_path / "rovlog.fish"
    script.write_text(through_the_command("fish"))
    asks = "; ".join(f"complete -C '{line}'; echo ." for line, _ in ASKED)
    out = run(["fish", "--no-config", "-c", f"source {script}; cd {team}; {asks}"], team, tmp_path)
    answers = [set(block.split("\n")) - {""} for block in out.split(".\n")][: len(ASKED)]
    assert [{a.split("\t")[0] for a in block} for block in answers] == [wanted for _, wanted in ASKED]


@pytest.mark.system("zsh")
def test_zsh_offers_what_fits(team: Path, tmp_path: Path):
    """The function runs in a real zsh; what it offers is written out by a stand-in for compadd."""
    script = tmp_path / "_rovlog"
    script.write_text(through_the_command("zsh"))
    asks = "\n".join(
        f"words=({words(line)}); CURRENT=${{#words}}; offered=(); _rovlog; "
        "print -r -- ${(M)offered:#${words[-1]}*}"
        for line, _ in ASKED
    )
    stand_in = 'compdef() { : }; compadd() { shift; offered=("$@") }'
    out = run(["zsh", "-f", "-c", f"{stand_in}\nsource {script}\ncd {team}\n{asks}"], team, tmp_path)
    assert [set(line.split()) for line in out.splitlines()] == [wanted for _, wanted in ASKED]


def run(command: list[str], team: Path, scripts: Path) -> str:
    done = subprocess.run(
        command, env=environment(team, scripts), capture_output=True, text=True, timeout=120
    )
    assert done.stderr == ""
    return done.stdout
