"""What is answered of a push that is not kept yet, held beside the index until the push is kept.

It is no record: what is lost with the index is the answers of one push, which is then watched again.
"""

from __future__ import annotations

import json
from collections.abc import Mapping

from rovlog.domain.diagnosis.flow import FLOW_WORDS
from rovlog.usecases.ports import Book


def keep_draft(book: Book, burst: str, answers: Mapping[str, str]) -> None:
    """Hold the answers given so far, by thruster; `burst` is the entry that called it."""
    book.cache.put_many({_key(burst): json.dumps(dict(answers)).encode()})


def draft_of(book: Book, burst: str) -> dict[str, str]:
    """The answers held for a burst; {} where there are none, or where they cannot be read."""
    held = book.cache.get_many([_key(burst)]).get(_key(burst))
    if held is None:
        return {}
    try:
        found = json.loads(held)
    except ValueError:
        return {}
    rows = found.items() if isinstance(found, Mapping) else ()
    return {str(thruster): word for thruster, word in rows if word in FLOW_WORDS}


def _key(burst: str) -> str:
    return f"push-draft:{burst}"
