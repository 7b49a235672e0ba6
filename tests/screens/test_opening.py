"""Opening the app: what is read is shown, however soon it has been read."""

from __future__ import annotations

from driving_app import Driver, drive, logbook_in_memory, start

from rovlog.faces.screens.app import RovlogApp


def test_a_logbook_that_is_read_before_the_screen_is_composed_is_shown_all_the_same(monkeypatch):
    begun: list[bool] = []
    whole = RovlogApp.do

    def at_once(app, job, done, failed=None):
        if begun:
            whole(app, job, done, failed)
            return
        begun.append(True)
        done(job(app.desk))

    monkeypatch.setattr(RovlogApp, "do", at_once)
    book = logbook_in_memory()
    start(book)

    async def script(d: Driver) -> None:
        await d.pilot.pause(0.1)
        await d.settle()
        assert d.item is not None
        assert "Swimmers and divers" in d.text

    drive(book, script)
    assert begun
