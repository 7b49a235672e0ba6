"""argparse with our manners: errors are UsageErrors with the nearest word, help is a page of its own."""

from __future__ import annotations

import argparse
import re
from math import isfinite
from typing import TYPE_CHECKING, Any, NoReturn, TextIO

from rovlog.faces.cli.output import write_out
from rovlog.problems import UsageError

if TYPE_CHECKING:
    from collections.abc import Sequence

_NUMBER = re.compile(r"[+-]?([0-9]{1,15}([.,][0-9]*)?|[.,][0-9]+)([eE][+-]?[0-9]{1,3})?", re.ASCII)
"""What counts as a number: Python itself would take 1_000, infinity and digits of other scripts as well."""

WIDTH = 80
"""Columns of a help page."""

SUBCOMMAND = "SUBCOMMAND"

EVERYWHERE = """\
  --logbook DIR  the logbook's folder (default: the one around where you stand)
  --json         one JSON document on standard output, nothing else"""
"""Options of every command; main takes them out of the words wherever they stand."""


# argparse's own words stay English, as ours are (and as `error` reads them); no catalogue is looked for.
argparse._ = str  # type: ignore[attr-defined]


class CommandParser(argparse.ArgumentParser):
    """An ArgumentParser that raises UsageError, so that one place tells people what went wrong."""

    def __init__(self, only: str | None = None, **kwargs: Any) -> None:
        """As argparse; with `only` no subcommand but this one is built, which takes most of the time."""
        kwargs.setdefault("formatter_class", argparse.RawDescriptionHelpFormatter)
        kwargs.setdefault("allow_abbrev", False)
        super().__init__(**kwargs)
        self.register("action", "parsers", _Subcommands)
        self.only = only
        self.summary = ""
        for action in self._actions:
            if isinstance(action, argparse._HelpAction):
                action.help = "this page"
        # A decimal comma after a minus is a number, not an option.
        self._negative_number_matcher = re.compile(r"^-\d+$|^-\d*[.,]\d+$|^-\d+(?:[.,]\d*)?[eE][+-]?\d+$")

    def _get_formatter(self) -> argparse.HelpFormatter:
        # With a width of its own: argparse makes a formatter for every argument it is told, and would
        # load `shutil` to ask the terminal.
        return self.formatter_class(prog=self.prog, width=WIDTH)  # type: ignore[call-arg]

    def error(self, message: str) -> NoReturn:
        """Raise UsageError; suggests the nearest choice or option where argparse names one."""
        from rovlog.domain.nearest import nearest_mend

        mend = f"{self.prog} --help says what it takes"
        found = re.search(r"invalid choice: '([^']*)' \(choose from (.*)\)", message)
        unknown = re.fullmatch(r"unrecognized arguments: (--[a-z-]+).*", message)
        if found:
            choices = [c.strip(" '") for c in found.group(2).split(",")]
            message = f"there is no {found.group(1)!r} here"
            mend = nearest_mend(found.group(1), choices, mend)
        elif unknown:
            message = f"there is no option {unknown.group(1)}"
            mend = nearest_mend(unknown.group(1), self._long_options(), mend)
        raise UsageError(f"{self.prog}: {message}", mend)

    def parse_known_args(self, args: Any = None, namespace: Any = None) -> Any:
        """As argparse's, but the parser that was reached says what it does not know, not the one above."""
        found, left = super().parse_known_args(args, namespace)
        if left:
            self.error(f"unrecognized arguments: {' '.join(left)}")
        return found, left

    def format_help(self) -> str:
        """The command's page: name, synopsis, description, arguments, exit status, example."""
        from rovlog.faces.cli.exit_words import exit_words

        usage = self.format_usage().removeprefix("usage: ").replace(" [-h]", "").split()
        name = f"{self.prog} - {self.summary}" if self.summary else self.prog
        parts = [("NAME", _filled(name, "  ", "    ")), ("SYNOPSIS", _filled(" ".join(usage), "  ", "    "))]
        if self.description:
            parts.append(("DESCRIPTION", _filled(self.description, "  ")))
        groups = sorted(self._action_groups, key=lambda group: group is self._optionals)
        parts += [(_head_of(group), text) for group in groups if (text := self._group(group))]
        statuses = ["as each subcommand's own page says"] if self._is_group else exit_words(self.prog)
        parts += [
            ("OPTIONS OF EVERY COMMAND", EVERYWHERE),
            ("EXIT STATUS", "\n".join(_filled(line, "  ", "     ") for line in statuses)),
        ]
        page = "".join(f"{head}\n{text}\n\n" for head, text in parts)
        return page + (self.epilog.rstrip() + "\n" if self.epilog else "")

    def page(self, words: Sequence[str], out: TextIO) -> None:
        """Write the page of this command, or of the subcommand the words name."""
        group = next((a for a in self._actions if isinstance(a, argparse._SubParsersAction)), None)
        if words and group is not None:
            if words[0] not in group.choices:
                self.error(f"invalid choice: '{words[0]}' (choose from {', '.join(group.choices)})")
            group.choices[words[0]].page(words[1:], out)
        else:
            write_out(out, self.format_help())

    @property
    def _is_group(self) -> bool:
        return any(isinstance(action, argparse._SubParsersAction) for action in self._actions)

    def _group(self, group: Any) -> str:
        formatter = _Rows(self.prog, width=WIDTH)
        formatter.start_section("")
        formatter.add_arguments(group._group_actions)
        formatter.end_section()
        lines = formatter.format_help().splitlines()
        kept = [x for x in lines if x.strip() not in ("", ":", SUBCOMMAND)]
        indent = min((len(x) - len(x.lstrip()) for x in kept), default=0)
        return "\n".join("  " + x[indent:] for x in kept)

    def _long_options(self) -> list[str]:
        own = [word for action in self._actions for word in action.option_strings if word.startswith("--")]
        return [*own, "--logbook", "--json"]


