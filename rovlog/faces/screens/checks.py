"""The place Checks: one item large, its group below it, all lists beside it where there is room."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from rich.text import Text
from textual import events, on
from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical

from rovlog.domain.checks.groups import may_answer, may_complete
from rovlog.domain.checks.stops import Stop, stop_words
from rovlog.faces.reports.check_text import STOP_WORDS
from rovlog.faces.screens.desk import Desk
from rovlog.faces.screens.group_page import call_line, group_head, item_line, overview, setup_lines
from rovlog.faces.screens.item_page import ItemView, item_page
from rovlog.faces.screens.keys import Key, key
from rovlog.faces.screens.lines import Lines
from rovlog.faces.screens.people import role_of
from rovlog.faces.screens.place import NARROW, WIDE
from rovlog.faces.screens.push_page import found_lines, push_page
from rovlog.faces.screens.push_walk import PushWalking, counts_pushes
from rovlog.faces.screens.timer_words import timer_words
from rovlog.faces.screens.walk import Step, group_of, is_over, next_step
from rovlog.usecases.dive_state import DiveState

ITEM_SHARE = 0.68
"""Share of the height that the item in hand takes; its group has the rest."""


class Checks(PushWalking):
    """One item in hand at a time; what is typed goes into its answer."""

    TITLE = "Checks"
    NAME = "checks"

    SCOPED_CSS = False
    DEFAULT_CSS = """
    Checks #aside { display: none; width: 46; margin-left: 2; }
    Screen.-wide Checks #aside { display: block; }
    Checks #item { padding: 0 1; overflow-y: scroll; scrollbar-size-vertical: 0; }
    Checks #group { padding: 0 1; height: 1fr; }
    Screen.-narrow Checks #group { display: none; }
    """

    KEYS_OF_ITEM: ClassVar[tuple[Key, ...]] = (
        key("f", "failed", "fail"),
        key("d", "defer", "defer"),
        key("n", "not applicable", "not_applicable"),
        key("p", "pause", "pause"),
        key("s", "second person", "second", is_shown=False),
        key("w", "waiver by the supervisor", "waive", is_shown=False),
        key("c", "completion call of the group", "call", is_shown=False),
        key("r", "release a hold point", "release", is_shown=False),
        key("t", "start the item's timer", "timer", is_shown=False),
        key("u", "correct the last answer of this item", "correct", is_shown=False),
        key("o", "propose a change to this item", "propose", is_shown=False),
        key("x", "everything that stops the dive", "stops", is_shown=False),
        key("up", "the item before", "move:-1", "up", is_shown=False),
        key("down", "the item after", "move:1", "down", is_shown=False),
        key("home", "the next thing to do", "next_due", "home", is_shown=False),
        key("pagedown", "more of this page", "scroll:1", "page down", is_shown=False),
        key("pageup", "back up this page", "scroll:-1", "page up", is_shown=False),
        key("tab", "the next value of this item", "field:1", "tab", is_shown=False),
        key("shift+tab", "the value before", "field:-1", "shift tab", is_shown=False),
    )

    def __init__(self, id: str | None = None) -> None:
        super().__init__(id=id)
        self._top = 0
        self._seen_step = ""

    def compose(self) -> ComposeResult:
        """Item and group, and the overview beside them."""
        with Horizontal():
            with Vertical(id="left"):
                yield Lines(lambda: self.look, id="item")
                yield Lines(lambda: self.look, can_pick=True, id="group")
            yield Lines(lambda: self.look, id="aside")

    def on_mount(self) -> None:
        self.set_interval(1.0, self._tick)

    def _tick(self) -> None:
        """Timers of the item in hand go on; nothing else is drawn."""
        step, walk = self.step, self.walk_in_sight
        counts_down = walk is not None and walk.test.dry.wait_s > 0
        times = step is not None and step.item is not None and bool(step.item.timers) and self.running_timer()
        if self.display and (counts_down or times):
            self.redraw()

    def on_resize(self, event: events.Resize) -> None:
        self.redraw()

    def redraw(self) -> None:
        """Draw the item in hand, its group, and all lists."""
        state = self.settle()
        if state is None or self.step is None:
            self._draw_nothing()
            return
        height = self.size.height
        item = self.query_one("#item", Lines)
        self.query_one("#group").display = self.walk_in_sight is None and self.app.size.width >= NARROW
        if self.walk_in_sight is not None:
            self._draw_pushes(item, height)
            return
        is_alone = self.app.size.width < NARROW
        room = height if is_alone else max(12, round(height * ITEM_SHARE))
        if item.size.height != room:
            item.styles.height = room
        width = max(20, (self.app.size.width if self.app.size.width < WIDE else self.app.size.width - 48) - 3)
        lines = self._page(state, self.step, width, room)
        item.more = " more: page down "
        item.show_lines(lines)
        self._bring_field_into_sight(item, lines, room)
        self._draw_group(state, self.step)
        if self.app.size.width >= WIDE:
            self.query_one("#aside", Lines).show_lines(self._aside(state, self.step, 45))

    def _draw_pushes(self, item: Lines, height: int) -> None:
        """The function test has the place for itself; what was found stands beside it where there is room."""
        walk = self.walk_in_sight
        assert walk is not None
        is_wide = self.app.size.width >= WIDE
        width = max(20, (self.app.size.width - 48 if is_wide else self.app.size.width) - 3)
        if item.size.height != height:
            item.styles.height = height
        view = self.view_of(walk)
        item.more = " more: page down "
        item.show_lines(push_page(view, width, height, self.pen, has_aside=is_wide))
        place = f"{view.push} {view.is_watching} {view.at}"
        if place != self._seen_step:
            self._seen_step = place
            item.scroll_to(y=0, animate=False)
        if is_wide:
            self.query_one("#aside", Lines).show_lines(found_lines(view, 45, self.pen))

    def _bring_field_into_sight(self, item: Lines, lines: list[Text], room: int) -> None:
        """The field that is typed in is never below the edge; on a small page the caution is seen first."""
        here = next((i for i, line in enumerate(lines) if line.plain.startswith("> ")), 0)
        is_unread = self.app.size.width < NARROW and not self.fields.typed
        top = 0 if is_unread else max(0, here - room + 3)
        here_id = self.step.id if self.step else ""
        if top != self._top or here_id != self._seen_step:
            self._top, self._seen_step = top, here_id
            item.scroll_to(y=top, animate=False)

    def _page(self, state: DiveState, step: Step, width: int, height: int) -> list[Text]:
        if state.pause is not None:
            return self._paused_page(state, width)
        if step.item is None:
            return self._call_page(state, step, width)
        by = self.answering()
        held = may_answer(step.item.item, state.lists, state.items)
        timers = timer_words(step.item, self.hand.timers if self.hand else (), self.rov.seconds_since_look())
        view = ItemView(
            state,
            step,
            self.fields,
            by,
            role_of(state.crew, by),
            self.is_second,
            held,
            timers,
            bool(self.rov.chosen_person) or not self.is_second,
            self.name_of,
        )
        lines = item_page(view, width, height, self.pen)
        return lines

    def _paused_page(self, state: DiveState, width: int) -> list[Text]:
        assert state.pause is not None
        hand = self.hand
        who = hand.name_of(state.pause.by) if hand else state.pause.by
        reason = str(state.pause.fields.get("reason", ""))
        last = state.item(state.last_answer)
        pen = self.pen
        lines = pen.fold(f"PAUSED since {state.pause.at[11:16]} by {who}: {reason}", width, "caution")
        lines.append(pen.line(""))
        if last is not None:
            lines += pen.fold(f"answered last: {last.code} {last.challenge}", width, "strong")
        lines += pen.fold(
            "enter resumes: the last item is asked again, and after a long pause its whole group", width
        )
        return lines

    def _call_page(self, state: DiveState, step: Step, width: int) -> list[Text]:
        pen, group = self.pen, group_of(state, step)
        title = f"{step.section.code} {step.section.title}".strip()
        lines = [pen.line((f"{step.checklist.title} / ", "quiet"), (title, "strong")), pen.line("")]
        words = step.section.completion or f"{step.section.title} complete"
        refusal = may_complete(step.section, state.items)
        if group.is_complete:
            who = self.name_of(group.called_by)
            lines += pen.fold(
                f"✓ completion call made by {who} at {group.called_at[11:16]}", width, "answered"
            )
            if next_step(state, step.id, self.steps) is None:
                lines.append(pen.line(""))
                done = (
                    "The lists of this dive are done."
                    if is_over(state)
                    else "Nothing is left open in these lists."
                )
                lines += pen.fold(done, width, "challenge")
                lines += pen.fold("F8 goes to Dives: m marks a moment, c closes the dive.", width)
        elif refusal:
            lines += pen.fold(f"The completion call waits: {refusal}", width, "stop")
        else:
            lines += pen.fold(f"Completion call: “{words}”", width, "challenge")
            lines.append(pen.line(""))
            lines += pen.fold("say it aloud; enter makes the call", width)
        for name in group.deferred:
            item = state.item(name)
            lines += pen.fold(f"› deferred: {item.challenge if item else name}", width, "deferred")
        return lines

    def _draw_group(self, state: DiveState, step: Step) -> None:
        rows = [s for s in self.steps if s.section is step.section and s.checklist is step.checklist]
        group = group_of(state, step)
        pen = self.pen

        def line_at(index: int, width: int, picked: bool) -> Text:
            if index == 0:
                return group_head(step, group, width, pen)
            row = rows[index - 1]
            is_here = row.id == step.id
            if row.item is None:
                return call_line(group, width, pen, is_here)
            return item_line(row.item, state.items[row.item.item], width, pen, is_here, self.name_of)

        here = next(i for i, row in enumerate(rows) if row.id == step.id)
        widget = self.query_one("#group", Lines)
        widget.margin = 1
        widget.show_rows(len(rows) + 1, line_at, here + 1)
        if here + 1 + widget.margin < widget.size.height:
            widget.scroll_to(y=0, animate=False)

    def _aside(self, state: DiveState, step: Step, width: int) -> list[Text]:
        pen = self.pen
        lines = [
            *overview(state, step, width, pen),
            pen.line(""),
            *([] if self.is_blind_second(step) else setup_lines(state, width, pen)),
            pen.line(""),
        ]
        lines.append(pen.line(("What stops the dive", "strong")))
        merely = [s for s in state.stops if s.reason.endswith(" is open")]
        others = [s for s in state.stops if s not in merely]
        for stop in others[:5]:
            lines += pen.fold(stop.reason, width, "text", ("· ", "text"))
        left = len(others) - 5
        if left > 0:
            lines.append(pen.line((f"· and {left} more", "text")))
        if merely:
            lines.append(pen.line((f"· {len(merely)} items are open", "text")))
        if not state.stops:
            lines += pen.fold(stop_words(state.stops), width, "clear")
        lines.append(pen.deed("x shows each, and what would clear it", "quiet", "stops"))
        return lines

    def is_blind_second(self, step: Step) -> bool:
        """True while the second person must not read the value off the screen."""
        return self.is_second and step.item is not None and step.item.witness == "blind"

    def typed_in(self) -> None:
        """Back to the field, wherever the page was turned to."""
        self.query_one("#item", Lines).scroll_to(y=self._top, animate=False)

    def _draw_nothing(self) -> None:
        pen = self.pen
        lines = [
            pen.line(("No dive is in hand.", "challenge")),
            pen.line(""),
            *pen.fold(
                "F8 goes to Dives: n starts a dive, enter takes an open one in hand.",
                max(20, self.size.width - 4),
            ),
        ]
        self.query_one("#item", Lines).show_lines(lines)
        self.query_one("#group", Lines).show_lines([])

    def keys(self) -> Sequence[Key]:
        """The keys of the item in hand: enter first."""
        state = self.hand.state if self.hand else None
        if state is None or self.step is None:
            return (key("n", "start a dive", "start_dive"),)
        if state.pause is not None:
            return (key("enter", "resume", "keep"), key("x", "what stops", "stops"))
        if self.step.item is None:
            return (key("enter", "call it", "keep"), *self.KEYS_OF_ITEM)
        if self.walk_in_sight is not None:
            return self.walk_keys(self.walk_in_sight)
        if self.writes_text:
            return (key("enter", "write it", "keep"), key("escape", "letters as keys", "letters", "esc"),
                    *(k for k in self.KEYS_OF_ITEM if len(k.keys[0]) > 1))  # fmt: skip
        by_push = (key("g", "push by push", "pushes"),) if counts_pushes(self.step.item) else ()
        if by_push and self.is_left_to_watch():
            return (key("enter,g", "push by push", "pushes", "enter"), *self.KEYS_OF_ITEM)
        words = "keep"
        if self.step.item.kind == "release":
            words = "release"
        return (key("enter", words, "keep"), *by_push, *self.KEYS_OF_ITEM)

    def takes(self, event: events.Key) -> bool:
        """The function test takes the digits while it is in sight."""
        return self.takes_push_key(event) if self.walk_in_sight is not None else super().takes(event)

    @property
    def is_typing(self) -> bool:
        """True while digits go into a field."""
        return self.walk_in_sight is None and super().is_typing

    def deed_scroll(self, by: str) -> None:
        """Scroll the page of the item."""
        self.query_one("#item", Lines).turn_page(int(by))

    def deed_stops(self) -> None:
        """Everything that stops the dive, most serious first."""
        from rovlog.faces.screens.stops_page import StopsPage

        state = self.hand.state if self.hand else None
        if state is None:
            return
        page = StopsPage(state.stops, self.go_to_stop, lambda: self.look)
        self.app.push_screen(page)

        def job(desk: Desk) -> tuple[tuple[str, str], ...]:
            from rovlog.usecases.parts_due import parts_due

            return tuple((d.text, d.clears) for d in parts_due(desk.logbook, desk.vehicle))

        self.do(job, page.show_notes)

    def go_to_stop(self, stop: Stop) -> None:
        """Take the item in hand that stops; other reasons stand in Drift, or are told in full."""
        if any(s.item is not None and s.item.item == stop.id for s in self.steps):
            self.deed_item(stop.id)
        elif stop.id.startswith("drift-") or stop.id.startswith("/"):
            self.rov.go("drift")
        else:
            self.rov.tell_trouble(f"{stop.reason}; clears: {stop.clears}")

    def deed_start_dive(self) -> None:
        """Start a dive: the form of the place Dives."""
        from rovlog.faces.screens.start_forms import ask_for_dive

        ask_for_dive(self.rov)

    @on(Lines.Picked, "#group")
    def clicked(self, message: Lines.Picked) -> None:
        """A click on an item of the group takes it in hand."""
        message.stop()
        step = self.step
        if step is not None and message.index > 0:
            rows = [s for s in self.steps if s.section is step.section and s.checklist is step.checklist]
            self.take_step(rows[message.index - 1])

    def stop_note(self) -> str:
        """In words, what the item in hand does to the dive."""
        return STOP_WORDS[self.step.item.stops] if self.step and self.step.item else ""
