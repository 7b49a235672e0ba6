"""The lists from the command line: questions, timers, proposals, cards, and the way out of a quarantine."""

from __future__ import annotations

import json
import sys
from pathlib import Path

import pytest
from calling import CommandLine, command
from poolside import PEOPLE
from vehicles import puffin

pytestmark = pytest.mark.system("git")


@pytest.fixture
def call(tmp_path):
    """A logbook with an approved vehicle and an open dive."""
    root = tmp_path / "book"
    call = CommandLine(root)
    people = [f"--person={k}={v['name']}:{','.join(v['roles'])}" for k, v in PEOPLE.items()]
    call("init", str(root), "--title", "Lock basin team", *people)
    documents = puffin()
    documents.vehicle["housings"][0]["vacuum_port"] = True
    write(root / "vehicles/puffin.yaml", documents.vehicle)
    write(root / "boxes/quay-box.yaml", documents.box)
    for name, model in documents.models.items():
        write(root / f"thrusters/{name}.yaml", model)
    approve = ("vehicle", "approve", "puffin", "--by", "ines", "--reason", "first set-up")
    asked = call.json(*approve, status=None)
    if asked["revision"] is None:
        call(*approve, *(f"--accept={f['finding']}=half stick only" for f in asked["findings"]))
    crew = ("--crew", "supervisor=ines", "pilot=ines", "tender=ruth", "technician=otto")
    call("dive", "start", "puffin", "--by", "ines", "--site", "lock basin", "--water", "fresh:15", *crew)
    return call


def write(path: Path, value):
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(json.dumps(value) + "\n")


def entries(call):
    return len(call("dive", "show", "puffin", "--entries").out.splitlines())


class TestTwoPeople:
    """Their answers together: told at once, and never as if all were well."""

    @staticmethod
    def tick(by: str, rating: str):
        return ("dive", "tick", "puffin", "fuse", "--by", by, "--value", f"rating={rating}")

    def test_a_disagreement_is_a_finding_and_told_with_what_each_said(self, call):
        call(*self.tick("otto", "15"), status=1)
        told = call(*self.tick("ruth", "20"), status=1).out
        assert "otto says 15 A, ruth says 20 A; it counts as not done" in told
        assert "holds" not in told
        assert len(told.splitlines()) == 2

    def test_as_data_it_says_that_they_differ(self, call):
        call(*self.tick("otto", "15"), status=1)
        data = call.json(*self.tick("ruth", "20"), status=1)
        assert (data["state"], data["outcome"]) == ("failed", "pass")
        assert "otto says 15 A, ruth says 20 A" in data["differs"]

    def test_two_who_agree_are_no_finding(self, call):
        call(*self.tick("otto", "20"))
        data = call.json(*self.tick("ruth", "20"))
        assert (data["state"], data["differs"]) == ("answered", None)

    def test_the_first_answer_is_not_given_away_as_data(self, call):
        data = call.json(*self.tick("otto", "15"), status=1)
        assert (data["outcome"], data["judged"]) == (None, [])
        assert "15" not in call(*self.tick("otto", "15"), status=1).out


class TestReopened:
    """What an event, another place or a trim puts on the list again is told where it is logged."""

    def test_an_event_names_it_in_words_and_as_data(self, call):
        call(*TestTwoPeople.tick("otto", "20"))
        call(*TestTwoPeople.tick("ruth", "20"))
        event = ("dive", "event", "puffin", "fuse-changed", "--by", "otto")
        assert [r["item"] for r in call.json(*event)["reopened"]] == ["fuse"]
        assert "reopens nothing that was answered" in call(*event).out

    def test_another_place_and_a_trim_tell_it_too(self, call):
        for what in (("place", "puffin", "--site", "sea wall"), ("trim", "puffin", "heave=0.2")):
            assert "reopens" in call("dive", *what, "--by", "otto").out


