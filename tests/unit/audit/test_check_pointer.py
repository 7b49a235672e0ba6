"""A pointer that no configuration of the vehicle could have is refused, with the nearest one."""

from __future__ import annotations

import pytest
from poolside import Poolside

from rovlog.problems import UsageError
from rovlog.usecases.audit_questions import dives_that_flew, follow_field

SLIPS = [
    ("electrical/fuse", "is no pointer", "begin with /"),
    ("/electrical/fu~se", "is no pointer", "begin with /"),
    ("", "the whole configuration", "name one place"),
    ("/electrical/fuse/rating", "has anything at", "did you mean /electrical/fuse/rating_a?"),
    ("/electrcal/fuse/rating_a", "has anything at", "did you mean /electrical/fuse/rating_a?"),
    ("/trim_defaults/heaf", "has anything at", "did you mean /trim_defaults/heave?"),
    ("/limits/lift_kg_eech", "has anything at", "did you mean /limits/lift_kg_each?"),
    ("/power_limit/heave", "has anything at", "a configuration has:"),
    ("/hull/mass_kg/x", "has anything at", "/hull/mass_kg has nothing inside"),
    ("/housings/barel/depth_rating_m", "has anything at", "did you mean /housings/barrel/depth_rating_m?"),
]


@pytest.fixture(scope="module")
def pool() -> Poolside:
    """One dive of a vehicle that had a closures limit once."""
    pool = Poolside()
    pool.change("/limits/closures", 4)
    pool.approve("closures counted")
    pool.change("/limits", {})
    pool.approve("not counted any more")
    return pool.dive()


@pytest.mark.parametrize(("pointer", "says", "mend"), SLIPS, ids=[s[0] or "empty" for s in SLIPS])
@pytest.mark.parametrize("ask", [follow_field, dives_that_flew])
def test_a_slip_is_refused_with_the_nearest_pointer(pool, ask, pointer, says, mend):
    with pytest.raises(UsageError, match=says) as told:
        ask(pool.logbook, "puffin", pointer)
    assert mend in str(told.value.mend)


@pytest.mark.parametrize("ask", [follow_field, dives_that_flew])
@pytest.mark.parametrize(
    "pointer",
    [
        "/power_limit",
        "/trim_defaults/yaw",
        "/electrical/supply/chemistry",
        "/limits/lift_kg_each",
        "/limits/closures",
        "/housings/barrel",
        "/steering_scheme/controls",
    ],
)
def test_what_a_file_may_have_is_followed_though_this_one_has_it_not(pool, ask, pointer):
    assert ask(pool.logbook, "puffin", pointer) is not None


def test_what_stood_there_once_is_still_found(pool):
    assert 4 in [row.value for row in follow_field(pool.logbook, "puffin", "/limits/closures")]
