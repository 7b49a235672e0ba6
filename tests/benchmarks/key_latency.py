"""From a key to a painted, durable answer through a real pseudo-terminal, beside a one-Static app.

    python tests/benchmarks/key_latency.py [--dives 10000] [--answers 100] [--starts 5]

Both programs are driven in the same run, turn by turn: a key is written, and the time is taken until
the terminal has got what the key makes it show. For rovlog that is the words "kept …", which it
shows only once the entry is on the disk, together with the next item in hand; where a second person
is asked for, the question by name. For the one-Static app it is a counter. Times are those at which
the bytes came; what the emulator of the terminal takes to read them is not counted.

Then both are started in turn on the demonstration's logbook, until the first screen that can be worked on.

Asked for: 50 ms at the median and 150 ms for 99 %; a first screen within 1.5 times the one-Static app's.
Ratios are told beside the milliseconds, since milliseconds belong to the machine and its load.
"""

from __future__ import annotations

import argparse
import os
import re
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path

sys.path[:0] = [str(Path(__file__).parents[1]), str(Path(__file__).parents[2])]

from driving_app import CREW, build_logbook, keys_for  # noqa: E402
from reading_checks import item_on_screen, picked  # noqa: E402
from terminal import Terminal  # noqa: E402

from rovlog.domain.checks.checklist import Item  # noqa: E402
from rovlog.usecases.dive_state import DiveState, dive_state  # noqa: E402
from rovlog.usecases.dive_steps import start_dive  # noqa: E402
from rovlog.usecases.held_logbook import HeldLogbook  # noqa: E402
from rovlog.usecases.logbook import Logbook  # noqa: E402
from rovlog.wiring import open_book  # noqa: E402

SECOND = "Who is the second person?"
KEPT = re.compile(r"^(?:kept|released).*", re.MULTILINE)
"""What rovlog shows once an answer is on the disk."""

REFUSED = re.compile(r"cannot be released|^not released", re.MULTILINE)

KEYS = {"enter": "\r", "comma": ",", "minus": "-", "full_stop": "."}
REST_S = 0.2
"""Between two presses: longer than what counts as one press."""

WATER = {"kind": "fresh", "temperature_c": 16.0}

ONE_STATIC = """
from textual.app import App
from textual.widgets import Static

class One(App):
    count = 0
    def compose(self):
        yield Static("ready 0")
    def on_key(self, event):
        self.count += 1
        self.query_one(Static).update(f"ready {self.count}")

One().run()
"""
"""The least app there is: one widget, redrawn on every key."""

COMPILED = {k: "" for k in ("PYTHONDONTWRITEBYTECODE",)}
"""Set to nothing, so that both start from compiled files as they do for a person."""


@dataclass
class Times:
    """Seconds from a press to its paint, by what was painted."""

    kept: list[float] = field(default_factory=list)
    asked: list[float] = field(default_factory=list)
    least: list[float] = field(default_factory=list)


