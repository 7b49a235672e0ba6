"""Broken, hostile and missing files through the command line: one clear error, nothing lost, never a traceback."""

# ruff: noqa: E501 - one call a line
from __future__ import annotations

import contextlib
import os
import random
import re
import shutil
import subprocess
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
from calling import CommandLine, assert_one_clear_error, git, new_logbook

START = ("--by", "nora", "--site", "jetty", "--water", "fresh:14", "--crew", "supervisor=nora", "pilot=tomas")

SCALARS = [
    "5", '"x"', "[]", "{}", "[[1]]", "{a: 1}", "true", "null", "-1e9", "0", "1e300", "1e-300", '"\\e[31m[/x]"',
    f'"{"n" * 10_000}"', "9" * 29, "9" * 400, "nan", ".inf", "!!python/object:x", "*a", "&a 1", "<<: 1", '"\\u202e"',
    "é", "-0", "08", '"a/b"', "''", "|", ">", "? x", "@", "%x", "`", "\t", "- x", "0x1f", "1_000", '"unclosed',
]  # fmt: skip
"""What stands in the place of a value: wrong types, other YAML, huge, hostile."""

WHOLE = [
    b"", b"\0" * 50, b"\xff\xfe\0", bytes(random.Random(7).randbytes(300)), b"\xef\xbb\xbfformat: x\n", b"- - - " * 50,
    b"[" * 5000, b"{a: " * 200, b"a: &x [*x]\n", b"format: rovlog/vehicle/1\nformat: rovlog/vehicle/1\n",
    b"x" * 2_000_000, "é".encode("latin-1"), b"a: 1\n---\nb: 2\n", b"%YAML 1.1\n---\na: 1\n",
]  # fmt: skip
"""What stands in the place of a whole file."""

PAIR = re.compile(r'([A-Za-z_0-9-]+): ?("(?:[^"\\\n]|\\.)*"|\{[^{}\n]*\}|\[[^\[\]\n]*\]|[^,{}\[\]\n]+)')


@pytest.fixture
def line(tmp_path: Path) -> CommandLine:
    return new_logbook(tmp_path / "logbook")


@pytest.fixture(scope="module")
def flown(tmp_path_factory: pytest.TempPathFactory) -> tuple[CommandLine, str]:
    """A logbook with an approval and a dive with entries of many kinds."""
    line = new_logbook(tmp_path_factory.mktemp("files") / "logbook")
    line("vehicle", "approve", "auk", "--by", "nora", "--reason", "as built")
    dive = line.json("dive", "start", "auk", *START)["dive"]
    for words in (
        "mark power-on", "event housing-opened --part tube", "trim heave=0.06",
        "setup steering_scheme=3 trim.heave=0.1", "readback --in-use steering_scheme=3 thruster_map=2 trim.heave=0.1",
        "observe --push left-stick-y=-0.3 --seen aft-port=ahead", "reading clamp-meter current_a=7,5",
        "tick fuse --value rating=15", "tick site-limits --value depth=3 --value visibility=3 --value flow=0.1 --value wind=3",
        "pause --reason visitors", "resume", "place --water salt:11:31 --depth-m 3", "fault yaw-weak", "note hello",
        "waive depth-rating --reason short --until dive",
    ):  # fmt: skip
        name, *rest = words.split()
        line("dive", name, dive, *rest, "--by", "nora", status=None)
    return line, dive


def readings(dive: str) -> list[list[str]]:
    """Calls that read everything there is."""
    text = f"""
        validate|vehicle list|vehicle show auk|budget auk --temperature-c 10 --depth-m 4|drift auk|dive list|dive show {dive}
        dive show {dive} --entries|audit timeline --vehicle auk|audit suspects --vehicle auk|audit between {dive} {dive}
        audit field /hull/mass_kg --vehicle auk|diagnose {dive}|verify|checklist show pre-dive --vehicle auk
        response auk --stick left-stick-y=-1|vehicle compare auk@1 auk|dive tick {dive} stop-word --by nora|part list
        """
    return [call.split() for row in text.strip().splitlines() for call in row.strip().split("|")]


def mutations(texts: dict[Path, str], chance: random.Random) -> Iterator[tuple[Path, bytes, object]]:
    while True:
        path = chance.choice(sorted(texts))
        if chance.random() < 0.15:
            whole = chance.choice(WHOLE)
            yield path, whole, whole[:12]
            continue
        found = [m for m in PAIR.finditer(texts[path]) if m.group(1) != "$schema"]
        match, scalar = chance.choice(found), chance.choice(SCALARS)
        start, end = match.span(2 if chance.random() < 0.85 else 1)
        text = texts[path][:start] + scalar + texts[path][end:]
        yield path, text.encode("utf-8", "surrogatepass"), (match.group(1), scalar[:20])


