"""The nearest known word to a misspelt one, as a mend."""

from __future__ import annotations

from collections.abc import Iterable


def nearest_mend(word: str, known: Iterable[str], otherwise: str) -> str:
    """A mend naming up to three near words, else all where they are few, else `otherwise`."""
    from difflib import get_close_matches

    every = list(known)
    near = get_close_matches(word, every, n=3, cutoff=0.5)
    if near:
        return "did you mean " + " or ".join(near) + "?"
    if 0 < len(every) <= 12:
        return "known are: " + ", ".join(every)
    return otherwise
