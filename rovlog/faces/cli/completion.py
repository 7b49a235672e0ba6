"""`rovlog completion …`: scripts for bash, zsh and fish, made from the parsers themselves."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace

from rovlog.faces.cli.context import Context, Status
from rovlog.faces.cli.parser import example, subcommands

SUMMARY = "Completion for bash, zsh or fish: commands, options, and the words of the logbook."
EXAMPLE = """
source <(rovlog completion bash)
rovlog completion zsh > ~/.zfunc/_rovlog
rovlog completion fish > ~/.config/fish/completions/rovlog.fish
"""

SHELLS = ("bash", "zsh", "fish")


def add_arguments(parser: ArgumentParser) -> None:
    """bash, zsh, fish, words."""
    commands = subcommands(parser)
    for shell in SHELLS:
        sub = commands.add_parser(
            shell, help=f"the script for {shell}", epilog=example(f"rovlog completion {shell}")
        )
        sub.set_defaults(run=run_script, shell=shell)
    words = commands.add_parser(
        "words",
        help="words of the logbook, one a line; for the scripts",
        epilog=example("rovlog completion words vehicles"),
    )
    words.add_argument("kind", metavar="KIND", help="vehicles, open-dives, parts, items …")
    words.add_argument("line", nargs="*", metavar="WORD", help="the line so far, behind --")
    words.set_defaults(run=run_words)


def run(args: Namespace, context: Context) -> int:
    """Never reached: a subcommand is required and sets its own."""
    raise NotImplementedError


def run_script(args: Namespace, context: Context) -> int:
    """Print the script of one shell."""
    from rovlog.faces.cli.completion_shells import bash_script, fish_script, zsh_script
    from rovlog.faces.cli.completion_tree import nodes

    make = {"bash": bash_script, "zsh": zsh_script, "fish": fish_script}[args.shell]
    script = make(nodes())
    context.show_script({"shell": args.shell, "script": script}, script)
    return Status.FINE


def run_words(args: Namespace, context: Context) -> int:
    """Print words of a kind; nothing, quietly, where there is no logbook or it cannot be read.

    Raises UsageError for a kind that does not exist: no script of ours asks for one.
    """
    from rovlog.faces.reports.plain import clean
    from rovlog.problems import RovlogError
    from rovlog.usecases.complete_words import KINDS, ON_THE_LINE, complete_words
    from rovlog.usecases.logbook import Logbook
    from rovlog.usecases.one_line import require_word

    require_word("kind of word", args.kind, [*KINDS, *ON_THE_LINE])
    try:
        words = complete_words(Logbook(context.book()), args.kind, args.line)
    except RovlogError:
        # A shell asks while a person types: any message would land in the middle of the line.
        words = []
    context.show({"words": words}, "".join(clean(w) + "\n" for w in words))
    return Status.FINE
