"""A readback frame and a set sentence as bytes: what the stand-in box says, and what a box is told."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any
from zlib import crc32

from rovlog.documents.readback_frame import MAKER, VERSION, BoxFrame, is_name
from rovlog.documents.sentences import Sentence, read_sentence, sentence_bytes, whole_number
from rovlog.domain.vehicle import DEMANDS
from rovlog.problems import UsageError

SETTABLE = ("steering_scheme", "thruster_map", "power_limit", *(f"trim_{d}" for d in DEMANDS))
"""What a set sentence names; the trims and the power limit go in thousandths of full."""


def frame_bytes(frame: BoxFrame) -> bytes:
    """The frame as a box sends it; its `raw` is not looked at."""
    number = str(frame.frame)
    lines = [
        sentence_bytes(MAKER + "BOX", (number, str(VERSION), frame.box, frame.firmware)),
        sentence_bytes(MAKER + "RUN", (number, str(frame.boots), str(frame.uptime_s))),
        *_setup_lines(number, "USE", "UTR", frame.in_use),
        *(_setup_lines(number, "STO", "STR", frame.stored) if frame.stored is not None else ()),
        sentence_bytes(MAKER + "LNK", (number, frame.link, frame.outputs)),
    ]
    if frame.supply_v is not None or frame.hours is not None:
        fields = (number, _scaled(frame.supply_v, 1000), _scaled(frame.hours, 10))
        lines.append(sentence_bytes(MAKER + "SUP", fields))
    raw = b"".join(lines)
    return raw + sentence_bytes(MAKER + "END", (number, str(len(lines)), f"{crc32(raw):08X}"))


def _setup_lines(number: str, setup: str, trims: str, said: Mapping[str, Any]) -> list[bytes]:
    limit = _scaled(said.get("power_limit"), 1000)
    trim = said.get("trim", {})
    lines = [
        sentence_bytes(
            MAKER + setup, (number, str(said["steering_scheme"]), str(said["thruster_map"]), limit)
        ),
        sentence_bytes(MAKER + trims, (number, *(_scaled(trim.get(d, 0.0), 1000) for d in DEMANDS))),
    ]
    for name, value in said.items():
        if is_name(name):
            lines.append(sentence_bytes(MAKER + "VAL", (number, setup, name, str(value))))
    return lines


def _scaled(value: float | None, by: int) -> str:
    return "" if value is None else str(round(value * by))


def set_sentence(count: int, name: str, value: float) -> bytes:
    """What a box that takes set sentences is told: one thing, and a CRC-32 over the words that say it.

    `count` numbers the sentences of one session. Raises UsageError for what cannot be set so.
    """
    if name not in SETTABLE:
        raise UsageError(
            f"{name} cannot be set over the line", "set it at the box: " + "see how_to_set in its record"
        )
    is_share = name == "power_limit" or name.startswith("trim_")
    fields = (str(count), name, str(round(value * 1000) if is_share else round(value)))
    return sentence_bytes(MAKER + "SET", (*fields, _set_crc(fields)))


def read_set(line: bytes) -> tuple[str, float] | None:
    """What a set sentence asks for, None where it is damaged or not one. Only the stand-in box listens."""
    sentence = read_sentence(line)
    if not isinstance(sentence, Sentence) or sentence.address != MAKER + "SET" or len(sentence.fields) != 4:
        return None
    fields, crc = sentence.fields[:3], sentence.fields[3]
    name, value = fields[1], whole_number(fields[2], -999_999, 999_999)
    if name not in SETTABLE or value is None or crc != _set_crc(fields):
        return None
    return name, value / 1000 if name == "power_limit" or name.startswith("trim_") else value


def _set_crc(fields: tuple[str, ...]) -> str:
    return f"{crc32(','.join((MAKER + 'SET', *fields)).encode('ascii')):08X}"
