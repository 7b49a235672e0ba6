"""A stand-in for a surface box on a pseudo-terminal: speaks like one, holds a setup, and can misbehave.

It is for trying things out and for tests: everything it says comes through a real serial device.
"""

from __future__ import annotations

import os
import select
import sys
import time
from random import Random
from types import TracebackType
from typing import Any

from rovlog.documents.readback_frame import BoxFrame
from rovlog.documents.readback_writing import frame_bytes, read_set
from rovlog.problems import RovlogError
from rovlog.values import dataclass, field

MISBEHAVIOURS = {
    "drop-bytes": "loses about one byte in 150",
    "change-trim": "moves the heave trim in use by 0.1 after a while (--after, 60 seconds)",
    "other-firmware": "says another firmware, and other numbers with it",
    "vanish": "goes away in the middle of a frame (--after, 3 seconds)",
    "reboot-on-open": "restarts whenever its port is opened, and forgets trims that were not stored",
    "flood": "sends sentences of no use as fast as the line takes them",
    "noise": "sends bytes that are no text, as at a wrong speed",
    "silent": "says nothing",
    "replay": "says the same frame again and again",
    "deaf": "takes no set sentence",
}
"""How the stand-in can misbehave, in words."""

TICK_S = 0.02


@dataclass(slots=True)
class PretendSetup:
    """What the stand-in holds. Changed by its knobs (`turn`), by set sentences, and by a start."""

    box: str
    firmware: str
    in_use: dict[str, Any]
    stored: dict[str, Any]
    boots: int = 1
    link: str = "disconnected"
    outputs: str = "isolated"
    supply_v: float = 12.6
    hours: float = 41.5
    accepts_setting: bool = False


