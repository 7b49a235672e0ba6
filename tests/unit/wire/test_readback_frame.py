"""Frames: the documented example, every damage, every missing part; memory and order."""

from __future__ import annotations

import re
import tracemalloc
from dataclasses import replace
from importlib.resources import files
from random import Random
from zlib import crc32

import pytest
from boxes import FRAME, SETUP, said
from hypothesis import given
from hypothesis import strategies as st

from rovlog.documents.readback_frame import FRAME_REFUSALS, MOST_SENTENCES, is_name
from rovlog.documents.readback_stream import KEPT_FRAMES, FrameStream
from rovlog.documents.readback_writing import frame_bytes, read_set, set_sentence
from rovlog.documents.sentences import REFUSALS, checksum
from rovlog.problems import UsageError

WIRE = (files("rovlog.store") / "emitter" / "WIRE.txt").read_text(encoding="utf-8")


def documented(address: str = "") -> bytes:
    """The lines of the example in the description, with CR LF."""
    lines = [line.strip() for line in WIRE.splitlines() if re.match(r"  \$PRVL", line)]
    return b"".join(line.encode() + b"\r\n" for line in lines if ("SET" in line) == (address == "SET"))


def heard(data: bytes) -> FrameStream:
    stream = FrameStream()
    stream.feed(data)
    return stream


def with_sums(lines: list[bytes], crc_of: bytes | None = None, count: int | None = None) -> bytes:
    """Lines (without sums and line ends) as sentences, closed by an end sentence that fits them."""
    sentences = [b"$%s*%02X\r\n" % (line, checksum(line)) for line in lines]
    raw = b"".join(sentences)
    number = lines[0].split(b",")[1]
    total = len(lines) if count is None else count
    end = b"PRVLEND,%s,%d,%08X" % (number, total, crc32(raw if crc_of is None else crc_of))
    return raw + b"$%s*%02X\r\n" % (end, checksum(end))


BOX, RUN, USE, UTR, LNK = (
    b"PRVLBOX,5,1,slip-box,2.10",
    b"PRVLRUN,5,12,900",
    b"PRVLUSE,5,4,2,",
    b"PRVLUTR,5,,,80,,,",
    b"PRVLLNK,5,disconnected,isolated",
)


def test_the_check_value_of_the_crc_is_the_published_one():
    # Catalogue of parametrised CRC algorithms, CRC-32/ISO-HDLC, check column
    assert crc32(b"123456789") == 0xCBF43926


def test_the_documented_example_is_a_frame():
    (frame,) = heard(documented()).take()
    assert (frame.frame, frame.box, frame.firmware) == (7, "amber-box", "3.1")
    assert (frame.boots, frame.uptime_s, frame.supply_v, frame.hours) == (42, 615, 12.48, 131.5)
    shared = {"steering_scheme": 2, "thruster_map": 1, "power_limit": 0.8}
    assert frame.in_use == shared | {"trim": {"heave": 0.06}}
    assert frame.stored == shared | {"trim": {"heave": 0.04}}
    assert (frame.link, frame.outputs) == ("disconnected", "isolated")
    assert frame.raw == documented()


def test_the_documented_set_sentence_is_one():
    assert documented("SET") == set_sentence(1, "steering_scheme", 3)
    assert read_set(documented("SET")) == ("steering_scheme", 3)


@given(
    st.integers(0, 4294967295),
    st.fixed_dictionaries(
        {
            "steering_scheme": st.integers(0, 999_999),
            "thruster_map": st.integers(0, 999_999),
            "trim": st.dictionaries(
                st.sampled_from(["surge", "heave", "yaw"]), st.integers(1, 1000).map(lambda n: n / 1000)
            ),
        },
        optional={
            "power_limit": st.integers(0, 1000).map(lambda n: n / 1000),
            "ramp_ms": st.integers(-2147483648, 2147483647),
        },
    ),
    st.booleans(),
)
def test_any_frame_reads_back_equal(number, setup, has_stored):
    frame = replace(FRAME, frame=number, in_use=setup, stored=setup if has_stored else None)
    data = frame_bytes(frame)
    (found,) = heard(data).take()
    assert replace(found, raw=b"") == frame
    assert found.raw == data


def test_a_frame_in_pieces_of_any_size_is_the_same_frame():
    data = said()
    for size in range(1, len(data) + 1):
        stream = FrameStream()
        for start in range(0, len(data), size):
            stream.feed(data[start : start + size])
        assert len(stream.take()) == 1


def test_unplugged_at_any_byte_no_frame_comes_and_the_next_one_does():
    data = said()
    for cut in range(len(data)):
        stream = heard(data[:cut])
        stream.end()
        assert stream.take() == []
        stream.feed(said(frame=9))
        assert [f.frame for f in stream.take()] == [9]


