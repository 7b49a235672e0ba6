"""Checklists on paper: every item once, on the paper asked for, in order, in letters large enough."""

from __future__ import annotations

import re
import subprocess
from collections.abc import Iterator
from pathlib import Path
from xml.etree import ElementTree

import pytest
from calling import CommandLine, new_logbook

from rovlog.faces.cli.report import REPORTS

pytestmark = pytest.mark.system("git")

A4, LETTER = (595.276, 841.89), (612.0, 792.0)
SUBJECTS = {"VEHICLE": ["auk"], "DIVE": ["auk"], "": [], "CHECKLIST": ["pre-dive", "--vehicle", "auk"]}


@pytest.fixture(scope="module")
def line(tmp_path_factory: pytest.TempPathFactory) -> CommandLine:
    """A team with an approved vehicle and an open dive."""
    line = new_logbook(tmp_path_factory.mktemp("paper") / "book")
    asked = line.json("vehicle", "approve", "auk", "--by", "nora", "--reason", "first", status=None)
    accepted = [f"--accept={f['finding']}=half stick only" for f in asked.get("findings", [])]
    if asked["revision"] is None:
        line("vehicle", "approve", "auk", "--by", "nora", "--reason", "first", *accepted)
    crew = ("--crew", "supervisor=nora", "pilot=tomas", "tender=ife", "technician=ife")
    line("dive", "start", "auk", "--by", "nora", "--site", "mill lock", "--water", "fresh:12", *crew)
    return line


def printed(line: CommandLine, target: Path, *words: str) -> Path:
    line("report", "checklist", *words, "-o", str(target))
    return target


def codes(line: CommandLine, name: str = "pre-dive") -> list[str]:
    sections = line.json("checklist", "show", name)["sections"]
    return [item["code"] for section in sections for item in section["items"]]


def poppler(program: str, *words: object) -> str:
    done = subprocess.run([program, *map(str, words)], capture_output=True, text=True, check=True)
    return done.stdout


def words_at(file: Path) -> Iterator[tuple[int, float, float, str]]:
    """Every word of a PDF with its page, its left edge and its upper edge, points."""
    root = ElementTree.fromstring(poppler("pdftotext", "-bbox", file, "-"))
    space = "{http://www.w3.org/1999/xhtml}"
    for number, page in enumerate(root.iter(f"{space}page"), start=1):
        for word in page.iter(f"{space}word"):
            yield number, float(word.attrib["xMin"]), float(word.attrib["yMin"]), word.text or ""


def sizes(file: Path) -> list[tuple[float, float]]:
    """Width and height of every page, points."""
    said = poppler("pdfinfo", "-f", 1, "-l", 999, file)
    return [(float(w), float(h)) for w, h in re.findall(r"size:\s+([\d.]+) x ([\d.]+) pts", said)]


def letter_sizes(file: Path) -> set[float]:
    """The sizes of all letters on uncompressed pages, points; a size that is set for no text is left out."""
    return {float(n) for n in re.findall(rb"/F\S+ ([\d.]+) Tf [\d.]+ TL (?!ET)", file.read_bytes())}


VARIANTS = [
    (paper, columns, large, filled)
    for paper in ("a4", "letter")
    for columns in ("1", "2")
    for large in ((), ("--large",))
    for filled in (("--vehicle", "auk"), ("--blank",), ("--dive", "auk"))
]


@pytest.mark.system("pdftotext")
@pytest.mark.system("pdfinfo")
@pytest.mark.parametrize(("paper", "columns", "large", "filled"), VARIANTS)
def test_every_item_stands_once_and_in_order_on_the_paper_asked_for(
    line: CommandLine, tmp_path: Path, paper: str, columns: str, large: tuple[str, ...], filled
):
    words = ("pre-dive", "--paper", paper, "--columns", columns, *large, *filled)
    file = printed(line, tmp_path / "list.pdf", *words)
    wanted = codes(line)
    width = {"a4": A4, "letter": LETTER}[paper][0]
    found = [
        (page, x >= width / 2 and columns == "2", y, word)
        for page, x, y, word in words_at(file)
        if word in wanted
    ]
    assert sorted(word for *_, word in found) == sorted(wanted)
    assert [word for *_, word in sorted(found)] == wanted
    assert set(sizes(file)) == {{"a4": A4, "letter": LETTER}[paper]}
    if columns == "2":
        assert {right for _, right, _, _ in found} == {False, True}


@pytest.mark.system("pdftotext")
def test_nothing_runs_over_the_edge_or_into_the_next_column(line: CommandLine, tmp_path: Path):
    file = printed(line, tmp_path / "list.pdf", "pre-dive", "--vehicle", "auk", "--columns", "2", "--large")
    root = ElementTree.fromstring(poppler("pdftotext", "-bbox", file, "-"))
    for page in root.iter("{http://www.w3.org/1999/xhtml}page"):
        for word in page.iter("{http://www.w3.org/1999/xhtml}word"):
            assert 40 <= float(word.attrib["xMin"]) <= float(word.attrib["xMax"]) <= A4[0] - 40, word.text
            assert 40 <= float(word.attrib["yMin"]) <= float(word.attrib["yMax"]) <= A4[1] - 36, word.text


