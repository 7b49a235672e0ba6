"""From a key to a painted, durable answer through a real pseudo-terminal, beside a one-Static app.

    python tests/benchmarks/key_latency.py [--dives 10000] [--answers 60]

Both programs are driven in the same run, turn by turn: a key is written, and the time is taken until
the terminal has got what the key makes it show. For rovlog that is the words "kept …", which it
shows only once the entry is on the disk; for the one-Static app a counter. Ratios are told beside
the milliseconds, since milliseconds belong to the machine and its load.
"""

from __future__ import annotations

import argparse
import re
import statistics
import sys
import tempfile
import time
from pathlib import Path

sys.path[:0] = [str(Path(__file__).parents[1]), str(Path(__file__).parents[2])]

from driving_app import CREW, build_logbook, keys_for  # noqa: E402
from reading_checks import item_on_screen  # noqa: E402
from terminal import Terminal  # noqa: E402

from rovlog.usecases.dive_state import dive_state  # noqa: E402
from rovlog.usecases.dive_steps import start_dive  # noqa: E402
from rovlog.usecases.logbook import Logbook  # noqa: E402
from rovlog.wiring import open_book  # noqa: E402

SECOND = "Who is the second person?"
KEPT = re.compile(rf"^(?:kept|released).*|{re.escape(SECOND)}", re.MULTILINE)
"""What rovlog shows once an answer is on the disk."""

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


def main() -> None:
    """Measure and print."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--dives", type=int, default=10_000)
    parser.add_argument("--answers", type=int, default=60)
    args = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        logbook = build_logbook(Path(folder) / "pond")
        fill(logbook, args.dives)
        started = time.perf_counter()
        app = Terminal.rovlog(logbook)
        app.wait_for("reasons stop the dive", 600)
        print(f"{args.dives} dives on file; first screen after {time.perf_counter() - started:.2f} s")
        least = Terminal(["-c", ONE_STATIC])
        least.wait_for("ready 0")
        ours, theirs = measure(app, least, logbook, args.answers)
        app.kill()
        least.kill()
    report(ours, theirs)


def fill(folder: Path, dives: int) -> None:
    """Closed dives of the other vehicle and of this one, written as their files stand, and one open dive."""
    logbook = Logbook(open_book(str(folder)))
    water = {"kind": "fresh", "temperature_c": 16.0}
    first = start_dive(logbook, "grebe", by="ines", site="outer-basin", water=water, crew=CREW,
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
    start_dive(
        Logbook(open_book(str(folder))), "grebe", by="ines", site="outer-basin", water=water, crew=CREW
    )


def measure(app: Terminal, least: Terminal, folder: Path, answers: int) -> tuple[list[float], list[float]]:
    """Seconds from key to paint, ours and the least app's, in turn."""
    ours: list[float] = []
    theirs: list[float] = []
    for number in range(answers):
        theirs.append(one_press(least, "x", lambda n=number: f"ready {n + 1}" in least.text))
        keys, item = next_keys(app, folder)
        for key in keys[:-1]:
            app.send(key)
            app.pause(0.2)
        before = said(app)
        took = one_press(app, keys[-1], lambda b=before: said(app) not in ("", b))
        app.pause(0.2)
        if SECOND in app.text:
            app.send("\r")  # nobody yet: the item waits
            app.pause(0.3)
        elif len(keys) == 1:
            ours.append(took)
        if item is None and len(ours) >= answers:
            break
    return ours, theirs


def said(app: Terminal) -> str:
    """What rovlog says it has kept, or whom it asks for then; "" where it says nothing."""
    found = KEPT.search(app.text)
    return found.group(0) if found else ""


def next_keys(app: Terminal, folder: Path) -> tuple[list[str], str | None]:
    """The keys that answer what is in hand, by the screen."""
    logbook = Logbook(open_book(str(folder)))
    state = dive_state(logbook, next(r for r in reversed(logbook.records()) if not r.is_closed))
    item = item_on_screen(app, state)
    if item is None:
        return ["\r"], None
    if item.kind == "release":
        return ["\r", "\r"], item.item
    names = {"enter": "\r", "comma": ",", "minus": "-", "full_stop": "."}
    return [names.get(k, k) for k in keys_for(item, state)], item.item


def one_press(terminal: Terminal, key: str, is_painted) -> float:  # type: ignore[no-untyped-def]
    """Write a key and read until what it does is painted."""
    terminal.settle(0.02)
    began = time.perf_counter()
    terminal.child.send(key)
    while not is_painted():
        terminal.read(0.001)
        if time.perf_counter() - began > 30:
            raise SystemExit(f"nothing was painted for {key!r}:\n{terminal.text}")
    return time.perf_counter() - began


def report(ours: list[float], theirs: list[float]) -> None:
    """Median and 99th percentile of both, and their ratio."""
    for name, times in (("answer kept and painted", ours), ("one-Static app", theirs)):
        ordered = sorted(times)
        last = ordered[min(len(ordered) - 1, int(0.99 * len(ordered)))]
        took = f"median {statistics.median(times) * 1e3:6.1f} ms  99 % {last * 1e3:6.1f} ms"
        print(f"{name:<26} n {len(times):>3}  {took}")
    print(f"ratio of the medians       {statistics.median(ours) / statistics.median(theirs):.1f}")


if __name__ == "__main__":
    main()
