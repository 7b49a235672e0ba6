"""A vehicle renamed: the ids it had before, whose records still name it so."""

from __future__ import annotations

from rovlog.problems import GitError
from rovlog.usecases.logbook import Logbook


def former_names(logbook: Logbook, vehicle: str, notes: list[str]) -> tuple[str, ...]:
    """The ids under which a vehicle's older records stand, oldest last; each is named in `notes`.

    A record's vehicle that has no file any more was renamed where one commit took its file away and
    brought the other's in. Where git does not tell, its records are not counted, and that is noted too.
    """
    lost = sorted({r.vehicle for r in logbook.records() if r.vehicle} - set(logbook.vehicles()) - {vehicle})
    if not lost:
        return ()
    try:
        renamed = _renames(logbook)
    except GitError as error:
        renamed = {}
        notes.append(f"git's history could not be read: {error.message}")
    found: list[str] = []
    now = vehicle
    while now in renamed and renamed[now][0] in lost:
        before, commit = renamed[now]
        found.append(before)
        notes.append(f"{now} was called {before} up to commit {commit[:10]}: its dives under that name count")
        now = before
    known = {before for before, _ in renamed.values()}
    for name in lost:
        if name not in found and name not in known:
            notes.append(
                f"{name} has dives or work, and no file vehicles/{name}.yaml: not counted here; "
                f"ask for it by that name"
            )
    return tuple(found)


def _renames(logbook: Logbook) -> dict[str, tuple[str, str]]:
    """New id to (old id, commit), for every commit that took one vehicle's file away and brought one in."""
    history = logbook.book.history
    found: dict[str, tuple[str, str]] = {}
    seen: set[str] = set()
    for commit in reversed(history.log(["vehicles"])):
        names = {n.removeprefix("vehicles/").removesuffix(".yaml") for n in commit.names}
        here = {
            n.removeprefix("vehicles/").removesuffix(".yaml")
            for n in history.names_at(commit.commit, "vehicles")
        }
        gone, came = sorted((names & seen) - here), sorted((names & here) - seen)
        if len(gone) == 1 and len(came) == 1:
            found[came[0]] = (gone[0], commit.commit)
        seen |= here
    return found
