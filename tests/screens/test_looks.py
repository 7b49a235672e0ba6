"""Looks: contrast by the published formula, of every pair defined and of every pair really drawn."""

from __future__ import annotations

import pytest
from driving_app import Driver, drive, logbook_in_memory, start

from rovlog.faces.reports.check_text import MARKS
from rovlog.faces.screens.looks import LEAST_CONTRAST, LOOKS, contrast

PUBLISHED = [("#000000", "#ffffff", 21.0), ("#777777", "#ffffff", 4.48), ("#767676", "#ffffff", 4.54)]
"""WCAG 2.2, understanding 1.4.3 and the failure examples commonly quoted with it; two decimals."""


@pytest.mark.parametrize(("one", "other", "ratio"), PUBLISHED)
def test_contrast_meets_published_pairs(one, other, ratio):
    assert contrast(one, other) == pytest.approx(ratio, abs=0.005)
    assert contrast(other, one) == contrast(one, other)


@pytest.mark.parametrize("look", list(LOOKS))
def test_every_pair_of_a_look_reaches_seven_to_one(look):
    for name, (ink, ground, _) in LOOKS[look].pairs.items():
        assert contrast(ink, ground) >= LEAST_CONTRAST, name


@pytest.mark.parametrize("look", list(LOOKS))
def test_every_pair_that_is_drawn_reaches_seven_to_one(look):
    book = logbook_in_memory()
    start(book)
    drawn: set[tuple[str, str]] = set()

    def note(d: Driver) -> None:
        for row in d.app.screen._compositor.render_strips():
            for text, style, _ in row:
                if style is not None and text.strip() and style.color and style.bgcolor:
                    ink, ground = style.color.get_truecolor().hex, style.bgcolor.get_truecolor().hex
                    drawn.add((ground, ink) if style.reverse else (ink, ground))

    async def script(d: Driver) -> None:
        await d.press("enter")
        note(d)
        await d.go_to("deck")
        await d.press("1", "enter")
        note(d)
        for key in (
            "f6",
            "f7",
            "f8",
            "f9",
            "f5",
            "p",
            "escape",
            "f2",
            "4",
            "escape",
            "question_mark",
            "escape",
            "v",
        ):
            await d.press(key)
            note(d)

    drive(book, script, look=look)
    assert len(drawn) >= 2
    low = {pair: round(contrast(*pair), 2) for pair in drawn if contrast(*pair) < LEAST_CONTRAST}
    assert not low


def test_each_state_has_a_mark_of_its_own():
    assert len(set(MARKS.values())) == len(MARKS)


def test_one_key_changes_the_look_and_nothing_blinks():
    book = logbook_in_memory()
    start(book)

    async def script(d: Driver) -> None:
        seen = [d.app.look.name]
        for _ in range(3):
            await d.press("f10")
            seen.append(d.app.look.name)
        assert seen == ["dark", "sun", "monochrome", "dark"]
        for look in LOOKS.values():
            assert not any("blink" in more for _, _, more in look.pairs.values())

    drive(book, script)


def test_without_colour_no_colour_is_drawn(monkeypatch):
    monkeypatch.setenv("NO_COLOR", "1")
    book = logbook_in_memory()
    start(book)

    async def script(d: Driver) -> None:
        assert d.app.look.name == "no-colour"
        for row in d.app.screen._compositor.render_strips():
            for _, style, _ in row:
                if style is not None:
                    for colour in (style.color, style.bgcolor):
                        assert colour is None or colour.is_default
        await d.press("f10")
        assert "NO_COLOR is set" in d.message

    drive(book, script)


@pytest.mark.parametrize("look", list(LOOKS))
@pytest.mark.parametrize("size", [(80, 24), (40, 12), (140, 45)])
def test_no_cell_is_left_without_the_looks_own_ground(look, size):
    book = logbook_in_memory()
    start(book)

    async def script(d: Driver) -> None:
        for item in ("fuse", "site-limits", "vacuum-hold", "crew"):
            await d.go_to(item)
            for row in d.app.screen._compositor.render_strips():
                for text, style, _ in row:
                    if text:
                        assert style is not None, (item, text)
                        assert style.bgcolor is not None, (item, text)
                        assert not style.bgcolor.is_default, (item, text)

    drive(book, script, size, look=look)


@pytest.mark.parametrize("look", list(LOOKS))
def test_an_empty_field_of_a_form_can_be_told_from_the_page(look):
    book = logbook_in_memory()
    start(book)

    async def script(d: Driver) -> None:
        await d.press("d")
        field = d.app.screen.query("OneLine").first()
        assert field.styles.background.hex != d.app.screen.query_one("Vertical").styles.background.hex

    drive(book, script, look=look)
