"""Lists under control: proposals from an item, and emergency cards that need no answer."""

from __future__ import annotations

import pytest
from poolside import CREW, FRESH, Poolside

from rovlog.faces.reports.card_text import card_lines, cards_text
from rovlog.faces.reports.list_history_text import list_history_text
from rovlog.problems import UsageError
from rovlog.usecases.answer_item import answer_item
from rovlog.usecases.dive_steps import start_dive
from rovlog.usecases.emergency_cards import emergency_cards, log_card_opened
from rovlog.usecases.give_waiver import waive_item
from rovlog.usecases.list_proposals import proposals, propose_change
from rovlog.usecases.logbook import Logbook
from rovlog.usecases.recording import append
from rovlog.usecases.show_checklists import checklist_history
from rovlog.usecases.validate_logbook import validate_logbook


@pytest.fixture
def pool():
    return Poolside().dive()


class TestProposals:
    """A change to the list, proposed from any item."""

    def test_a_proposal_names_item_list_and_revision(self, pool):
        written = propose_change(pool.logbook, pool.record, "reach", "ask for the slack kept", by="ruth")
        assert written.entry.kind == "note"
        assert dict(written.entry.fields) == {
            "item": "reach",
            "checklist": "pre-dive",
            "checklist_revision": 1,
            "text": "ask for the slack kept",
        }

    def test_the_history_of_the_list_shows_it(self, pool):
        propose_change(pool.logbook, pool.record, "D5", "ask for the slack kept", by="ruth")
        [found] = proposals(pool.logbook, "pre-dive", 1)
        said = list_history_text(
            checklist_history(pool.logbook, "pre-dive"), [found], pool.logbook.person_name
        )
        assert "reach  Ruth Abay: ask for the slack kept" in said
        assert "to revision 1, not taken up yet" in said
        assert proposals(pool.logbook, "launch", 1) == ()

    def test_a_newer_revision_is_told(self, pool):
        propose_change(pool.logbook, pool.record, "reach", "ask for the slack kept", by="ruth")
        [found] = proposals(pool.logbook, "pre-dive", 2)
        assert found.is_before_revision

    def test_a_plain_note_is_no_proposal(self, pool):
        from rovlog.usecases.dive_steps import log

        log(pool.logbook, pool.record, "note", {"text": "silt"}, by="ruth")
        assert proposals(pool.logbook, "pre-dive", 1) == ()

    def test_a_proposal_answers_nothing(self, pool):
        propose_change(pool.logbook, pool.record, "reach", "drop it", by="ruth")
        assert pool.state().items["reach"].state == "open"

    def test_an_empty_proposal_is_refused(self, pool):
        with pytest.raises(UsageError):
            propose_change(pool.logbook, pool.record, "reach", " ", by="ruth")

    def test_the_dive_keeps_the_exact_revision_of_the_list(self, pool):
        answered = answer_item(pool.logbook, pool.record, "swimmers", by="ines")
        fields = answered.written.entry.fields
        assert (fields["checklist"], fields["checklist_revision"]) == ("pre-dive", 1)


class TestCards:
    """Act first; written down afterwards with the time the card was opened."""

    def test_every_card_is_at_most_six_lines_with_its_event_first(self, pool):
        cards = emergency_cards(pool.logbook, "puffin")
        assert len(cards) == 9
        for card in cards:
            lines = card_lines(card)
            assert 3 <= len(lines) <= 6
            assert lines[0] == f"{card.code} {card.challenge}"
            assert lines[1].endswith(f"1 {card.actions[0]}")
            assert max(map(len, lines)) <= 80

    def test_no_action_is_lost_where_two_share_a_line(self, pool):
        for card in emergency_cards(pool.logbook, "puffin"):
            said = " ".join(card_lines(card))
            assert all(action in said for action in card.actions)

    def test_all_cards_stand_one_below_the_other(self, all_lists):
        said = cards_text(all_lists[-1])
        assert said.count("\n\n") == 8
        assert said.startswith("Z1 Shocked or in trouble in the water\n   1 Stop control")

    def test_a_card_is_logged_with_the_time_it_was_opened(self, pool):
        pool.clock.advance(900)
        written = log_card_opened(
            pool.logbook, pool.record, "Z5", by="ines", opened_at="2026-06-13T09:02:10+01:00", text="bubbles"
        )
        entry = written.entry
        assert (entry.at, entry.fields["card"]) == ("2026-06-13T09:02:10+01:00", "card-leak")
        assert entry.fields["text"].endswith("was opened: bubbles")
        assert entry.fields["clock"] == "own"

    def test_a_card_that_does_not_exist_is_refused_with_the_nearest(self, pool):
        with pytest.raises(UsageError) as refused:
            log_card_opened(pool.logbook, pool.record, "card-leek", by="ines", opened_at=None)
        assert "card-leak" in refused.value.mend


