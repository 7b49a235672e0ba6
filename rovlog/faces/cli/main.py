"""The command line: finds the command, builds only that command's parser, and turns errors into a status.

The table below is read without importing any command, so that `rovlog --help` stays quick; a test
holds it against the modules.
"""

from __future__ import annotations

import sys
from importlib import import_module
from typing import TYPE_CHECKING, TextIO

from rovlog.faces.cli.output import output_error, write_out

if TYPE_CHECKING:
    from collections.abc import Sequence

    from rovlog.faces.cli.context import Context
    from rovlog.faces.cli.parser import CommandParser
    from rovlog.problems import RovlogError

COMMANDS: dict[str, str] = {
    "demo": "make a demonstration logbook with history, then open it",
    "init": "start a logbook in a folder",
    "validate": "check every record, and say how to mend what is wrong",
    "vehicle": "show, approve, withdraw, compare and follow configurations",
    "budget": "worst-case current, voltage left, fuse, buoyancy and pressure",
    "bench": "what bench load steps say; a factor for a thruster model, to approve",
    "response": "what a demand or a stick position makes the vehicle do",
    "ballast": "ballast to move between two waters",
    "vacuum": "judge a vacuum hold from its readings",
    "box": "read the surface box, and decode its numbers",
    "drift": "baseline, working files, box and pilot side by side",
    "checklist": "show, compare and follow the checklists",
    "dive": "start, answer, mark, log and close a dive",
    "work": "the same for anything outside a dive: bench, tub, repair",
    "diagnose": "which wiring or setup fault explains what was seen",
    "audit": "timeline, what flew, what changed, what to suspect",
    "part": "tethers, batteries, seals: where fitted, hours, what is due",
    "report": "dive record, pilot's card and other pages as HTML, PDF or text",
    "verify": "digests, closes, approvals, references and the state of git",
    "completion": "completion for bash, zsh or fish",
}

SYNOPSIS = "rovlog [--logbook DIR] [--json] COMMAND …"


def overview() -> str:
    """The text of `rovlog --help`."""
    width = max(map(len, COMMANDS))
    rows = "\n".join(f"  {name.ljust(width)}  {summary}" for name, summary in COMMANDS.items())
    return (
        f"usage: {SYNOPSIS}\n\n"
        "The team's logbook for small tethered underwater vehicles. Alone it opens the app.\n\n"
        f"commands:\n{rows}\n\n"
        "options, before or after the command:\n"
        "  --logbook DIR  the logbook's folder (default: the one around the current directory)\n"
        "  --json         one JSON document on standard output, nothing else\n"
        "  --version      the version\n\n"
        "exit status: 0 fine, 1 a finding (invalid, deviation, something stops the dive),\n"
        "2 wrong use or unreadable input.\n"
        "`rovlog COMMAND --help` says more, with an example.\n"
    )


def run(argv: Sequence[str], out: TextIO | None = None, err: TextIO | None = None) -> int:
    """Run one command; returns the exit status. Never a traceback for what a person typed or wrote."""
    if out is None and sys.stdout is not None:
        _never_fail_on_a_character(sys.stdout)
    out, err = out or sys.stdout or _nowhere(), err or sys.stderr or _nowhere()
    if list(argv) in (["--help"], ["-h"], ["help"]):
        return _at_once(overview(), out, err)
    from rovlog.problems import RovlogError

    as_json = "--json" in argv
    try:
        logbook, as_json, rest = _common(list(argv))
        if rest and rest[0] in ("--help", "-h", "help"):
            return _help(rest[1:], out)
        if rest and rest[0] == "--version":
            from rovlog import __version__

            write_out(out, f"rovlog {__version__}\n")
            return 0
        from rovlog.faces.cli.context import Context

        context = Context(logbook, as_json, out, err)
        return _dispatch(rest, context)
    except RovlogError as error:
        return _tell(error, as_json, out, err)
    except BrokenPipeError:
        # The reader of our output went away (`| head`); that is its right.
        _silence_stdout()
        return 0
    except KeyboardInterrupt:
        err.write("stopped\n")
        return 130


def _at_once(text: str, out: TextIO, err: TextIO) -> int:
    """Write what needs no command; nothing more is imported unless it cannot be written."""
    try:
        out.write(text)
        out.flush()
    except OSError as error:
        return not_written(error, out, err)
    return 0


def not_written(error: OSError, out: TextIO, err: TextIO) -> int:
    """The exit status where standard output took nothing, said on standard error; a reader may go away."""
    if isinstance(error, BrokenPipeError):
        _silence_stdout()
        return 0
    return _tell(output_error(error), False, out, err)


