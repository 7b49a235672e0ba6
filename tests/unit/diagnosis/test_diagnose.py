"""The diagnosis of whole vehicles: against brute force, and what people need from it."""

from dataclasses import replace
from itertools import combinations
from math import prod

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from planted_faults import what_happens
from vehicles import configuration_of, puffin

from rovlog.domain.allocation.response import response_to_sticks
from rovlog.domain.diagnosis.diagnose import DiagnosisSettings, diagnose
from rovlog.domain.diagnosis.edits import OTHER, Edit, Priors, explanations, single_edits
from rovlog.domain.diagnosis.observation import observation
from rovlog.domain.diagnosis.pushes import considered_pushes
from rovlog.domain.vehicle import ControlEntry, SteeringScheme, Thruster, ThrusterMap
from rovlog.problems import OutOfRangeError, UsageError

PUFFIN = configuration_of(puffin())


def other_tables(configuration=PUFFIN):
    """A box with a second scheme (yaw and sway change places) and a second map (surge on two thrusters)."""
    place = {"left-stick-x": "right-stick-x", "right-stick-x": "left-stick-x"}
    entries = tuple(
        replace(e, control=place.get(e.control, e.control)) for e in configuration.steering_scheme.entries
    )
    shares = {**configuration.thruster_map.shares, "surge": {3: 1.0, 4: 1.0}}
    return (
        {2: configuration.steering_scheme, 9: SteeringScheme(entries)},
        {5: configuration.thruster_map, 8: ThrusterMap(shares, "scale")},
    )


def seen_with(edits, push, configuration=PUFFIN, **unseen):
    schemes, maps = other_tables()
    return observation(
        configuration, push, {**what_happens(configuration, schemes, maps, edits, push), **unseen}
    )


def small(trim, saturated):
    """Two thrusters on two channels, one more scheme and one more map; quick enough for brute force."""
    thrusters = (
        Thruster("port", "heron-50", 1, 1, (0.0, -0.1, 0.0), (1.0, 0.0, 0.0)),
        Thruster("starboard", "heron-50", 3, -1, (0.0, 0.1, 0.0), (1.0, 0.0, 0.0)),
    )
    shares = {"surge": {1: 1.0, 3: 0.5}, "yaw": {1: 1.0, 3: -1.0}}
    scheme = SteeringScheme(
        (
            ControlEntry("left-stick-y", "surge", 0.8, 0.1, 0.5, True),
            ControlEntry("right-stick-x", "yaw"),
            ControlEntry("right-stick-x", "channel-3", 0.3),
        )
    )
    other = SteeringScheme((ControlEntry("left-stick-y", "yaw"), ControlEntry("left-front-top", "surge")))
    configuration = replace(
        PUFFIN,
        thrusters=thrusters,
        trim_defaults=trim,
        steering_scheme=scheme,
        thruster_map=ThrusterMap(shares, saturated),
    )
    return (
        configuration,
        {2: scheme, 4: other},
        {5: configuration.thruster_map, 6: ThrusterMap({"surge": {1: -1.0}}, "clip")},
    )