def test_without_the_end_being_noticed_a_cut_frame_still_does_not_pass():
    data = said()
    for cut in range(1, len(data)):
        stream = heard(data[:cut] + said(frame=9) + said(frame=10))
        assert {f.frame for f in stream.take()} <= {9, 10}


def test_no_single_damaged_byte_passes():
    data = said()
    for place in range(len(data)):
        for flip in (0x01, 0x20, 0x80):
            damaged = bytearray(data)
            damaged[place] ^= flip
            assert heard(bytes(damaged)).take() == [], (place, flip)


def test_damage_that_keeps_every_checksum_does_not_pass_the_crc():
    # two equal flips in one sentence cancel in an exclusive-or: the eight-bit sum alone lets these through
    data = said()
    random, passed_sums = Random(5), 0
    starts = [m.start() for m in re.finditer(rb"\$", data)]
    for _ in range(2000):
        begin = random.choice(starts[:-1])
        end = data.index(b"*", begin)
        one, other = random.sample(range(begin + 9, end), 2)
        flip = random.randrange(1, 8)
        damaged = bytearray(data)
        damaged[one] ^= flip
        damaged[other] ^= flip
        stream = heard(bytes(damaged))
        passed_sums += not stream.refused["wrong-checksum"]
        assert stream.take() == []
    assert passed_sums > 1000  # the damage really is of the kind that sums do not see


@pytest.mark.parametrize(
    ("lines", "word"),
    [
        ([BOX, RUN, USE, UTR], "incomplete"),
        ([BOX, USE, UTR, LNK], "incomplete"),
        ([BOX, RUN, USE, LNK], "incomplete"),
        ([BOX, RUN, UTR, LNK], "incomplete"),
        ([BOX, RUN, USE, UTR, LNK, b"PRVLSTO,5,4,2,"], "incomplete"),
        ([BOX, RUN, USE, UTR, LNK, b"PRVLVAL,5,STO,ramp_ms,3"], "incomplete"),
        ([BOX, RUN, RUN, USE, UTR, LNK], "said-twice"),
        ([BOX, RUN, USE, USE, UTR, LNK], "said-twice"),
        ([BOX, RUN, USE, UTR, LNK, LNK], "said-twice"),
        ([BOX, RUN, USE, UTR, LNK, *[b"PRVLVAL,5,USE,ramp_ms,3"] * 2], "said-twice"),
        ([BOX, b"PRVLRUN,5,12", USE, UTR, LNK], "fields"),
        ([BOX, b"PRVLRUN,5,12,900,1", USE, UTR, LNK], "fields"),
        ([BOX, RUN, USE, b"PRVLUTR,5,,,80,,", LNK], "fields"),
        ([BOX, b"PRVLRUN,5,4294967296,900", USE, UTR, LNK], "out-of-range"),
        ([BOX, b"PRVLRUN,5,-1,900", USE, UTR, LNK], "out-of-range"),
        ([BOX, RUN, b"PRVLUSE,5,4,2,1001", UTR, LNK], "out-of-range"),
        ([BOX, RUN, b"PRVLUSE,5,,2,", UTR, LNK], "out-of-range"),
        ([BOX, RUN, USE, b"PRVLUTR,5,,,1001,,,", LNK], "out-of-range"),
        ([BOX, RUN, USE, b"PRVLUTR,5,,,nan,,,", LNK], "out-of-range"),
        ([BOX, RUN, USE, UTR, b"PRVLLNK,5,perhaps,isolated"], "out-of-range"),
        ([BOX, RUN, USE, UTR, LNK, b"PRVLSUP,5,100001,"], "out-of-range"),
        ([BOX, RUN, USE, UTR, LNK, b"PRVLVAL,5,USE,trim,3"], "out-of-range"),
        ([BOX, RUN, USE, UTR, LNK, b"PRVLVAL,5,ALL,ramp_ms,3"], "out-of-range"),
        ([b"PRVLBOX,5,2,slip-box,2.10", RUN, USE, UTR, LNK], "another-version"),
        ([b"PRVLBOX,5,1,Slip Box,2.10", RUN, USE, UTR, LNK], "identity"),
        ([b"PRVLBOX,5,1,slip-box,", RUN, USE, UTR, LNK], "identity"),
        ([b"PRVLBOX,5,1,%s,1" % (b"a" * 25), RUN, USE, UTR, LNK], "identity"),
        ([BOX, RUN, USE, UTR, b"PRVLLNK,6,disconnected,isolated"], "mixed"),
        ([BOX, RUN, USE, UTR, b"PRVLLNK,x,disconnected,isolated"], "mixed"),
        ([BOX, RUN, USE, UTR, LNK, *[b"PRVLNEW,5"] * 32], "too-many"),
    ],
)
def test_a_frame_that_breaks_a_rule_is_refused_by_its_word(lines, word):
    stream = heard(with_sums(lines))
    assert stream.take() == []
    assert stream.refused[word] == 1, stream.refused
    assert word in FRAME_REFUSALS


