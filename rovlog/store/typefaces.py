"""Typefaces on this machine that a PDF may take letters from, found in the usual places."""

from __future__ import annotations

import os

PLACES = (
    "/usr/share/fonts",
    "/usr/local/share/fonts",
    "~/.local/share/fonts",
    "/Library/Fonts",
    "/System/Library/Fonts/Supplemental",
    "~/Library/Fonts",
    "C:/Windows/Fonts",
)

WANTED = (
    "DejaVuSans.ttf",
    "NotoSans-Regular.ttf",
    "FreeSans.ttf",
    "Arial Unicode.ttf",
    "ARIALUNI.TTF",
    "arial.ttf",
    "NotoSansArabic-Regular.ttf",
    "NotoSansHebrew-Regular.ttf",
    "NotoSansDevanagari-Regular.ttf",
    "DroidSansFallbackFull.ttf",
    "DroidSansFallback.ttf",
    "wqy-microhei.ttc",
    "simhei.ttf",
    "malgun.ttf",
    "unifont.ttf",
)
"""File names of typefaces with many letters, in the order they are asked; only what is there is used."""

MOST_FILES = 20_000
"""A folder of typefaces larger than this is not searched to its end."""


def found_typefaces(places: tuple[str, ...] = PLACES) -> tuple[str, ...]:
    """Paths of the wanted typefaces that this machine has; () where there are none."""
    found: dict[str, str] = {}
    seen = 0
    for place in places:
        for folder, _, names in os.walk(os.path.expanduser(place)):
            seen += len(names)
            for name in names:
                if name in WANTED:
                    found.setdefault(name, os.path.join(folder, name))
            if seen > MOST_FILES:
                break
    return tuple(found[name] for name in WANTED if name in found)
