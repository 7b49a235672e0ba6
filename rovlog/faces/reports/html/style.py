"""The one style of all reports: sans serif, sentence case, black on white, A4 or Letter on paper."""

from __future__ import annotations

from rovlog.faces.reports.pages.layout import LEAST_LARGE, Layout

STYLE = """
@page { size: auto; margin: 14mm 14mm 16mm 14mm; }
* { box-sizing: border-box; }
html {
  font: 15px/1.45 "Helvetica Neue", Arial, "Liberation Sans", "DejaVu Sans", sans-serif;
  color: #111;
  background: #fff;
}
body { margin: 0 auto; padding: 1.6rem; max-width: 52rem; overflow-wrap: anywhere; }
header { border-bottom: 3px solid #111; padding-bottom: .5rem; margin-bottom: 1rem; }
header p { margin: .15rem 0; }
.kind { font-size: .95rem; color: #3d4348; }
h1 { font-size: 1.75rem; line-height: 1.2; margin: .1rem 0; }
h2 {
  font-size: 1.15rem;
  margin: 1.5rem 0 .45rem;
  border-bottom: 1px solid #8b9298;
  padding-bottom: .15rem;
}
h3 { font-size: 1rem; margin: 1rem 0 .3rem; }
p { margin: .45rem 0; white-space: pre-line; }
.lead { font-size: 1.15rem; }
.quiet { font-size: .85rem; color: #3d4348; }
.stop, .fine { border: 2px solid #111; border-left-width: .8rem; padding: .45rem .7rem; }
.stop { border-color: #9c1f12; }
.fine { border-color: #0b4f7a; }
table { border-collapse: collapse; width: 100%; margin: .4rem 0 .8rem; font-size: .93rem; }
th, td {
  text-align: left;
  vertical-align: top;
  padding: .28rem .5rem .28rem 0;
  border-bottom: 1px solid #c9ced3;
}
.grid { table-layout: fixed; }
thead th { border-bottom: 2px solid #111; }
thead { display: table-header-group; }
.number { text-align: right; font-variant-numeric: tabular-nums; padding-right: .9rem; }
.pairs th { width: 28%; font-weight: 600; padding-right: 1rem; }
.pairs td { white-space: pre-line; }
.large, .large td, .large th { font-size: 1.3rem; line-height: 1.35; }
.large th { width: 34%; }
.line { display: block; padding-left: calc(var(--indent) + 3ch); text-indent: -3ch; }
pre {
  font: .74rem/1.35 "Liberation Mono", "DejaVu Sans Mono", Consolas, monospace;
  white-space: pre-wrap;
  background: #f4f6f7;
  border: 1px solid #c9ced3;
  padding: .6rem .7rem;
  margin: .4rem 0 .8rem;
}
ol, ul { margin: .4rem 0 .8rem; padding-left: 1.5rem; }
li { margin: .15rem 0; }
figure { margin: .6rem 0 1rem; }
figure svg {
  display: block;
  width: 100%;
  height: auto;
  font-family: Arial, "Liberation Sans", "DejaVu Sans", sans-serif;
}
figcaption { font-size: .85rem; color: #3d4348; margin-top: .25rem; }
.beside { display: grid; grid-template-columns: 1fr 1fr; gap: 1.2rem; align-items: start; }
.sign { display: flex; gap: .8rem; align-items: flex-end; margin-top: 1.6rem; }
.sign b { font-weight: 600; min-width: 8rem; }
.sign span { flex: 1; border-bottom: 1px solid #111; height: 1.4rem; }
footer {
  margin-top: 1.6rem;
  padding-top: .4rem;
  border-top: 1px solid #8b9298;
  font-size: .8rem;
  color: #3d4348;
}
.step { border-top: 1px solid #c9ced3; padding: .3rem 0 .35rem; break-inside: avoid; }
.step p { margin: .15rem 0; }
.code { display: inline-block; min-width: 2.6em; font-weight: 700; }
.blanks { display: flex; flex-wrap: wrap; gap: .2rem 1.1rem; align-items: flex-end; margin: .25rem 0; }
.blank { display: flex; flex: 1 1 auto; gap: .35em; align-items: flex-end; }
.blank i { flex: 1; border-bottom: 1px solid #111; height: 1.7em; }
.choice { margin-right: .8em; white-space: nowrap; }
.choice i { display: inline-block; width: .8em; height: .8em; border: 1px solid #111; }
.label { max-width: 26rem; border: 3px solid #111; padding: .8rem; margin-top: 1rem; }
.label .pairs th { width: 42%; white-space: nowrap; }
.label header { border-bottom-width: 2px; margin-bottom: .4rem; }
.label footer { margin-top: .4rem; }
@media print {
  body { max-width: none; padding: 0; }
  .label { max-width: 90mm; padding: 4mm; }
  html { font-size: 10.5pt; }
  h2, h3 { break-after: avoid; }
  tr, figure, li, .together, .stop, .fine, .sign { break-inside: avoid; }
  pre { background: none; }
  .card figure { max-width: 52%; margin: .3rem 0; }
  .card footer { margin-top: .6rem; }
  .card h2 { margin-top: .9rem; }
  .card .large, .card .large td, .card .large th { font-size: 1.15rem; line-height: 1.25; }
}
"""
"""Inline, since a report must not reach for anything outside itself."""


def style_of(layout: Layout) -> str:
    """What a layout adds: the paper, two columns, large print."""
    said = ""
    if layout.paper:
        name = {"a4": "A4", "letter": "letter"}[layout.paper]
        said += f"@page {{ size: {name}; }}\n"
    if layout.columns == 2:
        said += "@media print { .two main { columns: 2; column-gap: 1.6rem; } }\n"
        said += "@media (min-width: 60rem) { .two { max-width: 72rem; } .two main { columns: 2; } }\n"
    if layout.is_large:
        least = f"{LEAST_LARGE:g}pt"
        said += (
            f"html, p, td, th, li, .quiet, .kind, .lead, footer {{ font-size: {least}; line-height: 1.4; }}\n"
        )
        said += f"@media print {{ html {{ font-size: {least}; }} }}\n"
    return said
