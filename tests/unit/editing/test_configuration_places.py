"""Every value of a configuration is found again in the file that a person wrote it in."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from vehicles import documents, puffin, resolved_of

from rovlog.documents.configuration_places import place_in_files
from rovlog.documents.edit_check import plain
from rovlog.documents.pointer import find
from rovlog.domain.drift.leaves import leaves
from rovlog.problems import UsageError

NOT_EDITABLE = ("/vehicle", "/control_box/firmware")


def files_of(made) -> dict[str, object]:
    """The documents of a generated vehicle by file name, with keys as the reader gives them."""
    vehicle, box = plain(made.vehicle), plain(made.box)
    models = {f"thrusters/{name}.yaml": plain(model) for name, model in made.models.items()}
    return {f"vehicles/{vehicle['vehicle']}.yaml": vehicle, f"boxes/{box['box']}.yaml": box, **models}


@given(made=documents(vary_electrical=True))
@settings(max_examples=60)
def test_every_leaf_of_a_configuration_stands_in_a_file_where_it_is_looked_for(made):
    files = files_of(made)
    box = plain(made.box)
    for pointer, value in leaves(plain(resolved_of(made))).items():
        if pointer in NOT_EDITABLE:
            continue
        place = place_in_files(pointer, plain(made.vehicle), box)
        written = find(files[place.file], place.pointer)
        if isinstance(value, dict | list) and not value:
            continue  # an empty mapping need not be written at all
        assert written == value, pointer


@pytest.mark.parametrize(
    ("pointer", "words"),
    [
        ("", "is not one value"),
        ("/vehicle", "a vehicle's id is its file's name"),
        ("/control_box/firmware", "another firmware brings other code tables"),
        ("/hul/mass_kg", "did you mean hull?"),
        ("/thrusters", "no value at /thrusters"),
        ("/thrusters/nowhere/channel", "no value at /thrusters/nowhere/channel"),
        ("/models/nothing/rated_v", "no value at /models/nothing"),
        ("/steering_scheme/controls/left-stick-y", "is not one value of a steering scheme"),
        ("/steering_scheme/controls/nothing/0/drives", "has no control 'nothing'"),
        ("/steering_scheme/controls/left-stick-y/7/drives", "count them from 0"),
        ("hull/mass_kg", "begin with /"),
    ],
)
def test_a_pointer_that_no_file_holds_is_refused_with_the_reason(pointer, words):
    made = puffin()
    with pytest.raises(UsageError) as refused:
        place_in_files(pointer, plain(made.vehicle), plain(made.box))
    assert words in str(refused.value)


def test_the_rows_of_a_control_that_stands_twice_are_counted_by_themselves():
    made = puffin()
    box = plain(made.box)
    scheme = box["steering_schemes"][str(made.vehicle["control_box"]["steering_scheme"])]
    scheme["controls"] = [
        {"control": "left-stick-y", "drives": "surge"},
        {"control": "right-stick-x", "drives": "yaw"},
        {"control": "left-stick-y", "drives": "heave"},
    ]
    place = place_in_files("/steering_scheme/controls/left-stick-y/1/drives", plain(made.vehicle), box)
    assert find(box, place.pointer) == "heave"
