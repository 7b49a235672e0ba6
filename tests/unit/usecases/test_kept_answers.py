"""A kept answer is given only while everything it was made from is what it was."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from fakes import FakeCache, FakeFiles, FakeHistory, fake_book

from rovlog.problems import UsageError
from rovlog.usecases.kept_answers import kept_answer
from rovlog.usecases.ports import Book
from rovlog.values import replace

TREE: dict[str, bytes | str] = {
    "logbook.yaml": "title: One\n",
    "dives/a.yaml": "one\n",
    "dives/b.yaml": "two\n",
}


class Asked:
    """Asks one question of a logbook and counts how often the answer had to be made."""

    def __init__(self, book: Book, answer: Callable[[Book], Any] | None = None) -> None:
        self.book = book
        self.answer = answer or (lambda book: book.files.read("dives/a.yaml").decode())
        self.times = 0

    def __call__(self, *question: Any) -> Any:
        return kept_answer(self.book, question or ("what",), self._made)

    def _made(self, book: Book) -> Any:
        self.times += 1
        return self.answer(book)


@pytest.fixture
def asked() -> Asked:
    return Asked(fake_book(TREE))


def files(asked: Asked) -> FakeFiles:
    found = asked.book.files
    assert isinstance(found, FakeFiles)
    return found


def test_the_same_question_of_the_same_files_is_answered_once(asked: Asked) -> None:
    assert [asked(), asked(), asked()] == ["one\n"] * 3
    assert asked.times == 1


def test_another_question_has_its_own_answer(asked: Asked) -> None:
    asked("what", "a")
    asked("what", "b")
    asked("what", "a")
    assert asked.times == 2


def test_an_answer_is_the_same_fresh_and_kept() -> None:
    asked = Asked(fake_book(TREE), lambda book: {"b": (1.5, None, True), "a": ["Ünal", 3]})
    assert list(asked()) == list(asked()) == ["b", "a"]
    assert asked() == {"b": [1.5, None, True], "a": ["Ünal", 3]}
    assert asked.times == 1


@pytest.mark.parametrize(
    "change",
    [
        lambda book: book.files.tree.update({"dives/a.yaml": b"uno\n"}),
        lambda book: book.files.tree.update({"dives/b.yaml": b"due\n"}),
        lambda book: book.files.tree.update({"dives/c.yaml": b""}),
        lambda book: book.files.tree.pop("dives/b.yaml"),
        lambda book: book.files.tree.update({"dives/c.yaml": book.files.tree.pop("dives/b.yaml")}),
        lambda book: book.files.tree.update({"dives/b.yaml": b"x" * ((1 << 20) + 1)}),
        lambda book: book.history.commit(["dives/a.yaml"], "Record it"),
    ],
)
def test_anything_that_changes_in_files_or_history_asks_anew(
    asked: Asked, change: Callable[[Any], Any]
) -> None:
    asked()
    change(asked.book)
    asked()
    asked()
    assert asked.times == 2


def test_a_changed_program_asks_anew(asked: Asked, monkeypatch: pytest.MonkeyPatch) -> None:
    asked()
    monkeypatch.setattr(type(asked.book.shipped), "program", lambda self: "another")
    asked()
    assert asked.times == 2


def test_what_else_an_answer_comes_from_asks_anew_and_takes_no_more_room(asked: Asked) -> None:
    for day in ("2026-05-01", "2026-05-01", "2026-05-02"):
        kept_answer(asked.book, ["what"], asked._made, [day])
    assert asked.times == 2
    assert len(asked.book.cache.rows) == 1  # type: ignore[attr-defined]


@pytest.mark.parametrize(
    ("look", "times"),
    [
        (lambda book: book.files.read("logbook.yaml"), 2),
        (lambda book: book.files.exists("vehicles/a.yaml"), 2),
        (lambda book: book.files.names("vehicles"), 2),
        (lambda book: book.files.names(""), 2),
        (lambda book: book.files.names("dives"), 1),
        (lambda book: book.files.exists("dives/z.yaml"), 1),
    ],
)
def test_an_answer_from_a_few_folders_is_kept_only_where_it_looked_nowhere_else(
    look: Callable[[Book], Any], times: int
) -> None:
    asked = Asked(fake_book(TREE), lambda book: [look(book), book.files.read("dives/a.yaml"), "answer"][2])
    for _ in range(2):
        kept_answer(asked.book, ["what"], asked._made, within=["dives"])
    assert asked.times == times


def test_a_file_outside_the_folders_changes_nothing_and_one_inside_asks_anew(asked: Asked) -> None:
    def ask() -> None:
        kept_answer(asked.book, ["what"], asked._made, within=["dives"])

    ask()
    files(asked).tree["logbook.yaml"] = b"title: Two\n"
    files(asked).tree["work/a.yaml"] = b""
    ask()
    assert asked.times == 1
    files(asked).tree["dives/b.yaml"] = b"due\n"
    ask()
    assert asked.times == 2


def test_another_laptop_asks_for_itself(asked: Asked) -> None:
    asked()
    asked.book = replace(asked.book, writer="south-laptop")
    asked()
    assert asked.times == 2


@pytest.mark.parametrize(
    "look",
    [
        lambda book: book.clock.now(),
        lambda book: book.clock.mono_s(),
        lambda book: book.ids.letters(4),
        lambda book: book.history.identity(),
        lambda book: book.history.state(),
        lambda book: book.files.exists("attachments/a.jpg"),
        lambda book: book.files.append("dives/b.yaml", b"more\n"),
    ],
)
def test_what_came_from_anything_else_is_never_kept(look: Callable[[Book], Any]) -> None:
    asked = Asked(fake_book(TREE), lambda book: [look(book), "answer"][1])
    assert [asked(), asked()] == ["answer", "answer"]
    assert asked.times == 2


@pytest.mark.parametrize(
    "look",
    [
        lambda book: book.files.exists("dives/a.yaml"),
        lambda book: book.files.exists("dives/z.yaml"),
        lambda book: book.files.names("dives"),
        lambda book: book.history.log(["dives"]),
        lambda book: book.history.head(),
    ],
)
def test_what_came_from_files_and_commits_is_kept(look: Callable[[Book], Any]) -> None:
    asked = Asked(fake_book(TREE), lambda book: [look(book), "answer"][1])
    assert [asked(), asked()] == ["answer", "answer"]
    assert asked.times == 1


def test_what_changed_while_the_answer_was_made_is_not_kept(asked: Asked) -> None:
    def slow(book: Book) -> str:
        if asked.times == 1:
            files(asked).tree["dives/a.yaml"] = b"changed meanwhile\n"
        return book.files.read("dives/a.yaml").decode()

    asked.answer = slow
    assert asked() == "changed meanwhile\n"
    files(asked).tree["dives/a.yaml"] = b"one\n"
    assert asked() == "one\n"
    assert asked.times == 2


def test_a_file_that_came_while_the_answer_was_made_keeps_it_from_being_kept(asked: Asked) -> None:
    def slow(book: Book) -> int:
        if asked.times == 1:
            files(asked).tree["dives/c.yaml"] = b"three\n"
        return len(book.files.names("dives"))

    asked.answer = slow
    assert asked() == 3
    del files(asked).tree["dives/c.yaml"]
    assert asked() == 2


def test_an_error_is_raised_each_time(asked: Asked) -> None:
    def broken(book: Book) -> Any:
        return book.files.read("dives/none.yaml")

    asked.answer = broken
    for _ in range(2):
        with pytest.raises(UsageError, match="no such file"):
            asked()
    assert asked.times == 2


def test_without_a_cache_or_a_history_that_can_be_told_every_question_is_answered_anew(asked: Asked) -> None:
    cache, history = asked.book.cache, asked.book.history
    assert isinstance(cache, FakeCache)
    assert isinstance(history, FakeHistory)
    cache.is_off = True
    assert [asked(), asked()] == ["one\n", "one\n"]
    cache.is_off = False
    history.stamp = lambda: None  # type: ignore[method-assign]
    assert [asked(), asked()] == ["one\n", "one\n"]
    assert asked.times == 4
    assert not cache.rows


def test_only_the_last_answer_to_a_question_takes_up_room(asked: Asked) -> None:
    cache = asked.book.cache
    assert isinstance(cache, FakeCache)
    for number in range(5):
        files(asked).tree["dives/a.yaml"] = b"%d\n" % number
        asked()
    assert len(cache.rows) == 1