@pytest.mark.parametrize("seed", [1, 2])
def test_no_document_however_broken_ends_a_command_without_words(
    flown: tuple[CommandLine, str], seed: int
) -> None:
    line, dive = flown
    files = list(line.root.rglob("*.yaml"))
    texts = {p: p.read_text(encoding="utf-8") for p in files}
    chance = random.Random(seed)
    calls = readings(dive)
    drawn = mutations(texts, chance)
    for _ in range(25):
        path, data, what = next(drawn)
        path.write_bytes(data)
        for words in chance.sample(calls, 6):
            as_json = ["--json"] if chance.random() < 0.3 else []
            called = line(*words, *as_json, status=None)
            assert called.status in (0, 1, 2), (path.name, what, words)
            assert called.status != 2 or called.err.strip(), (path.name, what, words)
            assert not [c for c in called.out + called.err if not c.isprintable() and c != "\n"], (
                what,
                words,
            )
        path.write_text(texts[path], encoding="utf-8")
        for new in set(line.root.rglob("*.yaml")) - set(files):
            new.unlink()  # such as a part of one's own, where the writer of the first part was changed
    assert line("validate", status=None).status in (0, 1)


@pytest.mark.parametrize(
    ("broken", "rule", "said"),
    [
        ("polarity: normal", "wrong-", "polarity: revers"),
        ("mass_kg: 4.62", "", "mass_kg: heavy"),
        ("mass_kg: 4.62", "", "mass: 4.62"),
        ("box: jetty-box", "", "box: jetty-bx"),
        ("channel: 1,", "", "channel: 9,"),
        ("name: Auk", "", "name: [Auk"),
        ("thrust_direction: [1, 0, 0]", "", "thrust_direction: [1, 1, 0]"),
        ("steering_scheme: 3", "", "steering_scheme: 4"),
        ("vehicle: auk", "", "vehicle: great-auk"),
    ],
)
def test_a_mistake_in_a_vehicle_is_told_with_place_caret_and_mend(
    line: CommandLine, broken: str, rule: str, said: str
) -> None:
    path = line.root / "vehicles/auk.yaml"
    text = path.read_text(encoding="utf-8")
    assert broken in text
    path.write_text(text.replace(broken, said, 1), encoding="utf-8")
    found = line.json("validate", status=1)
    assert set(found) == {"documents", "problems"}
    first = found["problems"][0]
    assert set(first) == {
        "file", "line", "column", "pointer", "rule", "message", "found", "expected", "mend",
    }  # fmt: skip
    assert first["file"] == "vehicles/auk.yaml"
    assert first["mend"]
    shown = line("validate", status=1)
    assert f"vehicles/auk.yaml:{first['line']}:{first['column']}: {first['rule']}: " in shown.out
    assert "^" in shown.out
    assert "mend: " in shown.out


def test_all_problems_of_all_files_are_told_not_the_first(line: CommandLine) -> None:
    for name, before, after in (
        ("vehicles/auk.yaml", "rating_a: 15", "rating_a: fifteen"),
        ("vehicles/auk.yaml", "length_m: 18", "length_m: -18"),
        ("vehicles/dipper.yaml", "firmware", "firmware"),
        ("boxes/punt-box.yaml", 'firmware: "0.31"', "firmware: 0.31"),
    ):
        path = line.root / name
        path.write_text(path.read_text(encoding="utf-8").replace(before, after), encoding="utf-8")
    found = line.json("validate", status=1)["problems"]
    assert {p["file"] for p in found} == {"vehicles/auk.yaml", "boxes/punt-box.yaml"}
    assert len(found) == 3
    firmware = next(p for p in found if p["file"] == "boxes/punt-box.yaml")
    assert "quotes" in firmware["mend"]


def test_an_id_with_a_slash_is_refused_everywhere(line: CommandLine) -> None:
    for words in (
        ("vehicle", "show", "../auk"),
        ("vehicle", "approve", "a/b", "--by", "nora", "--reason", "r"),
        ("dive", "start", "vehicles/auk", *START),
        ("dive", "show", "../../etc/passwd"),
        ("drift", "a/b"),
        ("audit", "timeline", "--vehicle", "../x"),
        ("checklist", "show", "../logbook"),
        ("work", "start", "a/b", "--by", "nora", "--purpose", "p"),
    ):
        assert_one_clear_error(line(*words, status=2))


