"""Starting a logbook in a folder: settings, the checklists, the schemas, and the first commit."""

from __future__ import annotations

import re
from collections.abc import Mapping

from rovlog.domain.dive import ROLES
from rovlog.problems import GitError, UsageError
from rovlog.usecases.ports import Book, CommitOutcome
from rovlog.values import dataclass

ALL_ROLES = (*ROLES, "builder")


@dataclass(frozen=True, slots=True)
class Started:
    """What was made: the names written, and the first commit or why there is none."""

    root: str
    names: tuple[str, ...]
    commit: CommitOutcome


def start_logbook(
    book: Book, title: str, people: Mapping[str, Mapping[str, object]] | None = None, at: str | None = None
) -> Started:
    """Write logbook.yaml and the checklists, refresh the schemas, commit.

    Without people, the one person is git's own user, in every role. Raises UsageError where a
    logbook stands already or a title is empty.
    """
    from rovlog.documents.write import document_text, modeline

    if book.files.exists("logbook.yaml"):
        raise UsageError(
            f"{book.files.root} is a logbook already", "open it: rovlog --logbook " + book.files.root
        )
    crew = dict(people or {}) or _from_git(book)
    document = {"format": "rovlog/logbook/1", "title": title, "people": crew}
    names = ["logbook.yaml"]
    text = document_text(document, modeline("logbook", 0))
    book.shipped.refresh()
    for stem, data in sorted(book.shipped.checklists().items()):
        name = f"checklists/{stem}.yaml"
        if not book.files.exists(name):
            book.files.create(name, data)
        names.append(name)
    # Last, so that a folder holds a logbook only once all else is there.
    book.files.create("logbook.yaml", text.encode())
    try:
        outcome = book.history.commit(names, f"Start the logbook of {title}", None, at)
    except GitError as error:
        outcome = CommitOutcome(None, error.message, error.mend)
    return Started(book.files.root, tuple(names), outcome)


def parse_person(text: str) -> tuple[str, dict[str, object]]:
    """`ada=Ada Lind:supervisor,pilot` as an id and its row; every role where none is named."""
    identity, sign, rest = text.partition("=")
    name, _, roles = rest.partition(":")
    identity, name = identity.strip(), name.strip()
    if not sign or not re.fullmatch(r"[a-z][a-z0-9-]*", identity) or not name:
        raise UsageError(f"{text!r} is no person", 'write --person ada="Ada Lind:supervisor,pilot"')
    chosen = [r.strip() for r in roles.split(",") if r.strip()] or list(ALL_ROLES)
    for role in chosen:
        if role not in ALL_ROLES:
            raise UsageError(f"there is no role {role!r}", "roles are: " + ", ".join(ALL_ROLES))
    return identity, {"name": name, "roles": chosen}


def _from_git(book: Book) -> dict[str, Mapping[str, object]]:
    name, _ = book.history.identity()
    identity = re.sub(r"[^a-z0-9]+", "-", name.lower().split()[0] if name.split() else "").strip("-")
    if not re.match(r"[a-z]", identity):
        identity = "builder"
    return {identity: {"name": name, "roles": list(ALL_ROLES)}}
