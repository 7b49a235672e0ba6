"""Drawing in lines: cleaned text in a look's styles, folded to a width in cells."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence

from rich.cells import cell_len, set_cell_size
from rich.style import Style
from rich.text import Text

from rovlog.faces.reports.plain import clean
from rovlog.faces.screens.looks import Look

Part = tuple[str, str]
"""Text from anywhere, and the name of the style to draw it in."""


class Pen:
    """Makes lines of text in one look. Whatever it is given is cleaned; nothing is ever markup."""

    def __init__(self, look: Look) -> None:
        self.look = look

    def line(self, *parts: Part | str) -> Text:
        """One line from parts; a bare string is drawn as plain text."""
        text = Text(no_wrap=True, end="")
        for part in parts:
            words, style = (part, "text") if isinstance(part, str) else part
            text.append(clean(words), self.look.style(style))
        return text

    def deed(self, words: str, style: str, deed: str) -> Text:
        """Words that do something when they are clicked."""
        meta = Style(meta={"deed": deed})
        # Appended, not given as the line's own style, which is not drawn with a line that has no parts.
        return Text(no_wrap=True, end="").append(clean(words), self.look.style(style) + meta)

    def fold(
        self, words: str, width: int, style: str = "text", head: Part | None = None, hang: int | None = None
    ) -> list[Text]:
        """Text folded to lines of `width` cells; `head` stands before the first, blanks before the others.

        `hang` is how many blanks: as many as the head is wide unless it is given.
        """
        first = cell_len(clean(head[0])) if head else 0
        indent = first if hang is None else hang
        rows = fold_words(clean(words), max(8, width - indent), max(1, width - first))
        lines = []
        for number, row in enumerate(rows):
            before = head if number == 0 and head else (" " * (indent if number else first), "text")
            lines.append(self.line(before, (row, style)))
        return lines

    def flow(self, parts: Sequence[Part | Text], width: int, hang: int = 0) -> list[Text]:
        """Parts one after the other, a blank between, folded to `width` cells with each its own style.

        What is given as a Text is never broken; lines after the first begin `hang` cells in.
        """
        pieces: list[Text] = []
        for part in parts:
            if isinstance(part, Text):
                pieces.append(part)
                continue
            words, style = part
            rows = fold_words(clean(words), max(8, width - hang)) if words else []
            pieces += [self.line((word, style)) for each in rows for word in each.split(" ") if word]
        lines: list[Text] = []
        for piece in pieces:
            if lines and lines[-1].cell_len + 1 + piece.cell_len <= width:
                lines[-1].append(" ", self._between(lines[-1], piece)).append_text(piece)
            else:
                lines.append(self.line((" " * (hang if lines else 0), "text")).append_text(piece))
        return lines

    def _between(self, line: Text, piece: Text) -> Style:
        """The style of the blank between two words: theirs where they share one, else plain."""
        before = line.spans[-1].style if line.spans else None
        after = piece.spans[0].style if piece.spans else None
        plain = self.look.style("text")
        return before if before == after and isinstance(before, Style) else plain

    def report(self, text: str, width: int, is_folded: bool = True) -> list[Text]:
        """A report's text folded for this width; `is_folded` where it was folded for 80 columns."""
        lines: list[Text] = []
        for row in unfolded(text) if is_folded else text.splitlines():
            indent = len(row) - len(row.lstrip(" "))
            words = row.strip(" ")
            hang = indent + 2 if indent or BEGINS_A_ROW.match(words) else 0
            lines += (
                self.fold(words, width, "text", (" " * indent, "text"), hang) if words else [self.line("")]
            )
        return lines

    def band(self, words: str, width: int, style: str) -> Text:
        """Words on a band of their style over the whole width."""
        return self.line((set_cell_size(clean(words), max(1, width)), style))

    def beside(self, left: Text, right: Text, width: int) -> Text:
        """Left and right on one line; the left one is cut where both do not fit."""
        room = max(0, width - right.cell_len)
        if left.cell_len > room:
            left = left.copy()
            left.truncate(max(0, room - 1), overflow="ellipsis")
        gap = " " * max(0, width - left.cell_len - right.cell_len)
        return (
            Text("", end="", no_wrap=True)
            .append_text(left)
            .append(gap, self.look.style("text"))
            .append_text(right)
        )


BEGINS_A_ROW = re.compile(r"\d{4}-\d\d-\d\d|\d\d:\d\d|\d+\. |[^\w\s(\"“'] |[a-z]+( [a-z]+)?: ")
"""A date, a time, a number, a mark or a label begins a row of its own; it was never folded there."""


def unfolded(text: str, width: int = 80) -> list[str]:
    """The rows of a text as they were before they were folded to `width` columns.

    A row is joined to the one before it where its first word would not have fitted there.
    """
    rows: list[str] = []
    last, is_folded = "", False
    for row in text.splitlines():
        first = row.strip(" ").partition(" ")[0]
        indent, before = len(row) - len(row.lstrip(" ")), len(last) - len(last.lstrip(" "))
        # In a list what was folded goes on further in; below it stands another row of the list.
        is_open = last.count("(") > last.count(")")
        is_deeper = indent > before or (indent == before and (before == 0 or is_folded or is_open))
        is_full = len(last) <= width < len(last) + 1 + len(first)
        is_own = bool(BEGINS_A_ROW.match(row.strip(" ")))
        if rows and first and not is_own and last.strip(" ") and is_deeper and is_full:
            rows[-1] += " " + row.strip(" ")
            is_folded = True
        else:
            rows.append(row)
            is_folded = False
        last = row
    return rows


def fold_words(text: str, width: int, first: int | None = None) -> list[str]:
    """Words in lines of at most `width` cells, the first of at most `first`; a longer word is cut."""
    rows: list[str] = []
    row = ""
    for word in text.split(" "):
        rest = word
        while cell_len(rest) > width:
            cut = _cut(rest, width)
            if row:
                rows.append(row)
                row = ""
            rows.append(rest[:cut])
            rest = rest[cut:]
        joined = f"{row} {rest}" if row else rest
        if cell_len(joined) > (width if rows or first is None else first):
            rows.append(row)
            row = rest
        else:
            row = joined
    rows.append(row)
    return rows


def _cut(text: str, width: int) -> int:
    """How many characters of the text fit into `width` cells; at least one."""
    used = 0
    for place, character in enumerate(text):
        used += cell_len(character)
        if used > width:
            return max(1, place)
    return len(text)


def fitted(parts: Sequence[Iterable[str]], width: int, gap: str = "  ") -> list[str]:
    """One form of each part so that all fit on a line: each part gives its forms from long to short.

    Later parts are shortened first; what does not fit in its shortest form is left out, the last first.
    """
    forms = [list(p) for p in parts]
    chosen = [0] * len(forms)
    while forms:
        used = sum(cell_len(f[c]) for f, c in zip(forms, chosen, strict=True)) + len(gap) * (len(forms) - 1)
        if used <= width:
            break
        longest = [i for i in reversed(range(len(forms))) if chosen[i] + 1 < len(forms[i])]
        if longest:
            chosen[longest[0]] += 1
        else:
            forms.pop()
            chosen.pop()
    return [f[c] for f, c in zip(forms, chosen, strict=True)]
