"""Commits that were put off are done once each, in order, whichever thread works them off."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from threading import Event

import pytest
from fakes import FakeFiles, FakeHistory

from rovlog.usecases.later_commits import LaterCommits
from rovlog.usecases.ports import CommitOutcome


class SlowHistory(FakeHistory):
    """A history whose first commit waits until it is let through."""

    def __init__(self) -> None:
        super().__init__(FakeFiles())
        self.has_begun, self.let_through = Event(), Event()
        self.done: list[str] = []

    def commit(self, names, message, author=None, at=None) -> CommitOutcome:  # type: ignore[no-untyped-def]
        self.has_begun.set()
        assert message != "first" or self.let_through.wait(10)
        self.done.append(message)
        return CommitOutcome("f" * 40)


def test_two_threads_that_work_off_at_once_commit_each_in_order_and_neither_fails() -> None:
    history = SlowHistory()
    later = LaterCommits(history)
    later.commit(["dives/2025/a.yaml"], "first")
    with ThreadPoolExecutor(2) as pool:
        git = pool.submit(later.work_off)
        assert history.has_begun.wait(10)
        later.commit(["dives/2025/a.yaml"], "second")
        approval = pool.submit(later.commit, ["approvals/puffin/r1-aaaaaaaa.yaml"], "approval")
        with pytest.raises(TimeoutError):
            approval.result(0.2)  # the first is not done yet
        history.let_through.set()
        assert (git.result(10), approval.result(10).commit) == ([], "f" * 40)
    assert history.done == ["first", "second", "approval"]