@pytest.mark.parametrize("columns", ["1", "2"])
@pytest.mark.parametrize("name", ["pre-dive", "after-fault", "emergency"])
def test_large_print_has_no_letter_under_14_points(
    line: CommandLine, tmp_path: Path, monkeypatch, name: str, columns: str
):
    monkeypatch.setattr("reportlab.rl_config.pageCompression", 0)
    file = printed(line, tmp_path / "large.pdf", name, "--large", "--columns", columns)
    assert min(letter_sizes(file)) >= 14
    usual = printed(line, tmp_path / "usual.pdf", name, "--columns", columns)
    assert min(letter_sizes(usual)) < 9


@pytest.mark.system("pdfinfo")
@pytest.mark.parametrize("name", [n for n, row in REPORTS.items() if row[1] != "RECORD"])
def test_every_report_is_set_for_letter_too_and_for_a4_unless_asked(
    line: CommandLine, tmp_path: Path, name: str
):
    subject = SUBJECTS[REPORTS[name][1]]
    for words, (width, high) in (((), A4), (("--paper", "a4"), A4), (("--paper", "letter"), LETTER)):
        file = tmp_path / "report.pdf"
        line("report", name, *subject, *words, "-o", str(file))
        whole = (high / 2, width / 2) if name == "label" else (width, high)
        for found in sizes(file):
            assert found == pytest.approx(whole, abs=0.01)


@pytest.mark.system("pdftotext")
def test_the_page_says_what_the_crew_needs_to_know(line: CommandLine, tmp_path: Path):
    file = printed(line, tmp_path / "list.pdf", "pre-dive", "--vehicle", "auk")
    text = " ".join(poppler("pdftotext", "-raw", file, "-").split())
    digest = line.json("vehicle", "show", "auk")["digest"].removeprefix("sha256:")[:8].upper()
    for said in (
        f"revision 1, {digest}",
        "Checklist, revision 1",
        "supervisor",
        "date",
        "DANGER: Mains and water kill.",
        "rating on the body, equal to 15 A",
        "Technician answers; always stops the dive, no waiver; touch: the fuse body.",
        "second person, who looks for themselves with the first answer covered:",
        "Completion call: “Supply and protection complete, everything still off”",
        "Hold point: power is not switched on before release.",
        "signature",
        "A finished list makes no dive safe",
        "page 1 of ",
    ):
        assert said in text, said
    assert text.index("DANGER: Mains and water kill. Nobody") < text.index("Swimmers and divers")


@pytest.mark.system("pdftotext")
def test_a_blank_list_has_gaps_where_a_vehicle_decides(line: CommandLine, tmp_path: Path):
    for words in (("--blank",), (), ("--vehicle", "auk", "--blank")):
        text = poppler("pdftotext", "-raw", printed(line, tmp_path / "blank.pdf", "pre-dive", *words), "-")
        assert "equal to ……… A" in text
        assert "equal to 15 A" not in text
        assert ("Auk, revision 1" in text) == ("auk" in words)


def test_what_is_on_record_is_printed_and_a_blind_first_answer_is_not(line: CommandLine):
    line("dive", "tick", "auk", "swimmers", "--by", "nora")
    line("dive", "tick", "auk", "fuse", "--by", "ife", "--value", "rating=15")
    shown = " ".join(line("report", "checklist", "pre-dive", "--dive", "auk", "-o", "-").out.split())
    assert "On record: as stated, nora" in shown
    assert "rating 15" not in shown
    assert "supervisor Nora" in shown


@pytest.mark.system("pdftotext")
def test_letters_outside_the_typeface_are_written_or_named(line: CommandLine, tmp_path: Path):
    list_file = line.root / "checklists" / "launch.yaml"
    text = list_file.read_text("utf-8")
    changed = text.replace("challenge: Thrusters", "challenge: Пловцы and thrusters", 1)
    assert changed != text
    list_file.write_text(changed, "utf-8")
    try:
        file = printed(line, tmp_path / "list.pdf", "launch", "--large", "--columns", "2")
    finally:
        list_file.write_text(text, "utf-8")
    said = poppler("pdftotext", "-raw", file, "-")
    assert "Пловцы" in said or "<U+041F>" in said


def test_what_is_printed_to_be_typed_names_one_item_or_group_in_every_list(line: CommandLine):
    from rovlog.usecases.logbook import Logbook
    from rovlog.usecases.report_checklist import report_checklist
    from rovlog.wiring import open_book

    logbook = Logbook(open_book(str(line.root)))
    for row in line.json("checklist", "list")["checklists"]:
        codes = report_checklist(logbook, row["checklist"]).codes
        assert len({c.casefold() for c in codes.values()}) == len(codes), row["checklist"]
    # Steps of the list after a fault share a code: there the ids are printed.
    after_fault = report_checklist(logbook, "after-fault")
    alike = [i for i in after_fault.checklist.items() if i.code == "HR8a"]
    assert len(alike) > 1
    assert [after_fault.codes[i.item] for i in alike] == [i.item for i in alike]


def test_wrong_use_is_told(line: CommandLine, tmp_path: Path):
    target = str(tmp_path / "x.pdf")
    for words, said in (
        (("pre-diwe",), "there is no checklist 'pre-diwe'"),
        (("pre-dive", "--vehicle", "auc"), "auk"),
        (("pre-dive", "--vehicle", "auk", "--dive", "auk"), "not allowed with"),
        (("pre-dive", "--columns", "3"), "there is no '3' here"),
        (("pre-dive", "--paper", "a5"), "there is no 'a5' here"),
    ):
        called = line("report", "checklist", *words, "-o", target, status=2)
        assert said in called.err, called.err
        assert called.out == ""
