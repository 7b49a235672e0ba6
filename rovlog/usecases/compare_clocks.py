"""Saying that the laptop's clock was compared with another one, and how far they are apart."""

from __future__ import annotations

from rovlog.domain.audit.agreed_clocks import COMPARED
from rovlog.domain.dive import Record
from rovlog.usecases.logbook import Logbook
from rovlog.usecases.one_line import require_text
from rovlog.usecases.recording import Written, append


def compare_clocks(
    logbook: Logbook,
    record: Record,
    *,
    against: str,
    off_s: float,
    by: str,
    at: str | None = None,
) -> Written:
    """Record that the clock was `off_s` seconds ahead of another one (`against`, in words).

    The times that this laptop writes in the record are agreed by that where the two are near enough.
    """
    require_text("other clock", against)
    fields = {"reading": COMPARED, "values": {"off_s": off_s}, "source": "seen", "text": against}
    return append(logbook, record, "reading", by, fields, at=at)
