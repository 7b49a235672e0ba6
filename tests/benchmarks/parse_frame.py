"""How long a frame of 20 sentences takes to parse, and how much of a flood is looked at in a second.

Run: python tests/benchmarks/parse_frame.py
"""

from __future__ import annotations

import sys
import timeit
from dataclasses import replace
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

from boxes import FRAME, SETUP

from rovlog.documents.readback_stream import FrameStream
from rovlog.documents.readback_writing import frame_bytes

LIMIT_MS = 2.0


def main() -> int:
    numbers = {f"setting_{n}_ms": 100 * n for n in range(1, 7)}
    more = {f"setting_{n}_ms": 100 * n for n in range(1, 6)}
    data = frame_bytes(replace(FRAME, in_use=SETUP | numbers, stored=SETUP | more))
    sentences = data.count(b"\n")
    stream = FrameStream()

    def parse() -> None:
        stream.feed(data)
        assert len(stream.take()) == 1

    parse_ms = min(timeit.repeat(parse, number=100, repeat=5)) / 100 * 1e3
    flood = b"$GPZDA,,00,00,0000,-03,00*66\r\n" * 20_000
    flood_s = min(timeit.repeat(lambda: FrameStream().feed(flood), number=1, repeat=3))
    noise = bytes(range(256)) * 40_000
    noise_s = min(timeit.repeat(lambda: FrameStream().feed(noise), number=1, repeat=3))
    plain_ms = (
        min(timeit.repeat(lambda: [sum(line) & 255 for line in data.splitlines()], number=100, repeat=5)) * 10
    )
    print(f"a frame of {sentences} sentences: {parse_ms:.3f} ms (limit {LIMIT_MS:g} ms)")
    print(f"  a plain loop that only sums its bytes: {plain_ms:.3f} ms, ratio {parse_ms / plain_ms:.1f}")
    print(f"20 000 sentences of others: {flood_s:.3f} s")
    print(f"{len(noise) / 1e6:.1f} MB of noise: {noise_s:.3f} s")
    return 0 if parse_ms < LIMIT_MS and sentences == 20 else 1


if __name__ == "__main__":
    raise SystemExit(main())
