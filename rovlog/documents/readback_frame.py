"""A readback frame: the sentences in which a surface box says what it holds, taken apart and checked.

A frame begins with PRVLBOX and ends with PRVLEND, which carries the number of sentences before it and a
CRC-32 over their bytes, each from its `$` to its line feed. Every sentence carries the frame's number,
so that two frames cannot run into one. The form is documented for firmware writers in
`rovlog/store/emitter/WIRE.txt`.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from typing import Any
from zlib import crc32

from rovlog.documents.ids import is_id
from rovlog.documents.sentences import Sentence, whole_number
from rovlog.domain.vehicle import DEMANDS
from rovlog.values import dataclass, field

MAKER = "PRVL"
"""P for proprietary and our own three letters. They are not registered with anybody as a maker's code."""

VERSION = 1
"""The version of the form that this program reads."""

MOST_SENTENCES = 32
"""Sentences in the longest frame, PRVLEND left out (project default): a frame is bounded."""

LONGEST_NAME = 24
"""Characters in the longest box id, firmware or name of a further number."""

LINK_WORDS = ("connected", "disconnected", "unknown")
OUTPUT_WORDS = ("enabled", "isolated", "unknown")

_U32 = 4294967295
_NAME = re.compile(r"[a-z][a-z0-9_]{0,23}")
_OURS = ("steering_scheme", "thruster_map", "trim", "power_limit", "box", "firmware")

FRAME_REFUSALS = {
    "cut-short": "a frame began and did not end",
    "no-beginning": "a part of a frame without its beginning",
    "mixed": "two frames ran into each other",
    "too-many": f"a frame of more than {MOST_SENTENCES} sentences",
    "wrong-count": "a frame does not have the number of sentences it says",
    "wrong-crc": "a frame's CRC-32 does not fit",
    "another-version": f"a frame of another version than {VERSION}",
    "fields": "a sentence with fields missing or too many",
    "out-of-range": "a field that is no number, or out of range",
    "identity": "an identity that is no box id, or no firmware",
    "said-twice": "a frame says the same thing twice",
    "incomplete": "a frame without all its parts",
    "pushed-out": "a whole frame that nobody took in time",
}
"""Why sentences are no frame, in words, by the rule's own word."""


@dataclass(frozen=True, slots=True)
class BoxFrame:
    """What the box says, all checks passed.

    `in_use` and `stored` are keyed as in a readback entry (steering_scheme, thruster_map, trim,
    power_limit, further numbers by name); trims and the power limit are shares of full. `stored` is
    None where the box does not say. `uptime_s` seconds since it started; `raw` the bytes the CRC-32 is
    over, and the end sentence.
    """

    frame: int
    box: str
    firmware: str
    boots: int
    uptime_s: int
    in_use: Mapping[str, Any]
    stored: Mapping[str, Any] | None
    link: str
    outputs: str
    supply_v: float | None
    hours: float | None
    raw: bytes
    unknown: tuple[str, ...] = ()


class FrameRefusedError(Exception):
    """Sentences that are no frame; `word` is one of FRAME_REFUSALS. Never leaves `documents`."""

    def __init__(self, word: str) -> None:
        super().__init__(word)
        self.word = word


@dataclass(slots=True)
class _Said:
    """What has been said so far in one frame."""

    identity: tuple[str, str] | None = None
    run: tuple[int, int] | None = None
    link: tuple[str, str] | None = None
    supply: tuple[float | None, float | None] | None = None
    setups: dict[str, dict[str, Any]] = field(default_factory=dict)
    trims: dict[str, dict[str, float]] = field(default_factory=dict)
    others: dict[tuple[str, str], int] = field(default_factory=dict)
    unknown: list[str] = field(default_factory=list)


def frame_number(sentence: Sentence) -> int | None:
    """The frame a sentence of ours belongs to, None where it does not say."""
    return whole_number(sentence.fields[0], 0, _U32) if sentence.fields else None


def frame_of(sentences: Sequence[Sentence], raw: bytes, end: Sentence, end_line: bytes) -> BoxFrame:
    """The frame of these sentences and their bytes; all of them bear the end's frame number already.

    Raises:
        FrameRefusedError: something is missing, damaged, too much, or out of range.
    """
    number = _check_end(sentences, raw, end)
    said = _Said()
    for sentence in sentences:
        kind = sentence.address.removeprefix(MAKER)
        if kind in _TAKERS:
            count, take = _TAKERS[kind]
            if len(sentence.fields) - 1 != count:
                raise FrameRefusedError("fields")
            take(said, sentence.fields[1:])
        else:
            said.unknown.append(kind[:LONGEST_NAME])
    if said.identity is None or said.run is None or said.link is None:
        raise FrameRefusedError("incomplete")
    supply_v, hours = said.supply or (None, None)
    return BoxFrame(
        frame=number,
        box=said.identity[0],
        firmware=said.identity[1],
        boots=said.run[0],
        uptime_s=said.run[1],
        in_use=_setting(said, "USE") or {},
        stored=_setting(said, "STO"),
        link=said.link[0],
        outputs=said.link[1],
        supply_v=supply_v,
        hours=hours,
        raw=raw + end_line,
        unknown=tuple(said.unknown),
    )


