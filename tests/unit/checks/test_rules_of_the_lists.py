"""The rules a list has to keep so that it prevents something, how each is met, and which test shows it.

The rules are drawn from the literature on checklists: Degani and Wiener, NASA CR 177549 (1990) and Human
Factors 35(2), 1993; Dismukes, HFES 2006; UK CAA CAP 676; DOE-HDBK-1028-2009 and DOE-STD-1029-92;
Christ and Wernli, The ROV Manual (2014), p. 608; NUREG/CR-6634 (2000); Burian, HFES 2006; ISO 10007:2017.
What software cannot carry stands in DEVELOPERS.md under the heading below.
"""

from __future__ import annotations

import ast
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import pytest

TESTS = Path(__file__).parents[2]
NOT_MET = "## Rules of the lists that are not met, and why"


@dataclass(frozen=True)
class Rule:
    """One rule: what it says, how it is met, the tests that show it ("file: name"), and whether some
    part of it is left to people (then DEVELOPERS.md says which and why)."""

    says: str
    met: str
    shown_by: tuple[str, ...]
    is_partly_met: bool = False


RULES = {
    "HF1": Rule(
        "challenge and response by default; a do-list where order matters or steps are rare",
        "every list and, where it differs, every group states its style; after a fault the order is enforced",
        (
            "test_rules_of_the_lists: test_each_list_states_its_style_and_groups_that_differ_theirs",
            "test_quarantine_path: test_no_step_after_a_blown_fuse_is_taken_before_those_ahead_of_it",
        ),
    ),
    "HF2": Rule(
        "the reply is the state or the value, never that it was checked",
        "values are asked for and judged by the program; no response can be said without looking",
        (
            "test_shipped_lists: test_no_response_can_be_said_without_looking",
            "test_fold: test_a_measured_item_without_its_value_stays_open",
            "test_fold: test_a_value_beyond_its_limit_fails_whatever_was_ticked",
            "test_check_text: test_a_confirmed_state_is_recorded_as_stated",
        ),
        is_partly_met=True,
    ),
    "HF3": Rule(
        "touch or point at the thing; the item says what",
        "items at a thing say what to touch, and it is shown with the item",
        (
            "test_rules_of_the_lists: test_what_is_looked_at_is_also_touched",
            "test_check_text: test_an_item_is_told_in_full_with_its_caution_first",
        ),
        is_partly_met=True,
    ),
    "HF4": Rule(
        "groups tied to one place or system, five to nine items",
        "the shipped groups have at most ten items",
        ("test_rules_of_the_lists: test_groups_are_small",),
        is_partly_met=True,
    ),
    "HF5": Rule(
        "the order of the walk, cold things before live ones",
        "the pre-dive groups run from the deck to the water, everything cold before power on",
        ("test_rules_of_the_lists: test_everything_cold_comes_before_power",),
    ),
    "HF6": Rule(
        "what hurts or sinks first in its group",
        "in every pre-dive group that has an item without a waiver, one stands among its first three",
        ("test_rules_of_the_lists: test_what_always_stops_stands_early_in_its_group",),
    ),
    "HF7": Rule(
        "the killer items again in a last look just before launch",
        "a group of its own repeats them and holds for five minutes",
        (
            "test_rules_of_the_lists: test_the_last_look_repeats_what_late_news_can_upset",
            "test_fold: test_a_last_look_too_old_at_the_launch_stays_too_old",
        ),
    ),
    "HF8": Rule(
        "a completion call ends each group, spoken and written",
        "each group names its call; without it, or with an item open, the group is not complete",
        (
            "test_rules_of_the_lists: test_every_group_has_its_completion_call",
            "test_groups: test_a_group_with_open_items_is_not_complete_though_it_was_called",
            "test_groups: test_a_completion_names_what_is_left",
        ),
        is_partly_met=True,
    ),
    "HF9": Rule(
        "an interruption is an event; the last item again on resuming, the group again past a gap",
        "pause and resume are entries with item, time and reason; the gap is the team's to set",
        (
            "test_fold: test_after_a_short_pause_the_last_item_is_asked_again",
            "test_fold: test_past_the_gap_the_group_starts_again",
            "test_fold: test_the_gap_is_the_teams_to_set",
            "test_fold: test_a_clock_set_back_does_not_shorten_a_pause",
        ),
    ),
    "HF10": Rule(
        "nothing is skipped silently",
        "seven states, each with who, when and why; deferred and expired items stop until settled",
        (
            "test_check_text: test_every_state_has_its_own_mark",
            "test_fold: test_a_deferred_item_says_who_why_and_until",
            "test_fold: test_an_item_that_always_stops_may_not_be_left_out",
            "test_fold: test_the_configuration_may_rule_an_item_out",
            "test_groups: test_a_waived_item_stops_nothing_and_a_deferred_one_does",
            "test_fold_machine: test_random_histories_agree_with_a_naive_reading",
        ),
    ),
    "HF11": Rule(
        "few and real hold points, each released by a named person",
        "six of them; nothing past one is answered before the supervisor's release",
        (
            "test_shipped_lists: test_the_hold_points_are_few_and_known",
            "test_groups: test_nothing_past_a_hold_point_is_answered_before_its_release",
            "test_groups: test_no_release_goes_over_what_always_stops",
            "test_second_looks: test_a_release_by_anybody_else_is_refused",
        ),
    ),
    "HF12": Rule(
        "two people for what is invisible later, the second one blind; a crew of one looks twice",
        "blind answers stay hidden, disagreement is told and stops; a crew of one is shown as that",
        (
            "test_shipped_lists: test_two_people_answer_what_cannot_be_seen_later",
            "test_check_text: test_a_blind_answer_is_not_shown_before_the_second",
            "test_second_looks: test_two_ratings_that_differ_fail_and_stop_the_dive",
            "test_second_looks: test_the_second_looks_are_proposed_in_reverse",
            "test_plausible: test_a_blind_second_persons_question_gives_nothing_of_the_first_answer_away",
            "test_fold: test_a_crew_of_one_may_and_it_shows",
        ),
        is_partly_met=True,
    ),
    "HF13": Rule(
        "a computed or box-read answer is never shown as seen; a person accepts it",
        "the source of every answer is kept and said with who accepted it",
        ("test_check_text: test_a_computed_answer_is_never_shown_as_seen",),
    ),
    "HF14": Rule(
        "answers age and are voided by events, and reopen by themselves with the reason",
        "ages and fifteen void events, each reopening exactly what names it",
        (
            "test_fold: test_an_event_reopens_exactly_the_items_it_voids",
            "test_fold: test_an_answer_runs_out_by_its_age",
            "test_check_text: test_an_expired_answer_says_what_ended_it",
            "test_judged_again: test_salt_water_voids_the_buoyancy_and_asks_for_it_anew",
            "test_timers: test_it_survives_a_restart_and_a_closed_lid",
        ),
    ),
    "HF15": Rule(
        "the signal word and the caution before the step",
        "cautions stand in the list where somebody could be hurt and are told before the challenge",
        (
            "test_shipped_lists: test_a_caution_stands_where_somebody_could_be_hurt",
            "test_check_text: test_an_item_is_told_in_full_with_its_caution_first",
        ),
    ),
    "HF16": Rule(
        "emergency cards: three to six actions, first action first, nothing to tick",
        "six lines each, no value asked; that one was opened is logged later with its time",
        (
            "test_shipped_lists: test_an_emergency_card_has_at_most_six_short_lines_and_asks_nothing",
            "test_list_control: test_every_card_is_at_most_six_lines_with_its_event_first",
            "test_list_control: test_a_card_is_logged_with_the_time_it_was_opened",
        ),
    ),
    "HF17": Rule(
        "running through is shown to the lead as a neutral note",
        "quick stop answers, readings alike dive after dive, items that never fail: told, never a stop",
        (
            "test_pace: test_many_stop_items_within_two_seconds_are_told",
            "test_pace: test_three_dives_running_are_told",
            "test_pace: test_an_item_that_never_fails_and_takes_a_second_is_asked_whether_it_earns_its_place",
            "test_pace: test_it_stands_beside_the_dive_and_stops_nothing",
            "test_pace: test_the_note_is_neutral",
        ),
        is_partly_met=True,
    ),
    "HF18": Rule(
        "lists have revision, reason and approver; a change is proposed from any item",
        "lists are files under git, every answer names the revision; proposals stand in the list's history",
        (
            "test_list_control: test_the_history_of_the_list_shows_it",
            "test_list_control: test_the_dive_keeps_the_exact_revision_of_the_list",
            "test_checks_commands: test_a_proposal_is_shown_by_the_history_of_its_list",
        ),
        is_partly_met=True,
    ),
}