class TestListsUnderControl:
    """A list changed by hand is told by every command that stands on it; a revision names its approver."""

    @staticmethod
    def loosen(call, more: str = "revision: 1\n"):
        file = call.root / "checklists/pre-dive.yaml"
        text = file.read_text()
        stops = text.index("stops: always", text.index("item: fuse"))
        text = text[:stops] + "stops: no" + text[stops + 13 :]
        file.write_text(text.replace("revision: 1\n", more, 1))

    def test_validate_dive_show_and_waive_all_tell_it(self, call):
        self.loosen(call)
        assert "something else under revision 1" in call("validate", status=1).out
        stops = call.json("dive", "show", "puffin")["stops"]
        assert "list-changed-pre-dive" in [s["id"] for s in stops]
        waive = ("dive", "waive", "puffin", "fuse", "--reason", "a", "--until", "dive", "--by", "ines")
        assert "is not waived" in call(*waive, status=None).err
        call("dive", "close", "puffin", "--by", "ines")
        start = ("dive", "start", "puffin", "--by", "ines", "--site", "sea wall", "--water", "fresh:15")
        assert "something else under revision 1" in call(*start).err

    def test_a_revision_is_shown_with_reason_and_approver(self, call):
        assert "approved by" not in call("checklist", "show", "pre-dive").out
        self.loosen(call, "revision: 2\nreason: tried without\napproved_by: Ines Karg\n")
        assert "approved by Ines Karg: tried without" in call("checklist", "show", "pre-dive").out
        call("validate")


class TestASlip:
    """Asked about once, and kept either way."""

    SLIP = ("dive", "tick", "puffin", "resting-voltage", "--by", "otto", "--value", "voltage=126")

    def test_where_nobody_can_be_asked_it_is_kept_and_the_question_is_told(self, call):
        before = entries(call)
        asked = call(*self.SLIP, status=1)
        assert "over 5 times its limit, 15 V; is it right?" in asked.err
        assert "It is kept as given" in asked.err
        assert entries(call) > before

    def test_as_data_the_question_stands_beside_the_entry(self, call):
        data = call.json(*self.SLIP, status=1)
        assert data["entry"]
        assert not data["confirmed"]
        assert [q["value"] for q in data["questions"]] == ["voltage"]

    def test_with_sure_it_is_kept_and_marked_as_confirmed(self, call):
        data = call.json(*self.SLIP, "--sure", status=1)
        assert (data["outcome"], data["confirmed"]) == ("fail", True)
        call("validate")

    def test_an_item_named_by_its_code_is_told_by_its_id(self, call):
        code = [*self.SLIP[:3], "B5", *self.SLIP[4:]]
        assert call.json(*code, status=1)["item"] == "resting-voltage"
        assert call.json(*code, "--sure", status=1)["item"] == "resting-voltage"

    def test_an_ordinary_value_is_kept_without_a_word(self, call):
        data = call.json(*self.SLIP[:-1], "voltage=12,6")
        assert (data["outcome"], data["confirmed"]) == ("pass", False)

    @pytest.mark.skipif(sys.platform == "win32", reason="no pseudo-terminals on this system")
    @pytest.mark.parametrize(("typed", "status", "kept"), [("yes", 1, True), ("no", 1, False)])
    def test_at_a_terminal_it_is_asked_once(self, call, typed, status, kept):
        import pexpect

        before = entries(call)
        child = pexpect.spawn(str(command()), [*self.SLIP], cwd=str(call.root), encoding="utf-8", timeout=30)
        child.expect("Keep it as it is")
        child.sendline(typed)
        child.expect(pexpect.EOF)
        child.close()
        assert child.exitstatus == status
        assert (entries(call) > before) == kept


def test_a_timer_started_by_one_call_is_shown_by_another(call):
    said = call("dive", "timer", "puffin", "vacuum-hold", "settle", "--by", "otto").out
    assert said == "kept: timer settle, 3:00, runs\n"
    [timer] = call.json("dive", "show", "puffin")["timers"]
    assert (timer["item"], timer["timer"], timer["duration_s"]) == ("vacuum-hold", "settle", 180)
    assert 150 < timer["left_s"] <= 180
    assert "timer C5 Settle 3 min, then vacuum hold 15 min: settle, " in call("dive", "show", "puffin").out
    call("validate")


