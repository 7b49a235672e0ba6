"""Every page of help and its examples, for the tests that read and run them."""

from __future__ import annotations

import argparse
from collections.abc import Iterator

from rovlog.faces.cli.main import COMMANDS, parser_for
from rovlog.faces.cli.parser import CommandParser


def walk(parser: CommandParser) -> Iterator[CommandParser]:
    """A command's parser and those of its subcommands."""
    yield parser
    for action in parser._actions:
        if isinstance(action, argparse._SubParsersAction):
            for inner in action.choices.values():
                yield from walk(inner)


def all_pages() -> dict[str, CommandParser]:
    """Every parser by its whole name: `rovlog dive tick`."""
    return {page.prog: page for name in COMMANDS for page in walk(parser_for(name))}


def examples(page: CommandParser) -> list[str]:
    """The lines of a page's example that call rovlog."""
    lines = [line.strip() for line in (page.epilog or "").splitlines()[1:]]
    return [line for line in lines if line.startswith("rovlog ")]
