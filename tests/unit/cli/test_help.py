"""Every command and subcommand has a page: what it does, every argument in words, exit status, an example."""

from __future__ import annotations

import argparse
import importlib
import io
import re
import shlex
from pathlib import Path

import pytest
from help_pages import all_pages, examples

from rovlog.faces.cli.exit_words import FINDINGS
from rovlog.faces.cli.main import COMMANDS, parser_for, run
from rovlog.problems import UsageError

CLI = Path(__file__).parents[3] / "rovlog" / "faces" / "cli"


PAGES = all_pages()


@pytest.mark.parametrize("prog", PAGES)
def test_a_page_has_every_section(prog):
    text = PAGES[prog].format_help()
    for head in ("NAME", "SYNOPSIS", "DESCRIPTION", "EXIT STATUS", "EXAMPLE"):
        assert re.search(rf"^{head}", text, re.MULTILINE), head
    assert text.startswith(f"NAME\n  {prog} - ")
    assert "None" not in text


@pytest.mark.parametrize("prog", PAGES)
def test_every_argument_is_said_in_words(prog):
    silent = [
        action.metavar or action.dest
        for action in PAGES[prog]._actions
        if not action.help and not isinstance(action, argparse._SubParsersAction)
    ]
    assert silent == []


@pytest.mark.parametrize("prog", PAGES)
def test_a_page_fits_a_terminal_of_80_columns(prog):
    wide = [
        line
        for line in PAGES[prog].format_help().splitlines()
        if len(line) > 80 and not line.startswith("  rovlog ")
    ]
    assert wide == []


@pytest.mark.parametrize("prog", PAGES)
def test_an_example_is_of_this_command_or_its_group_and_parses(prog):
    lines = examples(PAGES[prog])
    assert lines
    assert any(line.startswith(prog + " ") or line == prog for line in lines), lines
    for line in lines:
        _, name, *words = shlex.split(line.partition(" > ")[0])
        parser_for(name).parse_args(words)


def test_examples_name_the_demonstration_s_vehicles_and_people():
    from rovlog.usecases.demonstration.team import PEOPLE

    lines = [line for page in PAGES.values() for line in examples(page)]
    by = {m.group(1) for line in lines for m in re.finditer(r"--by (\S+)", line)}
    assert by <= set(PEOPLE)
    first = {m.group(1) for line in lines for m in re.finditer(r"^rovlog vehicle \w+ ([a-z]+)", line)}
    assert first <= {"grebe", "wigeon"}


def test_what_status_1_means_is_said_wherever_it_can_happen():
    for path in CLI.glob("*.py"):
        if path.stem in ("context", "exit_words") or "Status.FINDING" not in path.read_text("utf-8"):
            continue
        words = path.stem.split("_")
        kinds = ("dive", "work") if words[0] == "record" else (words[0],)
        for kind in kinds:
            assert [c for c in FINDINGS if f"{c} ".startswith(f"rovlog {kind} ")], path.name
    assert set(FINDINGS) <= set(PAGES)


def test_every_command_s_module_keeps_the_contract():
    for name in COMMANDS:
        module = importlib.import_module(f"rovlog.faces.cli.{name}")
        assert module.SUMMARY.strip()
        assert module.EXAMPLE.strip()


@pytest.mark.parametrize(
    ("words", "near"),
    [
        (["vehcle", "list"], "vehicle"),
        (["dive", "tik", "grebe"], "tick"),
        (["dive", "list", "--vehicel", "grebe"], ""),
        (["budget", "grebe", "--dept-m", "3"], "--depth-m"),
        (["vehicle", "sett"], "set"),
        (["help", "dive", "clsoe"], "close"),
    ],
)
def test_a_misspelt_command_or_option_gets_the_nearest(words, near):
    out, err = io.StringIO(), io.StringIO()
    assert run(words, out, err) == 2
    assert out.getvalue() == ""
    assert near in err.getvalue()
    assert "mend: " in err.getvalue()


def test_the_page_of_a_subcommand_is_found_from_either_side():
    for words in (["dive", "tick", "--help"], ["help", "dive", "tick"], ["--help", "dive", "tick"]):
        out = io.StringIO()
        assert run(words, out, io.StringIO()) == 0
        assert out.getvalue().startswith("NAME\n  rovlog dive tick - answer an item")


def test_a_wrong_subcommand_s_page_is_an_error_of_ours():
    with pytest.raises(UsageError):
        parser_for("dive").page(["nothing"], io.StringIO())
