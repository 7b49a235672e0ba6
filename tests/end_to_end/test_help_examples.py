"""Every example of the help pages is run on the demonstration logbook, as a reader would copy it."""

from __future__ import annotations

import shlex

import pytest
from calling import CommandLine
from help_pages import all_pages, examples

NEEDS_MORE = {
    "/dev/ttyUSB0": "a surface box on a port",
    "kept.txt": "bytes of a box that were kept",
    "rovlog box pretend": "a terminal of its own: it runs until it is stopped",
    "rovlog demo": "a folder of its own; the fixture runs it",
    "rovlog init": "a folder of its own; other tests run it",
}
"""Examples that are not run here, each with what it needs besides the demonstration."""

HELD_BACK = ("complete", "release")
"""Steps that are rightly refused while items are open: their examples may end with that refusal."""


def lines() -> list[str]:
    """Every example once, starts first and closes last."""
    every = dict.fromkeys(line for page in all_pages().values() for line in examples(page))
    kept = [line for line in every if not any(needed in line for needed in NEEDS_MORE)]
    return sorted(kept, key=lambda line: (" close " in line, not line.startswith("rovlog dive start ")))


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> CommandLine:
    root = tmp_path_factory.mktemp("demo") / "logbook"
    call = CommandLine(root, ROVLOG_WRITER="test-laptop")
    made = call.installed("demo", str(root), "--no-open", cwd=root.parent)
    assert made.status == 0, made.err
    (root / "tub.yaml").write_text(
        "observations:\n  - {push: {right-stick-y: -1}, seen: {bow-port: ahead}}\n"
    )
    (root / "sheet.txt").write_text("day 2026-09-13\nA1 09:00 oona\nA3 09:02 tamsin\n")
    (root / "attachments").mkdir(exist_ok=True)
    (root / "attachments" / "plug.jpg").write_bytes(b"not really a photograph")
    return call


@pytest.mark.system("git")
def test_every_example_runs_on_the_demonstration(demo, monkeypatch):
    monkeypatch.chdir(demo.root)
    refused = []
    for line in lines():
        words = shlex.split(line.partition(" > ")[0])[1:]
        called = demo(*words, status=None)
        held_back = words[1:2] and words[1] in HELD_BACK and "cannot be" in called.err
        if called.status not in (0, 1) and not held_back:
            refused.append(f"{line}\n{called.err}")
    assert not refused, "\n".join(refused)


def test_what_is_not_run_is_still_an_example():
    every = [line for page in all_pages().values() for line in examples(page)]
    for needed in NEEDS_MORE:
        assert any(needed in line for line in every), needed
