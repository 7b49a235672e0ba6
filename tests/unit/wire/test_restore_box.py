"""Putting a setup back: what must hold before, a person's word for each number, unknown until proven."""

from __future__ import annotations

from dataclasses import dataclass, field

import pytest
from boxes import SETUP, MemoryBox, a_logbook, approved_logbook

from rovlog.faces.reports.box_restore_text import restored_data, restored_text, step_text
from rovlog.problems import RovlogError, UsageError
from rovlog.usecases.compare_drift import compare_drift
from rovlog.usecases.dive_steps import mark, start_dive
from rovlog.usecases.logbook import Logbook
from rovlog.usecases.restore_box import Restored, restore
from rovlog.usecases.restore_steps import Step


@dataclass
class TestHands:
    """A person who sets what is asked (or says no at a step), then switches the box off and on."""

    __test__ = False
    box: MemoryBox
    says_no_at: int = 0
    sets: bool = True
    cycles: bool = True
    says_cycled: bool = True
    shown: list[tuple[Step, bool]] = field(default_factory=list)

    def confirms(self, step: Step, number: int, of: int, *, is_sent: bool) -> bool:
        self.shown.append((step, is_sent))
        if number == self.says_no_at:
            return False
        if not is_sent and self.sets:
            self.box.turn(step.name, step.wanted)
        return True

    def has_power_cycled(self) -> bool:
        if self.cycles:
            self.box.power_cycle()
        return self.says_cycled


def a_box(**changes: object) -> MemoryBox:
    wrong = SETUP | {"steering_scheme": 3, "trim": {"heave": 0.2, "yaw": 0.1}}
    return MemoryBox(in_use={**wrong}, stored={**SETUP, "trim": dict(SETUP["trim"])}, **changes)


def setting_logbook() -> tuple[Logbook, str]:
    logbook, dive = approved_logbook()
    tree = logbook.book.files.tree
    tree["boxes/slip-box.yaml"] = tree["boxes/slip-box.yaml"].replace(
        b"accepts_setting: false", b"accepts_setting: true"
    )
    return Logbook(logbook.book), dive


def put_back(logbook: Logbook, dive: str, box: MemoryBox, hands: TestHands) -> Restored:
    return restore(
        logbook, logbook.record(dive), by="tomas", ports=box, device="/dev/box", baud=57600, hands=hands
    )


def events(logbook: Logbook, dive: str) -> list[str]:
    return [e.kind for e in Logbook(logbook.book).record(dive).entries if e.kind in ("readback", "event")]


def readback_is_stale(logbook: Logbook, dive: str) -> bool:
    readback = compare_drift(Logbook(logbook.book), dive).readback
    return readback is not None and readback.stale is not None


def test_by_hand_each_number_is_shown_in_the_builders_words_and_proven_after_a_fresh_start():
    logbook, dive = approved_logbook()
    box = a_box()
    hands = TestHands(box)
    done = put_back(logbook, dive, box, hands)
    assert [(s.name, s.wanted, s.in_use) for s, _ in hands.shown] == [
        ("steering_scheme", 4, 3), ("trim_heave", 0.08, 0.2), ("trim_yaw", 0.0, 0.1),
    ]  # fmt: skip
    assert hands.shown[0][0].words == "hold SET and turn the left knob to the number"
    assert done.is_proven
    assert done.before.frame.boots < done.after.frame.boots
    assert events(logbook, dive) == ["readback", "event", "readback"]
    assert not readback_is_stale(logbook, dive)
    assert compare_drift(Logbook(logbook.book), dive).report.deviations == ()
    assert "proven by a readback after a fresh start" in restored_text(done).replace("\n  ", " ")
    assert restored_data(done)["proven"] is True


def test_by_set_sentences_each_number_is_sent_only_after_a_persons_word():
    logbook, dive = setting_logbook()
    box = a_box()
    hands = TestHands(box)
    assert put_back(logbook, dive, box, hands).is_proven
    assert all(is_sent for _, is_sent in hands.shown)


def test_a_box_that_takes_no_set_sentence_is_said_and_stays_unknown():
    logbook, dive = setting_logbook()
    with pytest.raises(RovlogError, match=r"did not take steering_scheme 4: it still says 3; .* unknown now"):
        put_back(logbook, dive, box := a_box(takes_sets=False), TestHands(box))
    assert readback_is_stale(logbook, dive)


@pytest.mark.parametrize("number", [1, 2, 3])
def test_broken_off_at_any_step_the_box_is_unknown_and_stops_the_dive(number):
    logbook, dive = approved_logbook()
    done = put_back(logbook, dive, box := a_box(), TestHands(box, says_no_at=number))
    assert not done.is_proven
    assert done.after is None
    assert readback_is_stale(logbook, dive)
    assert compare_drift(Logbook(logbook.book), dive).report.stops
    assert "counts as unknown" in restored_text(done)


@pytest.mark.parametrize("reads", range(1, 5))
def test_unplugged_at_any_moment_after_the_first_readback_the_box_is_unknown(reads):
    logbook, dive = setting_logbook()
    with pytest.raises(RovlogError, match=r"went away .* unknown now"):
        put_back(logbook, dive, box := a_box(goes_after=reads), TestHands(box))
    assert readback_is_stale(logbook, dive)


