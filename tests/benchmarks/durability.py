"""How long until an entry is on the disk, against one bare append with fsync, interleaved in one run.

Run by hand: python tests/benchmarks/durability.py [FOLDER]   (a folder on the disk in question)
"""

from __future__ import annotations

import os
import sys
import tempfile
from collections.abc import Callable
from pathlib import Path
from statistics import median
from time import perf_counter

sys.path.insert(0, str(Path(__file__).parents[1]))

from hand_written import PEOPLE, write_files

from rovlog.usecases.dive_steps import start_dive
from rovlog.usecases.logbook import Logbook
from rovlog.usecases.recording import append
from rovlog.usecases.start_logbook import parse_person, start_logbook
from rovlog.wiring import new_book, open_book

ROUNDS = 200
LINE = b'    - {id: "01KXB7M2Q00000000000000001", n: 1, at: "2026-07-11T14:01:10Z", kind: note, text: x}\n'


def bare_append(path: str) -> None:
    """The floor: open, append one line, fsync, close."""
    fd = os.open(path, os.O_WRONLY | os.O_APPEND)
    try:
        os.write(fd, LINE)
        os.fsync(fd)
    finally:
        os.close(fd)


def main() -> None:
    """Print medians and ratios."""
    with tempfile.TemporaryDirectory(dir=sys.argv[1] if len(sys.argv) > 1 else None) as scratch:
        root = Path(scratch) / "logbook"
        start_logbook(new_book(str(root)), "Bench", dict(parse_person(p) for p in PEOPLE))
        write_files(root)
        logbook = Logbook(open_book(str(root)))
        started = start_dive(
            logbook, "auk", by="nora", site="jetty", water={"kind": "fresh", "temperature_c": 14.0}, crew={}
        )
        record = logbook.record(started.record)
        name = record.parts[0].file
        bare = root / "bare.txt"
        bare.write_bytes(LINE)
        adding = root / "adding.yaml"
        adding.write_bytes(LINE)
        ways: dict[str, Callable[[], object]] = {
            "bare append with fsync": lambda: bare_append(str(bare)),
            "store/files.append": lambda: logbook.book.files.append("adding.yaml", LINE),
            "a whole entry, checked": lambda: append(logbook, record, "note", "nora", {"text": "silt"}),
        }
        times: dict[str, list[float]] = {way: [] for way in ways}
        for turn in range(ROUNDS + 5):
            for way, deed in ways.items():
                start = perf_counter()
                deed()
                if turn >= 5:
                    times[way].append(perf_counter() - start)
        floor = median(times["bare append with fsync"])
        size = len(logbook.book.files.read(name))
        print(f"medians of {ROUNDS} interleaved rounds; the record grew to {size / 1e3:.1f} kB")
        for way, taken in times.items():
            print(f"{median(taken) * 1e3:7.3f} ms  {median(taken) / floor:5.2f} of a bare append  {way}")


if __name__ == "__main__":
    main()
