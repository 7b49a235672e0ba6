"""One value set in a person's files: what it does is said first, the rest of the file stays as it was."""

from __future__ import annotations

import pytest
from fakes import fake_book
from hand_written import FILES
from hypothesis import given, settings
from hypothesis import strategies as st
from vehicles import documents

from rovlog.documents.edit_check import all_comments, plain
from rovlog.documents.tree import read
from rovlog.documents.write import document_text
from rovlog.domain.drift.leaves import ABSENT, leaves
from rovlog.problems import DocumentError, NotRecordedError, RovlogError, UsageError
from rovlog.usecases.configurations import working
from rovlog.usecases.edit_configuration import plan_edit, typed_value, write_edit
from rovlog.usecases.logbook import Logbook

PEOPLE = """\
format: rovlog/logbook/1
people: {nora: {name: Nora Vik, roles: [supervisor], email: nora@team.example}}
"""


@pytest.fixture
def logbook() -> Logbook:
    return Logbook(fake_book({"logbook.yaml": PEOPLE, **FILES}))


def lines_that_differ(before: bytes, after: bytes) -> list[tuple[str, str]]:
    one, other = before.decode().splitlines(), after.decode().splitlines()
    assert len(one) == len(other)
    return [(a, b) for a, b in zip(one, other, strict=True) if a != b]


def test_a_preview_says_what_changes_and_writes_nothing(logbook):
    planned = plan_edit(logbook, "auk", "/thrusters/aft-port/polarity", "reversed")
    assert (planned.was, planned.becomes) == ("normal", "reversed")
    assert planned.file == "vehicles/auk.yaml"
    assert planned.compared.effect is not None
    assert planned.compared.effect.lost.get("surge", 0) + planned.compared.effect.lost.get("yaw", 0) > 0.5
    assert logbook.book.files.read("vehicles/auk.yaml").decode() == FILES["vehicles/auk.yaml"]


def test_a_value_is_written_in_its_own_line_and_nowhere_else(logbook):
    planned = plan_edit(logbook, "auk", "/trim_defaults/heave", "0,1")
    written = write_edit(logbook, planned)
    assert written.commit is None
    after = logbook.book.files.read("vehicles/auk.yaml")
    assert lines_that_differ(planned.before, after) == [
        ("trim_defaults: {heave: 0.07}", "trim_defaults: {heave: 0.1}")
    ]
    assert working(logbook, "auk").resolved["trim_defaults"] == {"heave": 0.1}


def test_a_value_of_the_box_is_set_in_the_entry_in_force(logbook):
    planned = plan_edit(logbook, "auk", "/steering_scheme/controls/right-stick-x/0/full_stick", "0.5")
    assert planned.file == "boxes/jetty-box.yaml"
    assert planned.file_pointer == "/steering_schemes/3/controls/1/full_stick"
    assert planned.compared.effect is not None
    # Between the points 0.5 and 1 of the model: 2.98 N ahead and 2.36 N astern at 0.7, 1.5 and 1.2 at 0.5.
    assert planned.compared.effect.lost["yaw"] == pytest.approx(1 - (1.5 + 1.2) / (2.98 + 2.36), abs=0.001)


def test_a_share_of_the_map_in_force_is_found_by_its_channel(logbook):
    planned = plan_edit(logbook, "auk", "/thruster_map/shares/yaw/2", "1")
    assert planned.file_pointer == "/thruster_maps/2/shares/yaw/2"


def test_what_a_shared_model_changes_elsewhere_is_named(logbook):
    planned = plan_edit(logbook, "auk", "/models/guppy-12/points/3/current_a", "2.4")
    assert planned.file == "thrusters/guppy-12.yaml"
    assert planned.also == ("dipper",)


def test_a_key_that_is_not_there_is_added_with_the_mapping_it_needs(logbook):
    assert plan_edit(logbook, "dipper", "/trim_defaults/heave", "0.05").was is ABSENT
    write_edit(logbook, plan_edit(logbook, "dipper", "/trim_defaults/heave", "0.05"))
    assert working(logbook, "dipper").resolved["trim_defaults"] == {"heave": 0.05}
    write_edit(logbook, plan_edit(logbook, "dipper", "/trim_defaults/yaw", "-0,02"))
    assert working(logbook, "dipper").resolved["trim_defaults"] == {"heave": 0.05, "yaw": -0.02}


def test_what_would_not_validate_is_refused_in_the_words_of_validate(logbook):
    before = dict(logbook.book.files.tree)
    for pointer, text, rule in [
        ("/hull/mass_kg", "four", "wrong-type"),
        ("/hull/mas_kg", "4.6", "unknown-key"),
        ("/control_box/thruster_map", "9", "number-not-in-table"),
        ("/control_box/box", "no-box", "missing-reference"),
        ("/thrusters/aft-port/channel", "7", "channel-out-of-range"),
        ("/thrusters/aft-port/thrust_direction", "[0.5, 0, 0]", "direction-not-unit"),
    ]:
        with pytest.raises(DocumentError) as refused:
            plan_edit(logbook, "auk", pointer, text)
        rules = {p.rule for p in refused.value.problems}
        assert rule in rules, pointer
        assert all(p.mend for p in refused.value.problems)
    assert logbook.book.files.tree == before


def test_problems_that_other_files_had_before_do_not_hold_an_edit_back(logbook):
    files = logbook.book.files
    files.tree["vehicles/dipper.yaml"] = files.tree["vehicles/dipper.yaml"].replace(b"mass_kg", b"mas_kg")
    planned = plan_edit(logbook, "auk", "/models/guppy-12/rated_v", "12.5")
    assert planned.is_change