@settings(max_examples=25)
@given(
    st.sampled_from([{}, {"surge": 0.1}, {"yaw": -0.3}]),
    st.sampled_from(["clip", "scale"]),
    st.lists(
        st.tuples(
            st.dictionaries(
                st.sampled_from(["left-stick-y", "right-stick-x", "left-front-top"]),
                st.sampled_from([-1.0, -0.4, 0.25, 1.0]),
                min_size=1,
            ),
            st.sampled_from(["ahead", "astern", "still", "unseen"]),
            st.sampled_from(["ahead", "astern", "still", "unseen"]),
        ),
        max_size=4,
    ),
)
def test_posteriors_are_those_of_brute_force(trim, saturated, rows):
    configuration, schemes, maps = small(trim, saturated)
    rows = [({c: abs(v) if c == "left-front-top" else v for c, v in push.items()}, *s) for push, *s in rows]
    seen = [observation(configuration, push, {"port": a, "starboard": b}) for push, a, b in rows]
    found = diagnose(configuration, schemes, maps, seen)
    every, priors = explanations(single_edits(configuration, schemes, maps), Priors())
    joint = {OTHER: 0.02 * prod(3.0 ** -sum(w != "unseen" for _, w in o.seen) for o in seen)}
    for edits, prior in zip(every, priors, strict=True):
        joint[edits] = prior
        for push, a, b in rows:
            words = what_happens(configuration, schemes, maps, edits, push)
            for thruster, word in (("port", a), ("starboard", b)):
                if word != "unseen":
                    joint[edits] *= 0.97 if words[thruster] == word else 0.015
    total = sum(joint.values())
    for ranked in found.ranked:
        members = [ranked.edits, *ranked.same_as]
        assert ranked.posterior == pytest.approx(sum(joint[e] for e in members) / total, rel=1e-9, abs=1e-15)
    assert sum(1 + len(r.same_as) for r in found.ranked) == len(every) + 1


@pytest.mark.parametrize("trim", [{}, {"surge": 0.1}])
def test_groups_are_exactly_what_no_considered_push_tells_apart(trim):
    configuration, schemes, maps = small(trim, "clip")
    found = diagnose(configuration, schemes, maps, [])
    pushes = considered_pushes(("left-stick-y", "right-stick-x", "left-front-top"))
    assert len(pushes) == 2 + 2 + 1 + 4 + 2 + 2
    shows = {}
    for ranked in found.ranked:
        if ranked.edits == OTHER:
            continue
        looks = {
            tuple(tuple(what_happens(configuration, schemes, maps, e, dict(p)).values()) for p in pushes)
            for e in (ranked.edits, *ranked.same_as)
        }
        assert len(looks) == 1
        assert shows.setdefault(looks.pop(), ranked.edits) == ranked.edits


def test_priors_sum_to_one_and_follow_the_kinds():
    schemes, maps = other_tables()
    edits = single_edits(PUFFIN, schemes, maps)
    every, priors = explanations(edits, Priors())
    assert sum(priors) == pytest.approx(0.98)
    of = dict(zip(every, priors, strict=True))
    assert of[()] == pytest.approx(0.1 * 0.98)
    assert sum(p for e, p in of.items() if len(e) == 1) == pytest.approx(0.6 * 0.98)
    assert of[(Edit("wrong-thruster-map", number=8),)] == pytest.approx(0.6 * 0.98 / 7)
    assert of[(Edit("swapped", channels=(1, 2)),)] == pytest.approx(0.6 * 0.98 / 7 / 15)


def test_swaps_that_share_a_channel_are_left_out():
    schemes, maps = other_tables()
    every, _ = explanations(single_edits(PUFFIN, schemes, maps), Priors())
    swaps = [e for e in every if len(e) == 2 and all(x.edit == "swapped" for x in e)]
    assert len(swaps) == 45  # of six channels: 15 pairs, 45 pairs of disjoint ones
    assert all(not set(a.channels) & set(b.channels) for a, b in swaps)


def test_the_swap_of_two_channels_is_found_from_two_pushes():
    schemes, maps = other_tables()
    swap = (Edit("swapped", channels=(2, 6)),)
    pushes = [{"left-stick-y": -1.0}, {"right-stick-y": 1.0}]
    found = diagnose(PUFFIN, schemes, maps, [seen_with(swap, p) for p in pushes])
    assert swap in (found.ranked[0].edits, *found.ranked[0].same_as)
    assert found.ranked[0].edits == swap
    assert found.ranked[0].posterior > 2 * found.ranked[1].posterior


def every_push():
    controls = ("left-stick-y", "left-stick-x", "right-stick-y", "right-stick-x")
    return [{c: end} for c in controls for end in (-1.0, 1.0)]


