"""A frame on record: evidence, doubts, restarts and replays, and no opening in the water."""

from __future__ import annotations

from hashlib import sha256

import pytest
from boxes import SETUP, SpokenLine, a_logbook, approved_logbook, said

from rovlog.faces.reports.box_text import read_data, read_text
from rovlog.problems import NotRecordedError, UsageError
from rovlog.usecases.box_codes import codes_of, tables_of
from rovlog.usecases.compare_drift import compare_drift
from rovlog.usecases.dive_steps import log_event, mark, start_dive, start_work
from rovlog.usecases.hear_box import Heard, frame_in, hear_frame
from rovlog.usecases.logbook import Logbook
from rovlog.usecases.read_box import ReadBox, record_box, refuse_in_water
from rovlog.usecases.type_readback import type_readback


def kept(data: bytes) -> Heard:
    return frame_in(data, "kept.txt")


def live(data: bytes) -> Heard:
    return hear_frame(SpokenLine([data]), name="the port")


def record(logbook: Logbook, dive: str, heard: Heard) -> ReadBox:
    return record_box(logbook, logbook.record(dive), heard, by="tomas")


def reread(logbook: Logbook) -> Logbook:
    return Logbook(logbook.book)


def test_a_readback_is_kept_with_its_bytes_and_their_digest():
    logbook, dive = approved_logbook()
    read = record(logbook, dive, live(said(frame=3)))
    assert read.evidence == f"attachments/{dive}-readback-1.txt"
    assert logbook.book.files.read(read.evidence) == said(frame=3)
    digest = "sha256:" + sha256(said(frame=3)).hexdigest()
    readback, attachment = reread(logbook).record(dive).entries[-2:]
    assert readback.fields["raw"] == attachment.fields["digest"] == digest
    assert attachment.fields["file"] == read.evidence
    assert readback.fields["in_use"] == SETUP
    assert readback.fields["boots"] == 12
    assert readback.fields["frame"] == 3
    assert readback.fields["link"] == "disconnected"
    assert readback.fields["outputs"] == "isolated"
    assert readback.fields["source"] == "box-read"
    assert read.commit.commit is not None
    assert read.doubts == ()


def test_evidence_read_again_is_the_same_frame():
    logbook, dive = approved_logbook()
    read = record(logbook, dive, live(said()))
    assert kept(logbook.book.files.read(read.evidence)).frame == read.frame


def test_a_fresh_readback_that_agrees_leaves_no_drift():
    logbook, dive = approved_logbook()
    record(logbook, dive, live(said()))
    assert compare_drift(reread(logbook), dive).report.deviations == ()


def test_a_trim_in_use_that_nobody_approved_is_drift():
    logbook, dive = approved_logbook()
    record(logbook, dive, live(said(in_use=SETUP | {"trim": {"heave": 0.2}})))
    (deviation,) = compare_drift(reread(logbook), dive).report.deviations
    assert deviation.pointer == "/trim_defaults/heave"
    assert deviation.stops_dive


@pytest.mark.parametrize("frame", [1, 3])
def test_an_old_frame_of_the_same_start_is_refused(frame):
    logbook, dive = approved_logbook()
    record(logbook, dive, live(said(frame=3)))
    before = dict(logbook.book.files.tree)
    with pytest.raises(UsageError, match=f"old frame: number {frame} of start 12, and 3"):
        record(reread(logbook), dive, kept(said(frame=frame)))
    assert logbook.book.files.tree == before


def test_a_lower_frame_of_a_later_start_is_a_restart_and_is_said():
    logbook, dive = approved_logbook()
    record(logbook, dive, live(said(frame=3)))
    read = record(reread(logbook), dive, live(said(frame=1, boots=14, uptime_s=0)))
    assert read.notes[0] == "the box was started 2 times since its last readback"
    assert read.entry.fields["restarted"] is True
    assert "trim that was not stored is lost" in read.entry.fields["text"]


def test_the_same_start_is_no_restart_however_short_the_box_has_been_on():
    logbook, dive = approved_logbook()
    record(logbook, dive, live(said(frame=1, uptime_s=60)))
    read = record(reread(logbook), dive, live(said(frame=2, uptime_s=1)))
    assert "restarted" not in read.entry.fields


