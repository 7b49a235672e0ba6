"""Every report in every format, over a logbook whose texts try to be more than text."""

from __future__ import annotations

import re
from argparse import Namespace

import html5lib
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rovlog.faces.cli.report import REPORTS
from rovlog.faces.reports.drawings.shapes import Drawing, Text
from rovlog.faces.reports.html.page import POLICY, page_html
from rovlog.faces.reports.pages.layout import Layout
from rovlog.faces.reports.pages.model import (
    Beside,
    Blank,
    Blanks,
    Grid,
    Heading,
    Page,
    Pairs,
    Paragraph,
    Picture,
    Plain,
    Points,
    Signatures,
    Step,
    Together,
)
from rovlog.faces.reports.pages.text import page_text
from rovlog.faces.reports.plain import clean
from rovlog.usecases.logbook import Logbook

SUBJECTS = {
    "DIVE": "grebe-20260509-test",
    "RECORD": "grebe-20260509-test",
    "VEHICLE": "grebe",
    "CHECKLIST": "pre-dive",
    "": None,
}
LISTS = {"vehicle": "", "dive": "grebe-20260509-test", "blank": False}
HTML = "{http://www.w3.org/1999/xhtml}"
SVG = "{http://www.w3.org/2000/svg}"


def made(logbook: Logbook, name: str, **more: object) -> Page:
    _, argument, make = REPORTS[name]
    options = {"initials": False, "symptom": None, "since": "", "until": "", **LISTS, **more}
    return make(Namespace(subject=SUBJECTS[argument], **options), logbook)


@pytest.mark.parametrize("name", REPORTS)
def test_a_report_holds_nothing_that_runs_and_reaches_for_nothing(hostile: Logbook, name: str):
    root = html5lib.parse(page_html(made(hostile, name)))
    tags = {e.tag.rpartition("}")[2] for e in root.iter() if isinstance(e.tag, str)}
    assert not tags & {
        "script",
        "iframe",
        "object",
        "embed",
        "link",
        "img",
        "a",
        "form",
        "base",
        "image",
        "use",
    }
    for element in root.iter():
        for key in element.attrib:
            assert not key.lower().startswith("on"), (element.tag, key)
            assert key.rpartition("}")[2] not in ("href", "src", "action", "srcset", "data")
    policies = [e.get("content") for e in root.iter(f"{HTML}meta") if e.get("http-equiv")]
    assert policies == [POLICY]
    assert "script-src" not in POLICY
    assert "default-src 'none'" in POLICY


@pytest.mark.parametrize("name", REPORTS)
def test_a_report_names_no_outside_address(hostile: Logbook, name: str):
    text = page_html(made(hostile, name)).replace('xmlns="http://www.w3.org/2000/svg"', "")
    assert not re.search(r"https?:|url\(|@import|//[a-z]", text)


@pytest.mark.parametrize("name", ["dive", "fault", "season"])
def test_what_a_person_wrote_stands_in_a_report_as_text(hostile: Logbook, name: str):
    text = "".join(html5lib.parse(page_html(made(hostile, name))).itertext())
    assert "<script>alert(1)</script>" in text
    assert "<U+202E>" in text
    assert "<U+001B>[31m" in text


@pytest.mark.parametrize("name", REPORTS)
def test_the_terminal_gets_no_control_character(hostile: Logbook, name: str):
    text = page_text(made(hostile, name))
    assert all(c == "\n" or clean(c) == c for c in text)


@pytest.mark.parametrize("name", REPORTS)
def test_a_report_is_a_pdf_that_is_the_same_each_time(hostile: Logbook, name: str):
    from rovlog.faces.reports.pdf.page import page_pdf

    page = made(hostile, name)
    first = page_pdf(page)
    assert first.startswith(b"%PDF-")
    assert page_pdf(page) == first


@pytest.mark.parametrize("name", ["pilot-card", "box-card", "label"])
def test_a_card_is_one_page(hostile: Logbook, name: str):
    from rovlog.faces.reports.pdf.page import page_pdf

    assert len(re.findall(rb"/Type /Page\b(?!s)", page_pdf(made(hostile, name)))) == 1


def test_the_owner_of_the_site_sees_no_trim_no_digest_and_initials_where_wished(hostile: Logbook):
    text = page_text(made(hostile, "site", initials=True))
    assert "R. H." in text
    for word in ("Runa", "runa", "Holt", "Iben", "iben", "tariq", "trim", "sha256", "heave"):
        assert word not in text, word
    assert "Runa Holt" in page_text(made(hostile, "site"))


def test_the_dive_record_says_what_a_dive_log_must(hostile: Logbook):
    text = page_text(made(hostile, "dive"))
    for word in (
        "Grebe, dive 2", "survey of the wall", "fresh 14 °C", "4 m planned; reached 3.6 m", "2.5 m",
        "revision 1", "card is full", "power on", "out of water", "heave trim +0.08 (down)",
        "current 18.1 A", "start 12.7 V", "yaw-reversed", "seals-grebe", "30 min on this dive",
        "Into the water at 10:10", "In quarantine since",
    ):  # fmt: skip
        assert word in text, word


