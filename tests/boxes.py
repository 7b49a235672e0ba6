"""A surface box for tests: a frame it says, a line that says given bytes, and a logbook it belongs to."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any

from fakes import fake_book

from rovlog.documents.readback_frame import BoxFrame
from rovlog.documents.readback_writing import frame_bytes, read_set
from rovlog.usecases.approve import approve_vehicle
from rovlog.usecases.box_port import BoxLineError, PortSeen
from rovlog.usecases.dive_steps import start_dive
from rovlog.usecases.logbook import Logbook

GOOD = Path(__file__).parent / "documents" / "good"

SETUP: dict[str, Any] = {"steering_scheme": 4, "thruster_map": 2, "trim": {"heave": 0.08}}
"""What is on file for the vehicle shearwater in tests/documents/good."""

FRAME = BoxFrame(
    frame=3, box="slip-box", firmware="2.10", boots=12, uptime_s=900, in_use=SETUP, stored=SETUP,
    link="disconnected", outputs="isolated", supply_v=12.5, hours=40.0, raw=b"",
)  # fmt: skip


def said(**changes: Any) -> bytes:
    """A frame's bytes, with these things different."""
    return frame_bytes(replace(FRAME, **changes))


def a_logbook() -> Logbook:
    """Vehicle, box, models and people, in memory; nothing approved, no record."""
    tree = {
        str(path.relative_to(GOOD)): path.read_bytes()
        for path in GOOD.rglob("*.yaml")
        if path.relative_to(GOOD).parts[0] not in ("dives", "work", "approvals")
    }
    return Logbook(fake_book(tree))


def approved_logbook() -> tuple[Logbook, str]:
    """The same with the vehicle approved and a dive started; the logbook, and the dive."""
    logbook = a_logbook()
    approve_vehicle(
        logbook, "shearwater", by="orla", reason="for a test", accept={"above-continuous": "known"}
    )
    started = start_dive(
        logbook, "shearwater", by="tomas", site="mill", water={"kind": "fresh", "temperature_c": 12.0},
        crew={"pilot": "tomas"},
    )  # fmt: skip
    return logbook, started.record


@dataclass
class SpokenLine:
    """A line that says these pieces, one at a time, then is silent (or gone); time passes with silence."""

    pieces: list[bytes]
    is_gone_after: bool = False
    elapsed_s: float = 0.0
    written: list[bytes] = field(default_factory=list)

    def read(self, patience_s: float) -> bytes:
        if self.pieces:
            self.elapsed_s += 0.001
            return self.pieces.pop(0)
        if self.is_gone_after:
            raise BoxLineError("the port went away while it was being read", "look at the plug")
        self.elapsed_s += patience_s or 0.001
        return b""

    def write(self, data: bytes) -> None:
        self.written.append(data)

    def open_s(self) -> float:
        return self.elapsed_s


@dataclass
class MemoryBox:
    """A box in memory behind a port: holds a setup, counts its starts, speaks once for every silence."""

    in_use: dict[str, Any]
    stored: dict[str, Any]
    boots: int = 20
    frame: int = 0
    firmware: str = "2.10"
    box: str = "slip-box"
    link: str = "disconnected"
    outputs: str = "enabled"
    takes_sets: bool = True
    goes_after: int | None = None
    elapsed_s: float = 0.0
    opened: int = 0
    reads: int = 0

    def ports(self) -> list[PortSeen]:
        return [PortSeen("/dev/box", "a box in memory")]

    def wait_for(self, device: str, patience_s: float) -> bool:
        return True

    @contextmanager
    def open(self, device: str, baud: int) -> Iterator[MemoryBox]:
        self.opened += 1
        yield self

    def open_s(self) -> float:
        return self.elapsed_s

    def read(self, patience_s: float) -> bytes:
        if patience_s == 0.0:
            return b""
        self.reads += 1
        if self.goes_after is not None and self.reads > self.goes_after:
            raise BoxLineError("/dev/box went away while it was being read", "look at the plug")
        self.elapsed_s += 0.2
        self.frame += 1
        return said(
            frame=self.frame, boots=self.boots, firmware=self.firmware, box=self.box, link=self.link,
            outputs=self.outputs, in_use=self.in_use, stored=self.stored, uptime_s=100,
        )  # fmt: skip

    def write(self, data: bytes) -> None:
        told = read_set(data)
        if told and self.takes_sets:
            self.turn(*told)

    def turn(self, name: str, value: float) -> None:
        """Set and store a number."""
        for setup in (self.in_use, self.stored):
            if name.startswith("trim_"):
                setup["trim"] = {**setup["trim"], name.removeprefix("trim_"): value}
            else:
                setup[name] = value

    def power_cycle(self) -> None:
        """Off and on."""
        self.boots, self.frame = self.boots + 1, 0
        self.in_use = {**self.stored, "trim": dict(self.stored["trim"])}
