"""Rules to write on by hand: words, rules and boxes side by side, going on below where the room ends."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Literal

from reportlab.lib.colors import HexColor
from reportlab.pdfbase.pdfmetrics import stringWidth
from reportlab.platypus import Flowable

from rovlog.faces.reports.drawings.shapes import COLOURS
from rovlog.faces.reports.pages.model import Blanks
from rovlog.faces.reports.pdf.letters import BOLD, PLAIN, Letters
from rovlog.faces.reports.plain import clean
from rovlog.values import dataclass

if TYPE_CHECKING:
    from reportlab.pdfgen.canvas import Canvas

ROOM = 44.0
"""Points that a hand needs for a number or a time, at the usual size (project default)."""

HIGH = 17.0
"""Points from one row to the next where something is written by hand, at the usual size."""

BOX = 0.8
"""Side of a box to mark, as a share of the letters' size."""


@dataclass(frozen=True, slots=True)
class Piece:
    """A word, a rule with the unit behind it, or a box: its least width, points, and the gap before it."""

    kind: Literal["word", "rule", "box"]
    width: float
    gap: float
    text: str = ""


class RuledLines(Flowable):
    """Blanks in rows; each row's rules share what is left of its width. Splits between rows."""

    def __init__(
        self, block: Blanks, letters: Letters, size: float, indent: float = 0.0, rows: object = None
    ) -> None:
        """Take the blanks; `size` of the letters and `indent` of every row are in points."""
        super().__init__()
        self._block, self._letters, self._size, self._indent = block, letters, size, indent
        self._rows: list[list[Piece]] | None = rows if isinstance(rows, list) else None
        self._room = 0.0

    def wrap(self, available_width: float, available_height: float) -> tuple[float, float]:
        """The size it takes, points."""
        room = available_width - self._indent
        if self._rows is None:
            self._rows = self._laid_out(room)
        self._room = room
        return available_width, sum(map(self._high, self._rows)) + 0.3 * self._size

    def split(self, available_width: float, available_height: float) -> list[Flowable]:
        """The rows that fit, and the rest."""
        self.wrap(available_width, available_height)
        rows = self._rows or []
        count, used = 0, 0.3 * self._size
        while count < len(rows) and used + self._high(rows[count]) <= available_height:
            used += self._high(rows[count])
            count += 1
        if count in (0, len(rows)):
            return []
        return [
            RuledLines(self._block, self._letters, self._size, self._indent, part)
            for part in (rows[:count], rows[count:])
        ]

    def draw(self) -> None:
        """Draw on the canvas, whose origin is the lower left corner."""
        canvas: Canvas = self.canv
        canvas.saveState()
        canvas.setLineWidth(0.6)
        canvas.setStrokeColor(HexColor(COLOURS["ink"]))
        canvas.setFillColor(HexColor(COLOURS["ink"]))
        y = sum(map(self._high, self._rows or [])) + 0.3 * self._size
        for row in self._rows or []:
            y -= self._high(row)
            self._draw_row(canvas, row, y + 0.3 * self._size)
        canvas.restoreState()

    def _high(self, row: list[Piece]) -> float:
        is_ruled = any(p.kind == "rule" for p in row)
        return max(self._size * 1.36, HIGH * self._size / 9.0 if is_ruled else 0.0)

    def _laid_out(self, room: float) -> list[list[Piece]]:
        """The pieces in rows: what belongs together begins a new row rather than be torn where it can."""
        rows: list[list[Piece]] = [[]]
        used = 0.0
        for group in self._groups(room):
            pieces = [p for field in group for p in field]
            fields = [pieces] if _wide(pieces) <= room + pieces[0].gap else group
            for field in fields:
                if rows[-1] and used + _wide(field) > room:
                    rows.append([])
                    used = 0.0
                for piece in field:
                    if rows[-1] and used + piece.gap + piece.width > room:
                        rows.append([])
                        used = 0.0
                    used += piece.width + (piece.gap if rows[-1] else 0.0)
                    rows[-1].append(piece)
        return [row for row in rows if row]

    def _groups(self, room: float) -> list[list[list[Piece]]]:
        """Each blank's pieces, those that are joined in one group."""
        wide = 1.3 * self._size
        words = self._words(self._block.words, room, wide)
        found = [[words]] if words else []
        for blank in self._block.fields:
            pieces = self._words(blank.words, room, wide)
            if blank.options:
                found += [[pieces]] if pieces else []
                for option in blank.options:
                    box = Piece("box", BOX * self._size, 0.7 * self._size)
                    found.append([[box, *self._words(option, room - box.width, 0.35 * self._size)]])
                continue
            after = f" {clean(blank.after)}" if blank.after else ""
            least = min(ROOM * self._size / 9.0 * blank.room + self._width(after), room)
            field = [*pieces, Piece("rule", least, 0.4 * self._size, after)]
            if blank.is_joined and found:
                found[-1].append(field)
            else:
                found.append([field])
        return found

    def _words(self, text: str, room: float, gap: float) -> list[Piece]:
        """Each word as a piece, the first after `gap`; a word wider than the room is cut into parts."""
        pieces: list[Piece] = []
        for word in clean(text).split():
            part = ""
            for character in word:
                if part and self._width(part + character) > room:
                    pieces.append(Piece("word", self._width(part), 0.0, part))
                    part = ""
                part += character
            pieces.append(Piece("word", self._width(part), self._width(" "), part))
        if pieces:
            first = pieces[0]
            pieces[0] = Piece(first.kind, first.width, gap, first.text)
        return pieces

    def _width(self, text: str) -> float:
        return sum(
            float(stringWidth(run, face or PLAIN, self._size)) for face, run in self._letters.runs(text)
        )

    def _draw_row(self, canvas: Canvas, row: list[Piece], y: float) -> None:
        rules = sum(p.width for p in row if p.kind == "rule")
        left = self._room - sum(p.width + p.gap for p in row) + row[0].gap
        x = self._indent
        for number, piece in enumerate(row):
            x += piece.gap if number else 0.0
            width = piece.width
            if piece.kind == "rule":
                width += max(0.0, left) * piece.width / rules
                after = self._width(piece.text)
                canvas.line(x, y - 1.5, x + width - after, y - 1.5)
                draw_words(canvas, self._letters, piece.text, x + width - after, y, self._size)
            elif piece.kind == "box":
                canvas.rect(x, y - 0.05 * self._size, width, width, stroke=1, fill=0)
            else:
                draw_words(canvas, self._letters, piece.text, x, y, self._size)
            x += width


def _wide(pieces: Sequence[Piece]) -> float:
    return sum(p.width + p.gap for p in pieces)


def draw_words(
    canvas: Canvas, letters: Letters, text: str, x: float, y: float, size: float, *, bold: bool = False
) -> None:
    """Words from a point on, each letter in a typeface that has it."""
    for face, run in letters.runs(text):
        name = face or (BOLD if bold else PLAIN)
        canvas.setFont(name, size)
        canvas.drawString(x, y, run)
        x += stringWidth(run, name, size)
