"""Bytes from a box, in pieces of any size, to whole frames and counted refusals; memory stays bounded."""

from __future__ import annotations

from collections import Counter

from rovlog.documents.readback_frame import (
    MAKER,
    MOST_SENTENCES,
    BoxFrame,
    FrameRefusedError,
    frame_number,
    frame_of,
)
from rovlog.documents.sentences import LONGEST, Sentence, read_sentence
from rovlog.values import dataclass, field

SLICE = 4096
"""Bytes looked at in one go, so that a piece of any size costs no more memory than this beside itself."""

KEPT_FRAMES = 8
"""Frames waiting to be taken; a newer one pushes the oldest out, and the drop is counted."""


_TEXT = bytes(range(0x20, 0x7F)) + b"\r\n"


@dataclass(slots=True)
class _Open:
    """A frame that has begun: its sentences, their bytes, and whether it is past saving."""

    number: int
    sentences: list[Sentence]
    raw: list[bytes]


@dataclass(slots=True)
class FrameStream:
    """Takes bytes with `feed`, hands out frames with `take`; says in `refused` what was dropped and why.

    `received` counts bytes, `lines` line ends, `sentences` sentences of ours, `foreign` sound sentences of
    others (a sounder on the same line), `not_text` bytes outside printable ASCII and line ends.
    """

    received: int = 0
    lines: int = 0
    sentences: int = 0
    foreign: int = 0
    not_text: int = 0
    refused: Counter[str] = field(default_factory=Counter)
    _frames: list[BoxFrame] = field(default_factory=list)
    _line: bytes = b""
    _is_dropping: bool = False
    _open: _Open | None = None

    def feed(self, data: bytes) -> None:
        """Take what arrived, in pieces of any size."""
        for start in range(0, len(data), SLICE):
            self._feed(data[start : start + SLICE])

    def take(self) -> list[BoxFrame]:
        """The whole frames since the last call, oldest first."""
        frames, self._frames = self._frames, []
        return frames

    def end(self) -> None:
        """The line went away: what had begun will never be whole."""
        if self._line or self._is_dropping:
            self._refuse("no-carriage-return")
        self._line, self._is_dropping = b"", False
        if self._open is not None:
            self._refuse("cut-short")
            self._open = None

    @property
    def is_in_frame(self) -> bool:
        """True while a frame has begun and not ended."""
        return self._open is not None

    def _feed(self, piece: bytes) -> None:
        self.received += len(piece)
        self.not_text += len(piece.translate(None, _TEXT))
        first, *rest = piece.split(b"\n")
        if not rest:
            self._hold(first)
            return
        self._finish(first)
        for line in rest[:-1]:
            self._finish(line)
        self._hold(rest[-1])

    def _hold(self, part: bytes) -> None:
        """Keep an unfinished line, or forget it once it is too long to become a sentence."""
        if self._is_dropping:
            return
        self._line += part
        if len(self._line) > LONGEST:
            self._line, self._is_dropping = b"", True

    def _finish(self, part: bytes) -> None:
        self._hold(part)
        line, dropped = self._line + b"\n", self._is_dropping
        self._line, self._is_dropping = b"", False
        self.lines += 1
        if dropped:
            self._refuse("too-long")
            return
        if line in (b"\n", b"\r\n"):
            return
        sentence = read_sentence(line)
        if isinstance(sentence, str):
            self._refuse(sentence)
        elif sentence.address.startswith(MAKER) and line.startswith(b"$"):
            self.sentences += 1
            self._sentence(sentence, line)
        else:
            self.foreign += 1

    def _sentence(self, sentence: Sentence, line: bytes) -> None:
        number = frame_number(sentence)
        if sentence.address == MAKER + "BOX":
            if self._open is not None:
                self._refuse("cut-short")
            self._open = None if number is None else _Open(number, [sentence], [line])
            if number is None:
                self._refuse("fields")
        elif self._open is None:
            self._refuse("no-beginning")
        elif number != self._open.number:
            self._give_up("mixed")
        elif sentence.address == MAKER + "END":
            self._finish_frame(sentence, line, self._open)
        elif len(self._open.sentences) >= MOST_SENTENCES:
            self._give_up("too-many")
        else:
            self._open.sentences.append(sentence)
            self._open.raw.append(line)

    def _finish_frame(self, end: Sentence, line: bytes, frame: _Open) -> None:
        self._open = None
        try:
            self._frames.append(frame_of(frame.sentences, b"".join(frame.raw), end, line))
        except FrameRefusedError as refusal:
            self._refuse(refusal.word)
        if len(self._frames) > KEPT_FRAMES:
            del self._frames[0]
            self._refuse("pushed-out")

    def _give_up(self, word: str) -> None:
        self._open = None
        self._refuse(word)

    def _refuse(self, word: str) -> None:
        self.refused[word] += 1
