"""Setting one value of a configuration in the person's own files: seen first, then written or refused."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from rovlog.domain.findings import Finding
from rovlog.problems import DocumentError, Problem, UsageError
from rovlog.usecases.approve import commit_files, findings_of
from rovlog.usecases.compare_configurations import Compared, compare_named
from rovlog.usecases.configurations import Named, digest_of, working
from rovlog.usecases.logbook import Logbook
from rovlog.usecases.one_line import require_text
from rovlog.usecases.ports import CommitOutcome
from rovlog.values import dataclass

TOGETHER = ("vehicles", "boxes", "thrusters", "parts", "checklists")
"""The folders whose records an edit is checked against; dives keep what they flew with in themselves."""

_NUMBER = re.compile(r"[+-]?([0-9]+([.,][0-9]*)?|[.,][0-9]+)([eE][+-]?[0-9]{1,2})?")


@dataclass(frozen=True, slots=True)
class PlannedEdit:
    """One edit that would validate, not yet written.

    `was` and `becomes` are the values, ABSENT for one that the file does not say; `compared` holds
    what the edit does physically; `also` the other vehicles whose configuration it changes too;
    `stops` what would stop a dive with it and does not now; `before` and `after` the bytes of the file.
    """

    vehicle: str
    pointer: str
    file: str
    file_pointer: str
    was: Any
    becomes: Any
    compared: Compared
    also: tuple[str, ...]
    before: bytes
    after: bytes
    open_dives: tuple[str, ...] = ()
    stops: tuple[Finding, ...] = ()

    @property
    def is_change(self) -> bool:
        """False where the file says so already."""
        return self.before != self.after


@dataclass(frozen=True, slots=True)
class WrittenEdit:
    """An edit that is on the disk; `commit` is None where no commit was asked for."""

    planned: PlannedEdit
    commit: CommitOutcome | None
    notes: tuple[str, ...] = ()


def plan_edit(logbook: Logbook, vehicle: str, pointer: str, text: str) -> PlannedEdit:
    """What setting the value at a pointer into the working configuration would write and do.

    `text` is the value as typed: a number with a point or a comma, true, false, a word, or a list in
    brackets. Raises UsageError for a pointer no file holds, DocumentError with every problem that the
    files would have with it; nothing is written either way.
    """
    from rovlog.documents.configuration_places import place_in_files
    from rovlog.documents.pointer import MISSING, find
    from rovlog.domain.drift.leaves import ABSENT

    now = working(logbook, vehicle)
    document = logbook.vehicle(vehicle)
    place = place_in_files(pointer, document, logbook.box(document["control_box"]["box"]))
    was = find(logbook.document(place.file), place.pointer)
    if isinstance(was, Mapping) or (isinstance(was, list) and not text.lstrip().startswith("[")):
        inside = sorted(map(str, was)) if isinstance(was, Mapping) else [str(k) for k in range(len(was))]
        raise UsageError(f"{pointer} is not one value", f"name one inside it: {', '.join(inside)}")
    becomes = typed_value(text, None if was is MISSING else was)
    before = logbook.book.files.read(place.file)
    after = _changed(before, place.file, place.pointer, becomes, is_new=was is MISSING)
    changed = {place.file: _checked(logbook, place.file, after)}
    then = _resolved_with(logbook, vehicle, changed)
    edited = Named(f"{vehicle} as edited", vehicle, then, digest_of(then), None)
    also = _others(logbook, vehicle, place.file, changed)
    return PlannedEdit(
        vehicle,
        pointer,
        place.file,
        place.pointer,
        ABSENT if was is MISSING else was,
        becomes,
        compare_named(now, edited),
        also,
        before,
        after,
        _open_dives(logbook, (vehicle, *also)),
        _new_stops(now, edited),
    )


def write_edit(
    logbook: Logbook, planned: PlannedEdit, *, by: str | None = None, reason: str | None = None
) -> WrittenEdit:
    """Write a planned edit durably; a commit follows where a person and a reason are given.

    Raises UsageError where only one of the two is given, NotRecordedError where the file is no
    longer what the plan was made from, or the disk does not take it.
    """
    if (by is None) != (reason is None):
        raise UsageError(
            "a commit needs a person and a reason", "give both --by PERSON and --reason TEXT, or neither"
        )
    if by is not None and reason is not None:
        logbook.person(by)
        require_text("reason", reason)
    if planned.is_change:
        logbook.book.files.replace(planned.file, planned.after, planned.before)
        logbook.forget()
    if by is None or reason is None:
        return WrittenEdit(planned, None)
    notes = _uncommitted(logbook, planned)
    message = f"Set {planned.pointer} of {planned.vehicle} to {_said(planned.becomes)}: {reason}"
    was = f"It was {_said(planned.was)}." if planned.is_change else "It was so already."
    who = logbook.person_name(by)
    outcome = commit_files(logbook, [planned.file], f"{message}\n\n{was} Changed by {who}.", by)
    return WrittenEdit(planned, outcome, notes)


def typed_value(text: str, was: Any) -> Any:
    """The value a person typed, as what stands there: text stays text, a number may have a comma."""
    require_text("value", text)
    word = text.strip()
    if word.startswith("["):
        from rovlog.documents.tree import read_value

        return read_value(f"value: {word}\n".encode(), "the value")["value"]
    if isinstance(was, str):
        return word
    if word in ("true", "false"):
        return word == "true"
    if _NUMBER.fullmatch(word):
        return int(word) if re.fullmatch(r"[+-]?[0-9]{1,15}", word) else float(word.replace(",", "."))
    return word


def _changed(data: bytes, file: str, pointer: str, value: Any, *, is_new: bool) -> bytes:
    """The file with the value; a key that is not there is added, with the mappings it needs."""
    from rovlog.documents.edit import add_key, replace_value
    from rovlog.documents.tree import read

    if not is_new:
        return replace_value(data, file, pointer, value)
    tree = read(data, file)
    above, _, key = pointer.rpartition("/")
    while above and tree.node(above) is None:
        value = {key: value}
        above, _, key = above.rpartition("/")
    node = tree.node(above)
    if node is not None and node.kind == "scalar":
        # An empty value (`limits:`) holds nothing yet.
        return replace_value(data, file, above, {key: value})
    return add_key(data, file, above, key, value)


def _checked(logbook: Logbook, file: str, data: bytes) -> Any:
    """The document's value, if the logbook has no problem with it that it did not have before."""
    from rovlog.documents.rules import check_document, check_together
    from rovlog.documents.tree import read
    from rovlog.usecases.validate_logbook import read_trees

    book = logbook.book
    names = ["logbook.yaml", *(n for folder in TOGETHER for n in book.files.names(folder))]
    found, trees = read_trees(book, names)
    before = {_identity(p) for p in (*found, *check_together(trees))}
    tree = read(data, file)
    after = [*check_document(tree, file, book.shipped.schemas()), *check_together({**trees, file: tree})]
    problems = [p for p in after if _identity(p) not in before]
    if problems:
        raise DocumentError(tuple(problems))
    return tree.value


