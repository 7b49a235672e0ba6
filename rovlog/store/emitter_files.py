"""Where the C files for a box's firmware lie, and the description of what they say."""

from __future__ import annotations


def emitter() -> tuple[str, str]:
    """The folder with the C99 emitter, and the text for whoever writes the firmware."""
    from importlib.resources import files  # slow to load, and needed here only

    folder = files("rovlog.store") / "emitter"
    return str(folder), (folder / "WIRE.txt").read_text(encoding="utf-8")
