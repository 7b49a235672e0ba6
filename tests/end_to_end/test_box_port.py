"""The real serial port against a stand-in box on a pseudo-terminal that behaves, and misbehaves."""

from __future__ import annotations

import os
import sys
import termios
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager

import pytest

if sys.platform == "win32":
    pytest.skip("no pseudo-terminals on this system", allow_module_level=True)

from boxes import SETUP

from rovlog.store.pretend_box import PretendBox, PretendSetup
from rovlog.store.serial_port import SerialLine, SerialPorts
from rovlog.usecases.box_port import BoxLineError
from rovlog.usecases.hear_box import Heard, hear_frame


@contextmanager
def living(*misbehaves: str, after_s: float | None = None, **held: object) -> Iterator[PretendBox]:
    """A stand-in that lives in a thread of its own."""
    setup = PretendSetup("slip-box", "2.10", {**SETUP}, {**SETUP, "trim": dict(SETUP["trim"])}, **held)
    with PretendBox(setup, frozenset(misbehaves), period_s=0.05, after_s=after_s) as box:
        is_over = threading.Event()

        def live() -> None:
            while not is_over.is_set():
                box.step()

        thread = threading.Thread(target=live)
        thread.start()
        try:
            yield box
        finally:
            is_over.set()
            thread.join()


def heard(device: str, patience_s: float = 3.0) -> Heard:
    with SerialPorts().open(device, 57600) as line:
        return hear_frame(line, name=device, patience_s=patience_s, baud=57600)


def refusal(device: str, patience_s: float = 0.6) -> str:
    with pytest.raises(BoxLineError) as caught:
        heard(device, patience_s)
    assert caught.value.mend
    return caught.value.message.replace(device, "the port")


def test_a_frame_comes_through_the_real_port():
    with living(boots=7) as box:
        frame = heard(box.device).frame
    assert (frame.box, frame.firmware, frame.boots) == ("slip-box", "2.10", 7)
    assert frame.in_use == SETUP
    assert frame.supply_v == 12.6


def test_closing_the_port_does_not_hang_up_the_line():
    with living() as box:
        fd = os.open(box.device, os.O_RDWR | os.O_NOCTTY)
        settings = termios.tcgetattr(fd)
        settings[2] |= termios.HUPCL
        termios.tcsetattr(fd, termios.TCSANOW, settings)
        os.close(fd)
        with SerialPorts().open(box.device, 57600) as line:
            assert_gentle(line)


def assert_gentle(line: SerialLine) -> None:
    """No hang-up at closing, and both lines low."""
    assert not termios.tcgetattr(line._serial.fileno())[2] & termios.HUPCL
    assert line._serial.dtr is False
    assert line._serial.rts is False


def test_a_second_reader_is_told_that_the_port_is_taken():
    with living() as box, SerialPorts().open(box.device, 57600):
        assert refusal(box.device) == "the port is being read by another program"


def test_the_port_is_free_again_after_a_reading():
    with living() as box:
        first = heard(box.device).frame.frame
        assert heard(box.device).frame.frame > first


def test_a_box_that_restarts_on_opening_is_seen_to():
    with living("reboot-on-open", boots=7) as box:
        box.turn("trim_yaw", 0.3, store=False)
        once = heard(box.device)
        while box.is_heard:  # closed and opened in one blink is one opening to a pseudo-terminal
            time.sleep(0.01)
        again = heard(box.device)
    assert once.has_restarted
    assert (once.frame.boots, again.frame.boots) == (8, 9)
    assert once.frame.in_use == SETUP  # the trim that was not stored is lost


def test_lost_bytes_delay_a_frame_and_are_never_part_of_one():
    with living("drop-bytes") as box:
        found = heard(box.device, 8.0)
    assert found.frame.in_use == SETUP


def test_a_trim_that_changes_by_itself_is_read_as_it_is():
    with living("change-trim", after_s=0.0) as box:
        frame = heard(box.device).frame
    assert frame.in_use["trim"] == {"heave": 0.18}
    assert frame.stored["trim"] == {"heave": 0.08}


def test_another_firmware_says_other_numbers():
    with living("other-firmware") as box:
        frame = heard(box.device).frame
    assert frame.firmware == "2.10-b"
    assert frame.in_use["steering_scheme"] == SETUP["steering_scheme"] + 1


def test_a_box_that_vanishes_in_a_frame_is_one_sentence():
    with living("vanish", after_s=0.0) as box:
        message = refusal(box.device, 3.0)
    assert message.startswith("the port went ")
    assert message.endswith("in the middle of a frame; nothing was recorded")


def test_silence_noise_and_a_flood_are_told_apart():
    with living("silent") as box:
        assert refusal(box.device) == "nothing came from the port in 0.6 s"
    with living("noise") as box:
        assert "is no text at 57600 bits per second" in refusal(box.device)
    with living("flood") as box:
        assert "and none of them is a readback" in refusal(box.device)


def test_what_is_no_port_is_refused_by_name(tmp_path):
    file = tmp_path / "kept.txt"
    file.write_bytes(b"")
    pipe = tmp_path / "pipe"
    os.mkfifo(pipe)
    assert refusal(str(file)) == "the port is no serial port"
    assert refusal(str(pipe)) == "the port is no serial port"
    assert refusal(os.devnull) == "the port is no serial port"
    assert refusal(str(tmp_path / "none")) == "there is no port the port"
    assert refusal("with\0nul").startswith("there is no port")


@pytest.mark.parametrize("baud", [12345, 10_000_000, 2**40])
def test_an_odd_speed_is_taken_or_refused_in_one_sentence(baud):
    with living() as box:
        try:
            with SerialPorts().open(box.device, baud):
                message = ""
        except BoxLineError as error:
            message = error.message
    assert message in ("", f"{box.device} cannot be set to {baud} bits per second")


def test_listing_ports_opens_none():
    assert isinstance(SerialPorts().ports(), list)


def test_waiting_for_a_port_that_never_comes_ends(tmp_path):
    assert not SerialPorts().wait_for(str(tmp_path / "none"), 0.3)
    assert SerialPorts().wait_for(os.devnull, 0.3)
