"""A logbook in memory with two vehicles, the shipped lists and a crew."""

from __future__ import annotations

from pathlib import Path

import pytest
from fakes import fake_book
from hand_written import FILES

from rovlog.usecases.logbook import Logbook

LISTS = Path(__file__).parents[3] / "checklists"
PEOPLE = """\
format: rovlog/logbook/1
people:
  nora: {name: Nora Vik, roles: [supervisor, pilot]}
  tomas: {name: Tomas Brek, roles: [pilot, tender]}
  ife: {name: Ife Sand, roles: [tender, technician]}
"""


@pytest.fixture
def logbook() -> Logbook:
    """auk and dipper as their files say, nothing approved, nothing flown."""
    lists = {f"checklists/{p.name}": p.read_text("utf-8") for p in LISTS.glob("*.yaml")}
    return Logbook(fake_book({"logbook.yaml": PEOPLE, **FILES, **lists}))


@pytest.fixture
def shared_box(logbook: Logbook) -> Logbook:
    """The same, with dipper's file naming auk's box."""
    files = logbook.book.files
    text = files.tree["vehicles/auk.yaml"].decode()
    files.tree["vehicles/tern.yaml"] = text.replace("vehicle: auk", "vehicle: tern").encode()
    return logbook