def main() -> None:
    """Measure and print."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--dives", type=int, default=10_000)
    parser.add_argument("--answers", type=int, default=100)
    parser.add_argument("--starts", type=int, default=5)
    args = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        if args.answers:
            answers(Path(folder) / "pond", args.dives, args.answers)
        if args.starts:
            starts(Path(folder) / "demo", args.starts)


# --- answers ----------------------------------------------------------------------------------------


def answers(folder: Path, dives: int, count: int) -> None:
    """Answer a list item by item beside the one-Static app."""
    began = time.perf_counter()
    logbook = build_logbook(folder)
    dive = fill(logbook, dives)
    held = HeldLogbook(open_book(str(logbook)))
    dive_state(held, held.record(dive))
    print(f"{dives} dives on file, made and read once in {time.perf_counter() - began:.1f} s")
    began = time.perf_counter()
    app = Terminal.rovlog(logbook, env=COMPILED)
    app.wait_for("reasons stop the dive", 600)
    print(f"first screen after {time.perf_counter() - began:.2f} s")
    least = Terminal(["-c", ONE_STATIC], env=COMPILED)
    least.wait_for("ready 0")
    try:
        times = measure(app, least, lambda: state_of(held, dive), count)
    finally:
        app.kill()
        least.kill()
    report(times)


def fill(folder: Path, dives: int) -> str:
    """Closed dives of both vehicles, written as their files stand, and one open dive; tells its id."""
    logbook = Logbook(open_book(str(folder)))
    first = start_dive(logbook, "grebe", by="ines", site="outer-basin", water=WATER, crew=CREW,
                       at="2020-01-01T10:00:00+00:00")  # fmt: skip
    name = logbook.record(first.record).parts[0].file
    text = (folder / name).read_text("utf-8")
    (folder / name).unlink()
    line = text.partition("entries:\n")[2]
    for number in range(dives):
        vehicle = ("grebe", "wigeon")[number % 2]
        day = f"{2000 + number // 3650:04d}{1 + number // 300 % 12:02d}{1 + number // 12 % 25:02d}"
        letters = "".join(chr(97 + number // 26**k % 26) for k in range(4))
        dive = f"{vehicle}-{day}-{letters}"
        at = f"{day[:4]}-{day[4:6]}-{day[6:8]}T{8 + number % 12:02d}:00:00+00:00"
        body = text.replace(first.record, dive).replace("vehicle: grebe", f"vehicle: {vehicle}")
        body = body.replace("2020-01-01T10:00:00+00:00", at)
        entry_id = line.split('"')[1]
        second = f"{entry_id[:-6]}{number:06d}".upper()
        body += (
            f'- {{id: "{second}", n: 2, at: "{at}", mono_s: 2.0, by: ines, kind: close, '
            f'covers: {{test: {{upto: 1, sha256: "sha256:{"0" * 64}"}}}}}}\n'
        )
        file = folder / "dives" / day[:4] / f"{dive}.yaml"
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_text(body, "utf-8")
    started = start_dive(
        Logbook(open_book(str(folder))), "grebe", by="ines", site="outer-basin", water=WATER, crew=CREW
    )
    return started.record


def state_of(held: HeldLogbook, dive: str) -> DiveState:
    """The dive as it is on the disk now; the other dives are read once."""
    held.forget()
    return dive_state(held, held.record(dive))


def measure(app: Terminal, least: Terminal, look: Callable[[], DiveState], count: int) -> Times:
    """Answer item after item, the least app's key in between, until `count` are timed or a hold stops us."""
    times = Times()
    while len(times.kept) + len(times.asked) < count:
        words = f"ready {len(times.least) + 1}"
        times.least.append(one_press(least, "x", lambda words=words: words in least.text))
        if not answer(app, look, times):
            break
    return times


def answer(app: Terminal, look: Callable[[], DiveState], times: Times) -> bool:
    """Answer what is in hand, timed at the press that keeps it; False at a hold that is refused.

    False also at the function test, where the thrusters' rest between bursts is waited for.
    """
    state = look()
    item = item_on_screen(app, state)
    if item is not None and item.item == "direction":
        return False
    if item is not None and item.kind == "release":
        app.send("\r")
        app.wait_for("who releases?")
        app.pause(REST_S)
        before = seen(app)
        took = one_press(app, "1", lambda: bool(REFUSED.search(app.text)) or is_kept(app, before))
        app.pause(REST_S)
        if REFUSED.search(app.text):
            return False
        times.kept.append(took)
        return True
    keys = [KEYS.get(k, k) for k in keys_for(item, state)] if item is not None else ["\r"]
    press_all(app, keys[:-1])
    before = seen(app)
    took = one_press(app, keys[-1], lambda: SECOND in app.text or is_kept(app, before))
    app.pause(REST_S)
    if SECOND not in app.text:
        times.kept.append(took)
        return True
    times.asked.append(took)
    second(app, look, item, before[1], times)
    return True


def second(
    app: Terminal, look: Callable[[], DiveState], item: Item | None, row: tuple[str, str], times: Times
) -> None:
    """Name the second person: whoever saw the same has answered by that, others answer now.

    `row` is the item's: it is pointed at again once the question is gone, and the next one once it is kept.
    """
    assert item is not None
    if item.kind in ("confirm", "choose") and item.witness == "concurrent":
        times.kept.append(one_press(app, "1", lambda: SECOND not in app.text and is_kept(app, ("", row))))
        app.pause(REST_S)
        return
    app.send("1")
    app.wait(lambda: SECOND not in app.text, "the question's end")
    app.pause(REST_S)
    state = look()
    if not state.items[item.item].waits_for_second:
        return
    keys = [KEYS.get(k, k) for k in keys_for(item, state)]
    press_all(app, keys[:-1])
    before = seen(app)
    times.kept.append(one_press(app, keys[-1], lambda: is_kept(app, before)))
    app.pause(REST_S)


