"""Starting dives and answering whole lists at once, for tests of what comes after."""

from __future__ import annotations

from typing import Any

from rovlog.domain.checks.checklist import Item
from rovlog.usecases.dive_state import DiveState, dive_state
from rovlog.usecases.dive_steps import start_dive
from rovlog.usecases.logbook import Logbook
from rovlog.usecases.recording import Row, append_all

CREW = {"supervisor": "nora", "pilot": "tomas", "tender": "ife"}
WATER = {"kind": "fresh", "temperature_c": 12.0}


def start(logbook: Logbook, vehicle: str = "auk") -> str:
    """Start a dive with the usual crew; gives its id."""
    return start_dive(logbook, vehicle, by="nora", site="lock", water=WATER, crew=CREW).record


def answer_all(
    logbook: Logbook,
    record: str,
    *,
    but: tuple[str, ...] = (),
    only: tuple[str, ...] = (),
    by_two: bool = True,
) -> None:
    """Answer the items before leaving with values that keep their limits where these are known."""
    state = dive_state(logbook, logbook.record(record))
    rows: list[Row] = []
    for checklist in state.lists:
        if checklist.phase not in ("pre-dive", "launch"):
            continue
        for item in checklist.items():
            if item.item in but or (only and item.item not in only):
                continue
            rows += _rows(state, item, by_two)
    append_all(logbook, logbook.record(record), rows)


def _rows(state: DiveState, item: Item, by_two: bool) -> list[Row]:
    if item.kind == "release":
        return [Row("release", "nora", {"item": item.item, "point": item.item})]
    fields: dict[str, Any] = {"item": item.item, "outcome": "pass", "source": "seen"}
    values = {ask.value: _value(state, item, ask.value) for ask in item.asks}
    if values:
        fields["values"] = values
    rows = [Row("check", "tomas", fields)]
    if item.witness != "none" and by_two:
        rows.append(Row("check", "ife", {**fields, "witness": True}))
    return rows


def _value(state: DiveState, item: Item, name: str) -> Any:
    from rovlog.domain.checks.limits import resolve

    ask = item.ask(name)
    assert ask is not None
    limit = ask.limit
    for reference in (limit.equals, limit.at_least, limit.middle, limit.at_most) if limit else ():
        if reference is not None:
            known = resolve(reference, state.resolved, state.computed).value
            if known is not None:
                return known
    if ask.options:
        return ask.options[0]
    return {"text": "as stated", "yes-no": True}.get(ask.type, 0)