@pytest.mark.parametrize(
    "edits",
    [
        (),
        (Edit("reversed", thruster="bow-port"),),
        (Edit("still", thruster="lift-port"),),
        (Edit("swapped", channels=(1, 3)),),
        (Edit("wrong-thruster-map", number=8),),
        (Edit("wrong-steering-scheme", number=9),),
        (Edit("control-reversed", control="right-stick-x"),),
        (Edit("reversed", thruster="stern-port"), Edit("control-reversed", control="left-stick-y")),
    ],
)
def test_one_run_through_all_controls_names_what_was_planted(edits):
    schemes, maps = other_tables()
    found = diagnose(PUFFIN, schemes, maps, [seen_with(edits, p) for p in every_push()])
    first = found.ranked[0]
    assert edits in (first.edits, *first.same_as)
    assert first.posterior > 0.9
    assert not found.is_unexplained


def test_a_single_misreport_does_not_lead_astray():
    schemes, maps = other_tables()
    seen = [seen_with((), p) for p in every_push()]
    seen[0] = seen_with((), every_push()[0], **{"bow-port": "astern"})
    found = diagnose(PUFFIN, schemes, maps, seen)
    assert found.ranked[0].edits == ()
    against = found.ranked[0].evidence.speaks_against
    assert [(r.observation, r.thruster, r.seen, r.expected) for r in against] == [
        (1, "bow-port", "astern", "ahead")
    ]


def test_a_pattern_that_nothing_explains_is_said_to_be_unexplained():
    schemes, maps = other_tables()
    names = [t.thruster for t in PUFFIN.thrusters]
    words = ("ahead", "astern", "still")
    seen = [
        observation(PUFFIN, push, {n: words[(i * i + j * (i + 2)) % 3] for j, n in enumerate(names)})
        for i, push in enumerate(every_push())
    ]
    found = diagnose(PUFFIN, schemes, maps, seen)
    assert found.is_unexplained
    assert found.ranked[0].edits == OTHER


def test_an_incomplete_test_gives_a_wider_answer_and_not_a_wrong_one():
    schemes, maps = other_tables()
    planted = (Edit("reversed", thruster="bow-port"),)
    blind = {t.thruster: "unseen" for t in PUFFIN.thrusters if t.thruster != "bow-port"}
    full = diagnose(PUFFIN, schemes, maps, [seen_with(planted, p) for p in every_push()])
    part = diagnose(PUFFIN, schemes, maps, [seen_with(planted, p, **blind) for p in every_push()[:2]])
    assert full.is_certain
    assert not part.is_certain
    assert part.ranked[0].posterior < full.ranked[0].posterior
    assert any(planted in (r.edits, *r.same_as) for r in part.ranked[:6])


def test_what_speaks_for_a_fault_is_what_the_recorded_wiring_does_not_do():
    schemes, maps = other_tables()
    planted = (Edit("reversed", thruster="bow-port"),)
    found = diagnose(PUFFIN, schemes, maps, [seen_with(planted, every_push()[0])])
    evidence = found.ranked[0].evidence
    assert [(r.thruster, r.seen, r.expected) for r in evidence.speaks_for] == [
        ("bow-port", "astern", "ahead")
    ]
    assert evidence.speaks_against == ()


def test_following_the_proposals_finds_the_fault_in_few_pushes():
    schemes, maps = other_tables()
    planted = (Edit("swapped", channels=(2, 5)), Edit("reversed", thruster="stern-starboard"))
    seen = []
    for _ in range(8):
        found = diagnose(PUFFIN, schemes, maps, seen)
        if found.next_push is None:
            break
        seen.append(seen_with(planted, dict(found.next_push.push)))
    assert found.is_certain
    assert planted[::-1] in (found.ranked[0].edits, *found.ranked[0].same_as) or planted in (
        found.ranked[0].edits,
        *found.ranked[0].same_as,
    )
    assert len(seen) <= 6


def test_certainty_ends_the_proposals():
    schemes, maps = other_tables()
    seen = [seen_with((), p) for p in every_push()]
    found = diagnose(PUFFIN, schemes, maps, seen)
    assert found.is_certain
    assert found.next_push is None
    assert "certainty" in found.why_no_push
    further = diagnose(PUFFIN, schemes, maps, seen, settings=DiagnosisSettings(certainty=1.0))
    assert not further.is_certain


