"""rovlog diagnose: which wiring or setup fault explains what was seen."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rovlog.faces.cli.parser import number
from rovlog.problems import UsageError

if TYPE_CHECKING:
    import argparse

    from rovlog.faces.cli.context import Context
    from rovlog.usecases.diagnose import Diagnosed

SUMMARY = """Which wiring or setup fault explains what was seen, and which push would tell most.

From the function tests of a dive or of work, or from a file:
  {observations: [{push: {CONTROL: POSITION}, seen: {THRUSTER: ahead|astern|still|unseen}}]}
ahead is a push along the thruster's recorded thrust_direction, whichever way its propeller turns.
Without --dry or --wet a push is proposed for where the record is: in water while it is marked so,
else where the last push was made.
Exit status: 0 where nothing wrong is likeliest, 1 where a fault is."""

EXAMPLE = """
rovlog diagnose grebe-20260411-vgfe
rovlog diagnose --observations tub.yaml --vehicle grebe --dry
"""


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Where the observations are, and the limits out of the water."""
    parser.add_argument("record", nargs="?", metavar="DIVE", help="a dive or work record")
    parser.add_argument("--observations", metavar="FILE", help="a file of observations instead")
    parser.add_argument("--vehicle", metavar="VEHICLE", help="the configuration they are of")
    where = parser.add_mutually_exclusive_group()
    where.add_argument("--dry", action="store_true", help="propose pushes within the limits in air")
    where.add_argument("--wet", action="store_true", help="propose pushes for the water or a tub")
    parser.add_argument(
        "--misreport", type=number, metavar="P", help="chance of a wrong report (default 0.03)"
    )
    parser.add_argument(
        "--certainty", type=number, metavar="P", help="stop proposing from here (default 0.95)"
    )


def run(args: argparse.Namespace, context: Context) -> int:
    """Print the ranking and the next push."""
    from rovlog.faces.cli.context import Status
    from rovlog.faces.reports.diagnosis_text import diagnosis_data, diagnosis_text

    found = _diagnosed(args, context)
    context.show(diagnosis_data(found), diagnosis_text(found))
    return Status.FINDING if found.diagnosis.ranked[0].edits else Status.FINE


def _diagnosed(args: argparse.Namespace, context: Context) -> Diagnosed:
    from rovlog.domain.diagnosis.diagnose import DEFAULT_SETTINGS
    from rovlog.usecases.diagnose import diagnose_file, diagnose_record
    from rovlog.usecases.logbook import Logbook
    from rovlog.values import replace

    given = {k: v for k in ("misreport", "certainty") if (v := getattr(args, k)) is not None}
    settings = replace(DEFAULT_SETTINGS, **given)
    is_dry = True if args.dry else False if args.wet else None
    if args.observations is None:
        if args.record is None or args.vehicle is not None:
            raise UsageError(
                "rovlog diagnose needs a dive, or a file of observations with its vehicle",
                "rovlog diagnose DIVE, or rovlog diagnose --observations FILE --vehicle VEHICLE",
            )
        return diagnose_record(Logbook(context.book()), args.record, is_dry=is_dry, settings=settings)
    if args.vehicle is None or args.record is not None:
        raise UsageError(
            "a file of observations needs its vehicle, and no dive beside it",
            "rovlog diagnose --observations FILE --vehicle VEHICLE",
        )
    from rovlog.wiring import read_given

    data = read_given(args.observations)
    logbook = Logbook(context.book())
    return diagnose_file(logbook, args.vehicle, data, args.observations, is_dry=is_dry, settings=settings)
