"""Which typeface can write which letters: every name on a page is written, or shown as `<U+XXXX>`.

The library brings one open typeface with the letters of Western Europe. Letters it lacks are taken from
typefaces found on the machine; a letter that none of them has is named by its number, never dropped and
never a reason to fail.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from html import escape

from rovlog.faces.reports.plain import clean

PLAIN, BOLD = "Vera", "VeraBd"
"""The typeface that comes with reportlab: Bitstream Vera, free to embed."""


class Letters:
    """The typefaces of one document, in the order they are asked for a letter."""

    def __init__(self, files: Sequence[str]) -> None:
        """Register the library's own typeface and those of `files` that can be embedded."""
        from reportlab.pdfbase import pdfmetrics
        from reportlab.pdfbase.ttfonts import TTFError, TTFont

        self._have: list[tuple[str, frozenset[int]]] = []
        own = TTFont(PLAIN, f"{PLAIN}.ttf")
        for face in (own, TTFont(BOLD, f"{BOLD}.ttf")):
            pdfmetrics.registerFont(face)
        pdfmetrics.registerFontFamily(PLAIN, normal=PLAIN, bold=BOLD, italic=PLAIN, boldItalic=BOLD)
        for number, file in enumerate(files):
            name = f"machine-{number}"
            try:
                more = TTFont(name, file)
            except (TTFError, OSError):
                # A typeface in a form that cannot be embedded is no use here; the next one may do.
                continue
            pdfmetrics.registerFont(more)
            self._have.append((name, frozenset(more.face.charToGlyph)))
        self._own = frozenset(own.face.charToGlyph)

    def markup(self, text: str, lines: bool = False) -> str:
        """Cleaned and escaped text for a paragraph, with the typeface named where it changes."""
        parts = []
        for face, run in self.runs(clean(text, lines=lines)):
            said = self.escaped(run).replace("\n", "<br/>")
            parts.append(f'<font name="{face}">{said}</font>' if face else said)
        return "".join(parts)

    def escaped(self, text: str) -> str:
        """Text that a paragraph reads as text."""
        return escape(text, quote=False)

    def runs(self, text: str) -> list[tuple[str, str]]:
        """The text in runs of one typeface each; "" is the page's own."""
        runs: list[tuple[str, str]] = []
        for character in text:
            face, shown = self._face(character)
            if runs and runs[-1][0] == face:
                runs[-1] = (face, runs[-1][1] + shown)
            else:
                runs.append((face, shown))
        return runs

    def _face(self, character: str) -> tuple[str, str]:
        number = ord(character)
        if number in self._own or character == "\n":
            return "", character
        found = next((name for name, has in self._have if number in has), None)
        return (found, character) if found else ("", f"<U+{number:04X}>")


@lru_cache(maxsize=4)
def letters(files: tuple[str, ...]) -> Letters:
    """The typefaces for a set of files, read once."""
    return Letters(files)
