"""A scratch repository with a logbook in it, and git as a person would run it there."""

from __future__ import annotations

import subprocess
from pathlib import Path

from rovlog.store.files import DiskFiles
from rovlog.store.history import GitHistory, initialise


class Scratch:
    """A logbook in a folder of a repository; `git` runs git by hand in the logbook's folder."""

    def __init__(self, top: Path, below: str = "", init: tuple[str, ...] = ("-b", "main")) -> None:
        self.top = top
        self.root = top / below
        self.root.mkdir(parents=True, exist_ok=True)
        if init:
            by_hand(top, "init", "-q", *init)
        self.files = DiskFiles(str(self.root))
        self.history = GitHistory(self.files)

    def git(self, *arguments: str, ok: bool = True) -> str:
        return by_hand(self.root, *arguments, ok=ok)

    def write(self, name: str, text: str) -> None:
        """Write a file as an editor would."""
        (self.root / name).parent.mkdir(parents=True, exist_ok=True)
        (self.root / name).write_text(text)

    def commit(self, **files: str) -> str:
        """Write files (dots and slashes spelled `__` and `_in_`) and have the program commit them."""
        names = [key.replace("_in_", "/").replace("__", ".") for key in files]
        for name, text in zip(names, files.values(), strict=True):
            self.write(name, text)
        outcome = self.history.commit(names, "Record " + ", ".join(names))
        assert outcome.commit, outcome
        return outcome.commit


def by_hand(folder: Path, *arguments: str, ok: bool = True) -> str:
    """Run git as a person would; its standard output."""
    done = subprocess.run(["git", *arguments], cwd=folder, capture_output=True, text=True, check=False)
    assert done.returncode == 0 or not ok, done.stderr
    return done.stdout


def fresh(folder: Path) -> Scratch:
    """A logbook with a repository of its own, made by the program."""
    folder.mkdir(parents=True, exist_ok=True)
    initialise(str(folder))
    return Scratch(folder, init=())
