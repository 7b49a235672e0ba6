"""Starting a dive or work: where, in which water, with whom."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from rovlog.domain.dive import ROLES
from rovlog.faces.screens.desk import Desk, InHand
from rovlog.faces.screens.dialogs import Blank, Form
from rovlog.problems import RovlogError, UsageError

if TYPE_CHECKING:
    from rovlog.faces.screens.app import RovlogApp


ENTER_REST_S = 0.7
"""Seconds for which the first item after a start takes no enter: one too many in the form is no answer."""


def ask_for_dive(app: RovlogApp) -> None:
    """Ask for what a dive starts with; what stood there the last time is offered."""
    hand = app.hand
    if hand is None:
        return
    if not hand.vehicles:
        app.tell_trouble("no vehicle is on file: write vehicles/<vehicle>.yaml first, then ctrl+r")
        return
    vehicle = hand.vehicle or hand.vehicles[0]
    app.do(lambda desk: last_start(desk, vehicle), lambda last: _form(app, vehicle, last))


def last_start(desk: Desk, vehicle: str) -> dict[str, Any]:
    """Site, water and crew of the vehicle's last dive, {} before its first."""
    dives = desk.logbook.records(vehicle, ("dive",))
    if not dives:
        return {}
    start = next(iter(dives[-1].of_kind("start")), None)
    return dict(start.fields) if start else {}


def _form(app: RovlogApp, vehicle: str, last: dict[str, Any]) -> None:
    hand = app.hand
    assert hand is not None
    people = tuple(hand.people or {})
    crew = dict(last.get("crew") or {}) or _usual_crew(hand)
    blanks = [
        Blank("vehicle", "vehicle", vehicle, hand.vehicles),
        Blank("site", "site", str(last.get("site", ""))),
        Blank("water", "water", _water(last), hint="kind:°C[:salinity], fresh:18 or salt:12:33"),
        Blank("depth", "deepest planned, m", hint="may be left out"),
        Blank("minutes", "minutes planned", hint="may be left out"),
        *(Blank(f"crew-{role}", role, crew.get(role, ""), people) for role in ROLES),
        Blank("by", "started by", crew.get("supervisor", people[0] if people else ""), people),
    ]

    def keep(values: dict[str, str], form: Form) -> None:
        def job(desk: Desk) -> InHand:
            from rovlog.usecases.dive_steps import start_dive

            crew_now = {role: values[f"crew-{role}"] for role in ROLES if values[f"crew-{role}"]}
            started = start_dive(
                desk.logbook,
                values["vehicle"],
                by=values["by"],
                site=values["site"],
                water=water_fields(values["water"]),
                crew=crew_now,
                depth_m=number_in(values["depth"], "depth"),
                minutes=number_in(values["minutes"], "minutes"),
            )
            return desk.take(started.record)

        started_in(app, form, job)

    app.push_screen(Form("Start a dive", blanks, keep))


def ask_for_work(app: RovlogApp) -> None:
    """Ask for what work outside a dive starts with."""
    hand = app.hand
    if hand is None:
        return
    people = tuple(hand.people or {})
    blanks = [
        Blank("subject", "vehicle or box", hand.vehicle, hand.vehicles),
        Blank("purpose", "what for", hint="bench check, refit, after the fault …"),
        Blank("by", "started by", app.place.answering() or (people[0] if people else ""), people),
    ]

    def keep(values: dict[str, str], form: Form) -> None:
        def job(desk: Desk) -> InHand:
            from rovlog.usecases.dive_steps import start_work

            crew = {"technician": values["by"]} if values["by"] in people else {}
            started = start_work(
                desk.logbook, values["subject"], by=values["by"], purpose=values["purpose"], crew=crew
            )
            return desk.take(started.record)

        started_in(app, form, job)

    app.push_screen(Form("Start work outside a dive", blanks, keep))


def started_in(app: RovlogApp, form: Form, job: Any) -> None:
    """Start it, and show its lists."""

    def done(hand: InHand) -> None:
        form.leave()
        app.chosen_person = ""
        app.show_hand(hand)
        app.go("checks")
        if hand.state is not None:
            app.tell(f"kept: {hand.state.record.id} is started")

    def failed(error: RovlogError) -> None:
        form.tell(f"{error.message}; {error.mend}" if error.mend else error.message)

    app.keep(job, done, failed, ENTER_REST_S)


def water_fields(text: str) -> dict[str, Any]:
    """The water as an entry keeps it, from kind:temperature[:salinity]."""
    from rovlog.usecases.water_spec import parse_water

    water = parse_water(text)
    found: dict[str, Any] = {"kind": water.kind, "temperature_c": water.temperature_c}
    if water.salinity is not None:
        found["salinity"] = water.salinity
    return found


def number_in(text: str, what: str) -> float | None:
    """A number with comma or point; None where nothing is written."""
    if not text:
        return None
    try:
        return float(text.replace(",", "."))
    except ValueError:
        raise UsageError(f"{what} is {text!r}, which is no number", "write 4,5 or 4.5") from None


def _water(last: dict[str, Any]) -> str:
    water = last.get("water") or {}
    if not water:
        return ""
    parts = [str(water.get("kind", "")), f"{float(water.get('temperature_c', 0)):g}"]
    if water.get("salinity") is not None:
        parts.append(f"{float(water['salinity']):g}")
    return ":".join(parts)


def _usual_crew(hand: InHand) -> dict[str, str]:
    """For each role somebody of the logbook who has it, one person for one role as far as they go."""
    crew: dict[str, str] = {}
    for role in ROLES:
        fitting = [p for p, roles in (hand.roles or {}).items() if role in roles]
        free = [p for p in fitting if p not in crew.values()]
        if fitting:
            crew[role] = (free or fitting)[0]
    return crew