def test_a_folder_in_place_of_a_file_is_told_and_the_rest_goes_on(line: CommandLine) -> None:
    (line.root / "vehicles/auk.yaml").unlink()
    (line.root / "vehicles/auk.yaml").mkdir()
    assert_one_clear_error(line("vehicle", "show", "auk", status=2))
    assert "vehicles/auk.yaml" in line("vehicle", "show", "auk", status=2).err
    assert line.json("validate", status=1)["problems"][0]["file"] == "vehicles/auk.yaml"
    assert line("vehicle", "show", "dipper").status == 0
    assert "dipper" in line("vehicle", "list").out


def test_a_missing_vehicle_box_model_and_dive_are_named_with_the_nearest(line: CommandLine) -> None:
    assert "did you mean auk" in line("vehicle", "show", "auck", status=2).err
    assert "nora" in line("dive", "start", "auk", *("--by", "norra"), *START[2:], status=2).err
    (line.root / "thrusters/guppy-12.yaml").unlink()
    assert "guppy-12" in line("budget", "auk", status=2).err
    assert line("validate", status=1).out.count("guppy-12") >= 1


def test_a_dive_with_broken_files_is_shown_records_and_says_what_is_wrong(
    flown: tuple[CommandLine, str], tmp_path: Path
) -> None:
    line = CommandLine(tmp_path / "copy")
    shutil.copytree(flown[0].root, line.root)
    dive = flown[1]
    for name in ("vehicles/auk.yaml", "boxes/jetty-box.yaml", "thrusters/guppy-12.yaml"):
        (line.root / name).write_text("{[", encoding="utf-8")
    shown = line.json("dive", "show", dive)
    assert any("cannot be used" in p for p in shown["problems"])
    assert any("cannot be used" in s["reason"] for s in shown["stops"])
    assert dive in line("dive", "list", "auk").out
    assert "auk" in line("vehicle", "list").out
    assert line("dive", "note", dive, "still here", "--by", "nora").status == 0
    assert line("dive", "mark", dive, "power-off", "--by", "nora").status == 0
    assert "still here" in line("dive", "show", dive, "--entries").out


def test_a_dive_whose_entry_is_of_the_wrong_kind_goes_on_without_it_and_says_so(
    flown: tuple[CommandLine, str], tmp_path: Path
) -> None:
    line = CommandLine(tmp_path / "copy")
    shutil.copytree(flown[0].root, line.root)
    path = next(line.root.glob(f"dives/*/{flown[1]}.yaml"))
    text = path.read_text(encoding="utf-8")
    assert "kind: event, event: housing-opened" in text
    path.write_text(
        text.replace("kind: event, event: housing-opened", "kind: event, event: {a: [1]}"), encoding="utf-8"
    )
    shown = line.json("dive", "show", flown[1])
    assert "is not counted" in shown["problems"][0]
    assert "entry-not-counted" in [s["id"] for s in shown["stops"]]
    assert line("audit", "timeline", "--vehicle", "auk").status == 0
    found = line.json("validate", status=1)["problems"]
    assert found[0]["file"] == path.relative_to(line.root).as_posix()


HOSTILE = "\x1b]52;c;eA==\x07[/x] [red]\u202eevil\u202c\u3164" + "n" * 10_000


def test_hostile_text_in_files_and_arguments_never_reaches_the_terminal(line: CommandLine) -> None:
    import json

    path = line.root / "vehicles/auk.yaml"
    path.write_text(
        path.read_text(encoding="utf-8").replace("name: Auk", f"name: {json.dumps(HOSTILE)}"),
        encoding="utf-8",
    )
    settings = line.root / "logbook.yaml"
    settings.write_text(
        settings.read_text(encoding="utf-8").replace("Nora Vik", "Nora\\e[31m[/x]Vik"), encoding="utf-8"
    )
    dive = line("dive", "start", "auk", *START, status=None)
    text = dive.out + dive.err
    calls: list[tuple[str, ...]] = [
        ("validate",), ("vehicle", "list"), ("vehicle", "show", "auk"), ("dive", "list"),
        ("audit", "timeline", "--vehicle", "auk"), ("dive", "note", "auk", HOSTILE[:500], "--by", "nora"),
        ("dive", "fault", "auk", "yaw-weak", "--text", HOSTILE[:500], "--by", "nora"),
        ("dive", "show", "auk", "--entries"), ("dive", "show", HOSTILE), ("drift", HOSTILE[:50]), ("verify",),
    ]  # fmt: skip
    for words in calls:
        for as_json in ((), ("--json",)):
            called = line(*words, *as_json, status=None)
            text += called.out + called.err
    bad = {c for c in text if c != "\n" and not c.isprintable()} | ({"\u202e", "\u3164"} & set(text))
    assert not bad


