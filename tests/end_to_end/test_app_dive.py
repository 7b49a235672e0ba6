"""A dive through the real app on a pseudo-terminal: from start to close, with a power cut in the middle."""

from __future__ import annotations

import re
import subprocess
import time
from pathlib import Path

import pytest
from driving_app import build_logbook, keys_for
from reading_checks import item_on_screen
from terminal import BACKSPACE, ENTER, F2, F8, Terminal

from rovlog.domain.checks.checklist import Item
from rovlog.domain.diagnosis.flow import thrown_toward
from rovlog.faces.screens.push_page import FLOW_KEYS
from rovlog.usecases.dive_state import DiveState, dive_state
from rovlog.usecases.function_test import function_test_of
from rovlog.usecases.logbook import Logbook
from rovlog.usecases.predict_push import predicted_push
from rovlog.usecases.type_readback import type_readback
from rovlog.usecases.validate_logbook import validate_logbook
from rovlog.wiring import open_book

KEYS = {"enter": ENTER, "comma": ",", "minus": "-", "full_stop": ".", "space": " "}

ESCAPE = "\x1b"

pytestmark = [pytest.mark.system("git"), pytest.mark.timeout(900)]


def state_on_disk(folder: Path) -> DiveState:
    """The open dive as it is on the disk."""
    logbook = Logbook(open_book(str(folder)))
    return dive_state(logbook, next(r for r in reversed(logbook.records()) if r.kind == "dive"))


def count_on_disk(folder: Path) -> int:
    """How many entries the dive has on the disk, by its lines."""
    found = list((folder / "dives").rglob("*.yaml"))
    return sum(row.startswith("- {") for f in found for row in f.read_text("utf-8").splitlines())


def press(terminal: Terminal, key: str) -> None:
    """Press a key as a person does: see what it did first, and press again where it did nothing.

    A key pressed before its question is drawn is dropped on purpose; a machine under load draws late.
    """
    before = terminal.rows[3:]
    for _ in range(3):
        terminal.send(key)
        ends = time.monotonic() + 10.0
        while terminal.rows[3:] == before and time.monotonic() < ends:
            terminal.read(0.02)
        if terminal.rows[3:] != before:
            terminal.pause(0.16)
            return
    raise AssertionError(f"{key!r} does nothing:\n{terminal.text}")


def watch_pushes(terminal: Terminal, folder: Path) -> None:
    """Go through the function test by its keys, from the item in hand and back: all is as on file."""
    digits = {word: digit for digit, word in FLOW_KEYS.items()}
    press(terminal, ENTER)
    while True:
        logbook = Logbook(open_book(str(folder)))
        test = function_test_of(logbook, logbook.records()[-1])
        terminal.wait_for(f"{test.watched} of {len(test.pushes)} pushes watched")
        if test.next is None:
            break
        seen = predicted_push(test.configuration.resolved, dict(test.next.positions(is_dry=True) or ()))
        press(terminal, "c")
        for number, thruster in enumerate(test.configuration.thrusters, 1):
            terminal.wait_for(f"{number}/{len(seen)} {thruster.thruster} throws air toward")
            word = thrown_toward(thruster, seen[thruster.thruster])  # type: ignore[arg-type]
            press(terminal, digits[word.split(" ")[0]])
        terminal.wait_for("enter keeps it")
        press(terminal, ENTER)
        terminal.wait_for(f"{test.watched + 1} of {len(test.pushes)} pushes watched")
    terminal.wait_for("The whole test is watched.")
    press(terminal, ESCAPE)
    terminal.wait_for("pushes watched and recorded")


