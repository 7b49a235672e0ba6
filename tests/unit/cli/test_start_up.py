"""A command pays only for what it uses; every command has its module, its page, and examples that parse."""

from __future__ import annotations

import argparse
import re
import shlex
import subprocess
import sys
from collections.abc import Iterator
from importlib import import_module

import pytest

from rovlog.faces.cli.main import COMMANDS, parser_for

HEAVY = [
    "textual", "rich", "numpy", "scipy", "jsonschema", "jsonschema_rs", "yaml", "rfc8785", "serial", "segno",
    "subprocess", "importlib.metadata", "asyncio", "urllib.request", "unittest",
    "dataclasses", "inspect",
]  # fmt: skip


def loaded_by(code: str) -> set[str]:
    """The modules that a fresh interpreter has loaded after this code."""
    program = f"import sys\n{code}\nsys.stdout.write('\\n'.join(sys.modules))"
    done = subprocess.run(
        [sys.executable, "-S", "-c", path_code() + program], capture_output=True, text=True, check=True
    )
    return set(done.stdout.split())


def path_code() -> str:
    """-S leaves out what the environment's own .pth files import; the path is given by hand."""
    return f"import sys; sys.path[:] = {sys.path!r}\n"


@pytest.mark.parametrize(
    "code",
    [
        "import rovlog.__main__",
        "import rovlog.faces.cli.main",
        "import rovlog.wiring",
        "import rovlog.usecases.logbook",
        "import rovlog.usecases.list_dives",
        "import rovlog.usecases.dive_state",
        "import rovlog.usecases.compare_drift",
        "import rovlog.usecases.recording",
        "from rovlog.faces.cli.main import run; import io; run(['--help'], io.StringIO(), io.StringIO())",
    ],
)
def test_what_starts_every_command_loads_nothing_heavy(code: str) -> None:
    found = loaded_by(code)
    assert not [name for name in HEAVY if name in found]


@pytest.mark.parametrize("name", COMMANDS)
def test_the_module_of_a_command_loads_nothing_heavy(name: str) -> None:
    found = loaded_by(f"from rovlog.faces.cli.main import parser_for; parser_for({name!r})")
    assert not [heavy for heavy in HEAVY if heavy in found]


def test_the_version_imports_no_module_of_ours_but_the_first() -> None:
    code = (
        "sys.argv = ['rovlog', '--version']\nfrom rovlog.__main__ import main\nsys.stdout.write(''); main()"
    )
    ours = {name for name in loaded_by(code) if name.startswith("rovlog.")}
    assert ours <= {"rovlog.__main__"}


@pytest.mark.parametrize(("before", "after"), [("", "1"), ("3", "3")])
def test_numpy_makes_no_threads_for_small_matrices_unless_a_person_wants_them(
    before: str, after: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    name = "OPENBLAS_NUM_THREADS"
    monkeypatch.delenv(name, raising=False)
    code = f"import os\nos.environ.update({{{name!r}: {before!r}}} if {before!r} else {{}})\n"
    code += "sys.argv = ['rovlog', 'help']\nfrom rovlog.__main__ import main\nmain()\n"
    assert f"{name}={after}" in loaded_by(
        code + f"sys.stdout.write('{name}=' + os.environ[{name!r}] + '\\n')"
    )


@pytest.mark.parametrize("name", COMMANDS)
def test_every_command_has_what_the_program_asks_of_its_module(name: str) -> None:
    module = import_module(f"rovlog.faces.cli.{name}")
    assert module.SUMMARY.strip()
    assert f"rovlog {name}" in module.EXAMPLE
    assert callable(module.add_arguments)
    assert callable(module.run)


def leaves(parser: argparse.ArgumentParser) -> Iterator[argparse.ArgumentParser]:
    """The parser and all of its subcommands."""
    yield parser
    for action in parser._actions:
        if isinstance(action, argparse._SubParsersAction):
            for inner in action.choices.values():
                yield from leaves(inner)


@pytest.mark.parametrize("name", COMMANDS)
def test_every_command_and_subcommand_has_a_page_of_help_with_an_example(name: str) -> None:
    for parser in leaves(parser_for(name)):
        page = parser.format_help()
        assert parser.prog in page
        assert "EXAMPLE" in page, parser.prog
        for action in parser._actions:
            assert action.help or isinstance(action, argparse._SubParsersAction), (parser.prog, action.dest)


@pytest.mark.parametrize("name", COMMANDS)
def test_every_example_is_taken_by_its_parser(name: str) -> None:
    parser = parser_for(name)
    for one in leaves(parser):
        for line in (one.epilog or "").splitlines():
            words = shlex.split(re.split(r"[>|]", line)[0].rstrip(")"), comments=True)
            if words[:2] == ["rovlog", name]:
                rest = [w for w in words[2:] if w != "--json"]
                parser.parse_args(rest)


@pytest.mark.parametrize("name", COMMANDS)
def test_a_parser_with_one_subcommand_takes_what_the_whole_one_takes(name: str) -> None:
    whole = parser_for(name)
    groups = [a for a in whole._actions if isinstance(a, argparse._SubParsersAction)]
    for sub in groups[0].choices if groups else ():
        one = parser_for(name, only=sub)
        actions = next(a for a in one._actions if isinstance(a, argparse._SubParsersAction)).choices
        assert list(actions) == list(groups[0].choices)
        options = [(a.option_strings, a.dest, a.required) for a in actions[sub]._actions]
        assert options == [(a.option_strings, a.dest, a.required) for a in groups[0].choices[sub]._actions]
