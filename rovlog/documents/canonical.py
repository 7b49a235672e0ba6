"""Canonical JSON (RFC 8785) and the digest over it: what makes two configurations the same."""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import Any

from rovlog.problems import RovlogError

SAFE_INTEGER = 2**53 - 1
"""Greatest whole number that a double holds with all its neighbours (RFC 8785, appendix D)."""

MOST_KNOWN = 200
"""Digests kept in hand while the program runs; some tens of kilobytes each."""

_KNOWN: dict[str, str] = {}
"""Digests by the value's plain JSON with sorted keys: the same text is the same value."""


def canonical(value: Any) -> bytes:
    """The canonical bytes of a JSON value. Raises RovlogError for NaN, infinity and what JSON lacks.

    Whole numbers beyond 2^53 are rounded to the nearest double first, as RFC 8785 treats every
    number as a double.
    """
    import rfc8785

    try:
        written: bytes = rfc8785.dumps(_plain(value))
    except (rfc8785.CanonicalizationError, OverflowError, RecursionError) as error:
        raise RovlogError(
            f"this cannot be written as canonical JSON: {error}", "use finite numbers and plain text"
        ) from None
    return written


def digest(value: Any) -> str:
    """`sha256:` and 64 hexadecimal digits: SHA-256 over the canonical bytes."""
    # One vehicle flies the same configuration for many dives; that two values are one is quickly seen.
    try:
        text = json.dumps(value, sort_keys=True)
    except (TypeError, ValueError, RecursionError):
        return _digest(value)
    if text not in _KNOWN:
        if len(_KNOWN) >= MOST_KNOWN:
            _KNOWN.clear()
        _KNOWN[text] = _digest(value)
    return _KNOWN[text]


def _digest(value: Any) -> str:
    from hashlib import sha256

    return "sha256:" + sha256(canonical(value)).hexdigest()


def _plain(value: Any) -> Any:
    if isinstance(value, bool):
        return value
    if isinstance(value, int):
        return value if -SAFE_INTEGER <= value <= SAFE_INTEGER else float(value)
    if isinstance(value, Mapping):
        return {key: _plain(inner) for key, inner in value.items()}
    if isinstance(value, list | tuple):
        return [_plain(inner) for inner in value]
    return value