def test_dry_proposals_keep_within_a_third_of_command_and_two_controls():
    schemes, maps = other_tables()
    seen = []
    planted = (Edit("wrong-steering-scheme", number=9),)
    for _ in range(5):
        push = diagnose(PUFFIN, schemes, maps, seen, is_dry=True).next_push
        if push is None:
            break
        commands = response_to_sticks(PUFFIN, dict(push.push)).channels.values()
        assert max(map(abs, commands)) <= 0.3 + 1e-9
        assert all(abs(c) < 1e-12 or abs(c) >= 0.15 - 1e-9 for c in commands)
        assert push.greatest_command == pytest.approx(max(map(abs, commands)))
        assert len(push.push) <= 2
        seen.append(seen_with(planted, dict(push.push)))
    assert seen


def test_dry_proposals_keep_under_the_continuous_current():
    schemes, maps = other_tables()
    thirsty = replace(
        PUFFIN, electrical=replace(PUFFIN.electrical, fuse=replace(PUFFIN.electrical.fuse, rating_a=0.5))
    )
    found = diagnose(thirsty, schemes, maps, [], is_dry=True)
    assert found.next_push is None
    assert "dry limits" in found.why_no_push


def test_a_trim_in_the_doubtful_band_leaves_only_pushes_that_drown_it():
    schemes, maps = other_tables()
    trimmed = replace(PUFFIN, trim_defaults={"heave": 0.1})
    push = diagnose(trimmed, schemes, maps, []).next_push
    assert "right-stick-y" in dict(push.push)


class TestATrimThatHidesWhatAPushWouldShow:
    """In air a heave trim of a tenth leaves only pushes that drown it; others move the verticals little."""

    TRIMMED = replace(PUFFIN, trim_defaults={"heave": 0.1})
    PLANTED = (Edit("reversed", thruster="lift-port"),)

    def search(self, trims=None, seen=()):
        """Follow the proposals in air to their end; the observations and the last answer."""
        configuration = self.TRIMMED if trims is None else replace(PUFFIN, trim_defaults=trims)
        rows = list(seen)
        for _ in range(12):
            found = diagnose(configuration, {}, {}, rows, is_dry=True)
            if found.next_push is None:
                return rows, found
            push = dict(found.next_push.push)
            does = what_happens(configuration, {}, {}, self.PLANTED, push)
            rows.append(observation(configuration, push, does, "dry", configuration.trim_defaults))
        raise AssertionError("the proposals never end")

    def test_it_says_which_thruster_moves_how_little_and_not_that_only_opening_will_tell(self):
        rows, found = self.search()
        assert rows
        assert not found.is_certain
        assert "lift-port and lift-starboard by only 10 % of command with this trim" in found.why_no_push
        assert "put the trim to zero first" in found.why_no_push
        assert "opening" not in found.why_no_push

    def test_with_the_trim_at_zero_the_push_it_names_is_clear_and_settles_it(self):
        rows, found = self.search()
        level = replace(PUFFIN, trim_defaults={})
        commands = response_to_sticks(level, dict(found.at_zero_trim.push)).channels.values()
        assert all(abs(c) < 1e-12 or 0.15 - 1e-9 <= abs(c) <= 0.3 + 1e-9 for c in commands)
        _, settled = self.search({}, rows)
        assert settled.is_certain
        assert settled.ranked[0].edits == self.PLANTED

    def test_opening_the_wiring_is_left_where_no_push_tells_with_or_without_the_trim(self):
        # A full stick in water: the pair of sticks drowns the trim, and every group that can be told is told.
        schemes, maps = other_tables()
        rows = []
        sure = DiagnosisSettings(certainty=1.0)
        for _ in range(40):
            found = diagnose(self.TRIMMED, schemes, maps, rows, settings=sure)
            if found.next_push is None:
                break
            push = dict(found.next_push.push)
            does = what_happens(self.TRIMMED, schemes, maps, self.PLANTED, push)
            rows.append(observation(self.TRIMMED, push, does))
        assert found.why_no_push.endswith("only opening the wiring will")
        assert found.at_zero_trim is None
        assert found.ranked[0].edits == self.PLANTED


