"""argparse with our manners: errors are UsageErrors with the nearest word, help keeps its layout."""

from __future__ import annotations

import argparse
import re
from math import isfinite
from typing import Any, NoReturn

from rovlog.problems import UsageError


_NUMBER = re.compile(r"[+-]?([0-9]{1,15}([.,][0-9]*)?|[.,][0-9]+)([eE][+-]?[0-9]{1,3})?", re.ASCII)
"""What counts as a number: Python itself would take 1_000, infinity and digits of other scripts as well."""


class CommandParser(argparse.ArgumentParser):
    """An ArgumentParser that raises UsageError, so that one place tells people what went wrong."""

    def __init__(self, **kwargs: Any) -> None:
        kwargs.setdefault("formatter_class", argparse.RawDescriptionHelpFormatter)
        kwargs.setdefault("allow_abbrev", False)
        super().__init__(**kwargs)
        # A decimal comma after a minus is a number, not an option.
        self._negative_number_matcher = re.compile(r"^-\d+$|^-\d*[.,]\d+$|^-\d+(?:[.,]\d*)?[eE][+-]?\d+$")

    def error(self, message: str) -> NoReturn:
        """Raise UsageError; suggests the nearest choice where argparse names the choices."""
        from rovlog.domain.nearest import nearest_mend

        mend = f"{self.prog} --help says what it takes"
        found = re.search(r"invalid choice: '([^']*)' \(choose from (.*)\)", message)
        if found:
            choices = [c.strip(" '") for c in found.group(2).split(",")]
            message = f"there is no {found.group(1)!r} here"
            mend = nearest_mend(found.group(1), choices, mend)
        raise UsageError(f"{self.prog}: {message}", mend)


def example(text: str) -> str:
    """An epilog with an indented example."""
    return "example:\n" + "\n".join("  " + line for line in text.strip().splitlines())


def subcommands(parser: argparse.ArgumentParser) -> argparse._SubParsersAction[CommandParser]:
    """Subparsers of a group of commands (`rovlog dive …`), one required."""
    return parser.add_subparsers(
        dest="subcommand", metavar="…", required=True, parser_class=CommandParser, title="subcommands"
    )


def pair(text: str) -> tuple[str, str]:
    """Split NAME=VALUE; raises ArgumentTypeError without an equals sign."""
    name, sign, value = text.partition("=")
    if not sign or not name:
        raise argparse.ArgumentTypeError(f"{text!r} is not NAME=VALUE")
    return name.strip(), value.strip()


def number(text: str) -> float:
    """A finite number, with a decimal point or a decimal comma."""
    if not _NUMBER.fullmatch(text.strip()):
        raise argparse.ArgumentTypeError(f"{text!r} is not a number")
    value = float(text.strip().replace(",", "."))
    if not isfinite(value):
        raise argparse.ArgumentTypeError(f"{text!r} is not a finite number")
    return value
