"""A checklist as values: sections of items, what each asks for, and the limits its answers are held to."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Literal

from rovlog.values import dataclass

PHASES = (
    "bench",
    "pre-dive",
    "launch",
    "recovery",
    "post-dive",
    "after-fault",
    "periodic",
    "emergency",
)
"""The phases of the work, in the order of a day."""

KINDS = ("confirm", "choose", "measure", "computed", "readback", "function-test", "release")
VALID_WORDS = ("dive", "setup", "day", "until-voided", "now")
"""What `valid_for` may say besides a duration."""

Value = float | str | bool
"""A value that was answered or that a limit is made of."""

Stops = Literal["always", "unless-waived", "no"]
Witness = Literal["none", "concurrent", "blind"]
Style = Literal["challenge-response", "do-list"]


@dataclass(frozen=True, slots=True)
class Reference:
    """Where a value comes from: written down, a pointer into the resolved configuration, or a
    computed quantity by its name. Exactly one of the three is set."""

    value: Value | None = None
    pointer: str = ""
    computed: str = ""


@dataclass(frozen=True, slots=True)
class Limit:
    """What an answer has to keep to; every part that is set has to hold.

    `middle` with `share` (of the middle) or `by` (in the unit of the value) is a band about it.
    """

    at_least: Reference | None = None
    at_most: Reference | None = None
    equals: Reference | None = None
    middle: Reference | None = None
    share: Reference | None = None
    by: Reference | None = None
    origin: str = ""


@dataclass(frozen=True, slots=True)
class Ask:
    """One value an item asks for. `unit` is empty for counts and text; `label` says it in words.

    `proposed` is what the program offers; a person accepts it, it is never shown as seen. `varies` is
    True for an instrument's reading that is never quite the same twice.
    """

    value: str
    unit: str = ""
    label: str = ""
    type: Literal["number", "text", "yes-no", "choice"] = "number"
    options: tuple[str, ...] = ()
    limit: Limit | None = None
    proposed: Reference | None = None
    is_optional: bool = False
    varies: bool = False

    @property
    def words(self) -> str:
        """The value in words, for a person."""
        return self.label or self.value.replace("_", " ")


@dataclass(frozen=True, slots=True)
class Caution:
    """A caution shown before the step. The signal words have the meanings of ANSI Z535.6."""

    word: Literal["danger", "warning", "caution", "notice"]
    text: str


@dataclass(frozen=True, slots=True)
class Condition:
    """When an item applies: the configuration has `value` at `pointer` (`*` stands for any name),
    or a fault with this `symptom` is open."""

    pointer: str = ""
    value: Value | None = None
    symptom: str = ""


@dataclass(frozen=True, slots=True)
class Timer:
    """A timer that can be started from an item, such as the settling before a vacuum hold."""

    timer: str
    duration_s: float


@dataclass(frozen=True, slots=True)
class Item:
    """One item of a checklist. `checklist` and `section` say where it stands.

    `by` holds roles (or "all"), in the order they act. A choose item has its choice as the ask
    named "choice". `parts` are what it names: a fault on one of them voids its answer. `marks` is the
    moment of the dive that a passed answer states ("" for none). `housing` is the one it is of, where a
    vehicle has several and the item is asked for each ("" else). `reopens` are the ids, as the list has
    them, of items that a new answer of this one reopens. `reads_out` names what the program tells for
    it ("" for nothing); `none_while_zero` the values it counts that have to be 0 for the choice none.
    """

    item: str
    checklist: str
    section: str
    challenge: str
    response: str
    kind: str
    by: tuple[str, ...]
    code: str = ""
    witness: Witness = "none"
    stops: Stops = "no"
    valid_for: tuple[str, ...] = ("dive",)
    voided_by: tuple[str, ...] = ()
    applies_when: Condition | None = None
    asks: tuple[Ask, ...] = ()
    why: str = ""
    touch: str = ""
    source: str = ""
    caution: Caution | None = None
    parts: tuple[str, ...] = ()
    timers: tuple[Timer, ...] = ()
    actions: tuple[str, ...] = ()
    then: tuple[str, ...] = ()
    repeats: str = ""
    marks: str = ""
    housing: str = ""
    reopens: tuple[str, ...] = ()
    reads_out: str = ""
    none_while_zero: tuple[str, ...] = ()

    @property
    def name(self) -> str:
        """As a crew calls it, code and challenge: "B2 Main fuse"."""
        return f"{self.code} {self.challenge}".strip()

    def ask(self, value: str) -> Ask | None:
        """The ask of this name, or None."""
        return next((a for a in self.asks if a.value == value), None)


NAMED_IN_FULL = 3
"""Items that a sentence names by code and challenge; of a longer row the rest goes by code alone."""


def names_of(items: Sequence[Item]) -> str:
    """Items as a sentence names them: "B2 Main fuse; B7 Main switch; C6 Vacuum port; C7, D1"."""
    first, rest = items[:NAMED_IN_FULL], items[NAMED_IN_FULL:]
    said = [i.name for i in first]
    if rest:
        said.append(", ".join(i.code or i.challenge for i in rest))
    return "; ".join(said)


@dataclass(frozen=True, slots=True)
class Section:
    """A group tied to one place or system, with its completion call."""

    section: str
    title: str
    items: tuple[Item, ...]
    code: str = ""
    completion: str = ""
    hold_point: str = ""
    style: Style | None = None


@dataclass(frozen=True, slots=True)
class Checklist:
    """One revision of one list. `applies_to` holds vehicle ids; empty means all."""

    checklist: str
    title: str
    phase: str
    style: Style
    revision: int
    sections: tuple[Section, ...]
    reason: str = ""
    approved_by: str = ""
    at: str = ""
    applies_to: tuple[str, ...] = ()

    def items(self) -> Iterator[Item]:
        """All items in the order of the work."""
        for section in self.sections:
            yield from section.items

    def is_for(self, vehicle: str) -> bool:
        """True if the list is used with this vehicle."""
        return not self.applies_to or vehicle in self.applies_to