@contextmanager
def mounted(folder: Path, options: str) -> Iterator[Path]:
    folder.mkdir()
    if subprocess.run(
        ["mount", "-t", "tmpfs", "-o", options, "tmpfs", folder], capture_output=True
    ).returncode:
        pytest.skip("needs the right to mount a disk in memory")
    try:
        yield folder
    finally:
        subprocess.run(["umount", "--lazy", folder], check=True)


@pytest.mark.system("mount", "git")
def test_a_full_disk_refuses_an_entry_in_one_sentence_and_keeps_what_is_there(tmp_path: Path) -> None:
    with mounted(tmp_path / "stick", "size=3m") as stick:
        line = new_logbook(stick / "logbook")
        dive = line.json("dive", "start", "auk", *START)["dive"]
        before = line.json("dive", "show", dive)
        with open(stick / "ballast", "wb", buffering=0) as ballast, contextlib.suppress(OSError):
            while ballast.write(b"x" * 4096):
                pass
        refused = None
        for n in range(300):  # what the last page still holds is used up first
            called = line("dive", "note", dive, f"entry {n} " + "x" * 200, "--by", "nora", status=None)
            if called.status:
                refused = called
                break
        assert refused is not None
        assert_one_clear_error(refused)
        assert "full" in refused.err
        after = line.json("dive", "show", dive)
        assert set(after["items"]) == set(before["items"])
        (stick / "ballast").unlink()
        line("dive", "note", dive, "room again", "--by", "nora")
        assert line("dive", "show", dive, "--entries").out.count("note") >= n + 1
        assert line("validate").status == 0


@pytest.mark.system("mount", "git")
def test_a_logbook_on_a_disk_gone_read_only_is_read_and_refuses_to_write_in_one_sentence(
    tmp_path: Path,
) -> None:
    with mounted(tmp_path / "stick", "size=8m") as stick:
        line = new_logbook(stick / "logbook")
        dive = line.json("dive", "start", "auk", *START)["dive"]
        subprocess.run(["mount", "-o", "remount,ro", stick], check=True)
        for words in readings(dive):
            if words[:2] != ["dive", "tick"]:
                assert line(*words, status=None).status in (0, 1, 2)
        assert line("dive", "show", dive).status == 0
        refused = line("dive", "note", dive, "x", "--by", "nora", status=2)
        assert_one_clear_error(refused)
        assert "read-only" in refused.err
        assert_one_clear_error(line("dive", "start", "dipper", *START, status=2))
        assert_one_clear_error(line("vehicle", "approve", "auk", "--by", "nora", "--reason", "r", status=2))


@pytest.mark.system("git")
@pytest.mark.parametrize("what", ["newest commit", "folder of objects", "git folder is a file"])
def test_with_git_broken_everything_is_read_and_recorded_and_the_reason_is_said(
    line: CommandLine, what: str
) -> None:
    dive = line.json("dive", "start", "auk", *START)["dive"]
    if what == "newest commit":
        head = git(line.root, "rev-parse", "HEAD").strip()
        found = line.root / ".git/objects" / head[:2] / head[2:]
        os.chmod(found, 0o644)
        found.write_bytes(b"")
    elif what == "folder of objects":
        shutil.rmtree(line.root / ".git/objects")
    else:
        shutil.rmtree(line.root / ".git")
        (line.root / ".git").write_text("nothing\n")
    assert line("dive", "show", dive).status == 0
    assert line("vehicle", "show", "auk").status == 0
    assert line("dive", "note", dive, "kept all the same", "--by", "nora").status == 0
    fault = line("dive", "fault", dive, "yaw-weak", "--by", "nora")
    assert "not yet in git" in fault.err
    assert "mend: " in fault.err
    assert line("dive", "close", dive, "--by", "nora").status == 0
    assert "kept all the same" in line("dive", "show", dive, "--entries").out
    told = line("verify", status=None)
    assert told.status in (1, 2)
    for words in readings(dive):
        assert line(*words, status=None).status in (0, 1, 2)
