"""Logging about kit and crew: what box and pilot say, readings, pushes, parts, evidence, corrections."""

from __future__ import annotations

from typing import Any

from rovlog.domain.dive import ROLES
from rovlog.faces.screens.desk import Desk
from rovlog.faces.screens.dialogs import Blank
from rovlog.faces.screens.log_forms import LogForms
from rovlog.faces.screens.start_forms import number_in, water_fields
from rovlog.faces.screens.typed_values import box_blanks, box_values, pairs, split_pair
from rovlog.problems import UsageError
from rovlog.usecases.function_test import Medium


class KitDeeds(LogForms):
    """Deeds on the record in hand; each asks for its lines first."""

    def deed_setup(self) -> None:
        """What the pilot says is set in the box."""

        def keep(desk: Desk, values: dict[str, str]) -> None:
            from rovlog.usecases.dive_steps import state_setup

            state_setup(desk.logbook, desk.logbook.record(desk.record), box_values(values), by=values["by"])

        self.ask("Setup, as the pilot says it", box_blanks(""), keep, "kept: the pilot's word")

    def deed_readback(self) -> None:
        """A readback typed in from the box."""

        def keep(desk: Desk, values: dict[str, str]) -> None:
            from rovlog.usecases.type_readback import type_readback

            type_readback(
                desk.logbook,
                desk.logbook.record(desk.record),
                by=values["by"],
                in_use=box_values(values),
                firmware=values["firmware"] or None,
                source="box-read",
            )

        blanks = [*box_blanks(""), Blank("firmware", "firmware", hint="empty: as on file")]
        self.ask("Readback: what the box itself shows", blanks, keep, "kept: the readback; Drift compares it")

    def deed_reading(self) -> None:
        """A reading of an instrument."""

        def keep(desk: Desk, values: dict[str, str]) -> None:
            from rovlog.usecases.dive_steps import log_reading

            found = pairs(values["values"], "value")
            log_reading(
                desk.logbook, desk.logbook.record(desk.record), values["reading"], found, by=values["by"]
            )

        kinds = ("clamp-meter", "supply", "gauge", "load-step", "thermometer")
        blanks = (Blank("reading", "what was read", options=kinds),
                  Blank("values", "values", hint="current_a=7,5 voltage_v=12,1"))  # fmt: skip
        self.ask("Reading", blanks, keep, "kept: the reading")

    def deed_observe(self) -> None:
        """A push of the function test and what each thruster did."""

        def keep(desk: Desk, values: dict[str, str]) -> None:
            from rovlog.usecases.function_test import observe_push

            seen = dict(split_pair(p, "thruster") for p in values["seen"].split())
            medium: Medium = "wet" if values["medium"] == "wet" else "dry"
            observe_push(desk.logbook, desk.logbook.record(desk.record), seen, pairs(values["push"], "push"),
                         by=values["by"], medium=medium)  # fmt: skip

        blanks = (Blank("push", "push", hint="left-stick-y=-0,3"),
                  Blank("seen", "seen", hint="where each throws: bow-port=stern lift=none"),
                  Blank("medium", "dry or wet", "dry", ("dry", "wet")))  # fmt: skip
        self.ask("Push of the function test", blanks, keep, "kept: the push and what was seen")

    def deed_crew(self) -> None:
        """A change of crew."""
        state = self.hand.state if self.hand else None
        crew = dict(state.crew) if state else {}
        people = tuple((self.hand.people if self.hand else None) or {})

        def keep(desk: Desk, values: dict[str, str]) -> None:
            from rovlog.usecases.dive_steps import check_crew, log

            changed = {r: values[r] for r in ROLES if values[r] and values[r] != crew.get(r)}
            if not changed:
                raise UsageError("nobody changes", "write who takes which role, or leave with escape")
            check_crew(desk.logbook, changed)
            log(desk.logbook, desk.logbook.record(desk.record), "crew", {"crew": changed}, by=values["by"])

        self.ask(
            "Crew from now on", [Blank(r, r, crew.get(r, ""), people) for r in ROLES], keep, "kept: the crew"
        )

    def deed_change_place(self) -> None:
        """A change of place or water."""

        def keep(desk: Desk, values: dict[str, str]) -> None:
            from rovlog.usecases.dive_steps import log

            fields = {
                "site": values["site"] or None,
                "water": water_fields(values["water"]) if values["water"] else None,
                "depth_m": number_in(values["depth"], "depth"),
            }
            if not any(v is not None for v in fields.values()):
                raise UsageError("nothing changes", "write what is new, or leave with escape")
            log(desk.logbook, desk.logbook.record(desk.record), "place", fields, by=values["by"])

        blanks = (Blank("site", "site"), Blank("water", "water", hint="fresh:18 or salt:12:33"),
                  Blank("depth", "deepest planned, m"))  # fmt: skip
        self.ask("Place from now on", blanks, keep, "kept: the place")

    def deed_fitted(self) -> None:
        """A part fitted."""

        def keep(desk: Desk, values: dict[str, str]) -> None:
            from rovlog.usecases.dive_steps import log

            fields = {"part": values["part"], "to": values["to"], "replaces": values["replaces"] or None}
            log(desk.logbook, desk.logbook.record(desk.record), "fitted", fields, by=values["by"])

        blanks = (
            Blank("part", "part, by its id"),
            Blank("to", "fitted as", hint="tether, battery, fuse-holder …"),
            Blank("replaces", "in place of", hint="may be left out"),
        )
        self.ask("Part fitted", blanks, keep, "kept: the part")

    def deed_attach(self) -> None:
        """A file kept as evidence, with its digest."""

        def keep(desk: Desk, values: dict[str, str]) -> None:
            from rovlog.usecases.attach_evidence import attach_evidence

            record = desk.logbook.record(desk.record)
            attach_evidence(desk.logbook, record, values["file"], what=values["what"], by=values["by"])

        blanks = (
            Blank("file", "file in the logbook's folder"),
            Blank("what", "what it shows, who holds the thing"),
        )
        self.ask("File kept as evidence", blanks, keep, "kept: the file's name and digest")

    def deed_correct_entry(self) -> None:
        """Correct an entry by a further one."""

        def keep(desk: Desk, values: dict[str, str]) -> None:
            from rovlog.usecases.dive_steps import correct

            name, value = split_pair(values["change"], "field")
            changes: dict[str, Any] = {name: value}
            correct(desk.logbook, desk.logbook.record(desk.record), values["entry"], changes,
                    by=values["by"], reason=values["reason"])  # fmt: skip

        blanks = (Blank("entry", "entry, by its number"), Blank("change", "field=what should stand there"),
                  Blank("reason", "why"))  # fmt: skip
        self.ask("Correct an entry", blanks, keep, "kept: corrected by a further entry; the first one stays")