@cache
def names_by_file() -> dict[str, frozenset[str]]:
    """The names of the tests of each test file, by the file's stem."""
    found: dict[str, frozenset[str]] = {}
    for path in TESTS.rglob("test_*.py"):
        tree = ast.parse(path.read_text(encoding="utf-8"))
        names = {
            node.name
            for node in ast.walk(tree)
            if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef) and node.name.startswith("test_")
        }
        found[path.stem] = found.get(path.stem, frozenset()) | names
    return found


def left_to_people() -> str:
    """The section of DEVELOPERS.md on what is not met."""
    text = (TESTS.parent / "DEVELOPERS.md").read_text(encoding="utf-8")
    assert NOT_MET in text
    return text.partition(NOT_MET)[2].partition("\n## ")[0]


def test_there_are_eighteen_rules_and_each_says_how_it_is_met():
    assert list(RULES) == [f"HF{n}" for n in range(1, 19)]
    assert all(rule.says and rule.met and rule.shown_by for rule in RULES.values())


@pytest.mark.parametrize("rule", RULES)
def test_the_tests_that_show_a_rule_exist_by_name(rule):
    for shown in RULES[rule].shown_by:
        file, name = shown.split(": ")
        assert name in names_by_file().get(file, frozenset()), shown


def test_what_is_left_to_people_is_written_down_and_nothing_else():
    text = left_to_people()
    named = {rule for rule in RULES if f"**{rule}," in text}
    assert named == {rule for rule, one in RULES.items() if one.is_partly_met}