def test_the_last_readback_is_the_newest_frame_and_not_that_of_the_record_begun_last():
    logbook, dive = approved_logbook()
    begun = "2026-01-05T08:00:00+00:00"
    work = start_work(logbook, "slip-box", by="wim", purpose="new knob", at=begun).record
    record(logbook, dive, live(said(frame=3)))
    record(reread(logbook), work, live(said(frame=5)))
    with pytest.raises(UsageError, match="old frame: number 4 of start 12, and 5 of the same start"):
        record(reread(logbook), dive, kept(said(frame=4)))
    assert record(reread(logbook), dive, live(said(frame=6))).entry.fields["frame"] == 6


def test_a_laptop_with_a_slow_clock_does_not_let_an_old_frame_in():
    logbook, dive = approved_logbook()
    record(logbook, dive, live(said(frame=9)))
    logbook.book.clock.jump(-3600)
    record(reread(logbook), dive, live(said(frame=10)))
    logbook.book.clock.jump(3600)
    with pytest.raises(UsageError, match="and 10 of the same start"):
        record(reread(logbook), dive, kept(said(frame=10)))


def test_a_box_that_was_changed_in_an_older_record_may_count_anew():
    logbook, dive = approved_logbook()
    begun = "2026-01-05T08:00:00+00:00"
    work = start_work(logbook, "slip-box", by="wim", purpose="new knob", at=begun).record
    record(logbook, dive, live(said(boots=12)))
    logbook.book.clock.advance(60)
    log_event(logbook, logbook.record(work), "box-changed", by="wim", text="memory cleared")
    assert record(reread(logbook), dive, live(said(boots=1))).entry.fields["boots"] == 1


def test_a_boot_count_that_went_down_is_refused_until_the_box_is_said_to_be_changed():
    logbook, dive = approved_logbook()
    record(logbook, dive, live(said(boots=12)))
    with pytest.raises(UsageError, match="old bytes, or the box's memory was cleared"):
        record(reread(logbook), dive, live(said(boots=1)))
    log_event(logbook, logbook.record(dive), "box-changed", by="tomas", text="new firmware")
    assert record(reread(logbook), dive, live(said(boots=1))).entry.fields["boots"] == 1


def test_a_typed_boot_count_counts_too():
    logbook, dive = approved_logbook()
    type_readback(logbook, logbook.record(dive), by="tomas", in_use={"steering_scheme": 4}, boots=30)
    with pytest.raises(UsageError, match="30 times is recorded"):
        record(reread(logbook), dive, live(said(boots=12)))


def test_numbers_and_firmware_that_nobody_explains_are_recorded_and_doubted():
    logbook, dive = approved_logbook()
    read = record(logbook, dive, live(said(in_use=SETUP | {"steering_scheme": 5})))
    assert read.doubts == ("steering scheme 5 is not in the code tables of firmware 2.10",)
    read = record(reread(logbook), dive, live(said(frame=4, firmware="3.0")))
    assert "firmware 3.0" in read.doubts[0]


def test_another_box_than_the_vehicles_is_recorded_and_doubted_and_one_not_on_file_is_refused():
    logbook, dive = approved_logbook()
    with pytest.raises(UsageError, match=r"'dock-box', and there is no boxes/dock-box.yaml"):
        record(logbook, dive, live(said(box="dock-box")))
    other = logbook.book.files.read("boxes/slip-box.yaml").replace(b"slip-box", b"dock-box")
    logbook.book.files.create("boxes/dock-box.yaml", other)
    read = record(reread(logbook), dive, live(said(box="dock-box")))
    assert read.doubts == (f"another box answered: dock-box, and {dive} is about slip-box",)


def test_a_full_disk_records_nothing():
    logbook, dive = approved_logbook()
    logbook.book.files.room = 10
    before = dict(logbook.book.files.tree)
    with pytest.raises(NotRecordedError, match="disk is full"):
        record(logbook, dive, live(said()))
    assert logbook.book.files.tree == before


def test_work_on_the_box_itself_takes_a_readback():
    logbook = a_logbook()
    work = start_work(logbook, "slip-box", by="wim", purpose="new knob").record
    assert record_box(logbook, logbook.record(work), live(said()), by="wim").doubts == ()


