"""The commands as the parsers know them, for completion: subcommands, options, and what each place takes."""

from __future__ import annotations

import argparse

from rovlog.faces.cli.main import COMMANDS, parser_for
from rovlog.values import dataclass

COMMON = (
    ("--logbook", "dir", "the logbook's folder"),
    ("--json", "", "one JSON document"),
    ("--help", "", "help"),
)
"""Options before or after every command: name, what it takes ("" for nothing), help."""

KIND_OF_METAVAR = {
    "VEHICLE": "words:vehicles",
    "VEHICLE@N": "words:configurations",
    "A": "words:configurations",
    "B": "words:configurations",
    "DIVE": "words:open-dives",
    "WORK": "words:open-work",
    "RECORD": "words:records",
    "VEHICLE|DIVE": "words:dives",
    "VEHICLE|BOX": "words:subjects",
    "BOX": "words:boxes",
    "PART": "words:parts",
    "CHECKLIST": "words:checklists",
    "PERSON": "words:people",
    "ITEM": "words:items",
    "POINT": "words:points",
    "NAME=V": "words:values",
    "ROLE=PERSON": "words:crew",
    "SYMPTOM": "words:symptoms",
    "DEMAND=SHARE": "words:trims",
    "CONTROL=POSITION": "words:controls",
    "GROUP": "words:groups",
    "POINTER": "words:pointers",
    "MARK": "words:marks",
    "EVENT": "words:events",
    "FILE": "file",
    "PATH": "file",
    "DIR": "dir",
    "LOGBOOK": "dir",
}
"""What a place takes, by the word its help shows for it; words not named here are the person's own."""

CONFIGURATIONS = (
    "vehicle show",
    "budget",
    "response",
    "ballast",
    "report vehicle",
    "report pilot-card",
    "report box-card",
    "report label",
    "report competition",
    "report checklist",
    "checklist show",
)
"""Commands whose VEHICLE may be a revision as well."""

ANY_DIVE = ("report dive", "report site", "report checklist", "audit between", "drift", "diagnose")
"""Commands whose DIVE may be a closed one."""


@dataclass(frozen=True, slots=True)
class Option:
    """One option: every way to write it, what it takes ("" for nothing), and its help."""

    names: tuple[str, ...]
    takes: str
    help: str


@dataclass(frozen=True, slots=True)
class Place:
    """One positional: what it takes; the last one of a command may repeat."""

    takes: str
    repeats: bool


@dataclass(frozen=True, slots=True)
class Node:
    """A command or subcommand by its path ("dive tick"); `subcommands` are (name, help)."""

    path: str
    subcommands: tuple[tuple[str, str], ...]
    options: tuple[Option, ...]
    places: tuple[Place, ...]


def nodes() -> tuple[Node, ...]:
    """Every command, from the parsers themselves; the first node is the program alone."""
    root = Node("", tuple(COMMANDS.items()), _common(), ())
    found = [root]
    for name in COMMANDS:
        found += _walk(parser_for(name), name)
    return tuple(found)


def _common() -> tuple[Option, ...]:
    return tuple(Option((name,), takes, words) for name, takes, words in COMMON)


def _walk(parser: argparse.ArgumentParser, path: str) -> list[Node]:
    options: list[Option] = []
    places: list[Place] = []
    subcommands: list[tuple[str, str]] = []
    inner: list[Node] = []
    for action in parser._actions:
        if isinstance(action, argparse._SubParsersAction):
            help_of = {a.dest: _line(a.help) for a in action._choices_actions}
            subcommands += [(name, help_of.get(name, "")) for name in action.choices]
            for name, sub in action.choices.items():
                inner += _walk(sub, f"{path} {name}")
        elif action.help is argparse.SUPPRESS:
            continue
        elif action.option_strings:
            if "--help" in action.option_strings:
                continue
            takes = "" if action.nargs == 0 else _takes(action, path)
            options.append(Option(tuple(action.option_strings), takes, _line(action.help)))
        else:
            places.append(Place(_takes(action, path), action.nargs in ("+", "*")))
    return [Node(path, tuple(subcommands), (*options, *_common()), tuple(places)), *inner]


def _takes(action: argparse.Action, path: str) -> str:
    """What a value is completed with: choices, words of the logbook, files, or nothing known."""
    if action.choices is not None:
        return "choices:" + " ".join(str(c) for c in action.choices)
    metavar = action.metavar if isinstance(action.metavar, str) else action.dest.upper()
    kind = KIND_OF_METAVAR.get(metavar, "any")
    if kind == "words:vehicles" and path in CONFIGURATIONS:
        return "words:configurations"
    if kind == "words:open-dives" and path in ANY_DIVE:
        return "words:dives"
    return kind


def _line(text: str | None) -> str:
    return " ".join((text or "").replace("%%", "%").split())