def _dispatch(rest: list[str], context: Context) -> int:
    from rovlog.problems import UsageError

    if not rest:
        from rovlog.faces.cli.open_app import run as open_app

        return open_app(context)
    _refuse_lines(rest)
    name = rest[0]
    if name.startswith("-"):
        option = name.partition("=")[0]
        from rovlog.domain.nearest import did_you_mean

        mend = did_you_mean(option, ["--logbook", "--json", "--help", "--version"])
        raise UsageError(f"there is no option {option}", mend or "rovlog --help says what there is")
    if name not in COMMANDS:
        raise UsageError(f"there is no command {name!r}", _nearest(name, list(COMMANDS)))
    if {"--help", "-h"} & set(_before_dashes(rest[1:])):
        parser_for(name).page([word for word in rest[1:] if not word.startswith("-")][:1], context.out)
        return 0
    args = parser_for(name, only=rest[1] if len(rest) > 1 else None).parse_args(rest[1:])
    return int(args.run(args, context))


def _before_dashes(words: list[str]) -> list[str]:
    return words[: words.index("--")] if "--" in words else words


def _refuse_lines(words: list[str]) -> None:
    """What is typed on a command line is one line each; a pasted paragraph or a control character is not."""
    for number, word in enumerate(words):
        if not word.isprintable():
            from rovlog.usecases.one_line import require_one_line

            before = words[number - 1] if number else ""
            option = word.partition("=")[0] if word.startswith("--") else before
            what = f"text of {option}" if option.startswith("--") and option.isprintable() else "text given"
            require_one_line(what, word)


def parser_for(name: str, only: str | None = None) -> CommandParser:
    """The parser of one command, with its `run` set as a default.

    With `only` it is meant for parsing alone: no subcommand but this one is built, and no page of help.
    """
    from rovlog.faces.cli.parser import CommandParser, complete_pages, example

    module = import_module(f"rovlog.faces.cli.{name}")
    parser = CommandParser(
        prog=f"rovlog {name}",
        description=module.SUMMARY,
        epilog=example(module.EXAMPLE),
        only=only,
    )
    parser.summary = COMMANDS.get(name, "")
    parser.set_defaults(run=module.run)
    module.add_arguments(parser)
    if only is None:
        complete_pages(parser)
    return parser


def _common(argv: list[str]) -> tuple[str | None, bool, list[str]]:
    """Take --logbook and --json out of the words, wherever they stand before a bare `--`."""
    from rovlog.problems import UsageError

    logbook: str | None = None
    as_json = False
    rest: list[str] = []
    words = iter(argv)
    for word in words:
        if word == "--":
            rest.append(word)
            rest.extend(words)
        elif word == "--json":
            as_json = True
        elif word == "--logbook":
            logbook = next(words, None)
            if logbook is None:
                raise UsageError("--logbook needs a folder", "write --logbook DIR")
        elif word.startswith("--logbook="):
            logbook = word.partition("=")[2]
        else:
            rest.append(word)
    return logbook, as_json, rest


def _help(rest: list[str], out: TextIO) -> int:
    if rest and rest[0] in COMMANDS:
        # `rovlog help dive tick` is the page of the subcommand; a word that is none is refused there.
        parser_for(rest[0]).page(rest[1:], out)
    else:
        write_out(out, overview())
    return 0


def _nearest(word: str, words: list[str]) -> str:
    from rovlog.domain.nearest import nearest_mend

    return nearest_mend(word, words, "rovlog --help lists the commands")


def _tell(error: RovlogError, as_json: bool, out: TextIO, err: TextIO) -> int:
    from rovlog.faces.cli.context import OutputError
    from rovlog.faces.cli.errors import as_data, as_text

    if isinstance(error, OutputError):
        _silence_stdout()
    elif as_json:
        from rovlog.faces.cli.json_text import json_text

        out.write(json_text(as_data(error)))
    try:
        err.write(as_text(error))
    except OSError:
        # Standard error takes nothing either: the status is all that can be said.
        return 2
    return 2


def _never_fail_on_a_character(stream: TextIO) -> None:
    """A terminal that knows few characters shows the others escaped, instead of ending the program."""
    if hasattr(stream, "reconfigure"):
        stream.reconfigure(errors="backslashreplace")


def _nowhere() -> TextIO:
    """Where words go that nobody can read: the program was started without that stream."""
    import io

    return io.StringIO()


def _silence_stdout() -> None:
    """Let what is left in the buffer go nowhere, so that the end of the program does not fail on it."""
    import os

    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
