"""Lending a vehicle to another team and taking it back: work on record, and what must then be redone."""

from __future__ import annotations

from rovlog.problems import UsageError
from rovlog.usecases.dive_steps import StartedDive, close, start_work
from rovlog.usecases.logbook import Logbook
from rovlog.usecases.one_line import require_text
from rovlog.usecases.ports import CommitOutcome
from rovlog.usecases.recording import Row, append_all
from rovlog.usecases.whereabouts import LENT, Loan, loan_of
from rovlog.values import dataclass


@dataclass(frozen=True, slots=True)
class Returned:
    """A vehicle that is back: the loan that ended, how many answers it voided, and the commit."""

    loan: Loan
    voided: int
    commit: CommitOutcome


def lend_vehicle(
    logbook: Logbook, vehicle: str, *, to: str, by: str, text: str | None = None, at: str | None = None
) -> StartedDive:
    """Record that another team has the vehicle. Refused while it is lent, or has an open dive."""
    require_text("name of the other team", to)
    if text is not None:
        require_text("remark", text)
    logbook.vehicle(vehicle)
    loan = loan_of(logbook, vehicle)
    if loan is not None:
        raise UsageError(f"{vehicle} is {loan.words} already", f"rovlog work return {vehicle} --by PERSON")
    dives = [r.id for r in logbook.records(vehicle, ("dive",)) if not r.is_closed]
    if dives:
        raise UsageError(
            f"{vehicle} has an open dive: {dives[0]}", f"close it first: rovlog dive close {dives[0]}"
        )
    started = start_work(logbook, vehicle, by=by, purpose=LENT + to.strip(), at=at)
    if text is not None:
        append_all(logbook, logbook.record(started.record), [Row("note", by, {"text": text}, at)])
    return started


def return_vehicle(
    logbook: Logbook, vehicle: str, *, by: str, text: str | None = None, at: str | None = None
) -> Returned:
    """Record that the vehicle is back. What nobody of the team saw counts as having happened: every
    answer that opening, parting, swapping, knocking or setting would void is asked for again."""
    from rovlog.usecases.turn_round import held_answers

    if text is not None:
        require_text("remark", text)
    logbook.vehicle(vehicle)
    loan = loan_of(logbook, vehicle)
    if loan is None:
        raise UsageError(f"{vehicle} is not lent to anybody", "rovlog vehicle list shows where each one is")
    before = held_answers(logbook, vehicle)
    rows = [Row("event", by, {"event": "returned", "text": loan.words}, at)]
    if text is not None:
        rows.append(Row("note", by, {"text": text}, at))
    append_all(logbook, loan.record, rows)
    _, outcome = close(logbook, logbook.record(loan.record.id), by=by, text="back from loan", at=at)
    return Returned(loan, len(before - held_answers(logbook, vehicle)), outcome)
