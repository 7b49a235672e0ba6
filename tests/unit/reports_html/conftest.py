"""One hostile logbook for all tests of reports: made once, only read."""

from __future__ import annotations

import pytest
from fakes import fake_book
from team_logbook import fill

from rovlog.usecases.logbook import Logbook


@pytest.fixture(scope="session")
def hostile() -> Logbook:
    return fill(fake_book(), hostile=True)
