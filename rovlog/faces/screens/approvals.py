"""Approving what the files say, a reason for each finding that would stop a dive; withdrawing a revision."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rovlog.faces.screens.desk import Desk, InHand
from rovlog.faces.screens.dialogs import Blank, Form, Pick
from rovlog.problems import RovlogError, UsageError

if TYPE_CHECKING:
    from rovlog.domain.findings import Finding
    from rovlog.faces.screens.app import RovlogApp
    from rovlog.usecases.approvals import Approval
    from rovlog.usecases.approve import Approved


def approve(app: RovlogApp) -> None:
    """Ask who approves, why, and for every finding that stops a dive a reason; then write the approval."""
    hand = app.hand
    if hand is None or not hand.vehicle:
        app.tell_trouble("no vehicle is in hand")
        return
    vehicle = hand.vehicle

    def job(desk: Desk) -> tuple[tuple[Finding, ...], tuple[Finding, ...]]:
        from rovlog.usecases.approve import findings_of
        from rovlog.usecases.configurations import working

        desk.logbook.forget()
        return findings_of(working(desk.logbook, vehicle))

    app.do(job, lambda found: _form(app, hand, vehicle, found[0]))


def _form(app: RovlogApp, hand: InHand, vehicle: str, stopping: tuple[Finding, ...]) -> None:
    people = tuple(hand.people or {})
    first = next(
        (p for p, roles in (hand.roles or {}).items() if "builder" in roles), people[0] if people else ""
    )
    blanks = [
        Blank("reason", "why this is the right configuration"),
        Blank("evidence", "evidence", hint="may be left out: bench day, pool test …"),
        *(Blank(f"accept-{n}", "accepted because", hint=f.text) for n, f in enumerate(stopping)),
        Blank("by", "approved by", first, people),
    ]
    note = f"{len(stopping)} findings would stop a dive; each asks a reason." if stopping else ""

    def keep(values: dict[str, str], form: Form) -> None:
        def job(desk: Desk) -> tuple[Approved, InHand]:
            from rovlog.usecases.approve import approve_vehicle

            accept = {
                f.finding: values[f"accept-{n}"] for n, f in enumerate(stopping) if values[f"accept-{n}"]
            }
            done = approve_vehicle(desk.logbook, vehicle, by=values["by"], reason=values["reason"],
                                   evidence=values["evidence"] or None, accept=accept)  # fmt: skip
            if done.revision is None:
                raise UsageError(
                    "not approved: " + "; ".join(f.text for f in done.unanswered),
                    "change the configuration, or give each its reason",
                )
            return done, desk.look(forget=True)

        def shown(found: tuple[Approved, InHand]) -> None:
            form.leave()
            app.show_hand(found[1])
            app.place.entered()
            app.tell(f"approved and in force: revision {found[0].revision} of {vehicle}")

        def failed(error: RovlogError) -> None:
            form.tell(f"{error.message}; {error.mend}" if error.mend else error.message)

        app.do(job, shown, failed)

    app.push_screen(Form(f"Approve the files of {vehicle} as the next revision", blanks, keep, note))


def withdraw(app: RovlogApp) -> None:
    """Pick a revision and withdraw it, with the reason."""
    hand = app.hand
    if hand is None or not hand.vehicle:
        app.tell_trouble("no vehicle is in hand")
        return
    vehicle, people = hand.vehicle, tuple(hand.people or {})

    def job(desk: Desk) -> list[Approval]:
        return [a for a in reversed(desk.logbook.approvals(vehicle)) if a.withdrawn is None]

    def pick(standing: list[Approval]) -> None:
        if not standing:
            app.tell_trouble("no revision of this vehicle stands")
            return

        def take(index: int) -> None:
            blanks = (
                Blank("reason", "why it is withdrawn"),
                Blank("by", "by", app.place.answering(), people),
            )
            name = f"{vehicle}@{standing[index].revision}"
            app.push_screen(
                Form(f"Withdraw revision {standing[index].spoken}", blanks, _withdrawing(app, name))
            )

        rows = [f"revision {a.spoken}  {a.at[:10]}  {a.reason}" for a in standing]
        app.push_screen(Pick(f"Withdraw which revision of {vehicle}?", rows, take))

    app.do(job, pick)


def _withdrawing(app: RovlogApp, name: str):  # type: ignore[no-untyped-def]
    def keep(values: dict[str, str], form: Form) -> None:
        def job(desk: Desk) -> InHand:
            from rovlog.usecases.approve import withdraw_revision

            withdraw_revision(desk.logbook, name, by=values["by"], reason=values["reason"])
            return desk.look(forget=True)

        def shown(hand: InHand) -> None:
            form.leave()
            app.show_hand(hand)
            app.place.entered()
            app.tell(f"withdrawn: {name}; the approval itself stays on file")

        def failed(error: RovlogError) -> None:
            form.tell(f"{error.message}; {error.mend}" if error.mend else error.message)

        app.do(job, shown, failed)

    return keep
