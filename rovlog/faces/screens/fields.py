"""The answer of one item while it is being typed: one field for each value that is asked."""

from __future__ import annotations

from rovlog.domain.checks.checklist import Ask, Item
from rovlog.domain.checks.limits import resolve
from rovlog.usecases.dive_state import DiveState
from rovlog.usecases.vacuum_answer import READ
from rovlog.values import dataclass, field

NUMBER_KEYS = frozenset("0123456789.,-+")
LONGEST = 200
RISE = "corrected_rise"


def known_proposals(item: Item, state: DiveState) -> frozenset[str]:
    """The values of an item that the program proposes and knows; none to a blind second person."""
    waiting = state.items.get(item.item)
    if item.witness == "blind" and waiting is not None and waiting.waits_for_second:
        return frozenset()
    return frozenset(
        ask.value
        for ask in item.asks
        if ask.proposed is not None
        and resolve(ask.proposed, state.resolved, state.computed).value is not None
    )


@dataclass(slots=True)
class Fields:
    """What is typed for each ask of an item, and which field is being typed in. Nothing is judged here.

    `known` are the values that the program proposes and can compute now: they need no typing.
    """

    item: Item
    known: frozenset[str] = frozenset()
    typed: dict[str, str] = field(default_factory=dict)
    here: int = 0

    def __post_init__(self) -> None:
        """Begin in the first field that has to be typed in."""
        self.here = next((i for i, ask in enumerate(self.asks) if self.needs(ask)), 0)

    @property
    def asks(self) -> tuple[Ask, ...]:
        """The values asked for."""
        return self.item.asks

    @property
    def ask(self) -> Ask | None:
        """The field being typed in; None where the item asks for no value."""
        return self.asks[self.here] if self.asks else None

    @property
    def takes_numbers(self) -> bool:
        """True while digits go into a field."""
        return self.ask is not None and self.ask.type == "number" and not self.ask.options

    @property
    def takes_text(self) -> bool:
        """True while the field is free text, which is written in a line of its own."""
        return self.ask is not None and self.ask.type == "text"

    @property
    def options(self) -> tuple[str, ...]:
        """What may be chosen in this field, by number."""
        if self.ask is None:
            return ()
        if self.ask.type == "yes-no":
            return ("yes", "no")
        return self.ask.options

    def put(self, text: str) -> None:
        """Type into the field, replacing nothing."""
        if self.ask is not None:
            self.typed[self.ask.value] = (self.typed.get(self.ask.value, "") + text)[:LONGEST]

    def write(self, text: str) -> None:
        """Set the whole field."""
        if self.ask is not None:
            self.typed[self.ask.value] = text[:LONGEST]

    def clear(self) -> None:
        """Empty the field."""
        self.write("")

    def take_back(self) -> None:
        """Take back the last character."""
        if self.ask is not None:
            self.typed[self.ask.value] = self.typed.get(self.ask.value, "")[:-1]

    def choose(self, number: int) -> bool:
        """Choose the option of this number, counted from 1; False where there is none."""
        if not 1 <= number <= len(self.options):
            return False
        self.write(self.options[number - 1])
        return True

    def choose_beside(self, by: int) -> None:
        """Choose the option beside the chosen one."""
        options = self.options
        if options and self.ask is not None:
            now = self.typed.get(self.ask.value, "")
            at = options.index(now) + by if now in options else (0 if by > 0 else -1)
            self.write(options[at % len(options)])

    def to_next(self, is_enter: bool) -> bool:
        """Go to the next field: enter stops at each, a digit that chose not at what may be left out."""
        for number in range(self.here + 1, len(self.asks)):
            if is_enter or not self.asks[number].is_optional:
                self.here = number
                return True
        return False

    def to_gap(self) -> bool:
        """Go to the first field that still needs something typed; False where there is none."""
        gap = next((i for i, ask in enumerate(self.asks) if self.needs(ask)), None)
        if gap is not None:
            self.here = gap
        return gap is not None

    def comes_of_readings(self, ask: Ask) -> bool:
        """True for a corrected rise whose readings are typed: it is computed from them when it is kept."""
        return ask.value == RISE and all(self.typed.get(name, "").strip() for name in READ)

    def needs(self, ask: Ask) -> bool:
        """True if a field is asked for, empty, and nothing that is known is proposed for it."""
        is_typed = bool(self.typed.get(ask.value, "").strip())
        is_given = is_typed or ask.is_optional or ask.value in self.known
        return not is_given and not self.comes_of_readings(ask)

    def move(self, by: int) -> None:
        """Go to the field beside this one, round and round."""
        if self.asks:
            self.here = (self.here + by) % len(self.asks)

    def values(self) -> dict[str, str]:
        """What was typed, empty fields left out."""
        return {k: v for k, v in self.typed.items() if v.strip()}
