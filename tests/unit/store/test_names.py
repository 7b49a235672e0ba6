"""Names of records stay inside the logbook and mean the same file on every system."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rovlog.problems import UsageError
from rovlog.store.names import checked_parts


@pytest.mark.parametrize(
    "name",
    [
        "vehicles/kelpie.yaml",
        "dives/2026/kelpie-20260613-abcd.north-laptop.yaml",
        "logbook.yaml",
        ".rovlog/x",
        "a b",
    ],
)
def test_ordinary_names_are_taken_apart_at_the_slashes(name: str) -> None:
    assert checked_parts(name) == tuple(name.split("/"))


@pytest.mark.parametrize(
    ("name", "reason"),
    [
        ("", "empty"),
        ("/etc/passwd", "absolute"),
        ("vehicles//kelpie.yaml", "empty part"),
        ("./logbook.yaml", "empty"),
        ("../other/logbook.yaml", "climbs out"),
        ("vehicles/../../x.yaml", "climbs out"),
        (".git/config", "git's own folder"),
        ("vehicles/.GIT/hooks/x", "git's own folder"),
        ("git~1/config", "git's own folder"),
        ("vehicles\\kelpie.yaml", "character"),
        ("vehicles/kel\0pie.yaml", "character"),
        ("vehicles/kel\npie.yaml", "character"),
        ("vehicles/kel\x1b[31mpie.yaml", "character"),
        ("c:kelpie.yaml", "character"),
        ("vehicles/con.yaml", "device"),
        ("vehicles/NUL", "device"),
        ("vehicles/com1.part.yaml", "device"),
        ("vehicles/lpt9 .yaml", "device"),
        ("vehicles/kelpie.yaml.", "ends in a dot"),
        ("vehicles/kelpie.yaml ", "ends in a dot or a blank"),
    ],
)
def test_a_name_that_could_mean_another_file_is_refused_with_the_reason(name: str, reason: str) -> None:
    with pytest.raises(UsageError, match=reason) as refusal:
        checked_parts(name)
    assert refusal.value.mend


@given(st.text(max_size=30))
def test_whatever_is_accepted_joins_back_and_cannot_climb(name: str) -> None:
    try:
        parts = checked_parts(name)
    except UsageError:
        return
    assert "/".join(parts) == name
    assert not {"", ".", ".."} & set(parts)
    assert all(part.isprintable() and part.lower() != ".git" for part in parts)