@dataclass(slots=True)
class PretendBox:
    """The stand-in. Use it as a context manager; `device` is its path; `step` lets it live for a moment."""

    held: PretendSetup
    misbehaves: frozenset[str] = frozenset()
    period_s: float = 0.25
    after_s: float | None = None
    seed: int = 1
    device: str = ""
    _master: int = -1
    _frame: int = 0
    _started_s: float = 0.0
    _born_s: float = 0.0
    _next_s: float = 0.0
    _is_heard: bool = False
    _is_powered: bool = True
    _heard: bytes = b""
    _random: Random = field(default_factory=Random)

    def __enter__(self) -> PretendBox:
        if sys.platform == "win32":
            raise RovlogError("a stand-in box needs a system with pseudo-terminals", "use Linux or macOS")
        import pty
        import tty

        self._random = Random(self.seed)
        try:
            self._master, slave = pty.openpty()
            tty.setraw(slave)
            self.device = os.ttyname(slave)
        except OSError as error:
            raise RovlogError(
                "no pseudo-terminal is to be had", "close some terminals, and try again"
            ) from error
        # Closed again, so that the system tells us when somebody opens it.
        os.close(slave)
        os.set_blocking(self._master, False)
        self._born_s = self._started_s = self._next_s = time.monotonic()
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.vanish()

    @property
    def is_there(self) -> bool:
        """False once it has vanished."""
        return self._master >= 0

    @property
    def is_heard(self) -> bool:
        """True while its port is open somewhere, as far as it has noticed."""
        return self._is_heard

    def vanish(self) -> None:
        """Go away, as if unplugged."""
        if self._master >= 0:
            os.close(self._master)
            self._master = -1

    def power_cycle(self) -> None:
        """Off and on: what is stored becomes what is in use."""
        held = self.held
        held.boots += 1
        held.in_use = {**held.stored, "trim": dict(held.stored.get("trim", {}))}
        self._frame, self._started_s = 0, time.monotonic()
        self._next_s = self._started_s + self.period_s

    def turn(self, name: str, value: float, *, store: bool = True) -> None:
        """Set a number at the box's own knobs; `trim_heave` for a trim. Stored as well unless told not to."""
        for setup in (self.held.in_use, self.held.stored) if store else (self.held.in_use,):
            if name.startswith("trim_"):
                setup["trim"] = {**setup.get("trim", {}), name.removeprefix("trim_"): value}
            else:
                setup[name] = value

    def step(self) -> None:
        """Live for a moment: notice an opened port, take what it was told, speak when it is time."""
        if not self.is_there:
            time.sleep(TICK_S)
            return
        poll = select.poll()
        poll.register(self._master, select.POLLIN)
        events = poll.poll(TICK_S * 1000)
        is_heard = not any(event & select.POLLHUP for _, event in events)
        if is_heard and not self._is_heard:
            self._opened()
        self._is_heard = is_heard
        if not is_heard:
            time.sleep(TICK_S)
            return
        if any(event & select.POLLIN for _, event in events):
            self._listen()
        self._speak()

    def _opened(self) -> None:
        if "reboot-on-open" in self.misbehaves:
            self.power_cycle()
        self._next_s = max(self._next_s, time.monotonic() + TICK_S)

    def _listen(self) -> None:
        try:
            self._heard = (self._heard + os.read(self._master, 4096))[-4096:]
        except OSError:
            return  # closed by the reader in this very moment
        *lines, self._heard = self._heard.split(b"\n")
        for line in lines:
            told = read_set(line + b"\n")
            held = self.held
            is_safe = held.link == "disconnected" or held.outputs == "isolated"
            if told and held.accepts_setting and is_safe and "deaf" not in self.misbehaves:
                self.turn(*told)

    def _speak(self) -> None:
        now = time.monotonic()
        after = self.after_s
        if "change-trim" in self.misbehaves and now - self._born_s >= (60.0 if after is None else after):
            self.misbehaves -= {"change-trim"}
            heave = self.held.in_use.get("trim", {}).get("heave", 0.0)
            self.turn("trim_heave", heave + (0.1 if heave <= 0.9 else -0.1), store=False)
        if "flood" in self.misbehaves:
            self._send(b"$GPZDA,,00,00,0000,-03,00*66\r\n" * 100)
            return
        if now < self._next_s or "silent" in self.misbehaves:
            return
        self._next_s = now + self.period_s
        if "noise" in self.misbehaves:
            self._send(self._random.randbytes(400))
            return
        data = self.frame()
        if "drop-bytes" in self.misbehaves:
            data = bytes(b for b in data if self._random.random() > 1 / 150)
        if "vanish" in self.misbehaves and now - self._born_s >= (3.0 if after is None else after):
            self._send(data[: len(data) // 2])
            time.sleep(0.1)  # long enough for the half to be read
            self.vanish()
            return
        self._send(data)

    def frame(self) -> bytes:
        """The next frame it would say."""
        if self._frame == 0 or "replay" not in self.misbehaves:
            self._frame += 1
        held = self.held
        is_other = "other-firmware" in self.misbehaves
        uptime = 0 if "replay" in self.misbehaves else int(time.monotonic() - self._started_s)
        return frame_bytes(
            BoxFrame(
                frame=self._frame,
                box=held.box,
                firmware=held.firmware + "-b" if is_other else held.firmware,
                boots=held.boots,
                uptime_s=uptime,
                in_use=_renumbered(held.in_use) if is_other else held.in_use,
                stored=_renumbered(held.stored) if is_other else held.stored,
                link=held.link,
                outputs=held.outputs,
                supply_v=held.supply_v,
                hours=held.hours,
                raw=b"",
            )
        )

    def _send(self, data: bytes) -> None:
        try:
            os.write(self._master, data)
        except BlockingIOError:
            return  # nobody takes it: a real line would lose it as well
        except OSError:
            return  # the reader closed in this very moment


def _renumbered(setup: dict[str, Any]) -> dict[str, Any]:
    """The same setup by other numbers, as after a change of firmware."""
    return setup | {k: setup[k] + 1 for k in ("steering_scheme", "thruster_map")}
