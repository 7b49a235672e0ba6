"""An error as a person reads it, and as data."""

from __future__ import annotations

from typing import Any

from rovlog.problems import DocumentError, Problem, RovlogError


def as_text(error: RovlogError) -> str:
    """The error in full: every problem with its caret line, or the sentence and its mend."""
    from rovlog.faces.reports.plain import clean

    if isinstance(error, DocumentError):
        from rovlog.faces.reports.problem_text import problems_text

        return problems_text(error.problems)
    text = f"rovlog: {clean(error.message, lines=True)}\n"
    return text + (f"  mend: {clean(error.mend, lines=True)}\n" if error.mend else "")


def problem_data(problem: Problem) -> dict[str, Any]:
    """One problem as `validate --json` gives it."""
    return {
        "file": problem.place.file,
        "line": problem.place.line,
        "column": problem.place.column,
        "pointer": problem.pointer,
        "rule": problem.rule,
        "message": problem.message,
        "found": problem.found,
        "expected": problem.expected,
        "mend": problem.mend,
    }


def as_data(error: RovlogError) -> dict[str, Any]:
    """The error as one JSON object."""
    data: dict[str, Any] = {"error": error.message, "mend": error.mend}
    if isinstance(error, DocumentError):
        data["problems"] = [problem_data(p) for p in error.problems]
    return data
