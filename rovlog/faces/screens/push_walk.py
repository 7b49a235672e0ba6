"""Going through the function test inside Checks: calling a burst, answering thruster by thruster, going on.

What stands on the disk says where it is: the burst that was called, the pushes that were kept, and (until a
push is kept) the thrusters answered so far, so that leaving or a restart loses nothing.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from rovlog.domain.checks.computed import COUNTED
from rovlog.faces.screens.answering import Answering
from rovlog.faces.screens.desk import Desk, InHand
from rovlog.faces.screens.keys import Key, key
from rovlog.faces.screens.push_page import FLOW_KEYS, PushView
from rovlog.problems import RovlogError
from rovlog.values import dataclass, field

if TYPE_CHECKING:
    from textual import events

    from rovlog.domain.checks.checklist import Item
    from rovlog.domain.diagnosis.observation import Push
    from rovlog.usecases.diagnose import Diagnosed
    from rovlog.usecases.function_test import FunctionTest, Medium

READY_KEYS = (
    key("c", "clear called", "clear_called"),
    key("g", "proposed push", "proposed"),
    key("escape", "leave", "leave_pushes", "esc"),
    key("n", "another", "other_push"),
    key("w", "air/water", "medium"),
    key("d", "found", "found"),
    key("pagedown", "more of this page", "scroll:1", "page down", is_shown=False),
    key("pageup", "back up this page", "scroll:-1", "page up", is_shown=False),
)
WATCH_KEYS = (
    key("enter", "keep", "keep_push"),
    key("backspace", "take back", "take_back"),
    key("escape", "leave", "leave_pushes", "esc"),
    key("x", "nobody saw it", "nobody_saw"),
)


@dataclass(slots=True)
class PushWalk:
    """The test as it was read at `read_s` (the program's own seconds), and what is answered of this push.

    `passed` counts how far "another push" went on among those left; `proposed` is the diagnosis' push once
    it was taken.
    """

    title: str
    test: FunctionTest
    read_s: float
    answers: dict[str, str] = field(default_factory=dict)
    at: int = 0
    found: Diagnosed | None = None
    is_working: bool = False
    medium: Medium | None = None
    passed: int = 0
    proposed: Push | None = None

    @property
    def push(self) -> Push | None:
        """The push in hand: the one that was called, the proposed one, else the next one of the test."""
        if self.test.called is not None:
            return tuple(sorted(self.test.called.push.items()))
        if self.proposed is not None:
            return self.proposed
        here = [p for one in self.test.left if (p := one.positions(is_dry=self.test.is_dry)) is not None]
        return here[self.passed % len(here)] if here else None


def counts_pushes(item: Item | None) -> bool:
    """True for an item that takes the number of pushes watched from the record."""
    return item is not None and any(
        ask.proposed is not None and ask.proposed.computed in COUNTED for ask in item.asks
    )


class PushWalking(Answering):
    """The function test of the item in hand; None where the item itself is in sight."""

    walk: PushWalk | None = None

    @property
    def walk_in_sight(self) -> PushWalk | None:
        """The walk, while its item is in hand and nothing is paused."""
        state = self.hand.state if self.hand else None
        is_here = (
            state is not None and state.pause is None and counts_pushes(self.step.item if self.step else None)
        )
        return self.walk if is_here else None

    def seconds_gone(self, walk: PushWalk) -> float:
        """Seconds since the test was read, by the program's own clock."""
        return max(0.0, self.rov.desk.book.clock.mono_s() - walk.read_s)

    def view_of(self, walk: PushWalk) -> PushView:
        """What the page shows of the walk."""
        return PushView(
            walk.title,
            walk.test,
            walk.push,
            self.seconds_gone(walk),
            walk.answers,
            walk.at,
            walk.found,
            walk.is_working,
        )

    def walk_keys(self, walk: PushWalk) -> tuple[Key, ...]:
        """The keys of the moment; digits stand on the page where they mean something."""
        if walk.test.called is None:
            has_proposal = walk.found is not None and walk.found.diagnosis.next_push is not None
            return tuple(k for k in READY_KEYS if k.deed != "proposed" or has_proposal)
        is_whole = walk.at >= len(self.view_of(walk).thrusters)
        return WATCH_KEYS if is_whole else WATCH_KEYS[1:]

    def is_left_to_watch(self) -> bool:
        """True while the item in hand asks for pushes that nobody has watched: enter goes through them."""
        state = self.hand.state if self.hand else None
        item = self.step.item if self.step else None
        if state is None or not counts_pushes(item) or self.fields.values() or self.is_second:
            return False
        whole, seen = (state.computed.get(n) or 0.0 for n in ("direction_pushes", "direction_pushes_seen"))
        needed = any(a.limit is not None for a in (item.asks if item else ()) if a.proposed is not None)
        return needed and seen < whole

    # --- opening and leaving --------------------------------------------------------------------

    def deed_pushes(self) -> None:
        """Go through the pushes of the item in hand; it goes on where it was left."""
        item = self.item_in_hand()
        if item is None:
            return
        if not counts_pushes(item):
            self.rov.tell_trouble("this item has no pushes to watch")
            return
        self._read(f"{item.code} {item.challenge}".strip())

    def _read(self, title: str) -> None:
        """Read where the test stands, and show it; what was found is worked out behind it."""
        old = self.walk
        medium = old.medium if old is not None else None

        def job(desk: Desk) -> tuple[InHand, PushWalk]:
            return desk.look(), _walk_at(desk, title, medium)

        def done(result: tuple[InHand, PushWalk]) -> None:
            hand, walk = result
            if old is not None:
                walk.found = old.found
            self.rov.hand = hand
            self.walk = walk
            self._find_out_later()
            self.rov.redraw()

        self.rov.keep(job, done)

    def _find_out_later(self) -> None:
        """Work out what the pushes so far say once the page is drawn and hears keys again."""
        self.call_after_refresh(lambda: self.call_after_refresh(self._find_out))

    def _find_out(self) -> None:
        """Work out what the pushes so far say; the page waits for nothing."""
        walk = self.walk
        if walk is None or not walk.test.observations:
            return
        walk.is_working = True
        is_dry = walk.test.is_dry

        def job(desk: Desk) -> Diagnosed:
            from rovlog.usecases.diagnose import diagnose_record

            return diagnose_record(desk.logbook, desk.record, is_dry=is_dry)

        def done(found: Diagnosed) -> None:
            walk.found, walk.is_working = found, False
            if self.walk is walk:
                self.rov.redraw()

        def failed(error: RovlogError) -> None:
            walk.is_working = False
            self.rov.tell_error(error)

        self.rov.do(job, done, failed)

    def deed_leave_pushes(self) -> None:
        """Back to the item; what was answered stays."""
        self.walk = None
        item = self.step.item if self.step else None
        if item is not None:
            self.empty_fields(item)
        self.rov.redraw()

    # --- a burst --------------------------------------------------------------------------------

    def deed_clear_called(self) -> None:
        """ "Clear" was called: the burst begins, unless the limits in air refuse it."""
        walk, by = self.walk_in_sight, self.answering()
        if walk is None or walk.push is None:
            self.rov.tell_trouble("there is no push to call")
            return
        push, medium = dict(walk.push), walk.test.medium

        def job(desk: Desk) -> PushWalk:
            from rovlog.usecases.function_test import call_burst

            call_burst(desk.logbook, desk.logbook.record(desk.record), push, by=by, medium=medium)
            return _walk_at(desk, walk.title, walk.medium)

        self.rov.keep(job, self._go_on_with)

    def _go_on_with(self, walk: PushWalk) -> None:
        if self.walk is not None:
            walk.found = self.walk.found
        self.walk = walk
        self.rov.redraw()

    def takes_push_key(self, event: events.Key) -> bool:
        """A digit says where the thruster throws; True where it was taken."""
        walk = self.walk_in_sight
        if walk is None:
            return False
        character = event.character or ""
        if walk.test.called is not None and character in FLOW_KEYS:
            self.deed_see(FLOW_KEYS[character])
            return True
        # Nothing else is typed here; the item's own keys wait until the page is left.
        return character.isdigit() or event.key in ("left", "right", "delete")

    def deed_see(self, word: str) -> None:
        """Where the thruster that is asked for throws."""
        walk = self.walk_in_sight
        if walk is None or walk.test.called is None:
            return
        names = [t.thruster for t in walk.test.configuration.thrusters]
        if walk.at >= len(names):
            self.rov.tell("every thruster is answered: enter keeps the push")
            return
        walk.answers[names[walk.at]] = word
        walk.at += 1
        self._keep_draft(walk)
        self.rov.redraw()

    def deed_take_back(self) -> None:
        """Take the last answer back."""
        walk = self.walk_in_sight
        if walk is None or not walk.answers or walk.test.called is None:
            return
        walk.at -= 1
        walk.answers.pop(walk.test.configuration.thrusters[walk.at].thruster, None)
        self._keep_draft(walk)
        self.rov.redraw()

    def _keep_draft(self, walk: PushWalk) -> None:
        called = walk.test.called
        if called is None:
            return
        entry, answers = called.entry.id, dict(walk.answers)

        def job(desk: Desk) -> None:
            from rovlog.usecases.push_draft import keep_draft

            keep_draft(desk.book, entry, answers)

        self.rov.do(job, lambda _: None)

    def deed_nobody_saw(self) -> None:
        """Nobody saw the push: it is kept as made, and is to be watched again."""
        walk = self.walk_in_sight
        if walk is not None and walk.test.called is not None:
            self._keep(walk, {t.thruster: "unseen" for t in walk.test.configuration.thrusters})

    def deed_keep_push(self) -> None:
        """Keep what was seen of the push, and go on to the next one."""
        walk = self.walk_in_sight
        if walk is None or walk.test.called is None:
            return
        if walk.at < len(walk.test.configuration.thrusters):
            self.rov.tell_trouble("a thruster is not answered yet; 0 says that it was not seen")
            return
        self._keep(walk, dict(walk.answers))

    def _keep(self, walk: PushWalk, answers: dict[str, str]) -> None:
        by = self.answering()

        def job(desk: Desk) -> tuple[str, bool, InHand, PushWalk]:
            from rovlog.faces.reports.push_text import observed_text
            from rovlog.usecases.function_test import observe_push

            kept = observe_push(desk.logbook, desk.logbook.record(desk.record), answers, by=by)
            words = "; ".join(row.strip() for row in observed_text(kept).splitlines())
            is_odd = bool(kept.excesses or kept.across)
            return words, is_odd, desk.look(), _walk_at(desk, walk.title, walk.medium)

        def done(result: tuple[str, bool, InHand, PushWalk]) -> None:
            words, is_odd, hand, now = result
            now.found = walk.found
            self.rov.hand = hand
            self.walk = now
            self._find_out_later()
            self.rov.redraw()
            (self.rov.tell_trouble if is_odd else self.rov.tell)(words)

        self.rov.keep(job, done)

    # --- which push -----------------------------------------------------------------------------

    def deed_proposed(self) -> None:
        """Take the push in hand that the diagnosis expects to tell most."""
        walk = self.walk_in_sight
        push = walk.found.diagnosis.next_push if walk is not None and walk.found is not None else None
        if walk is None or push is None:
            self.rov.tell_trouble("no push is proposed")
            return
        walk.proposed = push.push
        self.rov.redraw()

    def deed_other_push(self) -> None:
        """The next one of the pushes nobody has watched."""
        walk = self.walk_in_sight
        if walk is not None:
            walk.proposed = None
            walk.passed += 1
            self.rov.redraw()

    def deed_medium(self) -> None:
        """In water or in a tub instead of in air, and back."""
        walk = self.walk_in_sight
        if walk is None:
            return
        walk.medium = "wet" if walk.test.is_dry else "dry"
        self._read(walk.title)

    def deed_found(self) -> None:
        """What was found, in full, on a page of its own."""
        from rovlog.faces.reports.diagnosis_text import diagnosis_text

        walk = self.walk_in_sight
        if walk is None or walk.found is None:
            self.rov.tell_trouble("no push has been watched yet")
            return
        self.rov.read_page("What the pushes say", diagnosis_text(walk.found))


def _walk_at(desk: Desk, title: str, medium: Medium | None) -> PushWalk:
    """Where the test stands on the disk, with what was answered of a push that is not kept yet."""
    from rovlog.usecases.function_test import function_test_of
    from rovlog.usecases.push_draft import draft_of

    test = function_test_of(desk.logbook, desk.logbook.record(desk.record), medium)
    walk = PushWalk(title, test, desk.book.clock.mono_s(), medium=medium)
    if test.called is not None:
        names = [t.thruster for t in test.configuration.thrusters]
        answers = draft_of(desk.book, test.called.entry.id)
        # In the order they are asked for, as far as they go without a gap.
        for name in names:
            if name not in answers:
                break
            walk.answers[name] = answers[name]
            walk.at += 1
    return walk