def _identity(problem: Problem) -> tuple[str, str, str, str]:
    return problem.place.file, problem.pointer, problem.rule, problem.message


def _resolved_with(logbook: Logbook, vehicle: str, changed: Mapping[str, Any]) -> dict[str, Any]:
    """The vehicle's configuration with some files as they would be."""
    from rovlog.documents.configuration import resolve

    def of(file: str) -> Any:
        return changed[file] if file in changed else logbook.document(file)

    document = of(f"vehicles/{vehicle}.yaml")
    models = {t["model"]: of(f"thrusters/{t['model']}.yaml") for t in document["thrusters"]}
    return resolve(document, of(f"boxes/{document['control_box']['box']}.yaml"), models)


def _others(logbook: Logbook, vehicle: str, file: str, changed: Mapping[str, Any]) -> tuple[str, ...]:
    """Other vehicles whose configuration changes with a box or a thruster model they share."""
    from rovlog.problems import RovlogError

    if file.startswith("vehicles/"):
        return ()
    found = []
    for other in logbook.vehicles():
        try:
            if other != vehicle and working(logbook, other).digest != digest_of(
                _resolved_with(logbook, other, changed)
            ):
                found.append(other)
        except RovlogError:
            # Its own files are broken, before the edit and after it: `validate` says how.
            continue
    return tuple(found)


def _new_stops(now: Named, edited: Named) -> tuple[Finding, ...]:
    if now.digest == edited.digest:
        return ()
    known = {f.finding for f in findings_of(now)[0]}
    return tuple(f for f in findings_of(edited)[0] if f.finding not in known)


def _open_dives(logbook: Logbook, vehicles: tuple[str, ...]) -> tuple[str, ...]:
    return tuple(r.id for r in logbook.records(kinds=("dive",)) if not r.is_closed and r.vehicle in vehicles)


def _uncommitted(logbook: Logbook, planned: PlannedEdit) -> tuple[str, ...]:
    """A commit takes the file whole: what was in it before the edit and never committed goes with it."""
    from rovlog.problems import GitError

    history = logbook.book.history
    try:
        head = history.head()
        committed = history.read_at(head, planned.file) if head else None
    except GitError:
        return ()
    if committed is None or committed in (planned.before, planned.after):
        return ()
    return (f"{planned.file} held other changes that were not committed; they are in this commit too",)


def _said(value: Any) -> str:
    import json

    from rovlog.domain.drift.leaves import ABSENT

    return "not there" if value is ABSENT else json.dumps(value, ensure_ascii=False)
