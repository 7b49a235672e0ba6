"""`rovlog report …`: dive records, sheets, cards, a page for the site's owner, faults, flat exports."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace
from collections.abc import Callable
from typing import TYPE_CHECKING

from rovlog.faces.cli.context import Context, Status
from rovlog.faces.cli.parser import CommandParser, example, subcommands
from rovlog.problems import UsageError

if TYPE_CHECKING:
    from rovlog.faces.reports.pages.layout import Layout
    from rovlog.faces.reports.pages.model import Page
    from rovlog.usecases.logbook import Logbook

SUMMARY = "Reports for people without rovlog: HTML, PDF, plain text; all entries as CSV or JSON Lines."
EXAMPLE = """
rovlog report dive grebe -o dive.html
rovlog report pilot-card grebe -o pilot.pdf
rovlog report fault grebe -o -
rovlog report checklist pre-dive --vehicle grebe --columns 2 -o pre-dive.pdf
rovlog report flat -o entries.csv
"""

PAPERS = ("a4", "letter")
FORMATS = (".html", ".pdf", ".txt")
FLAT_FORMATS = (".csv", ".jsonl")

Make = Callable[[Namespace, "Logbook"], "Page"]


def add_arguments(parser: ArgumentParser) -> None:
    """One subcommand for each report."""
    commands = subcommands(parser)
    for name, (summary, argument, make) in REPORTS.items():
        words = f"rovlog report {name}{' ' + _SAMPLES[argument] if argument else ''}"
        sub = commands.add_parser(
            name, help=summary, description=summary, epilog=example(f"{words} -o {name}.pdf")
        )
        if argument:
            sub.add_argument("subject", metavar=argument, help=_HELP[argument])
        _add_own(name, sub)
        sub.add_argument(
            "--paper",
            choices=PAPERS,
            default="",
            help="paper size: a4 (the usual one of a PDF) or letter",
        )
        _add_output(sub, "FILE ending in .html, .pdf or .txt; - for the terminal", name)
        sub.set_defaults(run=run_page, make=make)
    flat = commands.add_parser(
        "flat",
        help="every entry, flat: CSV or JSON Lines",
        epilog=example("rovlog report flat -o entries.csv"),
    )
    _add_output(flat, "FILE ending in .csv or .jsonl; - for CSV on the terminal", "flat")
    flat.set_defaults(run=run_flat)


_HELP = {
    "DIVE": "a dive's id, or a vehicle: its open dive, else its last",
    "VEHICLE": "grebe (what is in force), grebe@3, grebe@<commit>, or a dive",
    "CHECKLIST": "pre-dive, or pre-dive@<commit>",
    "RECORD": "the dive or work that holds the fault, or a vehicle: its last fault",
}
_SAMPLES = {"DIVE": "grebe", "VEHICLE": "grebe", "RECORD": "grebe", "CHECKLIST": "pre-dive --vehicle grebe"}


def _add_output(parser: CommandParser, words: str, name: str) -> None:
    parser.add_argument("-o", "--output", required=True, metavar="FILE", help=words)


def _add_own(name: str, parser: CommandParser) -> None:
    if name == "site":
        parser.add_argument("--initials", action="store_true", help="people by their initials only")
    elif name == "fault":
        parser.add_argument("--symptom", help="which fault, where the record holds several")
    elif name == "season":
        parser.add_argument("--since", default="", metavar="DAY", help="from this day on (2026-04-01)")
        parser.add_argument("--until", default="", metavar="DAY", help="up to this day, included")
    elif name == "checklist":
        whose = parser.add_mutually_exclusive_group()
        whose.add_argument(
            "--vehicle", default="", metavar="VEHICLE", help="fill in the values of this configuration"
        )
        whose.add_argument(
            "--dive",
            default="",
            metavar="DIVE",
            help="fill in the values, the crew and what is on record of this dive",
        )
        parser.add_argument("--blank", action="store_true", help="leave the values to be written by hand")
        parser.add_argument("--columns", choices=("1", "2"), default="1", help="columns on a sheet")
        parser.add_argument("--large", action="store_true", help="large print: no letter under 14 points")


def run(args: Namespace, context: Context) -> int:
    """Never reached: a subcommand is required and sets its own."""
    raise NotImplementedError


def run_page(args: Namespace, context: Context) -> int:
    """Make one report and write it in the format its file name asks for."""
    from rovlog.faces.reports.pages.layout import Layout
    from rovlog.usecases.logbook import Logbook

    form = _format(args.output, FORMATS)
    logbook = Logbook(context.book())
    page = args.make(args, logbook)
    layout = Layout(args.paper, int(getattr(args, "columns", 1)), getattr(args, "large", False))
    _put(context, args.output, _rendered(page, form, layout), page.kind)
    return Status.FINE


def run_flat(args: Namespace, context: Context) -> int:
    """Write every entry as CSV or JSON Lines."""
    from rovlog.faces.reports.flat_rows import flat_csv, flat_jsonl
    from rovlog.usecases.logbook import Logbook
    from rovlog.usecases.report_flat import report_flat

    form = _format(args.output, FLAT_FORMATS)
    rows, notes = report_flat(Logbook(context.book()))
    text = flat_jsonl(rows) if form == ".jsonl" else flat_csv(rows)
    _put(context, args.output, text.encode(), f"{len(rows)} entries")
    for note in notes:
        context.note(f"note: {note}")
    return Status.FINE


def _format(output: str, known: tuple[str, ...]) -> str:
    """The format by the file's ending; the last of `known` for the terminal, CSV for a flat export."""
    if output == "-":
        return ".txt" if ".txt" in known else known[0]
    found = next((f for f in known if output.lower().endswith(f)), None)
    if found is None:
        raise UsageError(
            f"{output} has no ending that names a format",
            "end it in " + ", ".join(known[:-1]) + f" or {known[-1]}",
        )
    return found


