"""Honest witnesses: a blind second answer is worth something only where two people can really differ."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING, Any

from rovlog.documents.rows import rows, text
from rovlog.problems import Problem

if TYPE_CHECKING:
    from rovlog.documents.tree import Tree

PERSON_SEES = ("choose", "measure", "readback", "function-test")
"""Kinds of items whose answer is more than "as stated", so that two answers can differ."""


def witness_problems(tree: Tree, place: str, item: Mapping[str, Any]) -> Iterator[Problem]:
    """What is wrong with an item's blind witness; nothing for an item without one."""
    if item.get("witness") != "blind":
        return
    name, kind = text(item, "item"), text(item, "kind")
    asks = [row for _, row in rows(item, place, "asks")]
    options = item.get("options")
    if not asks and not options and kind not in PERSON_SEES:
        yield tree.problem(
            f"{place}/witness",
            "blind-without-value",
            f"item {name} has a blind witness and asks for no value",
            "blind",
            "none or concurrent, or a value under asks",
            "two people who both answer 'as stated' cannot disagree: ask for the value that is seen",
        )
    elif asks and all("proposed" in row and not _is_read_off_box(row) for row in asks):
        what = "its one value is" if len(asks) == 1 else "all its values are"
        yield tree.problem(
            f"{place}/witness",
            "blind-on-proposal",
            f"item {name} has a blind witness and {what} proposed by the program",
            "blind",
            "none or concurrent, or a value that each person reads",
            "nobody else can see this value: both would accept the same proposal; ask for one that both read",
        )
    elif _has_one_answer(asks, options):
        yield tree.problem(
            f"{place}/witness",
            "blind-with-one-answer",
            f"item {name} has a blind witness and one answer to choose from",
            "blind",
            "none or concurrent, or a second answer to choose",
            "two people who can only choose the same word cannot disagree: write the other words as well",
        )


def _is_read_off_box(ask: Mapping[str, Any]) -> bool:
    """True for a proposal that a readback gives: the second person, to whom nothing is proposed, reads the
    same value off the box."""
    from rovlog.domain.checks.computed import READ_OFF_BOX

    proposed = ask["proposed"]
    return isinstance(proposed, Mapping) and proposed.get("computed") in READ_OFF_BOX


def _has_one_answer(asks: list[Mapping[str, Any]], options: Any) -> bool:
    if asks:
        return all(isinstance(row.get("options"), list) and len(row["options"]) == 1 for row in asks)
    return isinstance(options, list) and len(options) == 1
