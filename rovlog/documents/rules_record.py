"""Rules of dives and work: names and folders by date, times, the order of entries, pushes."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING, Any

from rovlog.documents.ids import file_name, is_id
from rovlog.documents.rows import mapping, number, rows, text, whole
from rovlog.documents.rules_times import time_problems
from rovlog.documents.times import is_time
from rovlog.domain.wrong_clock import odds
from rovlog.problems import Problem

if TYPE_CHECKING:
    from rovlog.documents.tree import Tree

_DATED = re.compile(r"(?P<subject>[a-z][a-z0-9-]*?)-(?P<work>work-)?(?P<day>[0-9]{8})-[a-z]{4}")


def record_problems(tree: Tree, kind: str, name: str) -> Iterator[Problem]:
    """Everything the rules find in one part of a dive or of work."""
    value = tree.value
    yield from time_problems(tree, "/started", value.get("started"))
    yield from _name_problems(tree, kind, name)
    if kind == "work" and ("vehicle" in value) == ("box" in value):
        found = "both" if "vehicle" in value else "neither"
        yield tree.problem(
            "/box" if found == "both" else "",
            "vehicle-or-box",
            f"work names {found} vehicle and box"
            if found == "both"
            else "work names neither vehicle nor box",
            found,
            "one of vehicle and box",
            "write vehicle for work on a vehicle, box for work on a surface box",
            at_key=True,
        )
    yield from _entry_problems(tree, "continues" in value)
    if "continues" not in value:
        yield from _clock_problems(tree, kind)


def _clock_problems(tree: Tree, kind: str) -> Iterator[Problem]:
    """A whole record whose times contradict its entries' ids or the day in its name."""
    entries = rows(tree.value, "", "entries")
    place, first = next(iter(entries), ("", {}))
    corrected = {
        text(row, "corrects") for _, row in rows(tree.value, "", "entries") if "at" in mapping(row, "set")
    }
    if not first or first.get("clock") == "memory" or text(first, "id") in corrected:
        return
    found = odds(text(tree.value, kind), text(first, "at"), text(first, "id"))
    if found is not None:
        yield tree.problem(
            f"{place}/at",
            "times-at-odds",
            found.words,
            found.times,
            f"the day of its ids and of its name, {found.ids or found.name}",
            "if a clock was wrong or the file was edited, correct the first entry's time with the reason: "
            "rovlog dive correct",
        )


def _name_problems(tree: Tree, kind: str, name: str) -> Iterator[Problem]:
    value, file = tree.value, file_name(name)
    started, writer = text(value, "started"), text(value, "writer")
    is_more = "continues" in value
    key = "continues" if is_more else kind
    identity = text(value, key)
    if is_id(identity):
        yield from _id_problems(tree, kind, key, identity)
    dated = _DATED.fullmatch(identity)
    year = dated["day"][:4] if dated else started[:4]
    if file.folder in ("dives", "work") and is_time(started) and file.middle != year:
        yield tree.problem(
            "/started",
            "wrong-folder",
            f"a {kind} of {year} stands in {name.rpartition('/')[0]}",
            started,
            f"{file.folder}/{year}",
            f"move the file to {file.folder}/{year}",
        )
    if is_more and writer and file.folder and file.stem.partition(".")[2] != writer:
        yield tree.problem(
            "/writer",
            "name-not-of-content",
            f"a part written by {writer} is in {file.stem}.yaml",
            f"'{writer}'",
            f"{identity}.{writer}.yaml",
            f"rename the file to {identity}.{writer}.yaml",
        )


def _id_problems(tree: Tree, kind: str, key: str, identity: str) -> Iterator[Problem]:
    dated = _DATED.fullmatch(identity)
    form = (
        "<vehicle>-<yyyymmdd>-<4 letters>"
        if kind == "dive"
        else "<vehicle or box>-work-<yyyymmdd>-<4 letters>"
    )
    if dated is None or bool(dated["work"]) != (kind == "work"):
        yield tree.problem(
            f"/{key}", "id-form", f"{key} is '{identity}'", f"'{identity}'", form, f"write it as {form}"
        )
        return
    about = text(tree.value, "vehicle") or text(tree.value, "box")
    if about and dated["subject"] != about:
        yield tree.problem(
            f"/{key}",
            "id-form",
            f"{key} is '{identity}', and the record is about {about}",
            f"'{identity}'",
            f"an id that begins with {about}-",
            f"correct {key}, or the vehicle or box",
        )


def _entry_problems(tree: Tree, is_more: bool) -> Iterator[Problem]:
    seen: dict[str, str] = {}
    last = 0
    for place, row in rows(tree.value, "", "entries"):
        identity, n = text(row, "id"), whole(row, "n")
        first = seen.setdefault(identity, place)
        if identity and first != place:
            yield tree.problem(
                f"{place}/id",
                "duplicate-id",
                "the id of this entry stands here a second time",
                identity,
                "an id of its own",
                f"the first is in line {tree.place(first).line}; entries are never copied",
            )
        if n is not None and n <= last:
            yield tree.problem(
                f"{place}/n",
                "out-of-order",
                f"n is {n} after an entry with {last}",
                str(n),
                f"{last + 1} or more",
                "entries are appended in order and never moved; take the file back from git",
            )
        last = max(last, n or 0)
        yield from time_problems(tree, f"{place}/at", row.get("at"))
        yield from _kind_problems(tree, place, row)
    entries = tree.value.get("entries")
    kind = (
        entries[0].get("kind")
        if isinstance(entries, list) and entries and isinstance(entries[0], Mapping)
        else ""
    )
    if kind and kind != "start" and not is_more:
        yield tree.problem(
            "/entries/0",
            "no-start",
            f"the first entry is of kind {kind}",
            str(kind),
            "start",
            "a record begins with its start entry; take the file back from git",
        )


def _kind_problems(tree: Tree, place: str, row: Mapping[str, Any]) -> Iterator[Problem]:
    kind = text(row, "kind")
    if kind == "waiver" and not {"item", "pointer", "stop"} & row.keys():
        yield tree.problem(
            place,
            "missing-key",
            "a waiver names nothing that is waived",
            "no item, pointer or stop",
            "item, pointer or stop",
            "write the item, the pointer of the deviation, or the stop that is waived",
        )
    if kind == "observation":
        push = mapping(row, "push")
        for control in push:
            position = number(push, control)
            if position is not None and position < 0 and not control.endswith(("-x", "-y")):
                yield tree.problem(
                    f"{place}/push/{control}",
                    "out-of-range",
                    f"{control} is at {position:g}",
                    f"{position:g}",
                    "0 to 1",
                    "a button goes from 0, released, to 1, pressed",
                )
    if kind == "correction":
        for key in mapping(row, "set"):
            if key in ("id", "kind", "n", "mono_s"):
                yield tree.problem(
                    f"{place}/set/{key}",
                    "not-to-be-corrected",
                    f"a correction sets {key}",
                    key,
                    "fields other than id, kind, n and mono_s",
                    "add the right entry, and correct the wrong one with the reason",
                    at_key=True,
                )
        if "at" in mapping(row, "set"):
            yield from time_problems(tree, f"{place}/set/at", mapping(row, "set")["at"])