def _rendered(page: Page, form: str, layout: Layout) -> bytes:
    if form == ".html":
        from rovlog.faces.reports.html.page import page_html

        return page_html(page, layout).encode()
    if form == ".pdf":
        from rovlog.faces.reports.pdf.page import page_pdf
        from rovlog.wiring import found_typefaces

        return page_pdf(page, found_typefaces(), layout)
    from rovlog.faces.reports.pages.text import page_text

    return page_text(page).encode()


def _put(context: Context, output: str, data: bytes, what: str) -> None:
    if output == "-":
        text = data.decode()
        context.show({"report": what, "text": text}, text)
        return
    from rovlog.faces.reports.plain import clean
    from rovlog.wiring import write_report

    write_report(output, data)
    context.show({"report": what, "file": output, "bytes": len(data)}, f"written: {clean(output)} ({what})\n")


# --- one maker a report -----------------------------------------------------------------------


def _dive(args: Namespace, logbook: Logbook) -> Page:
    from rovlog.faces.reports.pages.dive_page import dive_page
    from rovlog.usecases.report_dive import report_dive

    return dive_page(report_dive(logbook, args.subject), logbook.person_name)


def _vehicle(args: Namespace, logbook: Logbook) -> Page:
    from rovlog.faces.reports.pages.vehicle_page import vehicle_page
    from rovlog.usecases.report_vehicle import report_vehicle

    return vehicle_page(report_vehicle(logbook, args.subject), logbook.person_name)


def _pilot(args: Namespace, logbook: Logbook) -> Page:
    from rovlog.faces.reports.pages.cards import pilot_card
    from rovlog.usecases.report_cards import report_card

    return pilot_card(report_card(logbook, args.subject))


def _box(args: Namespace, logbook: Logbook) -> Page:
    from rovlog.faces.reports.pages.cards import box_card
    from rovlog.usecases.report_cards import report_card

    return box_card(report_card(logbook, args.subject))


def _label(args: Namespace, logbook: Logbook) -> Page:
    from rovlog.faces.reports.pages.label_page import label_page
    from rovlog.usecases.report_label import report_label

    return label_page(report_label(logbook, args.subject), logbook.person_name)


def _site(args: Namespace, logbook: Logbook) -> Page:
    from rovlog.faces.reports.pages.site_page import site_page
    from rovlog.faces.reports.pages.words import initials_of
    from rovlog.usecases.report_site import report_site

    def initials(who: str) -> str:
        return initials_of(logbook.person_name(who))

    return site_page(report_site(logbook, args.subject), initials if args.initials else logbook.person_name)


def _fault(args: Namespace, logbook: Logbook) -> Page:
    from rovlog.faces.reports.pages.fault_page import fault_page
    from rovlog.usecases.report_fault import report_fault

    return fault_page(report_fault(logbook, args.subject, args.symptom), logbook.person_name)


def _season(args: Namespace, logbook: Logbook) -> Page:
    from rovlog.faces.reports.pages.season_page import season_page
    from rovlog.usecases.report_season import report_season

    return season_page(report_season(logbook, args.subject, args.since, args.until), logbook.person_name)


def _competition(args: Namespace, logbook: Logbook) -> Page:
    from rovlog.faces.reports.pages.competition_page import competition_page
    from rovlog.usecases.report_competition import report_competition

    return competition_page(report_competition(logbook, args.subject))


def _status(args: Namespace, logbook: Logbook) -> Page:
    from rovlog.faces.reports.pages.status_page import status_page
    from rovlog.usecases.status_accounting import status_accounting

    return status_page(status_accounting(logbook), logbook.person_name)


def _emergency(args: Namespace, logbook: Logbook) -> Page:
    from rovlog.faces.reports.pages.emergency_page import emergency_page
    from rovlog.usecases.report_emergency import report_emergency

    return emergency_page(report_emergency(logbook))


def _checklist(args: Namespace, logbook: Logbook) -> Page:
    from rovlog.faces.reports.pages.checklist_page import checklist_page
    from rovlog.faces.reports.pages.emergency_page import emergency_page
    from rovlog.usecases.report_checklist import report_checklist

    report = report_checklist(
        logbook, args.subject, vehicle=args.vehicle, dive=args.dive, is_blank=args.blank
    )
    if report.checklist.phase == "emergency":
        # Cards are acted on, never ticked: there is nothing to write on them.
        return emergency_page((report.checklist,))
    return checklist_page(report)


REPORTS: dict[str, tuple[str, str, Make]] = {
    "dive": ("the dive's record, whole", "DIVE", _dive),
    "vehicle": ("the configuration sheet", "VEHICLE", _vehicle),
    "pilot-card": ("what each stick does, one page for the lid of the box", "VEHICLE", _pilot),
    "box-card": ("what to put in the box, one page for its lid", "VEHICLE", _box),
    "label": ("a label for the vehicle with a QR code", "VEHICLE", _label),
    "site": ("the page for the owner of the site: no trims, no digests", "DIVE", _site),
    "fault": ("a fault from reported to closed", "RECORD", _fault),
    "season": ("a season of one vehicle", "VEHICLE", _season),
    "competition": ("full load, 150 %, next size, the fuse's distance", "VEHICLE", _competition),
    "status": ("status accounting: approved, loaded, pending, waived, due", "", _status),
    "checklist": ("a list for paper, with rules to write the answers on", "CHECKLIST", _checklist),
    "emergency-cards": ("the emergency cards for paper", "", _emergency),
}
"""Each report: what it is, what it is of, and how it is made."""
