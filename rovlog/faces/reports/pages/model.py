"""A report as a page without a format: HTML, PDF and the terminal show the same blocks in the same words.

Every text here is plain text as it came from the records; whoever writes a format cleans and
escapes it. Nothing in it is markup.
"""

from __future__ import annotations

from typing import Literal

from rovlog.faces.reports.drawings.shapes import Drawing
from rovlog.values import dataclass

Tone = Literal["normal", "lead", "quiet", "stop", "fine"]
"""How a paragraph is set: lead is larger, quiet is small print, stop and fine are framed and carry a word."""


@dataclass(frozen=True, slots=True)
class Heading:
    """A heading within the page; `is_part` for a smaller one."""

    text: str
    is_part: bool = False


@dataclass(frozen=True, slots=True)
class Paragraph:
    """One or more sentences; line ends stay."""

    text: str
    tone: Tone = "normal"


@dataclass(frozen=True, slots=True)
class Pairs:
    """Names with their values, one a row; `large` for a card that is read at arm's length."""

    rows: tuple[tuple[str, str], ...]
    large: bool = False


@dataclass(frozen=True, slots=True)
class Grid:
    """A table with a head; `numbers` are the columns, counted from 0, that are set to the right."""

    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    numbers: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class Points:
    """Items in a list; numbered where their order is what matters."""

    items: tuple[str, ...]
    numbered: bool = False
    large: bool = False


@dataclass(frozen=True, slots=True)
class Plain:
    """Lines as the terminal shows them, columns kept."""

    text: str


@dataclass(frozen=True, slots=True)
class Picture:
    """A drawing with what it shows; `share` is its part of the page's width."""

    drawing: Drawing
    caption: str = ""
    share: float = 1.0


@dataclass(frozen=True, slots=True)
class Beside:
    """Two blocks side by side where there is room."""

    left: Block
    right: Block


@dataclass(frozen=True, slots=True)
class Together:
    """Blocks that stay on one sheet of paper where they can."""

    blocks: tuple[Block, ...]


@dataclass(frozen=True, slots=True)
class Signatures:
    """Lines to sign on paper, each with whose it is."""

    roles: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Blank:
    """Something to be written by hand: `words` before its rule, `after` the rule a unit.

    With `options` they are printed with a box each to mark, and there is no rule. `room` is how much
    room the rule takes: 1 is enough for a number or a time, 2 for a name. `is_joined`: it stays in the
    row of the blank before it.
    """

    words: str
    after: str = ""
    options: tuple[str, ...] = ()
    room: float = 1.0
    is_joined: bool = False


@dataclass(frozen=True, slots=True)
class Blanks:
    """Rules to write on, side by side and going on below, after a few words of their own."""

    fields: tuple[Blank, ...]
    words: str = ""


@dataclass(frozen=True, slots=True)
class Step:
    """An item of a list on paper: its code in the margin, the caution before it, what is asked, who
    answers and what it stops (`notes`), and the rules to write the answers on. Kept on one sheet."""

    code: str
    challenge: str
    response: str
    notes: str = ""
    caution: str = ""
    rows: tuple[Blanks, ...] = ()
    points: tuple[str, ...] = ()


Block = (
    Heading
    | Paragraph
    | Pairs
    | Grid
    | Points
    | Plain
    | Picture
    | Beside
    | Together
    | Signatures
    | Blanks
    | Step
)


@dataclass(frozen=True, slots=True)
class Page:
    """One report. `kind` is its word ("dive record"), `title` its subject, `foot` stands on each sheet.

    `form` is `sheet` for pages that run on, `card` for one page set large, `label` for a small tag.
    `top` stands first, over the whole width also where the blocks run in columns.
    """

    kind: str
    title: str
    blocks: tuple[Block, ...]
    subtitle: str = ""
    foot: str = ""
    form: Literal["sheet", "card", "label"] = "sheet"
    top: tuple[Block, ...] = ()