def test_each_list_states_its_style_and_groups_that_differ_theirs(all_lists):
    do_lists = {c.checklist for c in all_lists if c.style == "do-list"}
    assert do_lists == {"bench", "after-fault", "periodic", "emergency"}
    other = {s.section for c in all_lists for s in c.sections if s.style is not None and s.style != c.style}
    assert other == {"housing", "thrusters"}


def test_what_is_looked_at_is_also_touched(all_lists):
    seen = [
        i
        for c in all_lists
        if c.phase not in ("emergency", "periodic", "after-fault")
        for i in c.items()
        if i.kind in ("confirm", "measure", "function-test") and i.stops == "always"
    ]
    assert len(seen) > 30
    assert [i.item for i in seen if not i.touch] == []


def test_groups_are_small(all_lists):
    sizes = {s.section: len(s.items) for c in all_lists for s in c.sections}
    assert max(sizes.values()) <= 10
    assert {name for name, size in sizes.items() if size > 9} == {"thrusters"}


def test_everything_cold_comes_before_power(all_lists):
    pre_dive = next(c for c in all_lists if c.phase == "pre-dive")
    order = [s.section for s in pre_dive.sections]
    cold = ["people", "supply", "housing", "tether", "connectors", "buoyancy"]
    assert order == [*cold, "power", "setup", "thrusters", "camera", "emergency", "last-look"]


def test_what_always_stops_stands_early_in_its_group(all_lists):
    pre_dive = next(c for c in all_lists if c.phase == "pre-dive")
    late = []
    for section in pre_dive.sections:
        places = [n for n, i in enumerate(section.items) if i.stops == "always" and i.kind != "release"]
        if places and places[0] > 2:
            late.append(section.section)
    # The seal plug can only be seen once the vacuum is let out: there the order of the work is the rule.
    assert late == ["housing"]


def test_the_last_look_repeats_what_late_news_can_upset(all_lists):
    pre_dive = next(c for c in all_lists if c.phase == "pre-dive")
    last = pre_dive.sections[-1]
    assert [i.repeats for i in last.items if i.repeats] == [
        "swimmers",
        "fuse",
        "vacuum-port",
        "setup-readback",
        "stop-control",
    ]
    assert {i.valid_for for i in last.items} == {("5 min",)}


def test_every_group_has_its_completion_call(all_lists):
    without = [s.section for c in all_lists for s in c.sections if not s.completion]
    assert without == ["cards"]
