"""Reports through the command line, looked at by a browser and by poppler."""

from __future__ import annotations

import io
import json
import subprocess
from pathlib import Path

import pytest
from team_logbook import fill

from rovlog.faces.cli.main import run
from rovlog.faces.cli.report import REPORTS
from rovlog.wiring import new_book

DIVE = "grebe-20260509-test"
SUBJECTS = {"DIVE": [DIVE], "RECORD": [DIVE], "VEHICLE": ["grebe"], "": [], "CHECKLIST": ["pre-dive"]}


@pytest.fixture(scope="module")
def hostile(tmp_path_factory) -> Path:
    folder = tmp_path_factory.mktemp("hostile") / "logbook"
    fill(new_book(str(folder)), hostile=True)
    return folder


def rovlog(folder: Path, *words: str) -> tuple[int, str, str]:
    out, err = io.StringIO(), io.StringIO()
    return run(["--logbook", str(folder), *words], out, err), out.getvalue(), err.getvalue()


def written(folder: Path, target: Path, *words: str) -> Path:
    status, out, err = rovlog(folder, "report", *words, "-o", str(target))
    assert (status, err) == (0, ""), err
    assert f"written: {target}" in out
    return target


@pytest.mark.parametrize("name", REPORTS)
def test_every_report_is_written_as_html_and_told_on_the_terminal(hostile: Path, tmp_path: Path, name: str):
    subject = SUBJECTS[REPORTS[name][1]]
    assert written(hostile, tmp_path / "a.html", name, *subject).read_text().startswith("<!DOCTYPE html>")
    status, out, _ = rovlog(hostile, "report", name, *subject, "-o", "-")
    assert status == 0
    assert max(map(len, out.splitlines())) <= 80


@pytest.mark.system("pdftotext")
@pytest.mark.parametrize("name", ["dive", "fault", "pilot-card", "season", "label"])
def test_the_words_of_a_pdf_come_back_by_poppler(hostile: Path, tmp_path: Path, name: str):
    file = written(hostile, tmp_path / "a.pdf", name, *SUBJECTS[REPORTS[name][1]])
    text = subprocess.run(
        ["pdftotext", "-layout", file, "-"], capture_output=True, text=True, check=True
    ).stdout
    wanted = {
        "dive": (
            "Dive record",
            "Grebe, dive 2",
            "Iben Škoda-Łuk",
            "survey of the wall",
            "<script>alert(1)</script>",
        ),
        "fault": ("Fault report", "yaw reversed", "Last known good", "<script>alert(1)</script>"),
        "pilot-card": (
            "right stick forward",
            "ahead",
            "turns the bow to starboard",
            "ahead and to starboard",
        ),
        "season": ("Season summary", "What never failed", "Supply current by dive"),
        "label": ("Grebe", "Revision", "grebe@1"),
    }[name]
    flat = " ".join(text.split())
    for word in wanted:
        assert word in flat, word


@pytest.mark.system("pdftotext")
def test_a_name_in_another_script_comes_back_where_the_machine_has_its_letters(hostile: Path, tmp_path: Path):
    from rovlog.wiring import found_typefaces

    file = written(hostile, tmp_path / "a.pdf", "dive", DIVE)
    text = subprocess.run(["pdftotext", file, "-"], capture_output=True, text=True, check=True).stdout
    has_letters = any(name.endswith("DejaVuSans.ttf") for name in found_typefaces())
    assert ("Тарик Öz" if has_letters else "<U+0422>") in text


@pytest.mark.system("chromium")
def test_a_browser_shows_the_text_as_text_and_runs_nothing(hostile: Path, tmp_path: Path):
    file = written(hostile, tmp_path / "dive.html", "dive", DIVE)
    shown = browser(tmp_path, "--dump-dom", f"file://{file}")
    assert "&lt;script&gt;alert(1)&lt;/script&gt;" in shown
    assert "<script" not in shown
    assert shown.count("<svg") == 1


@pytest.mark.system("chromium")
@pytest.mark.system("pdftotext")
def test_the_cards_print_on_one_sheet(hostile: Path, tmp_path: Path):
    for name in ("pilot-card", "box-card"):
        file = written(hostile, tmp_path / f"{name}.html", name, "grebe")
        sheet = tmp_path / f"{name}.pdf"
        browser(tmp_path, "--no-pdf-header-footer", f"--print-to-pdf={sheet}", f"file://{file}")
        text = subprocess.run(["pdftotext", sheet, "-"], capture_output=True, text=True, check=True).stdout
        assert text.count("\f") == 1, name


def browser(home: Path, *words: str) -> str:
    done = subprocess.run(
        ["chromium", "--headless", "--no-sandbox", "--disable-gpu", f"--user-data-dir={home / 'b'}", *words],
        capture_output=True, text=True, timeout=120,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    return done.stdout


def test_all_entries_are_written_flat(hostile: Path, tmp_path: Path):
    written(hostile, tmp_path / "a.csv", "flat")
    written(hostile, tmp_path / "a.jsonl", "flat")
    lines = (tmp_path / "a.jsonl").read_text().splitlines()
    assert (tmp_path / "a.csv").read_bytes().count(b"\r\n") == len(lines) + 1
    assert {json.loads(line)["record"] for line in lines} >= {DIVE, "wigeon-20260517-test"}


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("dive", DIVE, "-o", "x.doc"), "end it in .html, .pdf or .txt"),
        (("flat", "-o", "x.html"), "end it in .csv or .jsonl"),
        (("dive", "grebe-20260503-tost", "-o", "-"), "did you mean grebe-20260503-test"),
        (("fault", "wigeon-20260517-test", "-o", "-"), "name another dive"),
        (("fault", DIVE, "--symptom", "sinks", "-o", "-"), "it holds: yaw-reversed"),
        (("season", "grebe", "--since", "spring", "-o", "-"), "write a day as 2026-04-01"),
        (("dive", DIVE, "-o", "/nowhere/at/all/x.html"), "choose another place with -o"),
    ],
)
def test_wrong_use_says_how_to_mend_it(hostile: Path, words: tuple[str, ...], said: str):
    status, out, err = rovlog(hostile, "report", *words)
    assert status == 2
    assert out == ""
    assert said in err


def test_a_report_that_cannot_be_written_leaves_what_stood_there(hostile: Path, tmp_path: Path):
    folder = tmp_path / "taken.html"
    folder.mkdir()
    status, _, err = rovlog(hostile, "report", "dive", DIVE, "-o", str(folder))
    assert status == 2
    assert "it is a folder" in err
    assert list(tmp_path.iterdir()) == [folder]


def test_json_says_what_was_written_or_holds_the_text(hostile: Path, tmp_path: Path):
    target = tmp_path / "a.html"
    _, out, _ = rovlog(hostile, "report", "site", DIVE, "-o", str(target), "--json")
    assert json.loads(out) == {
        "report": "Page for the owner of the site",
        "file": str(target),
        "bytes": target.stat().st_size,
    }
    _, out, _ = rovlog(hostile, "report", "site", DIVE, "-o", "-", "--json")
    assert "Nobody in the water" in json.loads(out)["text"]


def test_parts_are_listed_shown_and_due(hostile: Path):
    status, out, _ = rovlog(hostile, "part", "show", "seals-grebe", "--json")
    assert (status, json.loads(out)["fitted_to"]) == (0, "grebe main housing")
    status, out, _ = rovlog(hostile, "part", "list")
    assert "lent to the harbour school since 2026-05-02" in " ".join(out.split())
    status, out, _ = rovlog(hostile, "part", "due")
    assert status == 1
    assert "past due" in out
