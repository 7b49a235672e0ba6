"""Who the people of a logbook are, and what the team has settled: logbook.yaml as values."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from rovlog.values import dataclass, field


@dataclass(frozen=True, slots=True)
class Person:
    """One of the team: `roles` as in the logbook; e-mail only where given (it becomes the author)."""

    id: str
    name: str
    roles: tuple[str, ...] = ()
    email: str | None = None


@dataclass(frozen=True, slots=True)
class Settings:
    """What logbook.yaml says: title, people, policy (raw), display units (raw).

    `trouble` is "" or why the file cannot be used; then all else is as git holds it, or empty.
    """

    title: str
    people: Mapping[str, Person]
    policy: Mapping[str, Any] = field(default_factory=dict)
    display_units: Mapping[str, Any] = field(default_factory=dict)
    trouble: str = ""


def settings_from(value: Mapping[str, Any]) -> Settings:
    """The settings that a checked logbook.yaml holds."""
    people = {
        key: Person(key, row["name"], tuple(row.get("roles", ())), row.get("email"))
        for key, row in (value.get("people") or {}).items()
    }
    return Settings(value.get("title", ""), people, value.get("policy", {}), value.get("display_units", {}))
