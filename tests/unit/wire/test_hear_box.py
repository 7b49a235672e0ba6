"""Listening: one whole frame, or one clear sentence for each way it can fail."""

from __future__ import annotations

from random import Random

import pytest
from boxes import SpokenLine, said

from rovlog.usecases.box_port import BoxLineError
from rovlog.usecases.hear_box import FLOOD_BYTES, frame_in, hear_frame

SOUNDER = b"$SDDPT,0.0,0.0,2.0*57\r\n"


def hear(*pieces: bytes, is_gone_after: bool = False, patience_s: float = 4.0):
    line = SpokenLine(list(pieces), is_gone_after)
    return hear_frame(line, name="the port", patience_s=patience_s, baud=57600)


def refusal(*pieces: bytes, **how: bool) -> str:
    with pytest.raises(BoxLineError) as caught:
        hear(*pieces, **how)
    assert caught.value.mend
    return caught.value.message


def test_the_newest_of_the_first_whole_frames_is_taken():
    heard = hear(said(frame=1)[50:] + said(frame=2) + said(frame=3))
    assert heard.frame.frame == 3
    assert dict(heard.dropped)["a part of a frame without its beginning"] >= 1


def test_a_box_up_no_longer_than_the_port_is_open_has_restarted():
    assert hear(said(uptime_s=1)).has_restarted
    assert not hear(said(uptime_s=30)).has_restarted


def test_bytes_from_a_file_never_say_that_the_box_restarted():
    assert not frame_in(said(uptime_s=0), "kept.txt").has_restarted


def test_silence_is_said():
    assert refusal() == "nothing came from the port in 4 s"


def test_a_wrong_speed_is_guessed_from_bytes_that_are_no_text():
    found = refusal(Random(2).randbytes(900))
    assert found == "what came from the port in 4 s is no text at 57600 bits per second: 900 bytes"


def test_text_without_a_sentence_is_said():
    assert refusal(b"hello from the box\r\n" * 3) == (
        "the port sent 60 bytes in 4 s and no sentence: no $ at the beginning (3)"
    )


def test_another_instrument_is_said():
    assert refusal(SOUNDER * 3) == "the port sent 3 sound sentences in 4 s, and none of them is a readback"


def test_a_flood_ends_the_listening_before_the_patience():
    piece = SOUNDER * 100
    line = SpokenLine([piece] * (FLOOD_BYTES // len(piece) + 50))
    with pytest.raises(BoxLineError, match="as fast as the line takes them, and none of them is a readback"):
        hear_frame(line, name="the port", patience_s=1000.0)


def test_frames_that_never_come_whole_are_said_with_what_is_wrong():
    assert refusal(said().rpartition(b"$")[0], said().rpartition(b"$")[0]).startswith(
        "no whole frame came from the port in 4 s; dropped: a frame began and did not end (1)"
    )
    assert refusal(said()[:60]) == (
        "no whole frame came from the port in 4 s; dropped: a frame that had only begun"
    )


def test_unplugged_at_any_byte_of_a_frame_is_one_sentence_and_nothing_recorded():
    data = said()
    first = data.index(b"\r\n") + 2
    for cut in range(len(data)):
        message = refusal(data[:cut], is_gone_after=True)
        middle = ", in the middle of a frame" if cut >= first else ""
        assert message == f"the port went away while it was being read{middle}; nothing was recorded"


def test_a_file_without_a_frame_is_refused_in_the_same_words():
    with pytest.raises(BoxLineError, match=r"no whole frame came from kept\.txt; dropped: .*a frame began"):
        frame_in(said()[:-9], "kept.txt")
    with pytest.raises(BoxLineError, match=r"nothing came from kept\.txt"):
        frame_in(b"", "kept.txt")
