"""The strip of two lines that never leaves: whose vehicle, what is approved, what stops the dive."""

from __future__ import annotations

from datetime import datetime

from rich.cells import cell_len
from rich.text import Text

from rovlog.domain.checks.stops import stop_words
from rovlog.domain.dive import ROLES
from rovlog.faces.reports.dive_text import water_line
from rovlog.faces.reports.plain import clean
from rovlog.faces.screens.desk import InHand
from rovlog.faces.screens.drawing import Pen, fitted
from rovlog.faces.screens.marks import border, spread
from rovlog.faces.screens.text_rows import TextRows
from rovlog.values import dataclass

NARROW = 60


@dataclass(frozen=True, slots=True)
class Offer:
    """Something the strip offers until it is done: an emergency card to be logged."""

    words: str


class StripWidget(TextRows):
    """The strip. It is drawn from what is in hand, who answers, and what is offered."""

    DEFAULT_CSS = "StripWidget { height: 2; }"

    def __init__(self) -> None:
        super().__init__()
        self.hand: InHand | None = None
        self.answering = ""
        self.offer: Offer | None = None
        self.note = ""

    def show(self, hand: InHand, answering: str, offer: Offer | None, note: str = "") -> None:
        """Draw anew; a note behind the name tells that another person than usual answers."""
        is_same = hand is self.hand  # every look makes a new one; to compare all of a dive costs more
        if not is_same or (answering, offer, note) != (self.answering, self.offer, self.note):
            self.hand, self.answering, self.offer, self.note = hand, answering, offer, note
            self.draw()

    def rows(self, width: int, pen: Pen) -> tuple[Text, Text]:
        """Both lines for the width there is."""
        return strip_lines(self.hand, self.answering, self.offer, width, pen, self.note)


def strip_lines(
    hand: InHand | None, answering: str, offer: Offer | None, width: int, pen: Pen, note: str = ""
) -> tuple[Text, Text]:
    """The two lines, with what does not fit said shorter."""
    if hand is None:
        return pen.line(("opening the logbook …", "strong")), pen.line("")
    name = clean(hand.vehicle_name or "no vehicle")
    large = spread(name, width // 4 if width >= NARROW else width // 3)
    block = f" {large} "
    room = width - cell_len(block) - 1
    stops = _stop_forms(hand)
    is_held = hand.state is not None and (hand.state.stops or hand.state.quarantine is not None)
    style = "stop" if is_held else "clear"
    if hand.state is None or (hand.state.record.kind != "dive" and hand.state.quarantine is None):
        style = "quiet"
    rest = fitted([stops, _baseline_forms(hand), _box_forms(hand)], room - 3)
    head = pen.line((block, "name"), " ")
    middle = "  ".join(rest[1:])
    if middle:
        head.append_text(pen.line((middle, "strong")))
    first = pen.beside(head, pen.line((f" {rest[0]} " if rest else "", style)), width)
    mark = border(hand.position, cell_len(block))
    forms = [
        [f"answers: {clean(hand.name_of(answering))}{f' ({note})' if note else ''}"] if answering else [""],
        _place_forms(hand),
        _crew_forms(hand),
        _count_forms(hand),
    ]
    words = fitted([f for f in forms if f[0]], room - 1)
    second = pen.line((mark, "rule"), " ")
    if offer is not None:
        offered = fitted([[offer.words, offer.words.partition(",")[0]]], room - 1)
        second.append_text(pen.line((offered[0] if offered else "", "trouble")))
    else:
        for place, word in enumerate(words):
            is_who = place == 0 and bool(answering)
            style = ("caution" if note else "strong") if is_who else "quiet"
            second.append_text(pen.line((f" {word} " if is_who and note else word, style), "  "))
    second.truncate(width)
    return first, second


def _stop_forms(hand: InHand) -> list[str]:
    state = hand.state
    if state is None:
        return ["no dive in hand"]
    if state.record.is_closed:
        return ["this record is closed", "closed"]
    if state.record.kind != "dive" and state.quarantine is not None:
        since = state.quarantine.since
        return [f"in quarantine since {since[:10]} {since[11:16]}", "in quarantine"]
    if state.record.kind != "dive":
        return ["work, not a dive", "work"]
    count = len(state.stops)
    if not count:
        return [stop_words(state.stops)]
    verb = "reason stops" if count == 1 else "reasons stop"
    return [f"{count} {verb} the dive", f"{count} stop it" if count > 1 else "1 stops it"]


def _baseline_forms(hand: InHand) -> list[str]:
    if hand.drift is None:
        return ["baseline not known", "no baseline"]
    force = hand.drift.in_force
    if force.approval is None:
        return ["no baseline in force", "no baseline"]
    departs = force.approval.digest != hand.drift.working.digest
    return [
        f"revision {force.approval.spoken}" + (", files depart" if departs else ""),
        f"r{force.approval.spoken}" + ("*" if departs else ""),
    ]


def _box_forms(hand: InHand) -> list[str]:
    drift = hand.drift
    if drift is None or drift.readback is None:
        return ["box not read", "no box"]
    ago = ago_words(drift.readback.at, hand.now)
    apart = sum("readback" in d.apart or "stored" in d.apart for d in drift.report.deviations)
    agrees = "agrees" if not apart else f"{apart} difference{'s' if apart > 1 else ''}"
    if drift.readback.stale:
        # What it held then proves nothing now, so that it agreed is not said.
        return [f"box read {ago}: stale", f"box {ago}: stale"]
    return [f"box read {ago}: {agrees}", f"box {ago}: {agrees}"]


def ago_words(at: str, now: str) -> str:
    """How long ago a time was, by the wall clock: 3 min ago."""
    try:
        minutes = (datetime.fromisoformat(now) - datetime.fromisoformat(at)).total_seconds() / 60
    except ValueError:
        return f"at {at[11:16]}"
    if minutes < -2:
        return f"at {at[11:16]}"
    if minutes < 1:
        return "just now"
    if minutes < 120:
        return f"{minutes:.0f} min ago"
    if minutes < 48 * 60:
        return f"{minutes / 60:.0f} h ago"
    return f"{minutes / 1440:.0f} d ago"


def _place_forms(hand: InHand) -> list[str]:
    if hand.state is None:
        return [clean(hand.title)]
    place, water = clean(hand.state.site), water_line(hand.state)
    return [f"{place}, {water}" if place and water else place or water, place]


def _crew_forms(hand: InHand) -> list[str]:
    if hand.state is None:
        return [""]
    crew = hand.state.crew
    said = [f"{role} {clean(hand.name_of(crew[role]))}" for role in ("pilot", "tender") if role in crew]
    firsts = [f"{role} {clean(hand.name_of(crew[role])).split(' ')[0]}" for role in ROLES if role in crew]
    return ["  ".join(said), "  ".join(firsts[:3]), "  ".join(firsts[1:2])]


def _count_forms(hand: InHand) -> list[str]:
    state = hand.state
    if state is None:
        return [""]
    which = f"{state.record.kind} {state.number}"
    count = len(hand.opened)
    if count > 1:
        ids = [o.id for o in hand.opened]
        place = ids.index(state.record.id) + 1 if state.record.id in ids else 0
        of = f"{place} of {count} in hand" if place else f"{count} open"
        return [f"{which}, {of}", which]
    return [which]