def test_a_whole_mapping_is_not_one_value(logbook):
    with pytest.raises(UsageError, match="is not one value"):
        plan_edit(logbook, "auk", "/electrical/fuse", "20")


def test_setting_what_stands_there_already_writes_nothing(logbook):
    planned = plan_edit(logbook, "auk", "/control_box/thruster_map", "2")
    assert not planned.is_change
    write_edit(logbook, planned)
    assert logbook.book.files.read("vehicles/auk.yaml").decode() == FILES["vehicles/auk.yaml"]


def test_an_edit_is_refused_where_somebody_wrote_the_file_meanwhile(logbook):
    planned = plan_edit(logbook, "auk", "/trim_defaults/heave", "0.1")
    files = logbook.book.files
    files.tree["vehicles/auk.yaml"] += b"# weighed again\n"
    with pytest.raises(NotRecordedError):
        write_edit(logbook, planned)
    assert files.tree["vehicles/auk.yaml"].endswith(b"# weighed again\n")
    assert b"heave: 0.07" in files.tree["vehicles/auk.yaml"]


def test_a_commit_names_the_person_the_pointer_and_the_reason(logbook):
    planned = plan_edit(logbook, "auk", "/trim_defaults/heave", "0.1")
    written = write_edit(logbook, planned, by="nora", reason="sinks less in salt")
    assert written.commit is not None
    assert written.commit.commit
    last = logbook.book.history.log(["vehicles"])[0]
    assert last.message.startswith("Set /trim_defaults/heave of auk to 0.1: sinks less in salt")
    assert "It was 0.07." in last.message
    assert last.author == "Nora Vik"


@pytest.mark.parametrize(
    ("by", "reason"), [("nora", None), (None, "why"), ("nora", "two\nlines"), ("nobody", "why")]
)
def test_a_commit_needs_a_known_person_and_a_reason_of_one_line(logbook, by, reason):
    planned = plan_edit(logbook, "auk", "/trim_defaults/heave", "0.1")
    with pytest.raises(UsageError):
        write_edit(logbook, planned, by=by, reason=reason)
    assert logbook.book.files.read("vehicles/auk.yaml").decode() == FILES["vehicles/auk.yaml"]


def test_an_open_dive_whose_answers_the_edit_voids_is_named(logbook):
    from rovlog.usecases.dive_steps import start_dive

    dive = start_dive(
        logbook, "auk", by="nora", site="lock", water={"kind": "fresh", "temperature_c": 12.0}, crew={}
    )
    assert plan_edit(logbook, "auk", "/trim_defaults/heave", "0.1").open_dives == (dive.record,)


@pytest.mark.parametrize(
    ("text", "was", "value"),
    [
        ("0,25", 0.1, 0.25),
        ("-0.5", None, -0.5),
        ("12", 3, 12),
        ("2.10", "1.9", "2.10"),
        ("true", False, True),
        ("[1, 0,0]", [0, 0, 1], [1, 0, 0]),
        ("reversed", "normal", "reversed"),
        ("1e-3", 0.1, 0.001),
    ],
)
def test_a_typed_value_becomes_what_stands_there(text, was, value):
    found = typed_value(text, was)
    assert found == value
    assert type(found) is type(value)


def commented(text: str, every: int) -> str:
    """The text with comments at the end of lines and on lines of their own."""
    lines = []
    for number, line in enumerate(text.splitlines()):
        if number % every == 0:
            lines.append(f"{' ' * (len(line) - len(line.lstrip()))}# line {number}")
        lines.append(f"{line}   # after {number}" if number % every == 1 else line)
    return "\n".join([*lines, "# the end"]) + "\n"


@given(
    made=documents(vary_electrical=True, most_thrusters=4),
    data=st.data(),
    every=st.integers(2, 5),
)
@settings(max_examples=25)
def test_any_leaf_of_any_vehicle_is_edited_alone_or_refused_whole(made, data, every):
    vehicle, box = plain(made.vehicle), plain(made.box)
    documents_by_name = {
        f"vehicles/{vehicle['vehicle']}.yaml": vehicle,
        f"boxes/{box['box']}.yaml": box,
        **{f"thrusters/{name}.yaml": plain(model) for name, model in made.models.items()},
    }
    tree = {name: commented(document_text(value, ""), every) for name, value in documents_by_name.items()}
    logbook = Logbook(fake_book({"logbook.yaml": PEOPLE, **tree}))
    name = vehicle["vehicle"]
    before = leaves(working(logbook, name).resolved)
    pointer = data.draw(st.sampled_from(sorted(before)), label="pointer")
    text = data.draw(
        st.sampled_from(["0,5", "1", "2", "reversed", "supply-pair", "[1, 0, 0]", "no # such: thing"])
    )
    try:
        planned = plan_edit(logbook, name, pointer, text)
    except RovlogError:
        assert {n: t.decode() for n, t in logbook.book.files.tree.items()} == {"logbook.yaml": PEOPLE, **tree}
        return
    write_edit(logbook, planned)
    assert all_comments(read(planned.after, "a")) == all_comments(read(planned.before, "b"))
    if planned.is_change and planned.was is not ABSENT:
        assert len(lines_that_differ(planned.before, planned.after)) == 1
    after = leaves(working(logbook, name).resolved)
    follows = pointer.startswith("/control_box/")  # another number brings another entry of the table
    moved = {p for p in {*before, *after} if before.get(p, ABSENT) != after.get(p, ABSENT)}
    assert follows or moved <= {pointer}
