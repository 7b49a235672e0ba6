"""What each thruster ought to do on a push, and whether an observation agrees."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from rovlog.domain.dive import Entry, Record
from rovlog.problems import RovlogError
from rovlog.usecases.logbook import Logbook


def predicted_push(resolved: Mapping[str, Any], push: Mapping[str, float]) -> dict[str, str]:
    """Per thruster: ahead (along its thrust direction), astern or still, through shaping and trims."""
    from rovlog.documents.configuration import configuration
    from rovlog.domain.allocation.response import response_to_sticks
    from rovlog.domain.diagnosis.diagnose import DEFAULT_SETTINGS

    typed = configuration(resolved)
    found = response_to_sticks(typed, push)
    words = {}
    for thruster in typed.thrusters:
        command = thruster.sign * found.channels.get(thruster.channel, 0.0)
        if abs(command) < DEFAULT_SETTINGS.still_below:
            words[thruster.thruster] = "still"
        else:
            words[thruster.thruster] = "ahead" if command > 0 else "astern"
    return words


class Predictions:
    """What observations ought to have shown, against what each record flew; worked out once a record."""

    def __init__(self, logbook: Logbook) -> None:
        self._logbook = logbook
        self._flown: dict[str, tuple[Record, Mapping[str, Any] | None]] = {}

    def agrees(self, record: Record, entry: Entry) -> bool | None:
        """True where all that was seen is as predicted, False where not, None where it cannot be told."""
        count = self.mismatches(record, entry)
        return None if count is None else count == 0

    def mismatches(self, record: Record, entry: Entry) -> int | None:
        """How many thrusters were seen doing what is not predicted; None where it cannot be told."""
        resolved = self._resolved(record)
        if resolved is None:
            return None
        try:
            predicted = predicted_push(resolved, dict(entry.fields.get("push") or {}))
        except RovlogError:
            # A configuration that cannot be computed predicts nothing, so nothing can be told from it.
            return None
        reports = dict(entry.fields.get("seen") or {})
        seen = {k: v for k, v in reports.items() if v != "unseen" and k in predicted}
        if not seen:
            return None
        return sum(1 for k, v in seen.items() if predicted[k] != v)

    def _resolved(self, record: Record) -> Mapping[str, Any] | None:
        from rovlog.usecases.audit_history import as_flown_of

        known = self._flown.get(record.id)
        if known is None or known[0] is not record:
            known = self._flown[record.id] = (record, as_flown_of(self._logbook, record).resolved)
        return known[1]
