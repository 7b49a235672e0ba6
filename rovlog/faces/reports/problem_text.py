"""A problem of a document in words: where, what, what was expected, the line with a caret, the mend."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from unicodedata import combining, east_asian_width

from rovlog.faces.reports.plain import clean, clean_character
from rovlog.problems import Problem

LINE_CELLS = 96
"""The most screen cells of a line that are shown; of a longer one the part around the caret is."""

_CUT = "…"


def problem_text(problem: Problem) -> str:
    """The whole message, without a final line end."""
    place = problem.place
    head = f"{clean(place.file)}:{place.line}:{place.column}: {problem.rule}: {clean(problem.message)}"
    if problem.expected:
        head += f"; expected {clean(problem.expected)}"
    lines = [head]
    if problem.line_text:
        lines += [f"    {line}".rstrip() for line in caret_lines(problem)]
    if problem.mend:
        lines.append(f"  mend: {clean(problem.mend)}")
    return "\n".join(lines)


def problems_text(problems: Iterable[Problem]) -> str:
    """All messages, in the order given, a line end after each."""
    return "".join(problem_text(problem) + "\n" for problem in problems)


def caret_lines(problem: Problem) -> tuple[str, str]:
    """The line as it can be shown, and the line of carets that stands right below the culprit."""
    line = problem.line_text
    first = min(max(problem.place.column - 1, 0), len(line))
    left = max(0, first - LINE_CELLS)  # a line may have a million characters: look at those near the caret
    shown = [clean_character(c) for c in line[left : first + LINE_CELLS]]
    first -= left
    last = min(first + max(problem.width, 1), max(len(shown), first + 1))
    begin, end = _window([cells(s) for s in shown], first, last, is_part=len(shown) < len(line))
    before = (_CUT if left + begin else "") + "".join(shown[begin:first])
    marked = "".join(shown[first : min(last, end)])
    after = "".join(shown[min(last, end) : end]) + (_CUT if left + end < len(line) else "")
    return before + marked + after, " " * cells(before) + "^" * max(1, cells(marked))


def cells(text: str) -> int:
    """Screen cells of a text: two for wide characters, none for combining ones."""
    if text.isascii():
        return len(text)
    return sum(0 if combining(c) else 2 if east_asian_width(c) in {"W", "F"} else 1 for c in text)


def _window(widths: Sequence[int], first: int, last: int, is_part: bool) -> tuple[int, int]:
    """The part [begin, end) of a line that is shown: all of it, or what fits around the culprit."""
    room = LINE_CELLS - 2  # a cut at either side
    if sum(widths) <= (room if is_part else LINE_CELLS):
        return 0, len(widths)
    begin = end = first
    while end < last and end < len(widths) and widths[end] <= room:
        room -= widths[end]
        end += 1
    lead = room // 2
    while begin > 0 and widths[begin - 1] <= lead:
        begin -= 1
        lead -= widths[begin]
        room -= widths[begin]
    while end < len(widths) and widths[end] <= room:
        room -= widths[end]
        end += 1
    while begin > 0 and widths[begin - 1] <= room:
        begin -= 1
        room -= widths[begin]
    return begin, end
