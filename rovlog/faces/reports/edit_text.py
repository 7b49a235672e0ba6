"""One edit of a configuration in words and as data: what it changes in the file, and what that does."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from rovlog.faces.reports.plain import clean

if TYPE_CHECKING:
    from rovlog.usecases.edit_configuration import PlannedEdit, WrittenEdit


def edit_data(planned: PlannedEdit, written: WrittenEdit | None) -> dict[str, Any]:
    """An edit as data; `from` is null where the file did not say the value (`new` is then true)."""
    from rovlog.domain.drift.leaves import ABSENT
    from rovlog.faces.reports.drift_text import effect_data

    commit = written.commit if written else None
    return {
        "vehicle": planned.vehicle,
        "file": planned.file,
        "pointer": planned.pointer,
        "file_pointer": planned.file_pointer,
        "from": None if planned.was is ABSENT else planned.was,
        "to": planned.becomes,
        "new": planned.was is ABSENT,
        "effect": effect_data(planned.compared.effect),
        "stops": [{"finding": f.finding, "text": f.text} for f in planned.stops],
        "also_changes": list(planned.also),
        "digest": {"before": planned.compared.a.digest, "after": planned.compared.b.digest},
        "written": written is not None and planned.is_change,
        "commit": commit.commit if commit else None,
    }


def edit_text(planned: PlannedEdit, written: WrittenEdit | None) -> str:
    """An edit in words: was, becomes, where, what it does, and whether it is written."""
    from rovlog.domain.drift.words import place_words, value_words

    pointer = planned.pointer
    lines = [
        f"{planned.vehicle}: {clean(place_words(pointer))}  ({clean(pointer)})",
        f"  was      {clean(value_words(pointer, planned.was))}",
        f"  becomes  {clean(value_words(pointer, planned.becomes))}",
        f"  stands   in {planned.file} at {clean(planned.file_pointer)}",
    ]
    lines += [f"  does     {clean(words)}" for words in _effect_words(planned)]
    lines += [f"  stops    a dive: {clean(f.text)}" for f in planned.stops]
    lines += [f"  also     changes {other}, which uses the same file" for other in planned.also]
    lines += [f"  open     {dive}: answers that this voids are asked again" for dive in planned.open_dives]
    return "\n".join([*lines, _ending(planned, written)]) + "\n"


def _effect_words(planned: PlannedEdit) -> list[str]:
    if not planned.compared.rows:
        return ["nothing: the configuration stays the same"] if planned.is_change else []
    effect = planned.compared.effect
    return [effect.text if effect is not None else "an effect that could not be computed"]


def _ending(planned: PlannedEdit, written: WrittenEdit | None) -> str:
    if not planned.is_change:
        return "The file says so already: nothing is written."
    if written is None:
        return "Preview: nothing is written."
    if written.commit is not None and written.commit.commit is not None:
        return f"Written, and committed as {written.commit.commit[:10]}."
    if written.commit is not None:
        return "Written."
    return "Written, not committed; approve it when it is right: rovlog vehicle approve " + planned.vehicle