def test_a_wrong_count_and_a_wrong_crc_are_refused():
    lines = [BOX, RUN, USE, UTR, LNK]
    assert heard(with_sums(lines)).take()
    assert heard(with_sums(lines, count=4)).refused["wrong-count"] == 1
    assert heard(with_sums(lines, crc_of=b"else")).refused["wrong-crc"] == 1


def test_an_escape_sequence_in_the_identity_refuses_the_frame():
    lines = [b"PRVLBOX,5,1,slip-box,\x1b]52;c;aGk=\x07", RUN, USE, UTR, LNK]
    stream = heard(with_sums(lines))
    assert stream.take() == []
    assert stream.refused["not-text"] == 1


def test_two_frames_interleaved_give_none():
    one, other = said(frame=5).splitlines(True), said(frame=6).splitlines(True)
    mixed = b"".join(line for pair in zip(one, other, strict=True) for line in pair)
    assert heard(mixed).take() == []


def test_sentences_of_others_and_unknown_ones_of_ours_do_not_disturb_a_frame():
    lines = [BOX, RUN, USE, UTR, LNK, b"PRVLNEW,5,something"]
    data = with_sums(lines).replace(b"$PRVLUSE", b"$SDDPT,0.0,0.0,2.0*57\r\n$PRVLUSE")
    stream = heard(data)
    (frame,) = stream.take()
    assert frame.unknown == ("NEW",)
    assert stream.foreign == 1


def test_the_longest_frame_is_read():
    extra = [b"PRVLVAL,5,USE,n%d_ms,3" % n for n in range(MOST_SENTENCES - 5)]
    (frame,) = heard(with_sums([BOX, RUN, USE, UTR, LNK, *extra])).take()
    assert len(frame.in_use) == 3 + MOST_SENTENCES - 5


def test_frames_nobody_takes_are_dropped_the_oldest_first_and_counted():
    stream = heard(b"".join(said(frame=n) for n in range(1, KEPT_FRAMES + 4)))
    assert [f.frame for f in stream.take()] == list(range(4, KEPT_FRAMES + 4))
    assert stream.refused["pushed-out"] == 3


def test_ten_megabytes_of_noise_cost_no_memory_and_the_frame_after_them_is_read():
    noise = Random(3).randbytes(1_000_000)
    tracemalloc.start()
    stream = FrameStream()
    for _ in range(10):
        stream.feed(noise)
    _, peak = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    assert peak < 300_000
    stream.feed(b"\r\n" + said())
    assert len(stream.take()) == 1


def test_a_line_without_an_end_costs_no_memory_and_is_one_refusal():
    tracemalloc.start()
    stream = FrameStream()
    for _ in range(300):
        stream.feed(b"A" * 4096)
    _, peak = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    assert peak < 100_000
    stream.feed(b"\r\n" + said())
    assert stream.refused == {"too-long": 1}
    assert len(stream.take()) == 1


PIECES = [said(), said(frame=4), said()[:100], said()[100:], b"$PRVLEND,3,6,00000000*00\r\n",
          b"$SDDPT,0.0,0.0,2.0*57\r\n", b"\r\n", b"\n", b"$", b"\0", b"x" * 90]  # fmt: skip


@given(st.lists(st.sampled_from(PIECES)))
def test_only_known_words_are_refusals_whatever_arrives(pieces):
    stream = FrameStream()
    for piece in pieces:
        stream.feed(piece)
    stream.end()
    assert set(stream.refused) <= {*REFUSALS, *FRAME_REFUSALS}
    assert all(f.box == "slip-box" for f in stream.take())


@pytest.mark.parametrize("name", ["ramp_ms", "a", "a1"])
def test_names_of_further_numbers(name):
    assert is_name(name)


@pytest.mark.parametrize("name", ["", "Ramp", "ramp-ms", "1a", "trim", "firmware", "a" * 25, "__class__"])
def test_names_that_are_none(name):
    assert not is_name(name)


def test_a_damaged_set_sentence_asks_for_nothing():
    line = set_sentence(2, "trim_heave", 0.06)
    assert read_set(line) == ("trim_heave", 0.06)
    for place in range(len(line)):
        damaged = bytearray(line)
        damaged[place] ^= 0x01
        assert read_set(bytes(damaged)) is None
    with pytest.raises(UsageError, match="polarity"):
        set_sentence(1, "polarity", 1)


def test_a_setup_is_not_changed_by_writing_it():
    before = {**SETUP, "trim": dict(SETUP["trim"])}
    said()
    assert before == SETUP
