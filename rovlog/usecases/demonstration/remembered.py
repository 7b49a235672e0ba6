"""The demonstration's files, remembered as they are written: nobody else writes while it is made."""

from __future__ import annotations

from contextlib import AbstractContextManager

from rovlog.usecases.ports import Files


class RememberedFiles:
    """The port `Files` in front of another one, which is asked once for what it holds.

    Every write goes through to it; only what was read or written before is not read again.
    """

    def __init__(self, files: Files) -> None:
        """Take the files behind."""
        self._files = files
        self._held: dict[str, bytes] = {}
        self._names: dict[str, list[str]] = {}

    @property
    def root(self) -> str:
        """As the files behind."""
        return self._files.root

    def read(self, name: str) -> bytes:
        """The whole file, from memory where it is known."""
        if name not in self._held:
            self._held[name] = self._files.read(name)
        return self._held[name]

    def exists(self, name: str) -> bool:
        """True for a regular file."""
        return name in self._held or self._files.exists(name)

    def names(self, folder: str) -> list[str]:
        """Names of all *.yaml files below the folder, from memory where they are known."""
        if folder not in self._names:
            self._names[folder] = self._files.names(folder)
        return list(self._names[folder])

    def create(self, name: str, data: bytes) -> None:
        """Write a new file through."""
        self._files.create(name, data)
        self._held[name] = data
        self._names.clear()

    def replace(self, name: str, data: bytes, expected: bytes | None) -> None:
        """Replace a file's bytes through."""
        self._files.replace(name, data, expected)
        self._held[name] = data
        self._names.clear()

    def append(self, name: str, data: bytes) -> None:
        """Append through; the file is read again at the next need."""
        self._files.append(name, data)
        self._held.pop(name, None)

    def lock(self, name: str) -> AbstractContextManager[None]:
        """As the files behind."""
        return self._files.lock(name)
