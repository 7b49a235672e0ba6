"""The C99 emitter, compiled with warnings as errors and read by our reader and by an independent one."""

from __future__ import annotations

import subprocess
from importlib.resources import files
from pathlib import Path

import pynmea2
import pytest

from rovlog.documents.readback_stream import FrameStream

EMITTER = files("rovlog.store") / "emitter"

MAIN = r"""
#include <stdio.h>
#include <stdlib.h>
#include "rovlog_readback.h"

static void put(void *to, const char *bytes, size_t count) { fwrite(bytes, 1, count, (FILE *)to); }

int main(void)
{
    static const struct rovlog_number numbers[] = {
        {"ramp_ms", 250, 200}, {"least", -2147483647 - 1, 2147483647},
    };
    struct rovlog_state s = {0};
    s.box = "slip-box"; s.firmware = "2.10"; s.frame = 1; s.boots = 4294967295u; s.uptime_s = 0;
    s.in_use.steering_scheme = 4; s.in_use.thruster_map = 2; s.in_use.power_limit = 800;
    s.in_use.trim[ROVLOG_HEAVE] = 80; s.in_use.trim[ROVLOG_YAW] = -1000;
    s.stored = s.in_use; s.stored.trim[ROVLOG_YAW] = 0; s.stored.power_limit = ROVLOG_UNKNOWN;
    s.has_stored = 1; s.link = ROVLOG_LINK_CONNECTED; s.outputs = ROVLOG_OUTPUTS_ISOLATED;
    s.supply_mv = 12480; s.tenth_hours = ROVLOG_UNKNOWN; s.numbers = numbers; s.number_count = 2;
    if (rovlog_crc32(0, "123456789", 9) != 0xCBF43926u) return 1;
    if (rovlog_emit(&s, put, stdout) != 13) return 2;
    s.frame = 4294967295u; s.has_stored = 0; s.numbers = NULL; s.number_count = 0;
    s.in_use.power_limit = ROVLOG_UNKNOWN; s.supply_mv = ROVLOG_UNKNOWN;
    s.link = ROVLOG_LINK_UNKNOWN; s.outputs = ROVLOG_OUTPUTS_UNKNOWN;
    if (rovlog_emit(&s, put, stdout) != 7) return 3;
    s.frame = 2; s.firmware = "a,b*c$d\x1b]52;e~\\f^g!hijklmnopqrstuvwxyz";
    if (rovlog_emit(&s, put, stdout) != 7) return 4;
    return 0;
}
"""


@pytest.fixture(scope="module")
def emitted(tmp_path_factory: pytest.TempPathFactory) -> bytes:
    folder: Path = tmp_path_factory.mktemp("emitter")
    (folder / "main.c").write_text(MAIN)
    program = folder / "emit"
    build = subprocess.run(
        ["gcc", "-std=c99", "-Wall", "-Wextra", "-Werror", "-pedantic", "-O1", "-fsanitize=undefined",
         "-fno-sanitize-recover=all", "-I", str(EMITTER), "-o", str(program), str(folder / "main.c"),
         str(EMITTER / "rovlog_readback.c")],
        capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert build.returncode == 0, build.stderr
    done = subprocess.run([str(program)], capture_output=True, check=False)
    assert done.returncode == 0, (done.returncode, done.stderr)
    return done.stdout


@pytest.mark.system("gcc")
def test_what_the_emitter_says_is_read_as_it_was_meant(emitted: bytes):
    stream = FrameStream()
    stream.feed(emitted)
    first, second, third = stream.take()
    assert not stream.refused
    assert (first.box, first.firmware, first.boots, first.frame) == ("slip-box", "2.10", 4294967295, 1)
    assert first.in_use == {
        "steering_scheme": 4, "thruster_map": 2, "power_limit": 0.8, "trim": {"heave": 0.08, "yaw": -1.0},
        "ramp_ms": 250, "least": -2147483648,
    }  # fmt: skip
    assert first.stored == {
        "steering_scheme": 4, "thruster_map": 2, "trim": {"heave": 0.08}, "ramp_ms": 200, "least": 2147483647,
    }  # fmt: skip
    assert (first.link, first.outputs, first.supply_v, first.hours) == ("connected", "isolated", 12.48, None)
    assert (second.frame, second.stored, second.link, second.outputs) == (
        4294967295,
        None,
        "unknown",
        "unknown",
    )
    assert second.supply_v is None
    assert third.firmware == "a_b_c_d_]52;e__f_g_hijkl"  # cut to length; what cannot stand there is replaced


@pytest.mark.system("gcc")
def test_an_independent_reader_accepts_every_sentence_of_the_emitter(emitted: bytes):
    lines = emitted.decode("ascii").splitlines()
    assert len(lines) == 13 + 7 + 7
    for line in lines:
        assert len(line) + 2 <= 82
        sentence = pynmea2.parse(line, check=True)
        assert sentence.manufacturer == "RVL"


def test_the_emitter_uses_no_heap_no_floating_point_and_no_header_but_the_standard_ones():
    text = (EMITTER / "rovlog_readback.c").read_text() + (EMITTER / "rovlog_readback.h").read_text()
    includes = {line.split()[1] for line in text.splitlines() if line.startswith("#include")}
    assert includes == {'"rovlog_readback.h"', "<stddef.h>", "<stdint.h>"}
    assert not any(word in text for word in ("malloc", "printf", "double ", "float "))
