"""Reading one dive record against libyaml's bare events over the same bytes, interleaved in one run.

Run by hand: python tests/benchmarks/read_record.py
"""

from __future__ import annotations

from statistics import median
from time import perf_counter

from yaml._yaml import CParser

from rovlog.documents.tree import read, read_value

HEADER = """\
# yaml-language-server: $schema=../../.rovlog/schemas/dive-1.json
format: rovlog/dive/1
dive: petrel-20260711-qkwz
vehicle: petrel
writer: slate-two
started: "2026-07-11T14:02:10+02:00"
entries:
"""
ENTRY = (
    '    - {{id: "01KXB7M2Q{n:017d}", n: {n}, at: "2026-07-11T14:{n:02d}:10+02:00", mono_s: {n}6.5, by: ines,'
    " kind: check, item: item-{n}, checklist: poolside, outcome: pass, values: {{rating: 15, drop: 0.{n}}},"
    " source: seen, witness: true}}\n"
)
RECORD = (HEADER + "".join(ENTRY.format(n=n) for n in range(1, 26))).encode()


def bare_events(data: bytes) -> None:
    """The floor: every event made, none looked at."""
    event_of = CParser(data.decode()).get_event
    while event_of() is not None:
        pass


def main() -> None:
    """Print medians and ratios."""
    ways = {
        "bare events": lambda: bare_events(RECORD),
        "read_value": lambda: read_value(RECORD, "d.yaml"),
        "read (with places)": lambda: read(RECORD, "d.yaml"),
    }
    times: dict[str, list[float]] = {name: [] for name in ways}
    for _ in range(300):
        for name, way in ways.items():
            start = perf_counter()
            way()
            times[name].append(perf_counter() - start)
    floor = median(times["bare events"])
    print(f"{len(RECORD)} bytes, medians of 300 interleaved rounds")
    for name, taken in times.items():
        print(f"{name:20} {median(taken) * 1e3:7.3f} ms   {median(taken) / floor:5.2f} of bare events")


if __name__ == "__main__":
    main()
