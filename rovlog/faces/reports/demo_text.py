"""The demonstration in words: what was made, and what to try on it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from rovlog.usecases.demonstration.make_demonstration import Made


def demo_data(made: Made) -> dict[str, Any]:
    """The demonstration as JSON."""
    return {
        "logbook": made.root,
        "vehicles": list(made.vehicles),
        "dives": list(made.dives),
        "work": list(made.work),
        "last_good": made.last_good,
        "faulty": list(made.faulty),
        "open": made.open_record,
        "commit": made.commit,
    }


def demo_text(made: Made) -> str:
    """What was made, the story in four lines, and commands to try with the ids of this logbook."""
    second = made.faulty[-1]
    tries = (
        ("rovlog", "the app, where the work stopped: a vehicle in quarantine"),
        (f"rovlog work show {made.open_record}", "what is answered there, and what is left"),
        (f"rovlog diagnose {second}", "which wiring fault explains what was seen"),
        ("rovlog audit suspects --vehicle grebe --symptom yaw-dead", "which change to blame"),
        (f"rovlog audit between {made.last_good} {second}", "all that changed since it worked"),
        ("rovlog audit timeline --vehicle grebe --since 2026-08-20", "what happened, in order"),
        ("rovlog response grebe --stick left-stick-x=1", "what that stick ought to do"),
        (f"rovlog drift {_stood_down(made)}", "the dive that a renumbered code stopped"),
        ("rovlog budget grebe", "worst-case current against the fuse, voltage, endurance"),
        ("rovlog vehicle history grebe /trim_defaults/heave", "the life of one value"),
    )
    lines = [
        f"A demonstration logbook stands in {made.root}: {len(made.vehicles)} vehicles, "
        f"{len(made.dives)} dives and {len(made.work)} pieces of work from April to September 2026.",
        "Team, places and numbers are invented; nobody measured any of them.",
        "",
        "Grebe was refitted at the bow on 2 September. Since then right on the left stick slides her to",
        "port instead of turning her. The first search found nothing; the second one has just begun.",
        "",
        f"Try, after cd {made.root}:",
    ]
    for command, why in tries:
        lines += [f"  {command}", f"      {why}"]
    return "\n".join(lines) + "\n"


def _stood_down(made: Made) -> str:
    """The first of the two dives of one day on which the box's numbers had changed their meaning."""
    return next(d for d in made.dives if d.startswith("grebe-20260627"))
