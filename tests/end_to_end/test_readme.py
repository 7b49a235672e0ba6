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


TODAY = re.compile(r"\b([a-z]+(?:-work)?)-(?:20\d{6})-[a-z]{4}\b")


def steadied(output: str, folder: Path, known: set[str]) -> str:
    """The output without what differs from day to day: the folder, and ids made just now."""

    def name(match: re.Match[str]) -> str:
        return match.group(0) if match.group(0) in known else f"{match.group(1)}-today"

    lines = [line.rstrip() for line in output.replace(str(folder), "~").splitlines()]
    return TODAY.sub(name, "\n".join(lines))


@pytest.mark.timeout(900)
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
    rewritten, here, known = text, tmp_path, set[str]()
    for block in blocks():
        said = ""
        for command, _ in commands(block):
            said += f"$ {command}\n"
            if command.startswith("cd "):
                here = here / command.removeprefix("cd ")
                known = {p.stem.partition(".")[0] for p in here.rglob("*/*.yaml")}
                continue
            run = subprocess.run(
                ["bash", "-c", command],
                cwd=here,
                env=environment,
                capture_output=True,
                text=True,
                timeout=600,
            )
            output = steadied(run.stdout + run.stderr, tmp_path, known)
            # An error, or nothing, is no tour: it would be written into the README as well.
            assert output, f"{command} says nothing"
            assert not re.search("^rovlog: ", output, re.MULTILINE), f"{command}\n{output}"
            said += output + "\n" if output else ""
        rewritten = rewritten.replace(f"```console\n{block}```", f"```console\n{said}```")
    if os.environ.get("ROVLOG_REWRITE"):
        README.write_text(rewritten, encoding="utf-8")
    assert rewritten == README.read_text(encoding="utf-8")


def test_every_command_stands_in_the_readme():
    from rovlog.faces.cli.main import COMMANDS

    text = README.read_text(encoding="utf-8")
    missing = [name for name in COMMANDS if f"`{name}" not in text and f"`rovlog {name}" not in text]
    assert not missing
