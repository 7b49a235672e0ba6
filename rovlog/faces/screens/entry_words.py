"""One entry of a record in one line: number, time, what it is, who."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from rich.text import Text

from rovlog.domain.audit.timeline import entry_words
from rovlog.domain.checks.blind import HIDDEN, is_covered
from rovlog.domain.dive import Entry
from rovlog.faces.screens.drawing import Pen

STYLES = {
    "fault": "failed",
    "deferral": "deferred",
    "waiver": "waived",
    "event": "expired",
    "correction": "old",
    "torn": "failed",
    "mark": "strong",
    "release": "strong",
    "close": "strong",
    "start": "strong",
}


def words_of(entry: Entry, called: Callable[[str], str] = str) -> str:
    """The entry in words. `called` says how a crew calls an item of this id."""
    fields = entry.fields
    item = called(str(fields.get("item", "")))
    if is_covered(entry):
        return f"{item or 'an answer corrected'}: kept; hidden {fields[HIDDEN]}"
    match entry.kind:
        case "check":
            values = ", ".join(
                f"{k.replace('_', ' ')} {_said(v)}" for k, v in (fields.get("values") or {}).items()
            )
            second = ", second person" if fields.get("witness") else ""
            outcome = "" if fields.get("outcome") == "pass" else ", FAILED"
            text = f": {fields['text']}" if fields.get("text") else ""
            return f"{item}{second}{outcome}{': ' + values if values else ''}{text}"
        case "deferral" | "not-applicable":
            word = entry.kind.replace("-", " ")
            until = f", until {fields['until']}" if fields.get("until") else ""
            return f"{item} {word}{until}: {fields.get('reason', '')}"
        case "pause":
            return f"paused: {fields.get('reason', '')}"
        case "resume":
            return "resumed"
        case "completion":
            return f"“{fields.get('text') or fields.get('section')}”"
        case "reading":
            values = ", ".join(
                f"{k.replace('_', ' ')} {_said(v)}" for k, v in (fields.get("values") or {}).items()
            )
            return f"{fields.get('reading')}: {values}"
        case "observation":
            seen = ", ".join(f"{k} {v}" for k, v in (fields.get("seen") or {}).items())
            push = ", ".join(f"{k} {_said(v)}" for k, v in (fields.get("push") or {}).items())
            return f"{fields.get('medium')} push {push}: {seen}"
        case "note":
            return str(fields.get("text", ""))
        case "crew":
            return ", ".join(f"{r} {p}" for r, p in (fields.get("crew") or {}).items())
        case "correction":
            changes = ", ".join(f"{k} {_said(v)}" for k, v in (fields.get("set") or {}).items())
            return f"{changes}: {fields.get('reason', '')}"
        case "start":
            return str(fields.get("site") or fields.get("purpose") or "started")
        case "torn":
            return f"a line that was cut off: {fields.get('text', '')}"
    return entry_words(entry)


def entry_line(
    entry: Entry, width: int, pen: Pen, names: Callable[[str], str], called: Callable[[str], str] = str
) -> Text:
    """The line of an entry; one from memory or corrected says so."""
    style = STYLES.get(entry.kind, "text")
    if entry.kind == "check" and entry.fields.get("outcome") == "fail":
        style = "failed"
    clock = "~" if entry.fields.get("clock") == "memory" else " "
    more = " (corrected)" if entry.corrected_by else ""
    left = pen.line(
        (f"{entry.n:>4} {entry.at[11:16]}{clock}", "quiet"),
        (f"{entry.kind:<11} ", "label"),
        (words_of(entry, called) + more, style),
    )
    return pen.beside(left, pen.line((f" {names(entry.by)}", "quiet")), width)


def _pairs(values: object) -> str:
    rows = values.items() if isinstance(values, Mapping) else ()
    return ", ".join(f"{str(k).replace('_', ' ')} {_said(v)}" for k, v in rows)


def _said(value: object) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    return (
        f"{value:g}"
        if isinstance(value, float)
        else str(value).replace("-", " ")
        if isinstance(value, str)
        else str(value)
    )
