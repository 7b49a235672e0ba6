"""The logbook's tree: what is read, what is refused, and what a writing leaves."""

from __future__ import annotations

import os
import socket
from pathlib import Path

import pytest
from fakes import FakeFiles

from rovlog.problems import NotRecordedError, RovlogError, UsageError
from rovlog.store.files import DiskFiles

MIB = 1 << 20


@pytest.fixture(params=["held", "named"])
def files(request: pytest.FixtureRequest, tmp_path: Path) -> DiskFiles:
    return DiskFiles(str(tmp_path), held=request.param == "held")


def put(files: DiskFiles, name: str, data: bytes = b"x: 1\n") -> Path:
    path = Path(files.root, name)
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(data)
    return path


def test_what_is_created_is_read_back(files: DiskFiles) -> None:
    files.create("dives/2026/a.yaml", b"x: 1\n")
    assert files.read("dives/2026/a.yaml") == b"x: 1\n"
    assert files.exists("dives/2026/a.yaml")


def test_nothing_is_left_beside_a_new_file(files: DiskFiles) -> None:
    files.create("vehicles/a.yaml", b"x: 1\n")
    files.replace("vehicles/a.yaml", b"x: 2\n", b"x: 1\n")
    assert [p.name for p in Path(files.root, "vehicles").iterdir()] == ["a.yaml"]
    assert list(Path(files.root, ".rovlog", "tmp").iterdir()) == []
    assert Path(files.root, "vehicles", "a.yaml").stat().st_nlink == 1


def test_creating_refuses_an_existing_file_and_leaves_it(files: DiskFiles) -> None:
    files.create("vehicles/a.yaml", b"first\n")
    with pytest.raises(NotRecordedError, match="there is such a file already"):
        files.create("vehicles/a.yaml", b"second\n")
    assert files.read("vehicles/a.yaml") == b"first\n"


def test_creating_refuses_a_name_that_differs_in_its_case_only(files: DiskFiles) -> None:
    put(files, "vehicles/Kelpie.yaml")
    with pytest.raises(NotRecordedError, match="there is such a file already"):
        files.create("vehicles/kelpie.yaml", b"x\n")
    assert [p.name for p in Path(files.root, "vehicles").iterdir()] == ["Kelpie.yaml"]


def test_replacing_needs_the_bytes_it_expects(files: DiskFiles) -> None:
    put(files, "vehicles/a.yaml", b"changed by an editor\n")
    with pytest.raises(NotRecordedError, match="changed by someone else") as refusal:
        files.replace("vehicles/a.yaml", b"mine\n", b"as I read it\n")
    assert refusal.value.mend
    assert files.read("vehicles/a.yaml") == b"changed by an editor\n"


def test_replacing_no_file_creates_it_and_an_existing_one_is_refused(files: DiskFiles) -> None:
    files.replace("vehicles/a.yaml", b"new\n", None)
    assert files.read("vehicles/a.yaml") == b"new\n"
    with pytest.raises(NotRecordedError, match="already"):
        files.replace("vehicles/a.yaml", b"newer\n", None)


def test_replacing_keeps_the_file_s_permissions(files: DiskFiles) -> None:
    path = put(files, "vehicles/a.yaml")
    path.chmod(0o664)
    files.replace("vehicles/a.yaml", b"x: 2\n", b"x: 1\n")
    assert path.stat().st_mode & 0o777 == 0o664


def test_appending_adds_to_the_end(files: DiskFiles) -> None:
    put(files, "dives/a.yaml", b"one\n")
    files.append("dives/a.yaml", b"two\n")
    assert files.read("dives/a.yaml") == b"one\ntwo\n"


@pytest.mark.parametrize("torn", [b'- {id: "01', b"one\n- {", b"one\n\0\0\0"])
def test_what_a_crash_left_of_a_line_is_set_apart(files: DiskFiles, torn: bytes) -> None:
    put(files, "dives/a.yaml", torn)
    files.append("dives/a.yaml", b"two\n")
    assert files.read("dives/a.yaml") == torn + b"\ntwo\n"


def test_appending_to_an_empty_file_puts_no_line_end_first(files: DiskFiles) -> None:
    put(files, "dives/a.yaml", b"")
    files.append("dives/a.yaml", b"two\n")
    assert files.read("dives/a.yaml") == b"two\n"


def test_appending_to_a_missing_file_records_nothing(files: DiskFiles) -> None:
    with pytest.raises(NotRecordedError, match="no such file"):
        files.append("dives/a.yaml", b"two\n")
    assert not Path(files.root, "dives").exists()


def test_a_file_that_could_not_be_read_again_is_not_written(files: DiskFiles) -> None:
    with pytest.raises(NotRecordedError, match="larger than 1 MiB"):
        files.create("dives/a.yaml", b"x" * (MIB + 1))
    put(files, "dives/b.yaml", b"x" * (MIB - 4) + b"\n")
    files.append("dives/b.yaml", b"1\n")
    with pytest.raises(NotRecordedError, match="larger than 1 MiB"):
        files.append("dives/b.yaml", b"2\n")
    assert len(files.read("dives/b.yaml")) == MIB - 1


