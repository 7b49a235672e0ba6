"""Calling the command line from a test: in this process, or as the installed command in one of its own."""

from __future__ import annotations

import io
import json
import os
import subprocess
import sys
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any


@dataclass(frozen=True)
class Called:
    """What one call answered. Of a call with --json `data` is the document on standard output."""

    words: tuple[str, ...]
    status: int
    out: str
    err: str

    @property
    def data(self) -> Any:
        """The JSON document; fails where standard output holds anything else."""
        return json.loads(self.out)


class CommandLine:
    """rovlog for one logbook. Both ways of calling go through the same entry point."""

    def __init__(self, root: Path, **environment: str) -> None:
        self.root = root
        self.environment = environment

    def __call__(self, *words: str, status: int | None = 0) -> Called:
        """Call in this process; asserts the exit status (None: any)."""
        from rovlog.faces.cli.main import run

        out, err = io.StringIO(), io.StringIO()
        kept = {name: os.environ.get(name) for name in self.environment}
        os.environ.update(self.environment)
        try:
            found = run(("--logbook", str(self.root), *words), out, err)
        finally:
            for name, value in kept.items():
                if value is None:
                    os.environ.pop(name, None)
                else:
                    os.environ[name] = value
        called = Called(words, found, out.getvalue(), err.getvalue())
        assert status is None or found == status, f"{words}\n{called.out}{called.err}"
        return called

    def json(self, *words: str, status: int | None = 0) -> Any:
        """Call with --json and give the data."""
        return self(*words, "--json", status=status).data

    def installed(self, *words: str, cwd: Path | None = None, **more: str) -> Called:
        """Call the installed command in a process of its own, from inside the logbook."""
        environment = {**os.environ, **self.environment, **more}
        done = subprocess.run(
            [str(command()), *words],
            cwd=cwd or self.root,
            env=environment,
            capture_output=True,
            text=True,
            timeout=120,
            stdin=subprocess.DEVNULL,
        )
        return Called(words, done.returncode, done.stdout, done.stderr)


def command() -> Path:
    """The installed `rovlog` of the interpreter that runs the tests."""
    return Path(sys.executable).parent / "rovlog"


def assert_one_clear_error(called: Called, status: int = 2) -> None:
    """Exit status, nothing on standard output, one sentence that is ours and no traceback."""
    assert called.status == status, called
    assert "Traceback" not in called.err, called.err
    assert called.out == "", called.out
    assert called.err.strip(), called


def git(root: Path, *words: str, **more: Any) -> str:
    """git in a folder, as a person would call it; gives what it printed."""
    environment: Mapping[str, str] = {**os.environ, **more.pop("env", {})}
    done = subprocess.run(
        ["git", *words], cwd=root, env=environment, capture_output=True, text=True, timeout=60, **more
    )
    assert done.returncode == 0, f"git {words}: {done.stderr}"
    return done.stdout


def new_logbook(root: Path, **environment: str) -> CommandLine:
    """A logbook made by `rovlog init`, with the team's hand-written files in it."""
    from hand_written import PEOPLE, write_files

    line = CommandLine(root, **environment)
    people = [word for person in PEOPLE for word in ("--person", person)]
    from rovlog.faces.cli.main import run

    assert run(["init", str(root), "--title", "Jetty team", *people], io.StringIO(), io.StringIO()) == 0
    write_files(root)
    return line
