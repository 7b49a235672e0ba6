"""Commands that only read, answered from the index where nothing changed since they were asked last."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from typing import TYPE_CHECKING, Any

from rovlog.faces.cli.context import Context, Status

if TYPE_CHECKING:
    from rovlog.usecases.logbook import Logbook
    from rovlog.usecases.ports import Book


def answer(data: Any, text: str, notes: Iterable[str] = (), status: int = Status.FINE) -> dict[str, Any]:
    """All that a command says: its result as data and as text, what goes beside it, and its exit status."""
    return {"data": data, "text": text, "notes": list(notes), "status": int(status)}


def tell(
    context: Context,
    question: Sequence[Any],
    make: Callable[[Logbook], dict[str, Any]],
    given: Sequence[Any] = (),
    within: Sequence[str] = ("",),
) -> int:
    """Say what `make` answers, or what it answered when everything it was made from was the same.

    `question` names the command and everything it was given, `given` what else the answer comes from,
    `within` the folders it looks into. Returns the exit status.
    """
    from rovlog.usecases.kept_answers import kept_answer

    def made(book: Book) -> dict[str, Any]:
        from rovlog.usecases.held_logbook import HeldLogbook

        return make(HeldLogbook(book))

    said = kept_answer(context.book(), question, made, given, within)
    context.show(said["data"], said["text"])
    for note in said["notes"]:
        context.note(note)
    return int(said["status"])