@pytest.mark.parametrize(
    ("what", "sentence"),
    [
        ("missing", "there is no such file"),
        ("folder", "it is a folder, not a file"),
        ("link", "it is a link"),
        ("pipe", "it is a pipe, a socket or a device"),
        ("socket", "it is a pipe, a socket or a device"),
        ("large", "it is larger than 1 MiB"),
        ("linked-folder", "a folder on the way to it is a file or a link"),
        ("file-for-folder", "a folder on the way to it is a file or a link"),
    ],
)
def test_what_is_no_plain_file_is_refused_in_one_clear_sentence(
    files: DiskFiles, what: str, sentence: str, tmp_path_factory: pytest.TempPathFactory
) -> None:
    outside = tmp_path_factory.mktemp("outside")
    (outside / "a.yaml").write_text("secret")
    vehicles = Path(files.root, "vehicles")
    if what not in ("linked-folder", "file-for-folder"):
        vehicles.mkdir()
    path = vehicles / "a.yaml"
    if what == "folder":
        path.mkdir()
    elif what == "link":
        path.symlink_to(outside / "a.yaml")
    elif what == "pipe":
        os.mkfifo(path)
    elif what == "socket":
        os.chdir(vehicles)  # the path of a socket is short
        with socket.socket(socket.AF_UNIX) as made:
            made.bind("a.yaml")
        os.chdir("/")
    elif what == "large":
        path.write_bytes(b"x" * (MIB + 1))
    elif what == "linked-folder":
        vehicles.symlink_to(outside)
    elif what == "file-for-folder":
        vehicles.write_text("in the way")
    with pytest.raises(UsageError) as refusal:
        files.read("vehicles/a.yaml")
    assert (
        refusal.value.message == f"vehicles/a.yaml cannot be read: {sentence}"
        or sentence in refusal.value.message
    )
    assert refusal.value.mend
    assert not files.exists("vehicles/a.yaml") or what == "large"
    if what != "missing":
        for write in (
            lambda: files.append("vehicles/a.yaml", b"x" * (1 if what != "large" else 2)),
            lambda: files.create("vehicles/a.yaml", b"x"),
            lambda: files.replace("vehicles/a.yaml", b"x", b"secret"),
        ):
            with pytest.raises(NotRecordedError):
                write()
    assert (outside / "a.yaml").read_text() == "secret"


def test_names_are_sorted_and_leave_leftovers_out(files: DiskFiles) -> None:
    for name in ("dives/2026/b.yaml", "dives/2025/c.yaml", "dives/a.yaml", "vehicles/v.yaml"):
        put(files, name)
    for name in (
        "dives/2026/.b.yaml",
        "dives/2026/b.yaml.tmp",
        "dives/.old/x.yaml",
        "dives/readme.txt",
        ".rovlog/y.yaml",
    ):
        put(files, name)
    assert files.names("dives") == ["dives/2025/c.yaml", "dives/2026/b.yaml", "dives/a.yaml"]
    assert files.names("") == ["dives/2025/c.yaml", "dives/2026/b.yaml", "dives/a.yaml", "vehicles/v.yaml"]
    assert files.names("work") == []


def test_names_include_what_only_pretends_to_be_a_record_but_do_not_follow_folders_that_are_links(
    files: DiskFiles, tmp_path_factory: pytest.TempPathFactory
) -> None:
    outside = tmp_path_factory.mktemp("outside")
    (outside / "x.yaml").write_text("x")
    vehicles = Path(files.root, "vehicles")
    (vehicles / "folder.yaml").mkdir(parents=True)
    (vehicles / "link.yaml").symlink_to(outside / "x.yaml")
    (vehicles / "elsewhere").symlink_to(outside)
    Path(files.root, "parts").symlink_to(outside)
    assert files.names("vehicles") == ["vehicles/folder.yaml", "vehicles/link.yaml"]
    assert files.names("parts") == []


def test_a_link_to_the_logbook_itself_is_fine(tmp_path: Path) -> None:
    (tmp_path / "book").mkdir()
    (tmp_path / "short").symlink_to(tmp_path / "book")
    files = DiskFiles(str(tmp_path / "short"))
    files.create("logbook.yaml", b"x\n")
    assert files.root == str(tmp_path / "book")
    assert (tmp_path / "book" / "logbook.yaml").read_bytes() == b"x\n"


@pytest.mark.parametrize("derived", ["file", "link"])
def test_something_in_place_of_the_derived_folder_is_named(
    files: DiskFiles, derived: str, tmp_path: Path
) -> None:
    path = tmp_path / ".rovlog"
    path.write_text("x") if derived == "file" else path.symlink_to(tmp_path.parent)
    with pytest.raises(NotRecordedError, match=r"where rovlog needs the folder \.rovlog") as refusal:
        files.create("logbook.yaml", b"x\n")
    assert "delete .rovlog" in refusal.value.mend


def test_the_derived_folder_tells_git_to_ignore_it(files: DiskFiles) -> None:
    files.create("logbook.yaml", b"x\n")
    assert Path(files.root, ".rovlog", ".gitignore").read_text().splitlines()[-1] == "*"


SCRIPT = [
    ("create", "a.yaml", b"1\n"),
    ("create", "a.yaml", b"2\n"),
    ("append", "a.yaml", b"2"),
    ("append", "a.yaml", b"3\n"),
    ("append", "none.yaml", b"3\n"),
    ("read", "none.yaml"),
    ("read", "a.yaml"),
    ("read", "../a.yaml"),
    ("replace", "a.yaml", b"4\n", b"wrong\n"),
    ("replace", "a.yaml", b"4\n", b"1\n2\n3\n"),
    ("replace", "b/c.yaml", b"5\n", None),
    ("replace", "b/c.yaml", b"6\n", None),
    ("exists", "b/c.yaml"),
    ("exists", "b"),
    ("read", "b"),
    ("names", "b"),
    ("names", ""),
    ("names", "none"),
]


def test_the_fake_answers_as_the_disk_does(files: DiskFiles) -> None:
    fake = FakeFiles()
    for deed, *arguments in SCRIPT:
        answers = []
        for side in (files, fake):
            try:
                answers.append(getattr(side, deed)(*arguments))
            except RovlogError as error:
                answers.append((type(error), error.message))
        assert answers[0] == answers[1], (deed, arguments)
