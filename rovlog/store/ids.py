"""New identities: ULIDs that rise within one process, and random letters."""

from __future__ import annotations

import os
from collections.abc import Callable

from rovlog.problems import UsageError

CROCKFORD = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"
"""Crockford's base 32: no I, L, O, U."""

_RANDOM_BITS = 80
_MOST_MS = (1 << 48) - 1


class FreshIds:
    """The port `Ids`. `draw(count)` gives random bytes; the demonstration gives its own, to be repeatable."""

    def __init__(self, draw: Callable[[int], bytes] = os.urandom) -> None:
        """Take the source of random bytes."""
        self._draw = draw
        self._last = -1

    def ulid(self, at: str) -> str:
        """A ULID: 48 bits of milliseconds since 1970, 80 random bits, 26 characters of base 32.

        It is greater than the one before from this object, whatever `at` says: within the same
        millisecond, or after the clock was set back, it is the one before plus one.

        Raises:
            UsageError: `at` is not an RFC 3339 time from 1970 on.

        Layout: the public ULID specification.
        """
        value = (_milliseconds(at) << _RANDOM_BITS) | int.from_bytes(self._draw(10), "big")
        if value >> _RANDOM_BITS <= self._last >> _RANDOM_BITS:
            value = self._last + 1
        self._last = value
        return "".join(CROCKFORD[(value >> shift) & 31] for shift in range(125, -1, -5))

    def letters(self, count: int) -> str:
        """Lower-case ASCII letters, each equally likely."""
        letters = ""
        while len(letters) < count:
            # 234 is the greatest multiple of 26 in a byte: above it some letters would be likelier.
            letters += "".join(chr(97 + b % 26) for b in self._draw(count) if b < 234)
        return letters[:count]


def _milliseconds(at: str) -> int:
    from datetime import datetime

    try:
        moment = datetime.fromisoformat(at)
        milliseconds = round(moment.timestamp() * 1000) if moment.tzinfo else -1
    except (ValueError, OverflowError):
        milliseconds = -1
    if not 0 <= milliseconds <= _MOST_MS:
        raise UsageError(
            f"{at!r} is not a time", "write date, time and offset, such as 2026-06-13T09:31:55+01:00"
        )
    return milliseconds
