"""Captures of every screen at its sizes, and the README's pictures.

ROVLOG_ACCEPT=1 writes them anew; read the difference, and look at the pictures, first.
"""

from __future__ import annotations

import os
import re
from pathlib import Path

import pytest
from driving_app import CREW, Driver, drive, logbook_in_memory, start

from rovlog.usecases.dive_steps import close, log, log_fault, start_work, state_setup
from rovlog.usecases.function_test import function_test_of, observe_push
from rovlog.usecases.logbook import Logbook
from rovlog.usecases.predict_push import predicted_push
from rovlog.usecases.type_readback import type_readback

GOLDEN = Path(__file__).parent / "golden"
PICTURES = Path(__file__).parent / "pictures"
README = Path(__file__).parents[2] / "README.md"
SIZES = {"80x24": (80, 24), "140x45": (140, 45)}
SMALL = {"40x12": (40, 12)}


def plain_book():
    """A dive just started."""
    book = logbook_in_memory()
    start(book)
    return book


def drifted_book():
    """A dive with a reversed thruster in the files, another scheme in the box, a trim left by the pilot."""
    book = logbook_in_memory()
    text = book.files.tree["vehicles/grebe.yaml"].decode()
    old = "{thruster: bow-port, model: reed-40, channel: 1, polarity: normal"
    assert old in text
    book.files.tree["vehicles/grebe.yaml"] = text.replace(old, old.replace("normal", "reversed")).encode()
    dive = start(book)
    logbook = Logbook(book)
    in_use = {"steering_scheme": 1, "thruster_map": 1, "trim": {"heave": 0.3}}
    type_readback(logbook, logbook.record(dive), by="tam", in_use=in_use, source="box-read")
    state_setup(logbook, logbook.record(dive), {"trim": {"heave": 0.3}}, by="tam")
    book.clock.advance(180)
    return book


def season_book():
    """Four dives, the last with a fault."""
    book = logbook_in_memory()
    for number in range(4):
        dive = start(book, site=("school-pool", "lock-pool", "outer-basin", "outer-basin")[number])
        logbook = Logbook(book)
        book.clock.advance(3600)
        log(logbook, logbook.record(dive), "note", {"text": "clear water"}, by="tam")
        if number == 3:
            log_fault(logbook, logbook.record(dive), "yaw-weak", by="tam", text="turns slowly to port")
        else:
            close(logbook, logbook.record(dive), by="ines")
        book.clock.advance(7 * 86400)
    return book


def two_dives_book():
    """Two vehicles in the water."""
    book = logbook_in_memory()
    start(book)
    start(book, "wigeon", site="school-pool")
    return book


def bench_book():
    """Work outside a dive, with three pushes of the function test watched: stern-port runs backwards."""
    from rovlog.domain.diagnosis.flow import thrown_toward

    book = logbook_in_memory()
    logbook = Logbook(book)
    record = start_work(logbook, "grebe", by="ines", purpose="which lead", crew=CREW).record
    turned = {"ahead": "astern", "astern": "ahead", "still": "still"}
    for _ in range(3):
        test = function_test_of(logbook, logbook.record(record))
        push = dict(test.next.positions(is_dry=True))
        does = predicted_push(test.configuration.resolved, push)
        does["stern-port"] = turned[does["stern-port"]]
        seen = {
            t.thruster: thrown_toward(t, does[t.thruster]).split(" ")[0] for t in test.configuration.thrusters
        }
        observe_push(logbook, logbook.record(record), seen, push, by="rolf")
        book.clock.advance(20)
    return book


async def pushes(d: Driver) -> None:
    await d.go_to("direction")
    await d.press("g")


async def watched(d: Driver) -> None:
    await pushes(d)
    await d.press("c", "2", "5")


async def at(d: Driver, *items: str) -> None:
    for item in items:
        await d.go_to(item)


async def second(d: Driver) -> None:
    await d.go_to("fuse")
    await d.type("15")
    await d.press("enter")


async def failed(d: Driver) -> None:
    await d.go_to("deck")
    await d.press("1", "enter")


async def paused(d: Driver) -> None:
    await d.press("enter", "p")
    await d.type("visitors on the jetty")
    await d.press("enter")


