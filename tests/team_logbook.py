"""A small invented logbook for the tests of reports and parts: two vehicles, a few dives, a fault."""

from __future__ import annotations

from typing import Any

from rovlog.usecases.approve import approve_vehicle
from rovlog.usecases.demonstration.vehicle_files import (
    GREBE,
    MODELS,
    PARTS,
    SLATE_BOX,
    WIGEON,
    amber_box,
    part_file,
)
from rovlog.usecases.dive_steps import (
    close,
    log,
    log_event,
    log_fault,
    log_reading,
    log_trim,
    mark,
    start_dive,
    start_work,
)
from rovlog.usecases.logbook import Logbook
from rovlog.usecases.ports import Book
from rovlog.usecases.recording import append
from rovlog.usecases.start_logbook import start_logbook

HOSTILE = '<script>alert(1)</script> & "Ünal\u202egnp" ESCAPE[31m =HYPERLINK("x")'
"""Text that must stay text everywhere; ESCAPE becomes the character that steers a terminal, see `fill`."""

PEOPLE: dict[str, dict[str, object]] = {
    "runa": {"name": "Runa Holt", "roles": ["supervisor", "pilot", "builder"]},
    "iben": {"name": "Iben Škoda-Łuk", "roles": ["pilot", "technician"]},
    "tariq": {"name": "Тарик Öz", "roles": ["tender", "technician"]},
}

DAY = "2026-05-{:02}T{}+02:00"


def fill(book: Book, *, hostile: bool = False) -> Logbook:
    """Write the logbook through the use cases, as a team would have; three dives of grebe, one of wigeon."""
    logbook = Logbook(book)
    start_logbook(book, "Reed Basin ROV team", PEOPLE)
    files = {
        "vehicles/grebe": GREBE,
        "vehicles/wigeon": WIGEON,
        "boxes/amber-box": amber_box("1.4"),
        "boxes/slate-box": SLATE_BOX,
        **{f"thrusters/{name}": text for name, text in MODELS.items()},
        **{f"parts/{name}": part_file(name) for name in PARTS},
    }
    for name, text in files.items():
        book.files.create(f"{name}.yaml", text.encode())
    approve(logbook, "grebe", "first set-up of the season")
    approve(logbook, "wigeon", "as last year")
    work = start_work(logbook, "grebe", by="iben", purpose="new seals", at=DAY.format(2, "17:00:00"))
    record = logbook.record(work.record)
    log(
        logbook,
        record,
        "fitted",
        {"part": "seals-grebe", "to": "grebe main housing"},
        by="iben",
        at=DAY.format(2, "17:05:00"),
    )
    log(
        logbook,
        record,
        "fitted",
        {"part": "tether-spare", "to": "lent to the harbour school"},
        by="iben",
        at=DAY.format(2, "17:10:00"),
    )
    close(logbook, record, by="iben", at=DAY.format(2, "18:00:00"))
    dive(logbook, "grebe", 3, trim=0.05, current_a=17.4)
    dive(
        logbook,
        "grebe",
        9,
        trim=0.08,
        current_a=18.1,
        fault=HOSTILE if hostile else "yawed to port with the stick to starboard",
    )
    dive(logbook, "grebe", 16, trim=0.08, closed=False)
    dive(logbook, "wigeon", 17, trim=None)
    if hostile:
        # Nobody can type it, so it is written into the file, as somebody with an editor could.
        for name in book.files.names("dives"):
            data = book.files.read(name)
            book.files.replace(name, data.replace(b"ESCAPE", b"\\u001b"), data)
    return logbook


def approve(logbook: Logbook, vehicle: str, reason: str) -> None:
    """Approve a vehicle's working files, accepting whatever would stop a dive."""
    asked = approve_vehicle(logbook, vehicle, by="runa", reason=reason)
    if asked.revision is None:
        accept = {f.finding: "pool work at half stick only" for f in asked.unanswered}
        approve_vehicle(logbook, vehicle, by="runa", reason=reason, accept=accept)


def dive(
    logbook: Logbook,
    vehicle: str,
    day: int,
    *,
    trim: float | None,
    current_a: float | None = None,
    fault: str = "",
    closed: bool = True,
) -> str:
    """One dive on a day of May 2026: half an hour of power, twenty minutes in the water."""

    def at(clock: str) -> str:
        return DAY.format(day, clock)

    started = start_dive(
        logbook,
        vehicle,
        by="runa",
        site="Reed basin" if not fault else f"Reed basin, {fault[:20]}",
        water={"kind": "fresh", "temperature_c": 14.0},
        crew={"supervisor": "runa", "pilot": "iben", "tender": "tariq"},
        task="survey of the wall",
        depth_m=4.0,
        minutes=25,
        at=at("10:00:00"),
        record=f"{vehicle}-202605{day:02}-test",
    )
    record = logbook.record(started.record)

    def step(kind: str, fields: dict[str, Any], clock: str, by: str = "iben") -> None:
        append(logbook, record, kind, by, fields, at=at(clock))

    step("check", {"item": "mains-protected", "outcome": "pass", "source": "seen"}, "10:02:00", "runa")
    step("waiver", {"item": "recording", "reason": "card is full", "until": "dive"}, "10:03:00", "runa")
    log_reading(logbook, record, "supply", {"start_v": 12.7}, by="iben", at=at("10:04:00"))
    mark(logbook, record, "power-on", by="iben", at=at("10:05:00"))
    mark(logbook, record, "in-water", by="tariq", at=at("10:10:00"))
    mark(logbook, record, "off-surface", by="iben", at=at("10:12:00"))
    if trim is not None:
        log_trim(logbook, record, {"heave": trim}, by="iben", reason="rose at the wall", at=at("10:15:00"))
    if current_a is not None:
        log_reading(logbook, record, "clamp-meter", {"current_a": current_a}, by="tariq", at=at("10:18:00"))
    if fault:
        log_fault(
            logbook, record, "yaw-reversed", by="iben", part="stern-port", text=fault, at=at("10:20:00")
        )
        log_event(
            logbook,
            record,
            "thruster-touched",
            by="tariq",
            part="stern-port",
            text="weed taken out",
            at=at("10:26:00"),
        )
        step("note", {"text": fault}, "10:27:00")
    step("place", {"depth_m": 3.6, "visibility_m": 2.5}, "10:28:00")
    if closed:
        mark(logbook, record, "back-at-surface", by="iben", at=at("10:30:00"))
        mark(logbook, record, "out-of-water", by="tariq", at=at("10:32:00"))
        mark(logbook, record, "power-off", by="iben", at=at("10:35:00"))
        close(logbook, record, by="runa", at=at("10:40:00"))
    return started.record
