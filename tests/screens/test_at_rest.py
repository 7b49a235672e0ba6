"""An app that nobody touches does nothing: a battery at the poolside has to last the day."""

from __future__ import annotations

import asyncio

import pytest
from driving_app import Driver, drive, logbook_in_memory, start
from textual.screen import Screen

MOST = 20
"""So often the screen may see to itself within half a second of rest; a loop does it hundreds of times."""


@pytest.mark.parametrize("size", [(40, 12), (80, 24), (140, 45)])
def test_the_app_rests_while_nobody_presses_a_key(size, monkeypatch):
    turns: list[str] = []
    whole = Screen._on_idle

    async def counted(screen, event):
        turns.append(screen.id or "")
        await whole(screen, event)

    monkeypatch.setattr(Screen, "_on_idle", counted)
    book = logbook_in_memory()
    start(book)

    async def script(d: Driver) -> None:
        for place in ("f6", "f7", "f8", "f9", "f5"):
            await d.press(place)
            turns.clear()
            await asyncio.sleep(0.5)
            assert len(turns) <= MOST, place

    drive(book, script, size)
