"""Values that the record itself counts: what is typed has to be what is on record."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from rovlog.problems import UsageError

if TYPE_CHECKING:
    from rovlog.domain.checks.checklist import Item
    from rovlog.usecases.dive_state import DiveState

FROM_PAPER = "paper"
"""The source of an answer whose pushes were written down elsewhere: their number is taken as it is said."""


def refuse_other_count(item: Item, values: Mapping[str, Any], state: DiveState, source: str | None) -> None:
    """Raise UsageError where a counted value is given as another number than the record holds."""
    from rovlog.domain.checks.computed import COUNTED

    if source == FROM_PAPER:
        return
    for ask in item.asks:
        name = ask.proposed.computed if ask.proposed is not None else ""
        if name not in COUNTED or ask.value not in values:
            continue
        held = state.computed.get(name) or 0.0
        said = values[ask.value]
        if said != held:
            raise UsageError(
                f"{item.challenge}: {ask.words}: {said:g} typed, {held:g} on record since the last change",
                "watch them one by one (rovlog dive observe DIVE --next) and leave the number out; or, "
                "where they are on paper, --source paper",
            )
