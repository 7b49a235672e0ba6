"""Rules of approvals and withdrawals: the digest is that of the content, and the name says both."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING, Any

from rovlog.documents.canonical import digest
from rovlog.documents.ids import file_name
from rovlog.documents.rows import mapping, members, text, whole
from rovlog.documents.rules_box import drives_problems, share_channel_problems
from rovlog.documents.rules_model import model_problems
from rovlog.documents.rules_times import time_problems
from rovlog.documents.rules_vehicle import (
    channel_problems,
    direction_problems,
    share_problems,
    tether_problems,
)
from rovlog.problems import Problem, RovlogError

if TYPE_CHECKING:
    from rovlog.documents.tree import Tree

DIGEST_LENGTH = len("sha256:") + 64


def approval_problems(tree: Tree, kind: str, name: str) -> Iterator[Problem]:
    """Everything the rules find in an approval or a withdrawal."""
    value = tree.value
    yield from time_problems(tree, "/at", value.get("at"))
    yield from _name_problems(tree, kind, name)
    held = value.get("configuration")
    if kind == "approval" and isinstance(held, Mapping):
        yield from _content_problems(tree, held)
        yield from configuration_problems(tree, "/configuration", held)


def _name_problems(tree: Tree, kind: str, name: str) -> Iterator[Problem]:
    value, file = tree.value, file_name(name)
    revision, eight = whole(value, "revision"), text(value, "digest").removeprefix("sha256:")[:8]
    stem = f"r{revision}-{eight}" + ("-withdrawn" if kind == "withdrawal" else "")
    if revision is not None and len(text(value, "digest")) == DIGEST_LENGTH and file.stem != stem:
        yield tree.problem(
            "/revision",
            "name-not-of-content",
            f"{kind} of revision {revision} with digest {eight}… is in {name}",
            f"{file.stem}.yaml",
            f"{stem}.yaml",
            f"rename the file to {stem}.yaml, or take it back from git",
        )
    vehicle = text(value, "vehicle")
    if vehicle and file.folder == "approvals" and file.middle != vehicle:
        yield tree.problem(
            "/vehicle",
            "wrong-folder",
            f"{kind} of {vehicle} stands in approvals/{file.middle}",
            f"'{vehicle}'",
            f"approvals/{vehicle}",
            f"move the file to approvals/{vehicle}",
        )


def _content_problems(tree: Tree, held: Mapping[str, Any]) -> Iterator[Problem]:
    value = tree.value
    written = text(value, "digest")
    try:
        true = digest(held)
    except RovlogError:
        return
    if written and written != true:
        yield tree.problem(
            "/digest",
            "digest-not-of-content",
            "the digest is not that of the configuration below",
            written,
            true,
            "an approval is never changed: take the file back from git, or approve anew",
        )
    inner, vehicle = text(held, "vehicle"), text(value, "vehicle")
    if inner and vehicle and inner != vehicle:
        yield tree.problem(
            "/configuration/vehicle",
            "vehicle-not-the-same",
            f"the configuration is that of {inner}",
            f"'{inner}'",
            f"'{vehicle}'",
            "take the file back from git, or approve anew",
        )


def configuration_problems(tree: Tree, at: str, held: Mapping[str, Any]) -> Iterator[Problem]:
    """What would make computations fail on a resolved configuration that stands at `at`."""
    box, channels = text(mapping(held, "control_box"), "box"), whole(mapping(held, "control_box"), "channels")
    used: set[int] = set()
    models = mapping(held, "models")
    for pointer, key, row in members(held, at, "thrusters"):
        yield from direction_problems(tree, pointer, row, key)
        yield from channel_problems(tree, pointer, row, key, channels, box)
        used.add(whole(row, "channel") or 0)
        model = text(row, "model")
        if model and model not in models:
            yield tree.problem(
                f"{pointer}/model",
                "missing-reference",
                f"model of thruster {key} is '{model}'",
                f"'{model}'",
                f"a model under {at}/models",
                "take the file back from git, or approve anew",
            )
    for pointer, _, row in members(held, at, "models"):
        yield from model_problems(tree, pointer, row)
    yield from tether_problems(tree, mapping(held, "electrical", "tether"), f"{at}/electrical/tether")
    if channels is None:
        return
    shares = mapping(held, "thruster_map", "shares")
    yield from share_channel_problems(tree, f"{at}/thruster_map/shares", shares, channels, "the thruster map")
    yield from share_problems(tree, f"{at}/thruster_map/shares", shares, used, "the thruster map")
    for control, entries in mapping(held, "steering_scheme", "controls").items():
        place = f"{at}/steering_scheme/controls/{control}"
        placed = ((f"{place}/{n}", row) for n, row in enumerate(entries or ()) if isinstance(row, Mapping))
        yield from drives_problems(tree, placed, channels, f"control {control}")
