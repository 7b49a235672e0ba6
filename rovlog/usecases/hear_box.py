"""Listening to a surface box until it has said one whole frame, or saying in one sentence why it has not."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rovlog.usecases.box_port import BoxLine, BoxLineError
from rovlog.values import dataclass

if TYPE_CHECKING:
    from rovlog.documents.readback_frame import BoxFrame
    from rovlog.documents.readback_stream import FrameStream

PATIENCE_S = 10.0
"""How long to wait for a whole frame, seconds (project default); a box says one about every second."""

FLOOD_BYTES = 2 << 20
"""Bytes without one whole frame after which listening ends (project default)."""

RESTART_MARGIN_S = 2.0
"""A box up no longer than the port has been open, and this, counts as started by the opening
(project default: a whole second of its own count, and its first second before it speaks)."""


@dataclass(frozen=True, slots=True)
class Heard:
    """A whole frame, what was dropped before it (words, each with its count), and how it came.

    `has_restarted` is True where the box started about when the port was opened; `open_s` is None
    for a file.
    """

    frame: BoxFrame
    dropped: tuple[tuple[str, int], ...] = ()
    open_s: float | None = None

    @property
    def has_restarted(self) -> bool:
        """True where the box started about when the port was opened."""
        return self.open_s is not None and self.frame.uptime_s <= self.open_s + RESTART_MARGIN_S


def hear_frame(
    line: BoxLine, *, name: str, patience_s: float = PATIENCE_S, is_live: bool = True, baud: int = 0
) -> Heard:
    """The newest of the first whole frames that arrive.

    Raises:
        BoxLineError: the line went away, or no whole frame came in time; says what came instead.
    """
    from rovlog.documents.readback_stream import FrameStream

    stream = FrameStream()
    begun_s = line.open_s()
    while (left_s := begun_s + patience_s - line.open_s()) > 0 and stream.received < FLOOD_BYTES:
        was_in_frame = stream.is_in_frame
        try:
            stream.feed(line.read(min(left_s, 0.25)))
        except BoxLineError as error:
            stream.end()
            middle = ", in the middle of a frame" if was_in_frame else ""
            raise BoxLineError(f"{error.message}{middle}; nothing was recorded", error.mend) from error
        frames = stream.take()
        if frames:
            return Heard(frames[-1], dropped(stream), line.open_s() if is_live else None)
    raise no_frame(stream, name, patience_s, baud)


def frame_in(data: bytes, name: str) -> Heard:
    """The last whole frame in bytes that were kept; BoxLineError where there is none."""
    from rovlog.documents.readback_stream import FrameStream

    stream = FrameStream()
    stream.feed(data)
    stream.end()
    frames = stream.take()
    if frames:
        return Heard(frames[-1], dropped(stream))
    raise no_frame(stream, name, None, 0)


def dropped(stream: FrameStream) -> tuple[tuple[str, int], ...]:
    """What was dropped and how often, the most frequent first."""
    from rovlog.documents.readback_frame import FRAME_REFUSALS
    from rovlog.documents.sentences import REFUSALS

    words = REFUSALS | FRAME_REFUSALS
    return tuple((words[word], count) for word, count in stream.refused.most_common())


def no_frame(stream: FrameStream, name: str, patience_s: float | None, baud: int) -> BoxLineError:
    """Why there is no whole frame, from what came instead: the likeliest reason first."""
    span = f" in {patience_s:g} s" if patience_s is not None else ""
    speed = f" at {baud} bits per second" if baud else ""
    if not stream.received:
        return BoxLineError(
            f"nothing came from {name}{span}",
            "is the box on, is this its port, and does its firmware send readbacks? "
            "(rovlog box ports lists the ports)",
        )
    what = ", ".join(f"{words} ({count})" for words, count in dropped(stream)[:3])
    if stream.not_text * 10 > stream.received:
        return BoxLineError(
            f"what came from {name}{span} is no text{speed}: {stream.received} bytes",
            "most often the speed is wrong: give the box's own with --baud, and write it into its record",
        )
    if stream.sentences:
        return BoxLineError(
            f"no whole frame came from {name}{span}; dropped: {what or 'a frame that had only begun'}",
            "read again; if it stays so, look at cable and plugs, and that no other program reads the port",
        )
    if stream.foreign:
        much = ", as fast as the line takes them" if stream.received >= FLOOD_BYTES else ""
        return BoxLineError(
            f"{name} sent {stream.foreign} sound sentences{span}{much}, and none of them is a readback",
            "is this the box's port, and not a sounder's or a receiver's?",
        )
    return BoxLineError(
        f"{name} sent {stream.received} bytes{span} and no sentence: {what or 'no end of a line'}",
        "is this the box's port, and does its firmware send readbacks? Another speed: --baud",
    )
