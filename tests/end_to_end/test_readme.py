"""Every command of the README's tour is run, and its output compared.

`ROVLOG_REWRITE=1 pytest tests/end_to_end/test_readme.py` writes the true output into README.md; read
the difference before keeping it.
"""

from __future__ import annotations

import os
import re
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
README = ROOT / "README.md"
BLOCK = re.compile(r"^```console\n(.*?)^```$", re.MULTILINE | re.DOTALL)


def blocks() -> list[str]:
    return [m.group(1) for m in BLOCK.finditer(README.read_text(encoding="utf-8"))]


def commands(block: str) -> list[tuple[str, str]]:
    parts = re.split(r"^\$ ", block, flags=re.MULTILINE)[1:]
    return [(p.partition("\n")[0], p.partition("\n")[2]) for p in parts]


@pytest.mark.system("git", "bash")
def test_the_tour_of_the_readme_says_what_the_program_says(tmp_path):
    bin_folder = Path(sys.executable).parent
    environment = {
        **os.environ,
        "PATH": f"{bin_folder}:{os.environ['PATH']}",
        "TZ": "UTC",
        "LC_ALL": "C.UTF-8",
        "COLUMNS": "80",
    }
    text = README.read_text(encoding="utf-8")
    assert blocks(), "the README has no tour"
    rewritten = text
    for block in blocks():
        said = ""
        for command, _ in commands(block):
            run = subprocess.run(
                ["bash", "-c", command], cwd=tmp_path, env=environment, capture_output=True, text=True, timeout=300
            )
            output = (run.stdout + run.stderr).rstrip("\n")
            output = output.replace(str(tmp_path), "~")
            said += f"$ {command}\n" + (output + "\n" if output else "")
        rewritten = rewritten.replace(f"```console\n{block}```", f"```console\n{said}```")
    if os.environ.get("ROVLOG_REWRITE"):
        README.write_text(rewritten, encoding="utf-8")
    assert rewritten == README.read_text(encoding="utf-8")


def test_every_command_stands_in_the_readme():
    from rovlog.faces.cli.main import COMMANDS

    text = README.read_text(encoding="utf-8")
    missing = [name for name in COMMANDS if f"`{name}" not in text and f"`rovlog {name}" not in text]
    assert not missing