def test_a_port_is_not_opened_for_a_box_whose_dive_is_in_the_water():
    logbook, dive = approved_logbook()
    refuse_in_water(logbook, "slip-box")
    mark(logbook, logbook.record(dive), "in-water", by="tomas")
    for box in ("slip-box", None):
        with pytest.raises(
            UsageError, match=f"{dive} is marked in the water, and opening the port may restart"
        ):
            refuse_in_water(reread(logbook), box)
    mark(logbook, logbook.record(dive), "power-off", by="tomas")
    with pytest.raises(UsageError, match="marked in the water"):
        refuse_in_water(reread(logbook), "slip-box")
    mark(logbook, logbook.record(dive), "out-of-water", by="tomas")
    refuse_in_water(reread(logbook), "slip-box")


def test_a_box_that_says_it_does_not_restart_is_read_in_the_water_but_not_set():
    logbook, dive = approved_logbook()
    text = logbook.book.files.tree["boxes/slip-box.yaml"]
    logbook.book.files.tree["boxes/slip-box.yaml"] = text.replace(
        b"restarts_on_open: true", b"restarts_on_open: false"
    )
    mark(logbook, logbook.record(dive), "in-water", by="tomas")
    refuse_in_water(reread(logbook), "slip-box")
    with pytest.raises(UsageError, match="nothing is set in the water"):
        refuse_in_water(reread(logbook), "slip-box", even_if_gentle=True)
    read = record(reread(logbook), dive, live(said(uptime_s=0)))
    assert "says that opening the port does not restart it: look" in read.notes[-1]


def test_another_laptop_keeps_its_evidence_under_a_name_of_its_own():
    from dataclasses import replace

    logbook, dive = approved_logbook()
    other = Logbook(replace(logbook.book, writer="dock-laptop"))
    read = record_box(other, other.record(dive), live(said()), by="tomas")
    assert read.evidence == f"attachments/{dive}.dock-laptop-readback-1.txt"


def test_what_the_box_says_is_told_in_words():
    logbook, dive = approved_logbook()
    heard = live(said(stored=SETUP | {"trim": {"heave": -0.1}, "thruster_map": 6}, firmware="2.10"))
    read = record(logbook, dive, heard)
    text = read_text(heard, tables_of(logbook, "slip-box"), read)
    assert "steering scheme 4: two sticks\n" in text
    assert "  heave trim +0.08 (down)\n" in text
    assert "stored, for the next start:" in text
    assert "  thruster map 6: one aft\n  heave trim -0.10 (up)\n" in text
    assert "control link disconnected; thrusters isolated; supply 12.50 V; 40.0 running" in text
    assert max(map(len, text.splitlines())) <= 80
    assert read_data(heard, read)["evidence"] == read.evidence


def test_nothing_unprintable_reaches_the_words():
    heard = live(said(firmware="2.10"))
    from dataclasses import replace

    wild = replace(heard, frame=replace(heard.frame, firmware="\x1b[2J\u202e"))
    text = read_text(wild, None, None)
    assert "\x1b" not in text
    assert "<U+001B>[2J<U+202E>" in text


def test_codes_are_told_by_firmware():
    logbook = a_logbook()
    assert 7 in codes_of(logbook, "slip-box", "1.9").table.thruster_maps
    with pytest.raises(UsageError, match=r"no code tables for firmware 4\.4"):
        codes_of(logbook, "slip-box", "4.4")


def test_a_second_dive_does_not_hide_the_first_in_the_water():
    logbook, dive = approved_logbook()
    mark(logbook, logbook.record(dive), "in-water", by="tomas")
    text = logbook.book.files.tree["vehicles/shearwater.yaml"].replace(
        b"vehicle: shearwater", b"vehicle: petrel"
    )
    logbook.book.files.tree["vehicles/petrel.yaml"] = text
    start_dive(
        reread(logbook), "petrel", by="tomas", site="mill", water={"kind": "fresh", "temperature_c": 12.0},
        crew={"pilot": "tomas"},
    )  # fmt: skip
    with pytest.raises(UsageError, match=dive):
        refuse_in_water(reread(logbook), "slip-box")