def answer(terminal: Terminal, folder: Path) -> str:
    """Answer what is in hand, as a crew that finds everything in order; tells its id."""
    state = state_on_disk(folder)
    item = item_on_screen(terminal, state)
    if item is not None and item.item == "direction" and not state.computed["direction_pushes_seen"]:
        watch_pushes(terminal, folder)
        state = state_on_disk(folder)
    if item is not None and "second: press s" in terminal.text:
        press(terminal, "s")
        name_second(terminal, folder, item)
    before = count_on_disk(folder)
    if item is None:
        press(terminal, ENTER)
    elif item.kind == "release":
        press(terminal, ENTER)
        terminal.wait_for("who releases?")
        terminal.pause(0.16)
        press(terminal, "1")
    else:
        for name in keys_for(item, state):
            press(terminal, KEYS.get(name, name))
    what = item.item if item else "the call"
    said = ("kept", "released")
    asked = "Who is the second person?"
    terminal.wait(
        lambda: (
            (terminal.rows[22].startswith(said) or asked in terminal.text) and count_on_disk(folder) > before
        ),
        what,
    )
    terminal.pause(0.16)
    if (
        item is not None
        and item.witness != "none"
        and state_on_disk(folder).items[item.item].waits_for_second
    ):
        name_second(terminal, folder, item)
    return item.item if item else "call"


def name_second(terminal: Terminal, folder: Path, item: Item) -> None:
    """Name the second person, who saw the same, or answers next."""
    terminal.wait_for("Who is the second person?")
    before = count_on_disk(folder)
    terminal.pause(0.16)
    press(terminal, "1")
    terminal.wait(lambda: "Who is the second person?" not in terminal.text, "the dialog's end")
    if item.kind in ("confirm", "choose") and item.witness == "concurrent":
        # The disk is ahead of the screen: what comes next is asked of the screen.
        terminal.wait(lambda: count_on_disk(folder) > before and is_said(terminal, item), item.item)
    terminal.pause(0.16)


def is_said(terminal: Terminal, item: Item) -> bool:
    """True once the message line says that this item is kept and waits for nobody."""
    said = terminal.rows[22]
    name = f"{item.code} {item.challenge}".strip()[:20]
    return said.startswith("kept") and name in said and "second person answers next" not in said


def fill(terminal: Terminal, *lines: str) -> None:
    """Fill a form line by line; "" leaves what stands there."""
    for line in lines:
        if line:
            terminal.send("\x1b[F", *[BACKSPACE] * 24)
            terminal.send(*line)
        terminal.send(ENTER)
        terminal.pause(0.2)


def walk(terminal: Terminal, folder: Path, until: str, most: int = 130) -> list[str]:
    """Answer step after step until this item is answered."""
    done: list[str] = []
    while until not in done:
        assert len(done) < most, terminal.text
        done.append(answer(terminal, folder))
    return done


def mark(terminal: Terminal, words: str) -> None:
    """Mark the next moment in Dives, and go back to Checks."""
    terminal.send(F8)
    terminal.wait_for("new dive")
    terminal.send("m")
    terminal.wait_for("Mark which moment")
    terminal.pause(0.16)
    terminal.send(ENTER)
    terminal.wait_for(f"kept: {words}")
    terminal.send("\x1b[15~")
    terminal.wait(lambda: "new dive" not in terminal.text, "the place Checks")


def read_the_box(folder: Path) -> None:
    """The box's readback, kept by another program while the app runs: no launch without one."""
    logbook = Logbook(open_book(str(folder)))
    in_use = {"steering_scheme": 2, "thruster_map": 1, "trim": {"heave": 0.04}}
    type_readback(logbook, logbook.records()[-1], by="ines", in_use=in_use)


