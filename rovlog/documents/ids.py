"""Ids of records: what they may be, and what a file's name says about the record in it."""

from __future__ import annotations

import re

from rovlog.values import dataclass

KINDS = (
    "logbook", "vehicle", "box", "thruster-model", "part", "checklist", "approval", "withdrawal",
    "dive", "work",
)  # fmt: skip
"""Every kind of record, as written in `format: rovlog/<kind>/1`."""

KIND_OF_FOLDER = {
    "vehicles": ("vehicle",),
    "boxes": ("box",),
    "thrusters": ("thruster-model",),
    "parts": ("part",),
    "checklists": ("checklist",),
    "approvals": ("approval", "withdrawal"),
    "dives": ("dive",),
    "work": ("work",),
}
"""Which kinds of records a folder of the logbook holds."""

DEVICE_NAMES = frozenset(
    {"con", "prn", "aux", "nul", *(f"{d}{n}" for d in ("com", "lpt") for n in range(10))}
)
"""Names that Windows keeps for devices, whatever follows the dot."""

_ID = re.compile(r"[a-z][a-z0-9-]*")
LONGEST = 80


@dataclass(frozen=True, slots=True)
class FileName:
    """A record's name relative to the logbook, in its parts; "" where there is none."""

    folder: str
    middle: str
    stem: str


def file_name(name: str) -> FileName:
    """Folder, folder below it, and stem of `approvals/kelpie/r3-0123abcd.yaml`."""
    path = name.removesuffix(".yaml").split("/")
    return FileName(path[0] if len(path) > 1 else "", "/".join(path[1:-1]), path[-1])


def id_key(kind: str) -> str:
    """The key under which a record of this kind carries its id."""
    return "model" if kind == "thruster-model" else kind


def is_id(text: str) -> bool:
    """True for lower-case ASCII letters, digits and hyphens, beginning with a letter, at most 80."""
    return len(text) <= LONGEST and _ID.fullmatch(text) is not None


def is_device_name(text: str) -> bool:
    """True for a name that Windows keeps for a device."""
    return text.partition(".")[0].lower() in DEVICE_NAMES