def press_all(app: Terminal, keys: list[str]) -> None:
    """Press keys as a person does, one after the other."""
    for key in keys:
        app.send(key)
        app.pause(REST_S)


def seen(app: Terminal) -> tuple[str, tuple[str, str]]:
    """What rovlog says it has kept, and the row that is pointed at; "" where a question covers it."""
    found = KEPT.search(app.text)
    try:
        row = picked(app) if "┏" not in app.text else ("", "")
    except AssertionError:
        row = ("", "")
    return found.group(0) if found else "", row


def is_kept(app: Terminal, before: tuple[str, tuple[str, str]]) -> bool:
    """True once something else is said to be kept, and something else is in hand."""
    words, row = seen(app)
    return words not in ("", before[0]) and row not in (("", ""), before[1])


def one_press(terminal: Terminal, key: str, is_painted: Callable[[], bool]) -> float:
    """Write a key and read until what it does is painted; seconds until the bytes of that had come."""
    terminal.settle(0.02)
    began = time.perf_counter()
    terminal.child.send(key)
    while not is_painted():
        terminal.read_burst(1.0)
        if time.perf_counter() - began > 30:
            raise SystemExit(f"nothing was painted for {key!r}:\n{terminal.text}")
    return terminal.came_s - began


def report(times: Times) -> None:
    """Median and 99th percentile of all, and the ratio of the medians."""
    every = [*times.kept, *times.asked]
    for name, row in (
        ("kept and painted", every),
        ("  then the next item", times.kept),
        ("  then the second asked", times.asked),
        ("one-Static app", times.least),
    ):
        if row:
            took = f"median {statistics.median(row) * 1e3:6.1f} ms  99 % {last_of(row, 0.99) * 1e3:6.1f} ms"
            print(f"{name:<26} n {len(row):>3}  {took}  most {max(row) * 1e3:6.1f} ms")
    print(f"ratio of the medians       {statistics.median(every) / statistics.median(times.least):.1f}")


def last_of(row: list[float], share: float) -> float:
    """The time that this share of the presses keeps."""
    ordered = sorted(row)
    return ordered[min(len(ordered) - 1, int(share * len(ordered)))]


# --- starts -----------------------------------------------------------------------------------------


def starts(folder: Path, rounds: int) -> None:
    """Time to the first screen that can be worked on, of both in turn, on the demonstration's logbook."""
    environment = {k: v for k, v in os.environ.items() if k not in COMPILED}
    subprocess.run(
        [sys.executable, "-m", "rovlog", "demo", str(folder), "--no-open"],
        env=environment, capture_output=True, check=True,
    )  # fmt: skip
    ours: list[float] = []
    theirs: list[float] = []
    for number in range(rounds + 1):
        least = one_start(["-c", ONE_STATIC], lambda t: "ready 0" in t.text)
        mine = one_start(["-m", "rovlog", "--logbook", str(folder)], is_usable)
        if number:  # the first round warms the compiled files and the index
            ours.append(mine)
            theirs.append(least)
    for name, row in (("first screen", ours), ("one-Static app", theirs)):
        print(f"{name:<26} n {len(row):>3}  median {statistics.median(row) * 1e3:6.0f} ms")
    ratio = statistics.median([a / b for a, b in zip(ours, theirs, strict=True)])
    print(f"ratio of the first screens {ratio:.2f}")


def is_usable(terminal: Terminal) -> bool:
    """True once the place in sight is drawn with its keys."""
    return "? keys" in terminal.rows[-1] and "opening the logbook" not in terminal.text


def one_start(arguments: list[str], is_there: Callable[[Terminal], bool]) -> float:
    """Seconds from the start of a process until its first screen has come."""
    began = time.perf_counter()
    terminal = Terminal(arguments, env=COMPILED)
    try:
        while not is_there(terminal):
            terminal.read_burst(1.0)
            if time.perf_counter() - began > 60:
                raise SystemExit(f"no first screen:\n{terminal.text}")
        return terminal.came_s - began
    finally:
        terminal.kill()


if __name__ == "__main__":
    main()
