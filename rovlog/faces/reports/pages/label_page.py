"""The label for a vehicle: its name, its revision, the digest's characters, and a QR code of them all."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rovlog.faces.reports.drawings.qr import qr_code
from rovlog.faces.reports.pages.model import Beside, Page, Pairs, Picture
from rovlog.faces.reports.pages.words import Names, digest_letters

if TYPE_CHECKING:
    from rovlog.usecases.report_label import LabelReport


def label_page(report: LabelReport, names: Names) -> Page:
    """The label as a page; the code holds the vehicle, the revision and the whole digest."""
    named = report.named
    revision = str(named.revision) if named.revision is not None else "not approved"
    letters = digest_letters(named.digest, 8)
    which = f"{named.vehicle}@{named.revision}" if named.revision is not None else named.vehicle
    rows = (
        ("Revision", revision),
        ("Digest", f"{letters[:4]} {letters[4:]}"),
        ("Approved", f"{report.day}, {names(report.approved_by)}" if report.day else "no"),
        ("Team", report.team),
    )
    code = Picture(qr_code(f"{which} {named.digest}"), which)
    return Page(
        "Vehicle label",
        report.name,
        (Beside(Pairs(rows), code),),
        foot="Does not say what is in the box: read it back.",
        form="label",
    )
