"""Items of a list on paper as flowables: the caution first, the code in the margin, rules to write on."""

from __future__ import annotations

from reportlab.platypus import Flowable, HRFlowable, KeepTogether, Spacer
from reportlab.platypus import Paragraph as Set

from rovlog.faces.reports.pages.model import Blanks, Step
from rovlog.faces.reports.pdf.blocks import FAINT, SOFT, Setting, framed, style_of
from rovlog.faces.reports.pdf.letters import BOLD
from rovlog.faces.reports.pdf.rules import RuledLines
from rovlog.faces.reports.plain import clean

CODE, SAID, SMALL = 10.0, 9.2, 7.6
"""Points of the code and the challenge, of the response and the rules, and of the small print."""

MARGIN = 2.9
"""Width of the margin the codes stand in, in sizes of their letters."""


def blanks(setting: Setting, block: Blanks, indent: float = 0.0) -> Flowable:
    """Rules to write on, as a flowable of the flow's own width."""
    return RuledLines(block, setting.letters, setting.size(SAID), indent)


def step(setting: Setting, block: Step) -> list[Flowable]:
    """One item, kept on one sheet where it fits on one."""
    # A code wider than the margin, such as an id, pushes the first line alone.
    indent = MARGIN * setting.size(CODE)
    told: list[Flowable] = [
        HRFlowable(width="100%", thickness=0.5, color=FAINT, spaceBefore=1.5, spaceAfter=2.5)
    ]
    if block.caution:
        told.append(framed(setting, block.caution, 8.2))
    head = style_of(
        setting,
        CODE,
        leftIndent=indent,
        bulletFontName=BOLD,
        spaceAfter=1,
    )
    told.append(Set(_said(setting, block), head, bulletText=_code(setting, block.code)))
    if block.points:
        numbered = style_of(setting, SAID, leftIndent=indent + setting.size(15), bulletIndent=indent)
        told += [
            Set(setting.letters.markup(p), numbered, bulletText=f"{n}.")
            for n, p in enumerate(block.points, 1)
        ]
    if block.notes:
        small = style_of(setting, SMALL, colour=SOFT, leftIndent=indent, spaceAfter=1)
        told.append(Set(setting.letters.markup(block.notes), small))
    told += [blanks(setting, row, indent) for row in block.rows]
    told.append(Spacer(1, 2))
    return told if setting.is_one_page else [KeepTogether(told)]


def _code(setting: Setting, code: str) -> str:
    return "".join(run for _, run in setting.letters.runs(clean(code)))


def _said(setting: Setting, block: Step) -> str:
    """The challenge in bold, and the response after it."""
    letters = setting.letters
    bold = "".join(
        f'<font name="{face or BOLD}">{letters.escaped(run)}</font>'
        for face, run in letters.runs(clean(block.challenge))
    )
    if not block.response:
        return bold
    joint = ": " if clean(block.challenge)[-1:].isalnum() else " "
    return f'{bold}{joint}<font size="{setting.size(SAID)}">{letters.markup(block.response)}</font>'