def test_the_fault_report_keeps_what_was_said_apart_from_what_was_seen(hostile: Logbook):
    text = page_text(made(hostile, "fault"))
    facts, _, rest = text.partition("Accounts and opinions")
    said, _, analysis = rest.partition("Analysis: computed from the record")
    assert "10:20" in facts
    assert "10:27" not in facts
    assert "10:27" in said
    assert "Last known good" in analysis
    assert "15 min into this dive" in facts
    assert "not yet: the vehicle is in quarantine" in analysis


def test_the_competition_sheet_multiplies_full_load_by_one_and_a_half(hostile: Logbook):
    rows = next(b for b in made(hostile, "competition").blocks if isinstance(b, Grid)).rows
    full, times = (float(rows[n][1].split()[0]) for n in (0, 1))
    assert times == pytest.approx(1.5 * full, abs=0.1)  # both are printed to one decimal
    distance = hostile.vehicle("grebe")["electrical"]["fuse"]["distance_from_source_mm"]
    assert rows[4][1] == f"{distance} mm"
    assert f"300 mm: {'kept' if distance <= 300 else 'NOT KEPT'}" in rows[4][2]


def test_the_box_card_says_every_number_with_its_words(hostile: Logbook):
    text = page_text(made(hostile, "box-card"))
    vehicle = hostile.vehicle("grebe")
    box, heave = vehicle["control_box"], vehicle["trim_defaults"]["heave"]
    scheme = hostile.box("amber-box")["steering_schemes"][str(box["steering_scheme"])]["name"]
    for word in (
        f"{box['steering_scheme']}  {scheme}", f"heave trim +{heave:.2f} (down)", "100 %", "Hold SETUP",
        f"{vehicle['electrical']['fuse']['rating_a']} A. Never a larger one.",
    ):  # fmt: skip
        assert word in text, word


def test_status_accounting_names_what_is_approved_open_waived_and_lent(hostile: Logbook):
    text = page_text(made(hostile, "status"))
    for word in (
        "revision 1",
        "nobody has read the box",
        "grebe-20260516-test",
        "card is full",
        "lent to the harbour",
    ):
        assert word in text, word


TEXTS = st.text(st.characters(exclude_categories=["Cs"]), min_size=1, max_size=30)


@given(TEXTS)
@settings(max_examples=60)
def test_any_text_in_any_block_comes_back_out_of_the_html_as_it_was(text: str):
    drawing = Drawing(10, 10, (Text((1, 1), text),), text)
    blocks = (
        Heading(text), Paragraph(text), Pairs(((text, text),)), Grid((text,), ((text,),)), Points((text,)),
        Plain(text), Picture(drawing), Signatures((text,)), Together((Paragraph(text),)),
        Beside(Paragraph(text), Paragraph(text)), *_steps(text),
    )  # fmt: skip
    root = html5lib.parse(page_html(Page(text, text, blocks, text, text)))
    wanted = _squeezed(clean(text, lines=True))
    assert _squeezed("".join(root.find(f".//{HTML}h1").itertext())) == wanted
    assert _squeezed("".join(root.find(f".//{HTML}h2").itertext())) == wanted
    assert _squeezed("".join(root.find(f".//{HTML}td").itertext())) == wanted
    assert len(list(root.iter(f"{HTML}main"))) == 1
    assert {e.tag for e in root.iter(f"{HTML}body")} == {f"{HTML}body"}
    assert _squeezed("".join(root.find(f".//{SVG}text").itertext())) == _squeezed(clean(text))
    assert _squeezed("".join(root.find(f".//{HTML}span[@class='code']").itertext())) == wanted


def _squeezed(text: str) -> str:
    return " ".join(text.split())


@given(TEXTS, st.sampled_from([1, 2]), st.booleans())
@settings(max_examples=40)
def test_any_text_in_any_block_makes_a_pdf(text: str, columns: int, is_large: bool):
    from rovlog.faces.reports.pdf.page import page_pdf

    blocks = (
        Heading(text),
        Paragraph(text),
        Pairs(((text, text),)),
        Grid((text,), ((text,),)),
        Points((text,)),
        Plain(text),
        *_steps(text),
    )
    page = Page(text, text, blocks, text, text, top=_steps(text))
    assert page_pdf(page, layout=Layout("letter", columns, is_large)).startswith(b"%PDF-")


def _steps(text: str) -> tuple[Step | Blanks, ...]:
    blanks = Blanks((Blank(text, text), Blank(text, options=(text, text)), Blank(text, is_joined=True)), text)
    return blanks, Step(text, text, text, text, text, (blanks,), (text,))


def test_a_list_longer_than_any_sheet_is_set_and_nothing_of_it_is_lost():
    from rovlog.faces.reports.pdf.page import page_pdf

    many = Blanks(tuple(Blank(f"value {n} that is read off the gauge", "kPa") for n in range(300)))
    step = Step("X1", "word " * 2000, "answer", rows=(many,))
    page = Page("list", "t", (step,), top=(many,))
    for columns in (1, 2):
        assert page_pdf(page, layout=Layout("a4", columns, True)).startswith(b"%PDF-")


def test_letters_that_no_typeface_has_are_named_by_their_number():
    from rovlog.faces.reports.pdf.letters import letters

    runs = letters(()).runs("Ö Тарик 𐀀")
    assert runs == [("", "Ö <U+0422><U+0430><U+0440><U+0438><U+043A> <U+10000>")]
