"""The result of a check: which rule, what was observed, against which limit, and by how much."""

from __future__ import annotations

from typing import Literal

from rovlog.values import dataclass

Severity = Literal["stops", "note"]


@dataclass(frozen=True, slots=True)
class Finding:
    """One observation about a configuration or a dive.

    `finding` is the stable kebab-case name a person accepts it by, unique within one result
    ("backwards-surge", "fuse-may-open"). `pointer` is an RFC 6901 pointer into the resolved
    configuration. observed, limit and margin share `unit` and are None where there is no number.
    `text` is a whole sentence in the trade's words; `clears` says what would end it.
    """

    finding: str
    severity: Severity
    text: str
    pointer: str = ""
    observed: float | None = None
    limit: float | None = None
    margin: float | None = None
    unit: str = ""
    clears: str = ""
