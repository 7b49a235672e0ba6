"""Serial ports: listed without opening, opened exclusively and as gently as the system allows."""

from __future__ import annotations

import errno
import os
import stat
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING

from rovlog.usecases.box_port import BoxLineError, PortSeen

if TYPE_CHECKING:
    from serial import Serial

MOST_BYTES = 4096
"""The most one read hands on, bytes; what the system holds beyond that waits there, and is bounded by it."""

WRITE_S = 2.0
"""How long a write may take, seconds (project default)."""


class SerialPorts:
    """The port `BoxPort` on this machine's serial lines."""

    def ports(self) -> list[PortSeen]:
        """The ports the system lists, by device name; opens none of them."""
        from serial.tools.list_ports import comports

        found = [PortSeen(p.device, p.description or "", p.hwid or "") for p in comports()]
        return sorted(found, key=lambda p: p.device)

    @contextmanager
    def open(self, device: str, baud: int) -> Iterator[SerialLine]:
        """Open one exclusively, with DTR and RTS low and no hang-up at closing; BoxLineError otherwise."""
        line = SerialLine(device, _opened(device, baud))
        try:
            yield line
        finally:
            line.close()

    def wait_for(self, device: str, patience_s: float) -> bool:
        """Wait until the device is there again; opens nothing."""
        if sys.platform == "win32":
            found = any(p.device == device for p in self.ports())
        else:
            found = os.path.exists(device)
        if found or patience_s <= 0:
            return found
        time.sleep(min(0.2, patience_s))
        return self.wait_for(device, patience_s - 0.2)


class SerialLine:
    """An open serial line."""

    def __init__(self, device: str, serial: Serial) -> None:
        """Take the port's name, for messages, and the open port."""
        self._device, self._serial = device, serial
        self._opened_s = time.monotonic()

    def read(self, patience_s: float) -> bytes:
        """What has arrived, at most 4096 bytes; b"" if nothing came within the patience."""
        try:
            self._serial.timeout = patience_s
            first: bytes = self._serial.read(1)
            if not first:
                return b""
            waiting = min(self._serial.in_waiting, MOST_BYTES - 1)
            rest: bytes = self._serial.read(waiting) if waiting else b""
            return first + rest
        except (OSError, TypeError) as error:  # SerialException is an OSError; TypeError: closed under us
            raise self._gone(error) from error

    def write(self, data: bytes) -> None:
        """Send these bytes."""
        try:
            self._serial.write_timeout = WRITE_S
            self._serial.write(data)
            self._serial.flush()
        except OSError as error:
            raise self._gone(error) from error

    def open_s(self) -> float:
        """Seconds since the line was opened."""
        return time.monotonic() - self._opened_s

    def close(self) -> None:
        """Let go of the port; a port that is gone already is let go of as well."""
        try:
            self._serial.close()
        except OSError:
            return  # unplugged: there is nothing left to close

    def _gone(self, error: Exception) -> BoxLineError:
        if "multiple access" in str(error) and os.path.exists(self._device):
            return BoxLineError(
                f"{self._device} went quiet while it was being read: it was unplugged, or another program "
                "reads the same port",
                "end the other program, look at the plug, and read again",
            )
        return BoxLineError(
            f"{self._device} went away while it was being read",
            "look at the plug and the cable, and read again",
        )


def _opened(device: str, baud: int) -> Serial:
    from serial import Serial, SerialException

    _refuse_other_things(device)
    serial = Serial()
    serial.port = device
    serial.exclusive = True
    # Set before opening, so that the board's reset line is not pulled by us; the system may still pulse it.
    serial.dtr = False
    serial.rts = False
    try:
        serial.baudrate = baud
        serial.open()
    except SerialException as error:
        raise _not_opened(device, error.errno, str(error)) from error
    except OSError as error:
        raise _not_opened(device, error.errno, str(error)) from error
    except (ValueError, OverflowError) as error:
        raise BoxLineError(
            f"{device} cannot be set to {baud} bits per second", "give the box's own speed with --baud"
        ) from error
    _stay_gentle(serial)
    return serial


def _refuse_other_things(device: str) -> None:
    """A file or a pipe in place of a port is refused before anything is opened."""
    if sys.platform == "win32":
        return
    try:
        mode = os.stat(device).st_mode
    except (OSError, ValueError) as error:
        raise _not_opened(device, getattr(error, "errno", errno.ENOENT), str(error)) from error
    if not stat.S_ISCHR(mode):
        raise BoxLineError(
            f"{device} is no serial port", "rovlog box ports lists them; a file is read with --file"
        )


def _stay_gentle(serial: Serial) -> None:
    """No hang-up when we close, so that closing does not restart the box; nobody else may open meanwhile."""
    if sys.platform == "win32":
        return
    import fcntl
    import termios

    try:
        settings = termios.tcgetattr(serial.fileno())
        settings[2] &= ~termios.HUPCL
        termios.tcsetattr(serial.fileno(), termios.TCSANOW, settings)
        fcntl.ioctl(serial.fileno(), termios.TIOCEXCL)
    except (OSError, termios.error):
        return  # a port without these is read all the same; the lock taken at opening still holds


def _not_opened(device: str, number: int | None, words: str) -> BoxLineError:
    if number in (errno.EWOULDBLOCK, errno.EAGAIN, errno.EBUSY) or "exclusively lock" in words:
        return BoxLineError(
            f"{device} is being read by another program",
            "end that program (a terminal, another rovlog), then read again",
        )
    if number in (errno.EACCES, errno.EPERM) or "PermissionError" in words:
        return BoxLineError(
            f"{device} cannot be opened: no permission, or another program has it",
            "end the other program, or add yourself to the group that owns the port (often dialout)",
        )
    if number in (errno.ENOENT, errno.ENODEV, errno.ENXIO, errno.EIO) or "FileNotFoundError" in words:
        return BoxLineError(
            f"there is no port {device}", "plug the box in and look: rovlog box ports lists what is there"
        )
    if number == errno.ENOTTY or "configure port" in words:
        return BoxLineError(f"{device} is no serial port", "rovlog box ports lists them")
    reason = os.strerror(number) if number else "the system gives no reason"
    return BoxLineError(f"{device} cannot be opened: {reason}", "rovlog box ports lists what is there")