async def called(d: Driver) -> None:
    from driving_app import keys_for

    while d.item is not None:
        await d.press(*keys_for(d.item, d.state))


def keys(*names: str):
    async def script(d: Driver) -> None:
        await d.press(*names)

    return script


def item(name: str):
    async def script(d: Driver) -> None:
        await d.go_to(name)

    return script


SHOTS = {
    "checks-confirm": (plain_book, keys()),
    "checks-choose": (plain_book, item("crew")),
    "checks-measure": (plain_book, item("site-limits")),
    "checks-computed": (plain_book, item("net-buoyancy")),
    "checks-second": (plain_book, second),
    "checks-failed": (plain_book, failed),
    "checks-held": (plain_book, item("power-on")),
    "checks-timers": (plain_book, item("vacuum-hold")),
    "checks-release": (plain_book, item("release-power-on")),
    "checks-call": (plain_book, called),
    "checks-paused": (plain_book, paused),
    "checks-stops": (drifted_book, keys("x")),
    "push-next": (bench_book, pushes),
    "push-watched": (bench_book, watched),
    "form": (plain_book, keys("d")),
    "cards": (plain_book, keys("f2")),
    "card": (plain_book, keys("f2", "4")),
    "keys": (plain_book, keys("question_mark")),
    "chooser": (two_dives_book, keys()),
    "dives": (season_book, keys("f8")),
    "dives-start": (logbook_in_memory, keys("n")),
    "dives-mark": (plain_book, keys("f8", "m")),
    "configuration-words": (plain_book, keys("f6")),
    "configuration-thrusters": (plain_book, keys("f6", "right", "space")),
    "configuration-sticks": (plain_book, keys("f6", "right", "right", "space", "down", "space")),
    "drift": (drifted_book, keys("f7")),
    "drift-none": (plain_book, keys("f7")),
    "audit": (season_book, keys("f9")),
}
NARROW = (
    "checks-confirm",
    "checks-choose",
    "checks-measure",
    "checks-second",
    "checks-failed",
    "push-next",
    "push-watched",
    "form",
    "cards",
    "card",
)


@pytest.mark.parametrize(
    ("name", "size"),
    [(n, s) for n in SHOTS for s in SIZES] + [(n, s) for n in NARROW for s in SMALL],
)
def test_the_screen_is_as_it_was_accepted(name, size):
    make, script = SHOTS[name]
    shown = ""

    async def shoot(d: Driver) -> None:
        nonlocal shown
        await script(d)
        shown = d.text + "\n"

    drive(make(), shoot, (SIZES | SMALL)[size])
    file = GOLDEN / f"{name}-{size}.txt"
    if os.environ.get("ROVLOG_ACCEPT"):
        file.write_text(shown, encoding="utf-8")
    assert file.exists(), f"no capture yet: {file.name}; ROVLOG_ACCEPT=1 writes it"
    assert shown == file.read_text(encoding="utf-8")


PICTURED = {
    "checks-measure": "80x24",
    "checks-second": "140x45",
    "configuration-sticks": "140x45",
    "drift": "80x24",
    "audit": "140x45",
}
"""Which screens the README shows, and at which size."""


@pytest.mark.parametrize(("name", "size"), PICTURED.items())
def test_a_picture_of_the_readme_is_what_the_app_draws(name, size):
    make, script = SHOTS[name]
    drawn = ""

    async def shoot(d: Driver) -> None:
        nonlocal drawn
        await script(d)
        drawn = d.app.export_screenshot(title=f"rovlog, {size}", simplify=True) + "\n"
        # The picture asks nobody outside for a typeface: the reader's own will do.
        drawn = re.sub(r"@font-face\s*\{.*?\}", "", drawn, flags=re.DOTALL)

    drive(make(), shoot, SIZES[size])
    file = PICTURES / f"{name}-{size}.svg"
    if os.environ.get("ROVLOG_ACCEPT"):
        file.write_text(drawn, encoding="utf-8")
    assert file.exists(), f"no picture yet: {file.name}; ROVLOG_ACCEPT=1 draws it"
    assert drawn == file.read_text(encoding="utf-8")
    assert f"tests/screens/pictures/{file.name}" in README.read_text(encoding="utf-8")
