"""The port to a surface box on a serial line, in our words. The adapter is `rovlog.store.serial_port`."""

from __future__ import annotations

from contextlib import AbstractContextManager
from typing import Protocol

from rovlog.problems import RovlogError
from rovlog.values import dataclass


class BoxLineError(RovlogError):
    """The serial line cannot be opened or went away: one sentence, and how to mend it."""


@dataclass(frozen=True, slots=True)
class PortSeen:
    """A serial port that the system lists; nothing was opened to find it. Texts are the system's own."""

    device: str
    description: str
    hardware: str = ""


class BoxLine(Protocol):
    """An open serial line. Nothing is sent but by `write`."""

    def read(self, patience_s: float) -> bytes:
        """What has arrived, at most 4096 bytes; b"" if nothing came within the patience.

        Raises BoxLineError once the line is gone.
        """

    def write(self, data: bytes) -> None:
        """Send these bytes; BoxLineError if the line does not take them."""

    def open_s(self) -> float:
        """Seconds since the line was opened."""


class BoxPort(Protocol):
    """The serial ports of this machine. A port is opened by a person's act only, never by polling."""

    def ports(self) -> list[PortSeen]:
        """The ports the system lists, by device name; opens none of them."""

    def open(self, device: str, baud: int) -> AbstractContextManager[BoxLine]:
        """Open one exclusively, with DTR and RTS low and no hang-up at closing; BoxLineError otherwise."""

    def wait_for(self, device: str, patience_s: float) -> bool:
        """Wait until the system lists the device again after it was unplugged; False if it does not come."""
