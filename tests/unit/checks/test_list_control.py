"""Lists under control: proposals from an item, and emergency cards that need no answer."""

from __future__ import annotations

import pytest
from poolside import Poolside

from rovlog.faces.reports.card_text import card_lines, cards_text
from rovlog.faces.reports.list_history_text import list_history_text
from rovlog.problems import UsageError
from rovlog.usecases.answer_item import answer_item
from rovlog.usecases.emergency_cards import emergency_cards, log_card_opened
from rovlog.usecases.list_proposals import proposals, propose_change
from rovlog.usecases.show_checklists import checklist_history


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
