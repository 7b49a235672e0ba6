"""Random histories against a second, naive reading of the rules, written without the fold."""

from __future__ import annotations

from datetime import timedelta

import hypothesis.strategies as st
from hypothesis import settings
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, precondition, rule

from rovlog.domain.checks.state import states_of
from rovlog.domain.checks.stops import what_stops
from rovlog.domain.dive import VOID_EVENTS

EVENTS = ("housing-opened", "fuse-changed", "knocked", "tether-changed")
ITEMS = {
    "hatch": {"valid_for": "until-voided", "voided_by": ["housing-opened", "knocked"], "reopens": ["rating"]},
    "link": {"valid_for": "30 min", "voided_by": ["fuse-changed"], "stops": "unless-waived"},
    "rope": {"valid_for": "dive", "voided_by": ["tether-changed"]},
    "cells": {"valid_for": "day", "voided_by": [], "stops": "no", "reopens": ["rope", "hatch"]},
    "rating": {
        "valid_for": "until-voided",
        "voided_by": ["fuse-changed", "fault"],
        "witness": "blind",
        "asks": [{"value": "rating", "unit": "A"}],
    },
}
PEOPLE = ("piet", "ruth", "otto")


class Histories(RuleBasedStateMachine):
    """Writes a diary entry by entry, and a plain list of facts (what, item, person, value, dive, time)."""

    make_list = make_diary = None  # set by the test, from the fixtures

    @initialize()
    def begin(self):
        items = [{"item": name, **fields} for name, fields in ITEMS.items()]
        self.diary = type(self).make_diary(type(self).make_list(*items))
        self.facts = []
        self.dive = 0
        self.next_dive()

    @rule()
    def next_dive(self):
        self.dive += 1
        self.diary.start(f"d{self.dive}")

    @rule(item=st.sampled_from(list(ITEMS)), by=st.sampled_from(PEOPLE), amps=st.sampled_from((15, 20)),
          second=st.booleans(), passes=st.booleans())  # fmt: skip
    def answer(self, item, by, amps, second, passes):
        second = second and item == "rating"
        values = {"rating": amps} if item == "rating" else {}
        self.diary.tick(item, by, second, "pass" if passes else "fail", **values)
        self.facts.append(("answer", item, by, (second, passes, amps), self.dive, self.diary.clock))

    @rule(event=st.sampled_from(EVENTS))
    def happen(self, event):
        self.diary.add("event", "otto", event=event)
        self.facts.append(("event", event, "otto", None, self.dive, self.diary.clock))

    @rule()
    def fail(self):
        self.diary.add("fault", "otto", symptom="rises")
        self.facts.append(("event", "fault", "otto", None, self.dive, self.diary.clock))

    @rule(minutes=st.sampled_from((1, 29, 31, 400)))
    def wait(self, minutes):
        self.diary.wait(minutes=minutes)

    @precondition(lambda self: self.facts)
    @invariant()
    def states_are_those_of_the_naive_reading(self):
        states = states_of(self.diary.fold(), {})
        for item in ITEMS:
            assert states[item].state == self.naive(item), (item, self.facts)
        stopping = {s.id for s in what_stops(self.diary.lists, states)}
        for item, fields in ITEMS.items():
            is_open = self.naive(item) != "answered"
            assert (item in stopping) == (is_open and fields.get("stops") != "no")

    def naive(self, item):
        """The answers that no later event touched, the last round of them, then its age."""
        fields = ITEMS[item]
        pieces = [[]]  # answers between the events that void them
        for fact in self.facts:
            is_event = fact[0] == "event" and fact[1] in fields["voided_by"]
            if is_event or (fact[0] == "answer" and item in ITEMS[fact[1]].get("reopens", ())):
                pieces.append([])
            elif fact[0] == "answer" and fact[1] == item:
                pieces[-1].append(fact)
        after = pieces.pop()
        before = next((piece for piece in reversed(pieces) if piece), [])
        rounds = self.rounds(after)
        if not rounds or rounds[-1][0] is None:
            return self.without_first(fields, before, rounds)
        first, second = rounds[-1]
        if fields["valid_for"] == "dive" and first[4] != self.dive:
            return "open"
        now = self.diary.clock
        if fields["valid_for"] == "30 min" and now > first[5] + timedelta(minutes=30):
            return "expired"
        if fields["valid_for"] == "day" and now.date() != first[5].date():
            return "expired"
        if not first[3][1]:
            return "failed"
        if item != "rating":
            return "answered"
        if second is None or second[2] == first[2]:
            return "open"
        return "answered" if second[3] == (True, first[3][1], first[3][2]) else "failed"

    @staticmethod
    def rounds(answers):
        """Answers in rounds of a first and a second; a further first replaces one that still waits."""
        rounds = []
        for answer in answers:
            is_second = answer[3][0]
            last = rounds[-1] if rounds else None
            if is_second:
                if last is None or last[1] is not None:
                    rounds.append([None, answer])
                else:
                    last[1] = answer
            elif last is None or last[0] is not None:
                rounds.append([answer, None])
            else:
                last[0] = answer
        return rounds

    def without_first(self, fields, before, rounds):
        """No first answer since the last event: expired if there was one before, and none in between."""
        was = self.rounds(before)
        if rounds or not was or was[-1][0] is None:
            return "open"
        return "open" if fields["valid_for"] == "dive" and was[-1][0][4] != self.dive else "expired"


def test_random_histories_agree_with_a_naive_reading(make_list, make_diary):
    Histories.make_list, Histories.make_diary = staticmethod(make_list), staticmethod(make_diary)
    case = Histories.TestCase
    case.settings = settings(max_examples=80, stateful_step_count=25, deadline=None)
    case("runTest").runTest()


def test_the_events_of_the_histories_exist():
    assert set(EVENTS) <= set(VOID_EVENTS)
