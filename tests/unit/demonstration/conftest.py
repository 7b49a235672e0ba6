"""The files of the demonstration's season as it begins, in memory."""

from __future__ import annotations

import pytest
from fakes import fake_book

from rovlog.usecases.demonstration import vehicle_files as files
from rovlog.usecases.demonstration.team import PEOPLE, TITLE
from rovlog.usecases.logbook import Logbook
from rovlog.usecases.start_logbook import start_logbook


@pytest.fixture(scope="session")
def season_files() -> Logbook:
    """A logbook that holds people, vehicles, boxes, models and parts, and no record yet."""
    book = fake_book()
    start_logbook(book, TITLE, PEOPLE)
    texts = {
        "vehicles/grebe.yaml": files.GREBE,
        "vehicles/wigeon.yaml": files.WIGEON,
        "boxes/amber-box.yaml": files.amber_box("1.4"),
        "boxes/slate-box.yaml": files.SLATE_BOX,
        **{f"thrusters/{model}.yaml": text for model, text in files.MODELS.items()},
        **{f"parts/{part}.yaml": files.part_file(part) for part in files.PARTS},
    }
    for name, text in texts.items():
        book.files.create(name, text.encode())
    return Logbook(book)
