"""What rovlog brings along: JSON Schemas and checklists, inside the installed package or beside it."""

from __future__ import annotations

import os
import sys

from rovlog.problems import NotRecordedError, UsageError
from rovlog.store import derived
from rovlog.store.durable import read_all, write_all
from rovlog.store.folder import Folder, folders

_PACKAGE = os.path.dirname(os.path.dirname(os.path.abspath(__file__)))


def shipped_folder(kind: str) -> str:
    """The folder of "schemas" or "checklists": of an installed package, else of a source tree."""
    for place in (os.path.join(_PACKAGE, "_shipped", kind), os.path.join(os.path.dirname(_PACKAGE), kind)):
        if os.path.isdir(place):
            return place
    raise UsageError(f"rovlog was installed without its {kind}", "install rovlog again")


class ShippedFiles:
    """The port `Shipped`. `root` is the logbook's folder, for `refresh`."""

    def __init__(self, root: str) -> None:
        """Take the logbook's folder; nothing is read yet."""
        self._root = root
        self._texts: dict[str, bytes] | None = None
        # The same objects each time: validators are compiled once for each.
        self._schemas: dict[str, dict[str, object]] | None = None

    def schemas(self) -> dict[str, dict[str, object]]:
        """JSON Schemas by kind ("vehicle", "dive", …), as parsed JSON."""
        if self._schemas is None:
            import json

            texts = self._schema_texts().items()
            self._schemas = {name.removesuffix("-1.json"): json.loads(text) for name, text in texts}
        return self._schemas

    def schemas_digest(self) -> str:
        """A short digest over all schemas; changes whenever one of them does."""
        from hashlib import sha256

        total = sha256()
        for name, text in sorted(self._schema_texts().items()):
            total.update(b"%s\0%d\0%s" % (name.encode(), len(text), text))
        return total.hexdigest()[:16]

    def program(self) -> str:
        """A digest over the program's files by name, size and time of change."""
        from hashlib import sha256

        stamps = [sys.version]
        for folder in (_PACKAGE, shipped_folder("schemas"), shipped_folder("checklists")):
            stamps += _stamps(folder)
        return sha256("".join(stamps).encode("utf-8", "surrogateescape")).hexdigest()

    def checklists(self) -> dict[str, bytes]:
        """The checklists we ship: file stem to bytes."""
        return {
            name.removesuffix(".yaml"): text for name, text in _texts(shipped_folder("checklists"), ".yaml")
        }

    def refresh(self) -> None:
        """Copy the schemas into .rovlog/schemas where they differ, for YAML language servers.

        They are for an editor's comfort only, so a logbook that cannot be written goes without.
        """
        try:
            with folders(self._root, ()) as chain:
                inner = derived.enter_derived(chain[0], "schemas")
                try:
                    for name, text in self._schema_texts().items():
                        _copy(inner[-1], name, text)
                finally:
                    derived.close(inner)
        except (OSError, NotRecordedError):
            return

    def _schema_texts(self) -> dict[str, bytes]:
        if self._texts is None:
            self._texts = dict(_texts(shipped_folder("schemas"), "-1.json"))
        return self._texts


def _texts(folder: str, ending: str) -> list[tuple[str, bytes]]:
    found = []
    for name in sorted(os.listdir(folder)):
        if name.endswith(ending):
            with open(os.path.join(folder, name), "rb") as file:
                found.append((name, file.read()))
    return found


def _stamps(folder: str) -> list[str]:
    """Name, size and time of change of each file in a folder and those below it; compiled ones left out."""
    found, inner = [], []
    with os.scandir(folder) as entries:
        for entry in entries:
            if entry.is_dir():
                if entry.name != "__pycache__":
                    inner.append(entry.path)
            else:
                status = entry.stat()
                found.append(f"{entry.path}\0{status.st_size}\0{status.st_mtime_ns}\0")
    return sorted(found) + [stamp for path in sorted(inner) for stamp in _stamps(path)]


def _copy(folder: Folder, name: str, text: bytes) -> None:
    try:
        fd = folder.open(name, os.O_RDONLY)
        try:
            if read_all(fd) == text:
                return
        finally:
            os.close(fd)
    except FileNotFoundError:
        pass
    spare = f"{name}.{os.getpid()}.tmp"
    fd = folder.open(spare, os.O_WRONLY | os.O_CREAT | os.O_TRUNC)
    try:
        write_all(fd, text)
    finally:
        os.close(fd)
    folder.rename(spare, folder, name)
