"""The nearest of some names to a misspelt one, in words for a mend."""

from __future__ import annotations

from collections.abc import Iterable


def nearest(word: str, names: Iterable[str]) -> str | None:
    """The name most like the word, None where nothing is alike."""
    from difflib import get_close_matches

    near = get_close_matches(word, list(names), n=1, cutoff=0.6)
    return near[0] if near else None


def did_you_mean(word: str, names: Iterable[str]) -> str:
    """`did you mean X?`, or "" where nothing is alike."""
    near = nearest(word, names)
    return f"did you mean {near}?" if near else ""


def listed(words: Iterable[str], last: str = "or") -> str:
    """`a, b or c`."""
    every = list(words)
    return every[0] if len(every) == 1 else f"{', '.join(every[:-1])} {last} {every[-1]}"


def nearest_mend(word: str, known: Iterable[str], otherwise: str = "") -> str:
    """A mend for a person: up to three near words, else all where they are few, else `otherwise`."""
    from difflib import get_close_matches

    every = sorted(known)
    near = get_close_matches(word, every, n=3, cutoff=0.4)
    if near:
        return f"did you mean {listed(near)}?"
    if every and (len(every) <= 12 or not otherwise):
        return "known are: " + ", ".join(every[:40])
    return otherwise
