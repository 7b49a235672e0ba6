"""A setup as a box or a pilot gives it, in words."""

from __future__ import annotations

from rovlog.domain.drift.words import value_words


def test_a_box_without_any_trim_has_none_and_is_not_empty():
    read = {"steering_scheme": 1, "trim": {}, "power_limit": 1.0}
    assert value_words("", read) == "steering_scheme 1, trim none, power_limit 1"
    assert value_words("", {"trim": {"heave": 0.1}}) == "trim heave 0.1"