def test_unplugged_before_the_first_readback_nothing_is_written():
    logbook, dive = approved_logbook()
    with pytest.raises(RovlogError, match="nothing was recorded"):
        put_back(logbook, dive, box := a_box(goes_after=0), TestHands(box))
    assert events(logbook, dive) == []


def test_nothing_to_put_back_writes_only_the_readback():
    logbook, dive = approved_logbook()
    box = MemoryBox({**SETUP}, {**SETUP})
    done = put_back(logbook, dive, box, TestHands(box))
    assert done.is_proven
    assert done.steps == ()
    assert events(logbook, dive) == ["readback"]


def test_a_number_that_is_only_stored_wrongly_is_put_back_as_well():
    logbook, dive = approved_logbook()
    box = MemoryBox({**SETUP}, {**SETUP, "thruster_map": 6})
    hands = TestHands(box)
    assert put_back(logbook, dive, box, hands).is_proven
    assert [(s.name, s.in_use, s.stored) for s, _ in hands.shown] == [("thruster_map", 2, 6)]


def test_with_the_link_connected_and_the_thrusters_enabled_nothing_is_set():
    logbook, dive = approved_logbook()
    for link in ("connected", "unknown"):
        box = a_box(link=link, outputs="enabled", boots=30 if link == "connected" else 31)
        with pytest.raises(UsageError, match="nothing is set like that"):
            put_back(Logbook(logbook.book), dive, box, hands := TestHands(box))
        assert hands.shown == []
    assert events(logbook, dive) == ["readback", "readback"]


def test_thrusters_isolated_are_enough():
    logbook, dive = approved_logbook()
    box = a_box(link="connected", outputs="isolated")
    assert put_back(logbook, dive, box, TestHands(box)).is_proven


def test_in_the_water_nothing_is_set_and_the_port_is_not_opened():
    logbook, dive = approved_logbook()
    mark(logbook, logbook.record(dive), "in-water", by="tomas")
    with pytest.raises(UsageError, match="nothing is set in the water"):
        put_back(Logbook(logbook.book), dive, box := a_box(), TestHands(box))
    assert box.opened == 0


def test_another_box_or_firmware_is_refused_before_anything_is_set():
    logbook, dive = approved_logbook()
    with pytest.raises(UsageError, match=r"has firmware 1.9, and 2.10 is approved"):
        put_back(logbook, dive, box := a_box(firmware="1.9"), TestHands(box))
    with pytest.raises(UsageError, match="another box answers: dock-box"):
        put_back(logbook, dive, box := a_box(box="dock-box"), TestHands(box))
    assert events(logbook, dive) == []


def test_a_restart_between_two_set_sentences_breaks_it_off():
    logbook, dive = setting_logbook()
    box = a_box()

    class Restarting(TestHands):
        def confirms(self, step: Step, number: int, of: int, *, is_sent: bool) -> bool:
            if number == 2:
                self.box.power_cycle()
            return super().confirms(step, number, of, is_sent=is_sent)

    with pytest.raises(RovlogError, match="started again meanwhile"):
        put_back(logbook, dive, box, Restarting(box))
    assert readback_is_stale(logbook, dive)


def test_a_box_that_was_not_switched_off_proves_nothing():
    logbook, dive = approved_logbook()
    with pytest.raises(RovlogError, match="the box was not started again"):
        put_back(logbook, dive, box := a_box(), TestHands(box, cycles=False))
    assert readback_is_stale(logbook, dive)


def test_numbers_that_were_not_really_set_are_found_after_the_start():
    logbook, dive = approved_logbook()
    box = a_box()
    box.stored["thruster_map"] = 6
    done = put_back(logbook, dive, box, TestHands(box, sets=False))
    assert not done.is_proven
    assert done.still == ("thruster_map is 6 in use, stored 6, approved 2",)
    assert done.after is not None


def test_without_an_approval_nothing_is_put_back():
    logbook = a_logbook()
    dive = start_dive(
        logbook, "shearwater", by="tomas", site="mill", water={"kind": "fresh", "temperature_c": 12.0},
        crew={"pilot": "tomas"},
    ).record  # fmt: skip
    with pytest.raises(UsageError, match="no configuration of this vehicle is approved"):
        put_back(logbook, dive, box := a_box(), TestHands(box))
    assert box.opened == 0


def test_a_number_whose_meaning_changed_since_the_approval_is_not_put_back():
    logbook, dive = approved_logbook()
    tree = logbook.book.files.tree
    tree["boxes/slip-box.yaml"] = tree["boxes/slip-box.yaml"].replace(b"full_stick: 0.7", b"full_stick: 0.6")
    with pytest.raises(UsageError, match="steering scheme 4 does not mean what was approved"):
        put_back(Logbook(logbook.book), dive, box := a_box(), TestHands(box))


def test_a_step_is_told_with_its_sign_in_words():
    text = step_text(Step("trim_heave", 0.08, 0.2, 0.08, ""), 2, 3, is_sent=False)
    assert " ".join(text.split()).startswith(
        "2 of 3 heave trim: +0.2 (down) in use, stored +0.08 (down); approved: +0.08 (down)"
    )
    assert "how_to_set" in text
