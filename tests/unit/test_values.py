"""Values declared by `rovlog.values` behave as the standard library's, and nothing is compiled too early."""

from __future__ import annotations

import copy
import dataclasses
import pickle
from collections.abc import Callable, Mapping
from types import SimpleNamespace
from typing import Any

import pytest

from rovlog import values


def classes(source: Any) -> SimpleNamespace:
    """The same classes declared by either: the standard library's `dataclasses`, or ours."""
    dataclass, field = source.dataclass, source.field

    @dataclass(frozen=True, slots=True, order=True)
    class Place:
        file: str
        line: int = 1

    @dataclass(frozen=True, slots=True)
    class One:
        only: float

    @dataclass(frozen=True, slots=True)
    class Whole:
        """Its own words."""

        place: Place
        rows: tuple[Place, ...] = ()
        kept: Mapping[str, Any] = field(default_factory=dict)
        secret: str = field(default="unsaid", repr=False)

        @property
        def count(self) -> int:
            """How many rows."""
            return len(self.rows)

    @dataclass(frozen=True, slots=True)
    class Further(Place):
        column: int = 0

    @dataclass(slots=True)
    class Open:
        name: str
        seen: list[str] = field(default_factory=list)

        def __post_init__(self) -> None:
            self.name = self.name.strip()

    return SimpleNamespace(Place=Place, One=One, Whole=Whole, Further=Further, Open=Open, source=source)


OURS, STANDARD = classes(values), classes(dataclasses)


def outcome(act: Callable[[Any], Any], given: Any) -> Any:
    """What comes of it: a result in words, or the kind of its failure."""
    try:
        return repr(act(given))
    except (TypeError, AttributeError) as error:
        return type(error).__name__


@pytest.mark.parametrize(
    "act",
    [
        lambda c: c.Place("a"),
        lambda c: c.Place("a", line=3),
        lambda c: c.Place(file="a", line=3),
        lambda c: c.Place(),
        lambda c: c.Place("a", 1, 2),
        lambda c: c.Place("a", other=2),
        lambda c: c.Whole(c.Place("a"), secret="x"),
        lambda c: c.Whole(c.Place("a")).secret,
        lambda c: c.Whole(c.Place("a"), (c.Place("b"),)).count,
        lambda c: c.Whole.__doc__,
        lambda c: c.Further("a", 2, 3),
        lambda c: c.Further("a", 2, 3) == c.Place("a", 2),
        lambda c: isinstance(c.Further("a"), c.Place),
        lambda c: c.Open("  a "),
        lambda c: c.Place("a") == c.Place("a", 1),
        lambda c: c.Place("a") != c.Place("a", 1),
        lambda c: c.Place("a") == ("a", 1),
        lambda c: hash(c.Place("a")) == hash(c.Place("a", 1)),
        lambda c: hash(c.One(2.0)) == hash(c.One(2)),
        lambda c: c.One(float("nan")) == c.One(float("nan")),
        lambda c: hash(c.Open("a")),
        lambda c: sorted([c.Place("b"), c.Place("a", 2), c.Place("a")]),
        lambda c: [c.Place("a") <= c.Place("a"), c.Place("a") > c.Place("b"), c.Place("b") >= c.Place("a")],
        lambda c: c.Place("a") < 3,
        lambda c: c.One(1.0) < c.One(2.0),
        lambda c: c.source.replace(c.Place("a", 2), line=7),
        lambda c: c.source.replace(c.Place("a", 2), lines=7),
        lambda c: c.source.asdict(c.Whole(c.Place("a"), (c.Place("b"),), {"x": [c.One(1.0)]})),
        lambda c: setattr(c.Place("a"), "line", 2),
        lambda c: delattr(c.Place("a"), "line"),
        lambda c: setattr(c.Open("a"), "more", 2),
        lambda c: copy.deepcopy(c.Whole(c.Place("a"), kept={"x": 1})),
        lambda c: copy.copy(c.Place("a", 4)),
        lambda c: c.Place.__match_args__,
        lambda c: c.Place.__slots__,
        lambda c: [(f.name, f.repr) for f in dataclasses.fields(c.Whole)],
        lambda c: dataclasses.replace(c.Place("a"), line=9),
        lambda c: dataclasses.is_dataclass(c.Place),
    ],
)  # fmt: skip
def test_a_value_behaves_as_the_standard_librarys(act: Callable[[Any], Any]) -> None:
    assert outcome(act, OURS) == outcome(act, STANDARD)


@values.dataclass(frozen=True, slots=True)
class Sent:
    """At the module's top, so that it can be found again."""

    words: tuple[str, ...]


def test_a_value_survives_being_sent_to_another_process() -> None:
    assert pickle.loads(pickle.dumps(Sent(("a", "b")))) == Sent(("a", "b"))


def test_two_objects_never_share_a_made_default() -> None:
    first, second = OURS.Open("a"), OURS.Open("b")
    first.seen.append("x")
    assert second.seen == []


def test_a_default_that_all_objects_would_share_is_refused() -> None:
    with pytest.raises(ValueError, match="share this default"):

        @values.dataclass(slots=True)
        class Shared:
            rows: list[str] = []  # noqa: RUF012 - what is being refused


def test_a_constructor_is_compiled_when_the_first_object_is_made_and_not_before() -> None:
    @values.dataclass(frozen=True, slots=True)
    class Late:
        a: int

    before = Late.__init__.__code__.co_filename
    assert Late(1) == Late(a=1)
    after = Late.__init__.__code__.co_filename
    assert before.endswith("values.py")
    assert after == "<string>"
