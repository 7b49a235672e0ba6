"""Who is answering: by the item's role unless another person of the crew is chosen."""

from __future__ import annotations

from collections.abc import Mapping

from rovlog.domain.checks.checklist import Item
from rovlog.domain.dive import ROLES


def role_of(crew: Mapping[str, str], person: str) -> str:
    """A person's role in the crew; the first of several, "" without one."""
    return next((r for r in ROLES if crew.get(r) == person), "")


def crew_in_order(crew: Mapping[str, str], people: Mapping[str, str]) -> list[str]:
    """The crew once each, in the order of the roles; all people of the logbook where there is no crew."""
    found = dict.fromkeys(crew[r] for r in ROLES if r in crew)
    return list(found) or list(people)


def who_answers(item: Item | None, crew: Mapping[str, str], people: Mapping[str, str]) -> str:
    """The person whose item it is: the first of its roles that the crew has."""
    for role in item.by if item else ():
        if role in crew:
            return crew[role]
    known = crew_in_order(crew, people)
    return crew.get("supervisor") or (known[0] if known else "")


def second_people(item: Item, first: str, crew: Mapping[str, str], people: Mapping[str, str]) -> list[str]:
    """Who may be the second person: those of the crew in the item's roles, the others of it, all others."""
    in_role = [crew[role] for role in item.by if role in crew]
    known = dict.fromkeys([*in_role, *crew_in_order(crew, people), *people])
    return [p for p in known if p != first]


def after(person: str, known: list[str]) -> str:
    """The next person of the crew, round and round."""
    return (
        known[(known.index(person) + 1) % len(known)] if person in known else (known[0] if known else person)
    )
