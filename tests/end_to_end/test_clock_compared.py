"""`dive clock` and `work clock`: a person says how far the laptop's clock is from another one."""

from __future__ import annotations

import io
import json
from pathlib import Path

import pytest
from team_logbook import fill

from rovlog.faces.cli.main import run
from rovlog.wiring import new_book

pytestmark = pytest.mark.system("git")


def rovlog(folder: Path, *words: str) -> tuple[int, str, str]:
    out, err = io.StringIO(), io.StringIO()
    return run(["--logbook", str(folder), *words], out, err), out.getvalue(), err.getvalue()


def test_a_compared_clock_grades_the_times_of_the_work_and_stands_in_the_help(tmp_path: Path):
    folder = tmp_path / "logbook"
    fill(new_book(str(folder)))
    assert rovlog(folder, "work", "start", "wigeon", "--by", "iben", "--purpose", "new plugs")[0] == 0
    said = ("work", "clock", "wigeon", "--against", "a phone", "--off-s", "2,5", "--by", "iben")
    status, out, err = rovlog(folder, *said)
    assert (status, err) == (0, "")
    assert "clock compared with a phone: 2.5 s ahead of it" in out
    _, out, _ = rovlog(folder, "--json", "audit", "timeline", "--vehicle", "wigeon")
    mine = [m for m in json.loads(out)["moments"] if "work-" in m["record"]]
    assert [(m["kind"], m["clock"]) for m in mine] == [("work", "agreed"), ("reading", "agreed")]
    assert rovlog(folder, "validate")[0] == 0
    status, _, err = rovlog(folder, *said[:6], "soon", *said[7:])
    assert status != 0
    assert "soon" in err
