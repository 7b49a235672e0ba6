"""The checklists themselves: one in full, two revisions side by side, the history of one."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from rovlog.problems import GitError, RovlogError, UsageError
from rovlog.usecases.logbook import Logbook
from rovlog.values import dataclass

if TYPE_CHECKING:
    from rovlog.domain.checks.checklist import Checklist


@dataclass(frozen=True, slots=True)
class ListRevision:
    """One commit's state of a list: its revision, who wrote it and why."""

    revision: int | None
    commit: str
    author: str
    at: str
    message: str
    reason: str = ""


@dataclass(frozen=True, slots=True)
class ItemDifference:
    """One item that differs: added, removed, or the keys that changed with both values."""

    item: str
    what: str
    changes: tuple[tuple[str, Any, Any], ...] = ()


def list_names(logbook: Logbook) -> list[str]:
    """The lists on file."""
    return logbook.stems("checklists")


def checklist_document(logbook: Logbook, name: str) -> dict[str, Any]:
    """A list's document: `pre-dive`, or `pre-dive@<commit>`."""
    stem, sign, commit = name.partition("@")
    file = f"checklists/{stem}.yaml"
    if not sign:
        if not logbook.book.files.exists(file):
            raise UsageError(
                f"there is no checklist {stem!r}", "lists are: " + ", ".join(list_names(logbook))
            )
        document: dict[str, Any] = logbook.document(file)
        return document
    full = logbook.book.history.expand(commit)
    data = logbook.book.history.read_at(full, file)
    if data is None:
        raise UsageError(f"{file} is not in {commit}", "rovlog checklist history " + stem)
    held: dict[str, Any] = logbook.checked(data, file)
    return held


def checklist_values(document: dict[str, Any], resolved: Mapping[str, Any] | None = None) -> Checklist:
    """The list as values; with a resolved configuration as that vehicle is asked, housing by housing."""
    from rovlog.documents.checklist import checklist_from
    from rovlog.domain.checks.per_housing import for_each_housing, housings_of

    values = checklist_from(document)
    return for_each_housing(values, housings_of(resolved)) if resolved else values


def compare_checklists(logbook: Logbook, a: str, b: str) -> list[ItemDifference]:
    """Items added, removed and changed from list A to list B."""
    one, other = _items(checklist_document(logbook, a)), _items(checklist_document(logbook, b))
    rows = []
    for name in [*one, *(n for n in other if n not in one)]:
        if name not in other:
            rows.append(ItemDifference(name, "removed"))
        elif name not in one:
            rows.append(ItemDifference(name, "added"))
        elif one[name] != other[name]:
            keys = [k for k in {**one[name], **other[name]} if one[name].get(k) != other[name].get(k)]
            changes = tuple((k, one[name].get(k), other[name].get(k)) for k in keys)
            rows.append(ItemDifference(name, "changed", changes))
    return rows


def checklist_history(logbook: Logbook, name: str) -> list[ListRevision]:
    """Every commit that changed a list, newest first."""
    file = f"checklists/{name}.yaml"
    if name not in list_names(logbook):
        raise UsageError(f"there is no checklist {name!r}", "lists are: " + ", ".join(list_names(logbook)))
    rows = []
    for commit in logbook.book.history.log([file]):
        revision, reason = None, ""
        try:
            data = logbook.book.history.read_at(commit.commit, file)
            if data is not None:
                held = logbook.checked(data, file)
                revision, reason = held.get("revision"), str(held.get("reason", ""))
        except (GitError, RovlogError):
            # An earlier state that does not validate any more is still part of the history.
            reason = "this state does not validate"
        rows.append(ListRevision(revision, commit.commit, commit.author, commit.at, commit.message, reason))
    return rows


def _items(document: dict[str, Any]) -> dict[str, dict[str, Any]]:
    return {i["item"]: i for s in document.get("sections", []) for i in s.get("items", [])}
