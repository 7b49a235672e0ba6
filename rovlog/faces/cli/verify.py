"""`rovlog verify`: what these files can prove, and whether they do."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace

from rovlog.faces.cli.context import Context, Status

SUMMARY = (
    "Digests, closes, approvals, attachments, references and the state of git; and what none of it can prove."
)
EXAMPLE = "rovlog verify"


def add_arguments(parser: ArgumentParser) -> None:
    """No arguments of its own."""


def run(args: Namespace, context: Context) -> int:
    """Print what was found and what passing means."""
    from rovlog.faces.reports.plain import clean
    from rovlog.usecases.logbook import Logbook
    from rovlog.usecases.verify_logbook import CANNOT, PROVES, verify_logbook

    rows = verify_logbook(Logbook(context.book()))
    wrong = [r for r in rows if r.outcome == "wrong"]
    lines = [f"{r.outcome:<6} {r.what}: {clean(r.text)}" for r in rows]
    lines += ["", "What passing shows:", *(f"  {p}" for p in PROVES)]
    lines += ["What it cannot show:", *(f"  {c}" for c in CANNOT)]
    data = {
        "rows": [{"what": r.what, "outcome": r.outcome, "text": r.text} for r in rows],
        "wrong": len(wrong),
        "proves": list(PROVES),
        "cannot": list(CANNOT),
    }
    context.show(data, "\n".join(lines) + "\n")
    return Status.FINDING if wrong else Status.FINE
