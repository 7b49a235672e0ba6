"""Where the words of a command go: filtered for the terminal, and a stream that takes none is told."""

from __future__ import annotations

import io
import os
import subprocess
import sys
from pathlib import Path

import pytest

from rovlog.faces.cli.context import Context

COMMAND = [sys.executable, "-m", "rovlog", "vacuum", "--start-below-kpa", "25", "--start-c", "20"]
COMMAND += ["--end-below-kpa", "24.8", "--end-c", "20"]


def test_what_a_report_forgot_to_filter_is_filtered_where_it_is_written() -> None:
    out, err = io.StringIO(), io.StringIO()
    context = Context(None, False, out, err)
    context.show({}, "plain\r\nred \x1b[31m\u202ex\nthe end")
    context.note("git says \x1b]52;c;eA==\x07")
    assert out.getvalue() == "plain\r\nred <U+001B>[31m<U+202E>x\nthe end\n"
    assert err.getvalue() == "git says <U+001B>]52;c;eA==<U+0007>\n"


@pytest.mark.skipif(
    not Path("/dev/full").exists(), reason="only some systems have a disk that is always full"
)
@pytest.mark.parametrize("words", [[], ["--json"]])
def test_output_on_a_full_disk_is_one_sentence_and_no_traceback(words: list[str]) -> None:
    with open("/dev/full", "wb") as full:
        run = subprocess.run([*COMMAND, *words], stdout=full, stderr=subprocess.PIPE, text=True)
    assert run.returncode == 2
    assert run.stderr.startswith("rovlog: the output cannot be written: No space left on device\n  mend: ")
    assert "Traceback" not in run.stderr
    assert "Exception" not in run.stderr


@pytest.mark.skipif(
    not Path("/dev/full").exists(), reason="only some systems have a disk that is always full"
)
@pytest.mark.parametrize("unbuffered", ["", "1"], ids=["buffered", "unbuffered"])
@pytest.mark.parametrize(
    "words", ["--help", "help", "dive --help", "help dive tick", "--version", "--json --version"]
)
def test_a_page_on_a_full_disk_is_one_sentence_and_no_traceback(words: str, unbuffered: str) -> None:
    command = [sys.executable, "-m", "rovlog", *words.split()]
    with open("/dev/full", "wb") as full:
        run = subprocess.run(
            command,
            stdout=full,
            stderr=subprocess.PIPE,
            text=True,
            env={**os.environ, "PYTHONUNBUFFERED": unbuffered},
        )
    assert run.returncode == 2
    assert run.stderr == (
        "rovlog: the output cannot be written: No space left on device\n"
        "  mend: make room, or write it elsewhere; what the command recorded is kept\n"
    )


@pytest.mark.skipif(
    not Path("/dev/full").exists(), reason="only some systems have a disk that is always full"
)
def test_an_error_that_nothing_takes_is_still_told_by_the_status() -> None:
    with open("/dev/full", "wb") as full:
        run = subprocess.run([sys.executable, "-m", "rovlog", "no-such-command"], stderr=full)
    assert run.returncode == 2


@pytest.mark.parametrize("closed", [">&-", "2>&-", ">&- 2>&-"])
def test_a_program_started_without_a_stream_answers_by_its_status(closed: str) -> None:
    run = subprocess.run(["sh", "-c", f'"$@" {closed}', "sh", *COMMAND], capture_output=True, text=True)
    assert (run.returncode, "Traceback" in run.stderr) == (0, False)


def test_the_app_is_not_opened_where_the_program_was_started_without_an_input() -> None:
    code = "import sys; from rovlog.faces.cli.open_app import is_terminal; sys.stdin = None; "
    code += "sys.exit(is_terminal())"
    assert subprocess.run([sys.executable, "-c", code]).returncode == 0