class _Unbuilt:
    """Stands for a subcommand that was not asked for: takes what a parser takes, and does nothing."""

    def __getattr__(self, name: str) -> Any:
        return self._ignore

    def _ignore(self, *words: Any, **named: Any) -> _Unbuilt:
        return self


class _Subcommands(argparse._SubParsersAction):  # type: ignore[type-arg]
    """Subparsers of which all are named, and all or only one are built."""

    only: str | None = None

    def add_parser(self, name: str, **kwargs: Any) -> Any:
        """The subcommand's parser, or what stands for it where another one was asked for."""
        if self.only in (None, name):
            return super().add_parser(name, **kwargs)
        self._name_parser_map[name] = _Unbuilt()
        return self._name_parser_map[name]


def complete_pages(parser: argparse.ArgumentParser) -> None:
    """Give subcommands their line and description, and arguments their words, where these are missing."""
    from rovlog.faces.cli.page_words import PAGES, WORDS

    parser.description = parser.description or PAGES.get(parser.prog)
    for action in parser._actions:
        names = [*action.option_strings, str(action.metavar)]
        action.help = _without_formats(action.help or next((WORDS[n] for n in names if n in WORDS), None))
        if isinstance(action, argparse._SubParsersAction):
            for listed in action._choices_actions:
                action.choices[listed.dest].summary = listed.help or ""
                listed.help = _without_formats(listed.help)
            for inner in action.choices.values():
                complete_pages(inner)


def example(text: str) -> str:
    """An epilog with an indented example."""
    lines = text.strip().splitlines()
    return f"EXAMPLE{'S' if len(lines) > 1 else ''}\n" + "\n".join("  " + line for line in lines)


def subcommands(parser: argparse.ArgumentParser) -> argparse._SubParsersAction[CommandParser]:
    """Subparsers of a group of commands (`rovlog dive …`), one required."""
    group = parser.add_subparsers(
        dest="subcommand",
        metavar=SUBCOMMAND,
        required=True,
        parser_class=CommandParser,
        title="subcommands",
        prog=parser.prog,  # argparse would lay out a page of help to find it
    )
    if isinstance(group, _Subcommands) and isinstance(parser, CommandParser):
        group.only = parser.only
    return group


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


class _Rows(argparse.RawDescriptionHelpFormatter):
    """Rows of arguments; several spellings of one option share what it takes."""

    def _format_action_invocation(self, action: argparse.Action) -> str:
        if not action.option_strings or action.nargs == 0:
            return super()._format_action_invocation(action)
        taken = self._format_args(action, action.dest.upper())
        return f"{', '.join(action.option_strings)} {taken}"


def _filled(text: str, indent: str, hanging: str | None = None) -> str:
    """Paragraphs in lines of a terminal's width; lines that are indented stay lines of their own."""
    import textwrap

    lines: list[str] = []
    pending: list[str] = []
    for line in [*text.strip().splitlines(), ""]:
        if line.strip() and not line.startswith(" "):
            pending.append(line)
            continue
        if pending:
            lines += textwrap.wrap(
                " ".join(pending),
                WIDTH,
                initial_indent=indent,
                subsequent_indent=indent if hanging is None else hanging,
                break_on_hyphens=False,
                break_long_words=False,
            )
            pending = []
        lines += _laid_out(indent + line) if line.strip() else [""]
    return "\n".join(lines).rstrip()


def _laid_out(line: str) -> list[str]:
    """An indented line; where it is too long it goes on under the words after its widest gap."""
    import textwrap

    gap = re.match(r"\s+(?:\S.*?\s{2,})?", line)
    hanging = " " * (len(gap.group()) if gap else 0)
    return textwrap.wrap(line, WIDTH, subsequent_indent=hanging, break_on_hyphens=False)


def _without_formats(text: str | None) -> str | None:
    """argparse fills help in with %; a per cent sign of ours is one."""
    return text and re.sub("%(?![%(])", "%%", text)


def _head_of(group: Any) -> str:
    return {"positional arguments": "ARGUMENTS"}.get(group.title or "", str(group.title).upper())
