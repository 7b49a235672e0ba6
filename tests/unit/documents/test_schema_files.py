"""The schemas themselves: sound, described, closed, and free of what validators disagree on."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator

from rovlog.documents.ids import KINDS

SCHEMAS = Path(__file__).parents[3] / "schemas"
ALL = {
    path.name.removesuffix("-1.json"): json.loads(path.read_text("utf-8")) for path in SCHEMAS.glob("*.json")
}
SUBSCHEMAS = ("items", "additionalProperties", "propertyNames", "not", "if", "then")


def subschemas(node: Any, place: str = "") -> Iterator[tuple[str, dict[str, Any]]]:
    """Every schema inside a schema, with its place."""
    if not isinstance(node, dict):
        return
    yield place, node
    for keyword in ("properties", "$defs"):
        for name, inner in node.get(keyword, {}).items():
            yield from subschemas(inner, f"{place}/{keyword}/{name}")
    for keyword in SUBSCHEMAS:
        yield from subschemas(node.get(keyword), f"{place}/{keyword}")
    for number, inner in enumerate(node.get("allOf", ())):
        yield from subschemas(inner, f"{place}/allOf/{number}")


def test_there_is_a_schema_for_every_kind_and_none_besides():
    assert set(ALL) == set(KINDS)


@pytest.mark.parametrize("kind", sorted(ALL))
def test_every_schema_keeps_to_the_2020_12_metaschema(kind):
    """JSON Schema 2020-12, metaschema as jsonschema ships it."""
    Draft202012Validator.check_schema(ALL[kind])
    assert ALL[kind]["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    assert ALL[kind]["$id"] == f"urn:rovlog:schema:{kind}:1"


@pytest.mark.parametrize("kind", sorted(ALL))
def test_every_mapping_is_closed_or_says_what_its_values_are(kind):
    for place, node in subschemas(ALL[kind]):
        if "properties" in node and not place.endswith(("/if", "/entries/items")):
            assert "additionalProperties" in node, place
        assert node.get("additionalProperties", False) is not True, place


@pytest.mark.parametrize("kind", sorted(ALL))
def test_every_property_is_described(kind):
    schema = ALL[kind]
    for place, node in subschemas(schema):
        if "/if" in place:
            continue
        for name, told in node.get("properties", {}).items():
            if "description" not in told and "$ref" in told:
                told = schema["$defs"][told["$ref"].rpartition("/")[2]]  # noqa: PLW2901
            assert len(told["description"]) > 5, f"{place}/properties/{name}"


@pytest.mark.parametrize("kind", sorted(ALL))
def test_no_schema_uses_what_validators_disagree_on(kind):
    for place, node in subschemas(ALL[kind]):
        assert not {"multipleOf", "format", "oneOf", "anyOf", "unevaluatedProperties"} & node.keys(), place
        for pattern in (node.get("pattern", ""), *node.get("patternProperties", {})):
            assert not set(pattern) & set("$.\\"), f"{place}: {pattern}"


@pytest.mark.parametrize("kind", sorted(ALL))
def test_every_definition_is_used(kind):
    text = json.dumps(ALL[kind])
    for name in ALL[kind].get("$defs", {}):
        assert f'"#/$defs/{name}"' in text, name


def test_what_two_kinds_share_is_the_same_in_both():
    """Editors want each schema in one file, so shared definitions are written out in each."""
    apart = {"electrical", "entry_start"}
    seen: dict[str, tuple[str, Any]] = {}
    for kind, schema in ALL.items():
        for name, told in schema.get("$defs", {}).items():
            other, first = seen.setdefault(name, (kind, told))
            assert told == first or name in apart, f"{name} differs in {kind} and {other}"
