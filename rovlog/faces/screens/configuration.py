"""The place Configuration: in words first, then the thrusters drawn to scale, then sticks to try."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, ClassVar

from rich.text import Text
from textual import events
from textual.app import ComposeResult
from textual.containers import Horizontal

from rovlog.faces.screens.configuration_pages import sticks_page, thrusters_page, words_page
from rovlog.faces.screens.desk import Desk
from rovlog.faces.screens.keys import Key, key
from rovlog.faces.screens.lines import Lines
from rovlog.faces.screens.place import WIDE, Place
from rovlog.values import dataclass

if TYPE_CHECKING:
    from rovlog.usecases.compute_budget import Budget
    from rovlog.usecases.compute_response import Answered
    from rovlog.usecases.measured_current import MeasuredCurrent
    from rovlog.usecases.show_vehicle import Shown

PAGES = ("words", "thrusters", "sticks")


@dataclass(frozen=True, slots=True)
class Held:
    """A configuration as it was computed, with its budget and what a clamp meter read on the vehicle."""

    shown: Shown
    budget: Budget
    measured: tuple[MeasuredCurrent, ...] = ()


class ConfigurationPlace(Place):
    """Three pages of one screen at 80 columns, side by side where there is room."""

    TITLE = "Configuration"
    NAME = "configuration"

    SCOPED_CSS = False
    DEFAULT_CSS = """
    ConfigurationPlace Lines { padding: 0 1; width: 1fr; }
    Screen.-wide ConfigurationPlace #words { width: 35%; }
    Screen.-wide ConfigurationPlace #thrusters { width: 31%; }
    """

    KEYS: ClassVar[tuple[Key, ...]] = (
        key("left", "page", "page:-1", "left, right"),
        key("right", "the page after", "page:1", "right", is_shown=False),
        key("up", "stick", "control:-1", "up, down"),
        key("down", "the control after", "control:1", "down", is_shown=False),
        key("space,enter", "push it", "push", "space"),
        key("b", "budget", "budget"),
        key("i", "change", "edit"),
        key("g", "approve", "approve"),
        key("w", "withdraw a revision", "withdraw", is_shown=False),
        key("r", "revisions", "revisions", is_shown=False),
        key("c", "compare two configurations", "compare", is_shown=False),
        key("pagedown", "more of this page", "scroll:1", "page down", is_shown=False),
        key("pageup", "back up this page", "scroll:-1", "page up", is_shown=False),
    )

    def __init__(self, id: str | None = None) -> None:
        super().__init__(id=id)
        self._page = 0
        self._control = 0
        self._sticks: dict[str, float] = {}
        self._held: Held | None = None
        self._answered: Answered | None = None
        self._digest = ""

    def compose(self) -> ComposeResult:
        """The three pages."""
        with Horizontal():
            for name in PAGES:
                yield Lines(lambda: self.look, id=name)

    def on_resize(self, event: events.Resize) -> None:
        self.redraw()

    def keys(self) -> Sequence[Key]:
        """The keys of the place."""
        return self.KEYS

    def entered(self) -> None:
        """Compute the configuration in hand, if it is another than the one shown."""
        vehicle = self.hand.vehicle if self.hand else ""
        if not vehicle:
            return
        sticks = dict(self._sticks)

        def job(desk: Desk) -> tuple[Held, Answered]:
            from rovlog.usecases.compute_budget import compute_budget
            from rovlog.usecases.compute_response import compute_response
            from rovlog.usecases.measured_current import measured_currents
            from rovlog.usecases.show_vehicle import show_vehicle

            shown = show_vehicle(desk.logbook, vehicle)
            configuration = shown.named.configuration
            known = {k: v for k, v in sticks.items() if k in shown.motion.controls}
            held = Held(shown, compute_budget(configuration), measured_currents(desk.logbook, vehicle))
            return held, compute_response(configuration, sticks=list(known.items()))

        def done(found: tuple[Held, Answered]) -> None:
            if self._held is None or self._held.shown.named.digest != found[0].shown.named.digest:
                self._sticks, self._control = {}, 0
            self._held, self._answered = found
            self.redraw()

        self.do(job, done)

    def redraw(self) -> None:
        """Draw the pages that are in sight."""
        is_wide = self.app.size.width >= WIDE
        for number, name in enumerate(PAGES):
            self.query_one(f"#{name}", Lines).display = is_wide or number == self._page
        if self._held is None or self.hand is None or self._held.shown.named.vehicle != self.hand.vehicle:
            words = "computing …" if self.hand and self.hand.vehicle else "no vehicle is on file yet"
            for name in PAGES:
                self.query_one(f"#{name}", Lines).show_lines([self.pen.line((words, "quiet"))])
            return
        for number, name in enumerate(PAGES):
            if is_wide or number == self._page:
                self.query_one(f"#{name}", Lines).show_lines(self._lines(name))

    def _lines(self, name: str) -> list[Text]:
        assert self._held is not None
        assert self._answered is not None
        is_wide = self.app.size.width >= WIDE
        total = self.app.size.width
        first, second = total * 35 // 100, total * 31 // 100
        # Two columns of padding each, and one for the bar of a page that is longer than the screen.
        widths = (
            {"words": first - 3, "thrusters": second - 3, "sticks": total - first - second - 3}
            if is_wide
            else dict.fromkeys(PAGES, total - 3)
        )
        width, height = max(30, widths[name]), max(10, self.size.height - (not is_wide))
        head = [] if is_wide else [self._pages_line(width)]
        if name == "words":
            return head + words_page(
                self._held.shown, self._held.budget, self._held.measured, width, self.pen
            )
        if name == "thrusters":
            return head + thrusters_page(self._held.shown, self._answered, width, height, self.pen)
        return head + sticks_page(
            self._held.shown,
            self._held.budget,
            self._held.measured,
            self._answered,
            self._sticks,
            self._control,
            width,
            self.pen,
        )

    def _pages_line(self, width: int) -> Text:
        titles = ("in words", "the thrusters", "sticks to try")
        line = self.pen.line("")
        for number, title in enumerate(titles):
            line.append_text(
                self.pen.deed(
                    f" {title} ", "picked" if number == self._page else "quiet", f"page_to:{number}"
                )
            )
            line.append_text(self.pen.line("  "))
        return line

    def deed_page_to(self, number: str) -> None:
        """Show a page."""
        self._page = int(number)
        self.redraw()

    def deed_page(self, by: str) -> None:
        """Show the page beside this one."""
        self._page = (self._page + int(by)) % len(PAGES)
        self.redraw()

    def deed_control(self, by: str) -> None:
        """Pick another control."""
        if self._held is None:
            return
        if self.app.size.width < WIDE and self._page != PAGES.index("sticks"):
            self.query_one(f"#{PAGES[self._page]}", Lines).scroll_relative(y=int(by), animate=False)
            return
        self._control = (self._control + int(by)) % max(1, len(self._held.shown.motion.controls))
        self.redraw()

    def deed_push(self) -> None:
        """Push the picked control to its next end: one end, the other, rest."""
        if self._held is None or not self._held.shown.motion.controls:
            return
        name = list(self._held.shown.motion.controls)[self._control]
        control = self._held.shown.motion.controls[name].control
        positions = (*control.ends, 0.0)
        now = self._sticks.get(name, 0.0)
        at = positions.index(now) if now in positions else len(positions) - 1
        becomes = positions[(at + 1) % len(positions)]
        if becomes:
            self._sticks[name] = becomes
        else:
            self._sticks.pop(name, None)
        if self.app.size.width < WIDE:
            self._page = max(self._page, 1)
        held, sticks = self._held, list(self._sticks.items())

        def job(desk: Desk) -> Answered:
            from rovlog.usecases.compute_response import compute_response

            return compute_response(held.shown.named.configuration, sticks=sticks)

        def done(found: Answered) -> None:
            self._answered = found
            self.redraw()

        self.do(job, done)

    def deed_scroll(self, by: str) -> None:
        """Scroll the page in sight."""
        name = PAGES[self._page] if self.app.size.width < WIDE else "words"
        self.query_one(f"#{name}", Lines).turn_page(int(by))

    def deed_approve(self) -> None:
        """Approve what the files say."""
        from rovlog.faces.screens.approvals import approve

        approve(self.rov)

    def deed_withdraw(self) -> None:
        """Withdraw a revision."""
        from rovlog.faces.screens.approvals import withdraw

        withdraw(self.rov)

    def deed_revisions(self) -> None:
        """The revisions, newest first, with reasons."""
        hand = self.hand
        if hand is None or not hand.vehicle:
            return
        vehicle = hand.vehicle

        def job(desk: Desk) -> str:
            from rovlog.faces.reports.vehicle_text import revisions_text
            from rovlog.usecases.list_vehicles import list_revisions

            return revisions_text(list_revisions(desk.logbook, vehicle), hand.name_of)

        self.do(job, lambda text: self.rov.read_page(f"Revisions of {vehicle}", text))

    def deed_compare(self) -> None:
        """Compare two configurations, by name."""
        from rovlog.faces.screens.comparisons import ask_to_compare

        ask_to_compare(self.rov)

    def deed_budget(self) -> None:
        """The budget in full, as the command line says it."""
        if self._held is not None:
            from rovlog.faces.reports.budget_text import budget_text

            text = budget_text(self._held.budget, self._held.measured)
            self.rov.read_page(f"Budget of {self._held.shown.named.name}", text)

    def deed_edit(self) -> None:
        """Change one value in the person's own file, after seeing what it does."""
        from rovlog.faces.screens.edits import ask_to_edit

        ask_to_edit(self.rov)