def test_a_trim_beyond_the_limits_in_air_is_named_and_zero_is_the_way_out():
    heavy = replace(PUFFIN, trim_defaults={"heave": 0.4})
    found = diagnose(heavy, {}, {}, [], is_dry=True)
    assert found.next_push is None
    assert "within the dry limits with this trim; put the trim to zero first" in found.why_no_push
    assert found.at_zero_trim is not None


def test_nothing_is_proposed_where_every_push_is_doubtful():
    weak = {"surge": {1: 0.12, 2: 0.1}}
    one_stick = SteeringScheme((ControlEntry("left-stick-y", "surge"),))
    faint = replace(PUFFIN, thruster_map=ThrusterMap(weak, "clip"), steering_scheme=one_stick)
    found = diagnose(faint, {}, {}, [])
    assert found.next_push is None
    assert "too weak" in found.why_no_push


def test_the_same_fault_under_another_spelling_is_in_one_group():
    found = diagnose(PUFFIN, {}, {}, [])
    lone = next(r for r in found.ranked if r.edits == (Edit("still", thruster="bow-port"),))
    assert (Edit("dead", channel=1),) in lone.same_as


def test_no_order_of_observations_changes_the_answer():
    schemes, maps = other_tables()
    seen = [seen_with((Edit("still", thruster="stern-port"),), p) for p in every_push()[:5]]
    ahead, back = diagnose(PUFFIN, schemes, maps, seen), diagnose(PUFFIN, schemes, maps, seen[::-1])
    assert [r.edits for r in ahead.ranked] == [r.edits for r in back.ranked]
    assert np.allclose([r.posterior for r in ahead.ranked], [r.posterior for r in back.ranked])


def test_all_pairs_of_disjoint_edits_are_among_the_explanations():
    schemes, maps = other_tables()
    every, _ = explanations(single_edits(PUFFIN, schemes, maps), Priors())
    kinds = {frozenset(e.edit for e in pair) for pair in every if len(pair) == 2}
    names = {e.edit for one in every for e in one}
    assert {frozenset(p) for p in combinations(names, 2)} <= kinds
    assert {frozenset((n,)) for n in ("reversed", "still", "dead", "swapped", "control-reversed")} <= kinds
    assert len(every) == len(set(every))
    assert len({frozenset(e) for e in every}) == len(every)


# --- refusals --------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("push", "seen", "told"),
    [
        ({"left-stick-z": 1.0}, {}, "no control 'left-stick-z'"),
        ({"left-stick-y": 1.5}, {}, "left-stick-y is 1.5"),
        ({"left-front-top": -1.0}, {}, "left-front-top is -1"),
        ({"left-stick-y": 1.0}, {"bow-prot": "ahead"}, "no thruster 'bow-prot'"),
        ({"left-stick-y": 1.0}, {"bow-port": "forward"}, "was seen 'forward'"),
    ],
)
def test_an_observation_that_cannot_be_is_refused_by_name(push, seen, told):
    with pytest.raises(UsageError, match=told):
        observation(PUFFIN, push, seen)


@pytest.mark.parametrize("name", ["misreport", "certainty", "still_below", "doubtful_below"])
def test_settings_out_of_range_are_refused_by_name(name):
    with pytest.raises(OutOfRangeError, match=name):
        diagnose(PUFFIN, {}, {}, [], settings=DiagnosisSettings(**{name: 1.5}))


def test_a_vehicle_without_thrusters_is_refused():
    with pytest.raises(UsageError, match="no thrusters"):
        diagnose(replace(PUFFIN, thrusters=()), {}, {}, [])
