"""Reading the logbook's past out of git."""

from __future__ import annotations

import gc
import warnings
from pathlib import Path

import pytest
from scratch_git import Scratch, fresh

from rovlog.problems import GitError

pytestmark = pytest.mark.system("git")


@pytest.fixture(params=["", "records"])
def scratch(request: pytest.FixtureRequest, tmp_path: Path) -> Scratch:
    return Scratch(tmp_path / "repository", request.param)


def test_files_and_names_are_read_as_they_were(scratch: Scratch) -> None:
    first = scratch.commit(logbook__yaml="a: 1\n", dives_in_2026_in_d__yaml="x\n")
    second = scratch.commit(logbook__yaml="a: 2\n", dives_in_2025_in_c__yaml="y\n", readme__txt="no record")
    history = scratch.history
    assert history.read_at(first, "logbook.yaml") == b"a: 1\n"
    assert history.read_at(second, "logbook.yaml") == b"a: 2\n"
    assert history.read_at(first, "dives/2025/c.yaml") is None
    assert history.read_at(first, "dives") is None
    assert history.names_at(first, "") == ["dives/2026/d.yaml", "logbook.yaml"]
    assert history.names_at(second, "dives") == ["dives/2025/c.yaml", "dives/2026/d.yaml"]
    assert history.names_at(second, "vehicles") == []


def test_bytes_come_back_whatever_they_are(scratch: Scratch) -> None:
    data = bytes(range(256)) * 700 + b"\n\n"
    (scratch.root / "logbook.yaml").write_bytes(data)
    (scratch.root / "empty.yaml").write_bytes(b"")
    commit = scratch.history.commit(["logbook.yaml", "empty.yaml"], "odd").commit
    assert commit
    assert scratch.history.read_at(commit, "logbook.yaml") == data
    assert scratch.history.read_at(commit, "empty.yaml") == b""


def test_the_log_is_newest_first_with_the_names_touched_below_the_logbook(scratch: Scratch) -> None:
    first = scratch.commit(logbook__yaml="a: 1\n", vehicles_in_v__yaml="x\n")
    (scratch.top / "elsewhere.txt").write_text("x")
    scratch.git("add", str(scratch.top / "elsewhere.txt"))
    scratch.write("vehicles/v.yaml", "by hand\n")
    scratch.git("add", "vehicles/v.yaml")
    scratch.git("commit", "-qm", "By hand\n\nwith a body", "--author=Jon <jon@team.example>")
    by_hand = scratch.git("rev-parse", "HEAD").strip()
    third = scratch.commit(logbook__yaml="a: 3\n")
    found = scratch.history.log([])
    if scratch.root == scratch.top:
        names = ("elsewhere.txt", "vehicles/v.yaml")
    else:
        names = ("vehicles/v.yaml",)
    assert [(c.commit, c.names) for c in found] == [
        (third, ("logbook.yaml",)),
        (by_hand, names),
        (first, ("logbook.yaml", "vehicles/v.yaml")),
    ]
    assert (found[1].author, found[1].email) == ("Jon", "jon@team.example")
    assert found[1].message == "By hand\n\nwith a body"
    assert found[1].at == scratch.git("log", "-1", "--format=%aI", by_hand).strip().replace("Z", "+00:00")
    assert [c.commit for c in scratch.history.log(["vehicles"])] == [by_hand, first]
    assert [c.commit for c in scratch.history.log(["vehicles/v.yaml", "logbook.yaml"])] == [
        third,
        by_hand,
        first,
    ]
    assert scratch.history.log(["boxes"]) == []


def test_settings_of_the_person_do_not_change_what_is_read(scratch: Scratch) -> None:
    scratch.commit(vehicles_in_a__yaml="x: 1\n" * 20)
    scratch.git("mv", "vehicles/a.yaml", "vehicles/b.yaml")
    scratch.git("commit", "-qm", "rename")
    before = scratch.history.log(["vehicles/b.yaml"])
    for key, value in (
        ("log.follow", "true"), ("log.showSignature", "true"), ("log.decorate", "full"),
        ("format.pretty", "raw"), ("diff.renames", "copies"), ("core.quotePath", "true"),
        ("color.ui", "always"), ("log.date", "unix"), ("diff.noprefix", "true"),
        ("log.diffMerges", "first-parent"), ("core.pager", "false"),
    ):  # fmt: skip
        scratch.git("config", key, value)
    assert scratch.history.log(["vehicles/b.yaml"]) == before
    assert len(before) == 1