def test_a_proposal_is_shown_by_the_history_of_its_list(call):
    call("dive", "propose", "puffin", "reach", "ask for the slack kept", "--by", "ruth")
    said = call("checklist", "history", "pre-dive").out
    assert "reach  Ruth Abay: ask for the slack kept" in said
    [found] = call.json("checklist", "history", "pre-dive")["proposals"]
    assert (found["item"], found["revision"], found["by"]) == ("reach", 1, "ruth")
    call("validate")


def test_the_emergency_cards_print_in_at_most_six_lines_each(call):
    cards = call("checklist", "show", "emergency").out.strip("\n").split("\n\n")
    assert len(cards) == 9
    assert all(len(card.splitlines()) <= 6 for card in cards)
    assert max(len(line) for card in cards for line in card.splitlines()) <= 80


def test_a_card_is_logged_with_the_time_it_was_opened(call):
    call(
        "dive",
        "card",
        "puffin",
        "Z5",
        "--by",
        "ines",
        "--text",
        "bubbles",
        "--at",
        "2026-06-13T10:02:10+01:00",
    )
    said = call("dive", "show", "puffin", "--entries").out
    assert "10:02:10  note" in said
    assert "emergency card Z5 Leak alarm, bubbles, fog, sinking was opened: bubbles" in said
    call("validate")


def test_from_a_fault_to_the_return_to_service(call):
    call("dive", "fault", "puffin", "sinks", "--by", "ines", "--text", "went down with power off")
    call("dive", "close", "puffin", "--by", "ines")
    crew = ("--crew", "supervisor=ines", "technician=otto", "tender=ruth")
    started = call("work", "start", "puffin", "--by", "otto", "--purpose", "it sank", *crew).out
    assert "next in the list after a fault: HR1" in started
    early = call("work", "tick", "puffin", "fault-photos", "--by", "otto", "--value", "photos=2", status=2)
    assert "HR1 People out of harm, power isolated comes first" in early.err

    def tick(item, by, *values, status=0):
        call("work", "tick", "puffin", item, "--by", by, *(f"--value={v}" for v in values), status=status)

    tick("fault-power", "ines", "choice=all-off")
    tick("fault-quarantine", "ines")
    tick("fault-readback", "otto", "choice=none-possible", "reason=water in the plug")
    tick("fault-photos", "otto", "photos=2", status=1)
    (call.root / "attachments").mkdir()
    (call.root / "attachments/plug.txt").write_text("a photograph of the plug")
    call("work", "attach", "puffin", "attachments/plug.txt", "--what", "plug 3, held by otto", "--by", "otto")
    tick("fault-photos", "otto", "photos=2")
    tick("fault-parts", "otto", "holder=otto")
    tick("fault-last-good", "ines", "dive=none")
    tick("fault-changes", "ines", "changes=0")
    for push in ("left-stick-y", "left-stick-x", "right-stick-y", "right-stick-x"):
        for way in ("-0.2", "0.2"):
            seen = ("--seen", "bow-port=unseen", "lift-port=none", "--by", "otto")
            call("work", "observe", "puffin", "--push", f"{push}={way}", *seen, status=None)
    tick("fault-function", "otto")
    tick("fault-one-change", "otto")
    tick("fault-cause", "ines", "choice=shown")
    refused = call("work", "release", "puffin", "return-to-service", "--by", "ines", status=2)
    assert "HR12 Every voided item redone" in refused.err
    tick("fault-redo", "otto")
    tick("fault-redo", "ruth")
    assert call.json("work", "show", "puffin")["quarantine"]["evidence"] == 1
    call("work", "release", "puffin", "return-to-service", "--by", "ines")
    assert call.json("work", "show", "puffin")["quarantine"] is None
    call("verify", status=None)
    call("validate")