def _check_end(sentences: Sequence[Sentence], raw: bytes, end: Sentence) -> int:
    if len(end.fields) != 3:
        raise FrameRefusedError("fields")
    number = frame_number(end)
    if number is None:
        raise FrameRefusedError("mixed")
    if whole_number(end.fields[1], 1, MOST_SENTENCES) != len(sentences):
        raise FrameRefusedError("wrong-count")
    if end.fields[2] != f"{crc32(raw):08X}":
        raise FrameRefusedError("wrong-crc")
    return number


def _setting(said: _Said, which: str) -> dict[str, Any] | None:
    """One set-up as a readback entry has it; None where the box says nothing about the stored one."""
    setup, trim = said.setups.get(which), said.trims.get(which)
    others = {name: value for (where, name), value in said.others.items() if where == which}
    if setup is None and trim is None and not others and which == "STO":
        return None
    if setup is None or trim is None:
        raise FrameRefusedError("incomplete")
    return {**setup, "trim": trim, **others}


def _number(text: str, least: int, most: int) -> int:
    number = whole_number(text, least, most)
    if number is None:
        raise FrameRefusedError("out-of-range")
    return number


def _optional(text: str, most: int, divisor: int) -> float | None:
    return _number(text, 0, most) / divisor if text else None


def _take_box(said: _Said, fields: Sequence[str]) -> None:
    version, box, firmware = fields
    if said.identity is not None:
        raise FrameRefusedError("said-twice")
    if whole_number(version, 0, 9999) != VERSION:
        raise FrameRefusedError("another-version")
    if not is_id(box) or len(box) > LONGEST_NAME or not firmware.strip() or len(firmware) > LONGEST_NAME:
        raise FrameRefusedError("identity")
    said.identity = (box, firmware)


def _take_run(said: _Said, fields: Sequence[str]) -> None:
    if said.run is not None:
        raise FrameRefusedError("said-twice")
    said.run = (_number(fields[0], 0, _U32), _number(fields[1], 0, _U32))


def _take_link(said: _Said, fields: Sequence[str]) -> None:
    if said.link is not None:
        raise FrameRefusedError("said-twice")
    if fields[0] not in LINK_WORDS or fields[1] not in OUTPUT_WORDS:
        raise FrameRefusedError("out-of-range")
    said.link = (fields[0], fields[1])


def _take_supply(said: _Said, fields: Sequence[str]) -> None:
    if said.supply is not None:
        raise FrameRefusedError("said-twice")
    said.supply = (_optional(fields[0], 100_000, 1000), _optional(fields[1], 10_000_000, 10))


def _take_setup(which: str) -> Callable[[_Said, Sequence[str]], None]:
    def take(said: _Said, fields: Sequence[str]) -> None:
        if which in said.setups:
            raise FrameRefusedError("said-twice")
        setup: dict[str, Any] = {
            "steering_scheme": _number(fields[0], 0, 999_999),
            "thruster_map": _number(fields[1], 0, 999_999),
        }
        limit = _optional(fields[2], 1000, 1000)
        said.setups[which] = setup | ({} if limit is None else {"power_limit": limit})

    return take


def _take_trims(which: str) -> Callable[[_Said, Sequence[str]], None]:
    def take(said: _Said, fields: Sequence[str]) -> None:
        if which in said.trims:
            raise FrameRefusedError("said-twice")
        shares = {
            demand: _number(text, -1000, 1000) / 1000
            for demand, text in zip(DEMANDS, fields, strict=True)
            if text
        }
        said.trims[which] = {demand: share for demand, share in shares.items() if share}

    return take


def _take_other(said: _Said, fields: Sequence[str]) -> None:
    where, name, value = fields
    if where not in ("USE", "STO") or not is_name(name):
        raise FrameRefusedError("out-of-range")
    if (where, name) in said.others:
        raise FrameRefusedError("said-twice")
    said.others[where, name] = _number(value, -2147483648, 2147483647)


def is_name(name: str) -> bool:
    """True for the name of a further number: lower-case letters, digits, underscores, none of ours."""
    return _NAME.fullmatch(name) is not None and name not in _OURS


_TAKERS: Mapping[str, tuple[int, Callable[[_Said, Sequence[str]], None]]] = {
    "BOX": (3, _take_box),
    "RUN": (2, _take_run),
    "USE": (3, _take_setup("USE")),
    "UTR": (6, _take_trims("USE")),
    "STO": (3, _take_setup("STO")),
    "STR": (6, _take_trims("STO")),
    "LNK": (2, _take_link),
    "SUP": (2, _take_supply),
    "VAL": (3, _take_other),
}
"""The sentences of a frame by what follows PRVL: fields after the frame's number, and who takes them."""