def test_a_merge_hides_neither_side_and_is_listed_for_its_own_changes_only(scratch: Scratch) -> None:
    scratch.commit(logbook__yaml="a: 1\n", vehicles_in_v__yaml="1\n")
    scratch.git("checkout", "-qb", "other")
    theirs = scratch.commit(vehicles_in_v__yaml="2\n")
    scratch.git("checkout", "-q", "-")
    scratch.git("checkout", "-q", "-b", "mine", "HEAD~0")
    ours = scratch.commit(logbook__yaml="a: 2\n")
    same = scratch.commit(vehicles_in_v__yaml="2\n")
    scratch.git("merge", "-q", "--no-edit", "other")
    assert {c.commit for c in scratch.history.log(["vehicles"])} >= {theirs, same}
    assert scratch.git("rev-parse", "HEAD").strip() not in {c.commit for c in scratch.history.log([])}
    assert ours in {c.commit for c in scratch.history.log([])}


def test_a_message_cannot_pass_for_another_commit(scratch: Scratch) -> None:
    message = "x\n\x01" + "a" * 40 + "\n\nlogbook.yaml\n\x1e\n"
    scratch.write("logbook.yaml", "1\n")
    assert scratch.history.commit(["logbook.yaml"], message).commit
    (found,) = scratch.history.log([])
    assert found.message == message.rstrip("\n")
    assert found.names == ("logbook.yaml",)


def test_an_abbreviated_id_is_expanded_and_a_branch_of_that_name_is_not_meant(scratch: Scratch) -> None:
    first = scratch.commit(logbook__yaml="1\n")
    second = scratch.commit(logbook__yaml="2\n")
    assert scratch.history.expand(first[:7]) == first
    assert scratch.history.expand(first.upper()[:9]) == first
    scratch.git("branch", first[:7], second)
    assert scratch.history.expand(first[:7]) == first


@pytest.mark.parametrize(
    "name",
    ["main", "HEAD", "--all", "-h", "", "abc", "0" * 40, "dead", "deadbeef~1", "refs/heads/main", "a" * 65],
)
def test_anything_but_the_id_of_a_commit_here_is_refused(scratch: Scratch, name: str) -> None:
    scratch.commit(logbook__yaml="1\n")
    with pytest.raises(GitError, match="there is no commit"):
        scratch.history.expand(name)
    with pytest.raises(GitError):
        scratch.history.read_at(name, "logbook.yaml")
    with pytest.raises(GitError):
        scratch.history.names_at(name, "")


def test_a_blob_s_id_is_no_commit(scratch: Scratch) -> None:
    scratch.commit(logbook__yaml="1\n")
    with pytest.raises(GitError, match="there is no commit"):
        scratch.history.expand(scratch.git("rev-parse", "HEAD:./logbook.yaml").strip())


def test_replaced_objects_do_not_change_what_is_read_and_are_told(scratch: Scratch) -> None:
    first = scratch.commit(logbook__yaml="a: 1\n")
    second = scratch.commit(logbook__yaml="a: 2\n")
    scratch.git("replace", first, second)
    assert scratch.history.read_at(first, "logbook.yaml") == b"a: 1\n"
    assert scratch.history.state() == [
        "replaced objects: 1; git shows the replacements, rovlog reads the originals"
    ]


def test_reading_leaves_no_process_and_no_warning_behind(tmp_path: Path) -> None:
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        scratch = fresh(tmp_path / "book")
        commit = scratch.commit(logbook__yaml="1\n")
        scratch.history.read_at(commit, "logbook.yaml")
        process = scratch.history._blobs._process
        assert process is not None
        assert process.poll() is None
        del scratch
        gc.collect()
    assert process.poll() is not None


def test_reading_goes_on_after_the_reading_process_was_killed(tmp_path: Path) -> None:
    scratch = fresh(tmp_path / "book")
    commit = scratch.commit(logbook__yaml="1\n")
    assert scratch.history.read_at(commit, "logbook.yaml") == b"1\n"
    process = scratch.history._blobs._process
    assert process is not None
    process.kill()
    process.wait()
    assert scratch.history.read_at(commit, "logbook.yaml") == b"1\n"
