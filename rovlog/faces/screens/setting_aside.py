"""Setting the item in hand aside: failed, put off, not applicable, waived; each asks for its reason."""

from __future__ import annotations

from rovlog.faces.screens.desk import Desk
from rovlog.faces.screens.dialogs import Blank, Form
from rovlog.faces.screens.item_forms import ItemForms


class SettingAside(ItemForms):
    """None of these happens on one key."""

    def deed_fail(self) -> None:
        """The item failed: what was seen, then it is kept as failed."""
        item = self.item_in_hand()
        if item is None:
            return
        blank = Blank("text", "what was seen")

        def kept(values: dict[str, str], form: Form) -> None:
            if not values["text"]:
                form.tell("nothing is said: write what was seen, in a few words")
                return
            form.leave()
            self.submit("fail", values["text"])

        self.app.push_screen(Form(f"Failed: {item.challenge}", [blank], kept))

    def deed_defer(self) -> None:
        """Put the item off, with the reason and by when."""
        item = self.item_in_hand()
        if item is None:
            return
        from rovlog.faces.reports.check_text import deferral_words
        from rovlog.usecases.set_item_aside import hold_of

        by = self.answering()
        state = self.hand.state if self.hand else None
        hold = hold_of(state, item) if state is not None else None
        comes_back = deferral_words(item, hold)
        until = (hold.code or hold.item) if hold else "launch"

        def keep(desk: Desk, values: dict[str, str]) -> None:
            from rovlog.usecases.set_item_aside import defer_item

            record = desk.logbook.record(desk.record)
            defer_item(
                desk.logbook, record, item.item, by=by, reason=values["reason"], until=values["until"] or None
            )

        blanks = (
            Blank("reason", "why"),
            Blank("until", "by when", until, hint="launch, a time or an item"),
        )
        note = comes_back[0].upper() + comes_back[1:] + "."
        self.ask(f"Defer: {item.challenge}", blanks, keep, f"deferred: {item.name}; {comes_back}", note)

    def deed_not_applicable(self) -> None:
        """The item does not apply today, with the reason."""
        item = self.item_in_hand()
        if item is None:
            return
        by = self.answering()

        def keep(desk: Desk, values: dict[str, str]) -> None:
            from rovlog.usecases.set_item_aside import item_not_applicable

            record = desk.logbook.record(desk.record)
            item_not_applicable(desk.logbook, record, item.item, by=by, reason=values["reason"])

        self.ask(
            f"Not applicable: {item.challenge}",
            [Blank("reason", "why")],
            keep,
            f"not applicable: {item.challenge}",
        )

    def deed_waive(self) -> None:
        """A waiver by the supervisor, with reason and end."""
        item = self.item_in_hand()
        state = self.hand.state if self.hand else None
        if item is None or state is None:
            return

        def keep(desk: Desk, values: dict[str, str]) -> None:
            from rovlog.usecases.give_waiver import waive_item

            record = desk.logbook.record(desk.record)
            waive_item(
                desk.logbook,
                record,
                by=values["by"],
                reason=values["reason"],
                until=values["until"],
                item=item.item,
            )

        blanks = (
            Blank("reason", "why it may be left"),
            Blank("until", "until", "dive", hint="dive, a day (2027-06-14) or a time"),
            Blank("by", "in whose name", state.crew.get("supervisor", self.answering())),
        )
        self.ask(f"Waiver: {item.challenge}", blanks, keep, f"waived: {item.challenge}")