class TestContentOfARevision:
    """What a list says under one revision stays what it said when it was first used."""

    NAME = "checklists/pre-dive.yaml"

    @pytest.fixture
    def closed(self):
        """A logbook with one dive behind it, in which the lists were as they are."""
        pool = Poolside().dive()
        pool.close()
        return pool

    def edit(self, pool: Poolside, before: str, after: str) -> None:
        """Change the list by hand, as an editor would."""
        text = pool.book.files.read(self.NAME).decode()
        assert before in text
        pool.book.files.tree[self.NAME] = text.replace(before, after, 1).encode()
        pool.logbook = Logbook(pool.book)

    def loosen(self, pool: Poolside) -> None:
        """The fuse stops nothing any more, under the same revision."""
        text = pool.book.files.read(self.NAME).decode()
        fuse = text.index("item: fuse")
        stops = text.index("stops: always", fuse)
        pool.book.files.tree[self.NAME] = (text[:stops] + "stops: no" + text[stops + 13 :]).encode()
        pool.logbook = Logbook(pool.book)

    def stops(self, pool: Poolside) -> list[str]:
        return [s.id for s in pool.state().stops if s.id.startswith("list-changed")]

    def test_a_dive_keeps_revision_and_digest_of_every_list(self, pool):
        kept = pool.record.entries[0].fields["lists"]
        assert set(kept) == {n.rpartition("/")[2][:-5] for n in pool.book.files.names("checklists")}
        assert kept["pre-dive"]["revision"] == 1
        assert kept["pre-dive"]["digest"].startswith("sha256:")
        assert self.stops(pool) == []

    def test_a_list_changed_without_a_revision_stops_the_next_dive_and_is_told_at_its_start(self, closed):
        self.loosen(closed)
        first = closed.record_id
        started = start_dive(
            closed.logbook, "puffin", by="ines", site="lock basin", water=FRESH, crew=CREW, depth_m=4.0
        )
        closed.record_id = started.record
        assert self.stops(closed) == ["list-changed-pre-dive"]
        assert any(f"something else under revision 1 than in {first}" in n for n in started.notes)

    def test_it_stops_the_dive_during_which_it_was_changed_and_no_longer_once_put_back(self, pool):
        text = pool.book.files.read(self.NAME)
        self.loosen(pool)
        assert self.stops(pool) == ["list-changed-pre-dive"]
        pool.book.files.tree[self.NAME] = text
        pool.logbook = Logbook(pool.book)
        assert self.stops(pool) == []

    def test_put_back_it_stops_nothing_though_a_dive_was_started_meanwhile(self, closed):
        text = closed.book.files.read(self.NAME)
        self.loosen(closed)
        closed.dive().close()
        closed.book.files.tree[self.NAME] = text
        closed.logbook = Logbook(closed.book)
        assert self.stops(closed.dive()) == []

    def test_a_new_revision_stops_nothing(self, closed):
        self.loosen(closed)
        self.edit(closed, "revision: 1\n", "revision: 2\nreason: tried out\napproved_by: Ines Karg\n")
        assert self.stops(closed.dive()) == []
        assert validate_logbook(closed.book).problems == ()

    def test_remarks_for_people_are_no_change(self, closed):
        self.edit(closed, "revision: 1\n", "revision: 1\nnotes: laminated copy in the box\n")
        assert self.stops(closed.dive()) == []

    def test_neither_the_stop_nor_an_item_of_that_list_can_be_waived(self, pool):
        self.loosen(pool)
        with pytest.raises(UsageError, match="cannot be waived"):
            waive_item(pool.logbook, pool.record, by="ines", stop="list-changed-pre-dive", reason="a",
                       until="dive")  # fmt: skip
        with pytest.raises(UsageError, match="something else under revision 1"):
            waive_item(pool.logbook, pool.record, by="ines", item="fuse", reason="a", until="dive")
        fields = {"stop": "list-changed-pre-dive", "reason": "by hand", "until": "dive"}
        append(pool.logbook, pool.record, "waiver", "ines", fields)
        assert self.stops(pool) == ["list-changed-pre-dive"]

    def test_validate_tells_it_with_the_mend(self, closed):
        assert validate_logbook(closed.book).problems == ()
        self.loosen(closed)
        [problem] = validate_logbook(closed.book).problems
        assert (problem.rule, problem.place.file) == ("list-changed", self.NAME)
        assert closed.record_id in problem.message
        assert "raise its revision" in problem.mend

    def test_before_any_dive_the_last_commit_says_what_the_revision_said(self):
        pool = Poolside()
        pool.book.history.commit([self.NAME], "lists")
        self.loosen(pool)
        assert self.stops(pool.dive()) == ["list-changed-pre-dive"]