def test_a_dive_from_start_to_close_with_the_power_cut_in_the_middle(tmp_path):
    folder = build_logbook(tmp_path / "pond")
    with (folder / "logbook.yaml").open("a", encoding="utf-8") as file:
        file.write("policy: {dry_burst_s: 0.01, dry_rest_s: 0}\n")  # no test waits ten seconds a push
    first = Terminal.rovlog(folder)
    try:
        first.wait_for("Nothing is on record yet")
        assert "G R E B E" in first.rows[0]
        first.send("n")
        first.wait_for("Start a dive")
        fill(first, "", "outer-basin", "fresh:16", "4", "", "", "", "", "", "")
        first.wait_for("Swimmers and divers")
        assert "reasons stop the dive" in first.rows[0]
        first.pause(0.9)  # an enter too many in the form is no answer
        done = walk(first, folder, "fuse")
        assert done[0] == "swimmers"
        first.send(F2)
        first.wait_for("EMERGENCY")
        first.send("4")
        first.wait_for("Never a larger fuse")
        kept = count_on_disk(folder)
    finally:
        first.kill()

    assert not validate_logbook(open_book(str(folder))).problems
    assert count_on_disk(folder) == kept
    second = Terminal.rovlog(folder)
    try:
        second.wait_for("B Supply and protection")
        expected = state_on_disk(folder)
        shown = item_on_screen(second, expected)
        assert shown is not None
        assert expected.items[shown.item].state == "open"
        assert "fuse" in done
        walk(second, folder, "power-on")  # which marks the moment, as other items do after it
        read_the_box(folder)
        walk(second, folder, "clear-to-launch")
        walk(second, folder, "clear-to-dive")
        assert "nothing recorded stops this dive" in second.rows[0] or "1 reason" in second.rows[0]
        mark(second, "off surface")
        walk(second, folder, "log-signed")
        second.send(F8)
        second.wait_for("new dive")
        second.send("c")
        second.wait(lambda: "a last word" in second.text or "Close anyway?" in second.text, "the close")
        if "Close anyway?" in second.text:
            second.pause(0.16)
            second.send("2")
            second.wait_for("a last word")
            second.pause(0.16)
        fill(second, "all well", "", "")
        second.wait_for("kept: closed")
        second.send("\x11")
        second.wait(lambda: not second.child.isalive() or not second.read(0.1), "the end", 30)
    finally:
        second.close()

    logbook = Logbook(open_book(str(folder)))
    record = logbook.records()[-1]
    assert record.is_closed
    assert not validate_logbook(logbook.book).problems
    checks = {e.fields["item"] for e in record.of_kind("check")}
    assert len(record.of_kind("observation")) == 8
    assert {"swimmers", "fuse", "vacuum-hold", "stop-control", "leak-signs", "log-signed"} <= checks
    assert [e.fields["mark"] for e in record.of_kind("mark")] == [
        "power-on", "in-water", "off-surface", "back-at-surface", "out-of-water", "power-off"
    ]  # fmt: skip
    assert [e.n for e in record.entries] == list(range(1, len(record.entries) + 1))
    log = subprocess.run(
        ["git", "-C", str(folder), "log", "--format=%s", "--", "dives"],
        capture_output=True,
        text=True,
        check=True,
    ).stdout.splitlines()
    assert log[0] == f"Close dive {record.id}"
    assert log[-1] == f"Start dive {record.id} at outer-basin"
    assert any("People and deck complete" in row for row in log)
    status = subprocess.run(
        ["git", "-C", str(folder), "status", "--porcelain", "--", "dives"],
        capture_output=True,
        text=True,
        check=True,
    ).stdout
    assert status == ""


def test_without_colour_the_terminal_gets_no_colour(tmp_path):
    folder = build_logbook(tmp_path / "pond")
    terminal = Terminal.rovlog(folder, env={"NO_COLOR": "1"})
    try:
        terminal.wait_for("Nothing is on record yet")
        terminal.send(F2)
        terminal.wait_for("EMERGENCY")
    finally:
        terminal.kill()
    colours = re.findall(rb"\x1b\[[0-9;]*?(?:3[0-7]|4[0-7]|9[0-7]|10[0-7]|38|48)[;m]", terminal.raw)
    assert colours == []
    assert re.search(rb"\x1b\[[0-9;]*7m|\x1b\[7m|;7;|;7m", terminal.raw)


def test_without_a_terminal_the_program_says_what_to_type_next(tmp_path):
    import sys

    folder = build_logbook(tmp_path / "pond")
    done = subprocess.run(
        [sys.executable, "-m", "rovlog", "--logbook", str(folder)],
        capture_output=True,
        text=True,
        stdin=subprocess.DEVNULL,
    )
    assert done.returncode == 0
    assert "rovlog dive list" in done.stdout
    assert "\x1b" not in done.stdout
