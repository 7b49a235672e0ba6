"""What jsonschema finds wrong, turned into problems with a place, in a person's words."""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Iterator, Mapping
from typing import TYPE_CHECKING, Any

from rovlog.documents.subjects import subject
from rovlog.domain.nearest import did_you_mean, listed, nearest
from rovlog.problems import Problem

if TYPE_CHECKING:
    from jsonschema import ValidationError

    from rovlog.documents.tree import Tree

TYPES = {
    "string": "text",
    "number": "a number",
    "integer": "a whole number",
    "boolean": "true or false",
    "object": "a mapping",
    "array": "a list",
    "null": "null",
}
FORM = frozenset({"pattern", "not", "maxLength"})


def explain(tree: Tree, schema: Mapping[str, Any]) -> list[Problem]:
    """Every problem of the document by its schema, one for each key or value that is wrong."""
    from jsonschema import Draft202012Validator

    found: dict[tuple[str, str], Problem] = {}
    unknown: set[tuple[str, str]] = set()
    missing: dict[tuple[str, str], Problem] = {}
    for error in Draft202012Validator(schema).iter_errors(tree.value):
        node = _Found(tree, schema, error)
        if node.is_about_key:
            problem = _key_problem(node)
            found.setdefault((problem.pointer, "key"), problem)
        elif node.validator == "additionalProperties":
            for problem, near in _unknown_keys(node):
                found.setdefault((problem.pointer, "key"), problem)
                unknown.add((node.pointer, near))
        elif node.validator == "required":
            for key in node.argument:
                if key not in node.instance:
                    missing.setdefault((node.pointer, key), _missing_key(node, key))
        else:
            problem = _value_problem(node)
            found.setdefault(
                (problem.pointer, "value"), problem
            )  # the first says it: a wrong type has no form
    # A misspelt key is one mistake, not an unknown key and a missing one.
    return [*found.values(), *(problem for key, problem in missing.items() if key not in unknown)]


class _Found:
    """One error of jsonschema with what the schema says of its place."""

    def __init__(self, tree: Tree, schema: Mapping[str, Any], error: ValidationError) -> None:
        self.tree = tree
        self.instance: Any = error.instance
        self.validator = str(error.validator)
        self.argument: Any = error.validator_value
        self.message = error.message
        self.keywords: Any = error.schema
        self.pointer = "".join(f"/{step}" for step in error.absolute_path)
        self.title, self.description = "", ""
        self.is_about_key = False
        self.properties: Mapping[str, Any] = {}
        self._schema = schema
        self._around: list[Mapping[str, Any]] = []
        for step, node in _along(schema, list(error.absolute_schema_path)[:-1]):
            if step in ("properties", "items", "additionalProperties", "propertyNames"):
                self.title, self.is_about_key = "", step == "propertyNames"
            if isinstance(node, Mapping) and "properties" in node:
                self._around.append(node["properties"])
            if isinstance(node, Mapping) and step not in ("properties", "$defs"):
                self.title = _word(node, "title") or self.title
                # what stands beside a $ref tells more than what it leads to
                if step != "$ref" or not self.description:
                    self.description = _word(node, "description") or self.description
        if isinstance(self.keywords, Mapping):
            self.properties = self.keywords.get("properties", {})

    def described(self, key: str) -> str:
        """What the schema says of a property of this mapping."""
        # A key that is asked for under a condition is described by the mapping around that.
        told: Any = next((p[key] for p in (self.properties, *reversed(self._around)) if key in p), {})
        for _ in range(3):
            if not isinstance(told, Mapping):
                return ""
            if "description" in told or "$ref" not in told:
                break
            told = _resolved(self._schema, told["$ref"])
        return _word(told, "description")

    def name(self) -> str:
        """The subject of the sentence."""
        return subject(self.tree.value, self.pointer)


def _word(node: Any, key: str) -> str:
    word = node.get(key) if isinstance(node, Mapping) else None
    return word if isinstance(word, str) else ""


def _resolved(schema: Mapping[str, Any], reference: str) -> Any:
    return schema["$defs"][reference.rpartition("/")[2]]


def _along(schema: Mapping[str, Any], path: list[Any]) -> Iterator[tuple[Any, Any]]:
    """Each step of a schema path with the node it leads to; jsonschema leaves `$ref` out of its paths."""
    node: Any = schema
    for step in path:
        node = node[step]
        yield step, node
        while isinstance(node, Mapping) and "$ref" in node:
            node = _resolved(schema, node["$ref"])
            yield "$ref", node


def _shown(value: Any) -> str:
    if isinstance(value, str):
        return f"'{value}'" if len(value) <= 60 else f"'{value[:59]}…'"
    if isinstance(value, Mapping):
        return "a mapping"
    if isinstance(value, list):
        return f"a list of {len(value)}"
    return "nothing" if value is None else json.dumps(value)


def _upper_first_off(text: str) -> str:
    return text[:1].lower() + text[1:] if text[1:2].islower() or text[1:2] == " " else text


def _mend_by(node: _Found, otherwise: str = "") -> str:
    told = node.description.rstrip(".")
    return f"give {_upper_first_off(told)}" if told else otherwise


def _unknown_keys(node: _Found) -> Iterator[tuple[Problem, str]]:
    for key in node.instance:
        if key in node.properties:
            continue
        near = nearest(key, node.properties)
        where = f" in {node.name()}" if node.pointer else ""
        expected = listed(node.properties) if len(node.properties) <= 12 else "a key of this record"
        if near:
            mend = f"did you mean {near}? {node.described(near)}".rstrip(". ") if node.described(near) else ""
            mend = mend or f"did you mean {near}?"
        else:
            mend = "take it out, or put it under notes" if "notes" in node.properties else "take it out"
        pointer = f"{node.pointer}/{key}"
        message = f"there is no key {key}{where}"
        comma = _decimal_comma(node, key)
        if comma:
            mend = comma
        problem = node.tree.problem(pointer, "unknown-key", message, key, near or expected, mend, at_key=True)
        yield problem, near or ""


def _decimal_comma(node: _Found, key: str) -> str:
    """The mend where `mass_kg: 3,10` in braces was read as 3 and a key 10 without a value."""
    members = node.instance
    if not key.isdigit() or not isinstance(members, Mapping) or members.get(key) is not None:
        return ""
    names = list(members)
    before = names[names.index(key) - 1] if names.index(key) else ""
    whole = members.get(before)
    if not isinstance(whole, int) or isinstance(whole, bool):
        return ""
    return f"write {before}: {whole}.{key}, with a point: in a record a comma begins the next key"


def _missing_key(node: _Found, key: str) -> Problem:
    told = node.described(key).rstrip(".")
    where = f" in {node.name()}" if node.pointer else ""
    mend = f"write {key}: {_upper_first_off(told)}" if told else f"write {key}"
    return node.tree.problem(
        node.pointer, "missing-key", f"{key} is missing{where}", f"no {key}", f"the key {key}", mend
    )


def _key_problem(node: _Found) -> Problem:
    key = str(node.instance)
    pointer = f"{node.pointer}/{key}"
    where = f" in {node.name()}" if node.pointer else ""
    if node.validator == "enum":
        mend = did_you_mean(key, node.argument) or f"write {listed(node.argument)}"
        rule, expected = "unknown-key", node.title or listed(node.argument)
    else:
        rule, expected = "wrong-form", node.title or "another form"
        mend = f"write {expected}"
    message = (
        f"there is no key {key}{where}" if rule == "unknown-key" else f"key {key}{where} has a wrong form"
    )
    return node.tree.problem(pointer, rule, message, key, expected, mend, at_key=True)


def _value_problem(node: _Found) -> Problem:
    validator = node.validator
    make = _MAKERS.get(validator, _form if validator in FORM else _other)
    rule, expected, mend = make(node)
    message = f"{node.name()} is {_shown(node.instance)}"
    if rule == "wrong-type" and node.instance is None:
        message = f"{node.name()} has no value"
    found = _shown(node.instance)
    scalar = node.tree.scalar(node.pointer)
    if scalar is not None and not isinstance(node.instance, str) and node.instance is not None:
        found, message = scalar.raw, f"{node.name()} is {scalar.raw}"
    return node.tree.problem(node.pointer, rule, message, found, expected, mend)


def _type(node: _Found) -> tuple[str, str, str]:
    wanted = node.argument
    kinds = [wanted] if isinstance(wanted, str) else list(wanted)
    expected = listed([TYPES[kind] for kind in kinds])
    value, scalar = node.instance, node.tree.scalar(node.pointer)
    is_bare = scalar is not None and scalar.style == "plain" and isinstance(value, bool | int | float)
    if "string" in kinds and is_bare and scalar is not None:
        key = node.pointer.rpartition("/")[2]
        return "text-not-quoted", expected, f'put it in quotes: {key}: "{scalar.raw}"'
    if isinstance(value, str) and {"number", "integer"} & set(kinds):
        return "wrong-type", expected, _number_mend(value, node)
    return "wrong-type", node.title or expected, _mend_by(node, f"write {expected}")


def _number_mend(text: str, node: _Found) -> str:
    bare = text.strip()
    if _is_number(bare):
        return f"write it without quotes: {bare}"
    if _is_number(bare.replace(",", ".", 1)):
        return f"write a decimal point: {bare.replace(',', '.', 1)}"
    share = bare.removesuffix("%").strip().replace(",", ".", 1)
    if bare.endswith("%") and _is_number(share):
        percent = node.pointer.rpartition("/")[2].endswith("_percent")
        return f"leave the unit out, the key says it: {share}" if percent else f"write {float(share) / 100:g}"
    head = bare.split(" ")[0]
    if _is_number(head):
        return f"leave the unit out, the key says it: {head}"
    return _mend_by(node, "write a number")


def _is_number(text: str) -> bool:
    try:
        return float(text) == float(text)
    except ValueError:
        return False


def _enum(node: _Found) -> tuple[str, str, str]:
    words = [word for word in node.argument if isinstance(word, str)]
    value = node.instance
    near = did_you_mean(value, words) if isinstance(value, str) else ""
    expected = listed(words) if len(words) <= 12 else node.title or "another word"
    told = (
        node.description.rstrip(".") if len(words) <= 12 else "" if near else f"words are: {', '.join(words)}"
    )
    if told and not near and not any(word in told for word in words):
        told = f"write {expected}: {_upper_first_off(told)}"
    mend = " ".join(part for part in (near, told) if part) or f"write {expected}"
    return "unknown-word", expected, mend


def _const(node: _Found) -> tuple[str, str, str]:
    return "unknown-word", str(node.argument), f"write {node.argument}"


def _range(node: _Found) -> tuple[str, str, str]:
    schema = node.keywords
    low = f"at least {schema['minimum']}" if "minimum" in schema else ""
    low = f"above {schema['exclusiveMinimum']}" if "exclusiveMinimum" in schema else low
    high = f"at most {schema['maximum']}" if "maximum" in schema else ""
    high = f"below {schema['exclusiveMaximum']}" if "exclusiveMaximum" in schema else high
    if "minimum" in schema and "maximum" in schema:
        return "out-of-range", f"{schema['minimum']} to {schema['maximum']}", _mend_by(node)
    return "out-of-range", " and ".join(part for part in (low, high) if part), _mend_by(node)


def _length(node: _Found) -> tuple[str, str, str]:
    schema, validator = node.keywords, node.validator
    few = validator.startswith("min")
    if validator == "minLength":
        return "empty-text", "text that is not empty", _mend_by(node, "write some text, or leave the key out")
    low = schema.get("minItems", schema.get("minProperties"))
    high = schema.get("maxItems", schema.get("maxProperties"))
    expected = f"exactly {low}" if low == high else f"at least {low}" if few else f"at most {high}"
    return "too-few" if few else "too-many", node.title or expected, _mend_by(node, f"write {expected}")


def _form(node: _Found) -> tuple[str, str, str]:
    if node.validator == "maxLength" and not node.title:
        return "too-long", f"at most {node.argument} characters", "write it shorter"
    expected = node.title or "another form"
    if expected.startswith("an id"):
        slug = re.sub("[^a-z0-9]+", "-", str(node.instance).lower()).lstrip("-0123456789").rstrip("-")
        return "wrong-form", expected, f"write {slug}" if slug else _mend_by(node)
    return "wrong-form", expected, _mend_by(node, f"write {expected}")


def _other(node: _Found) -> tuple[str, str, str]:
    return "not-valid", node.title or "what the schema says", _mend_by(node, node.message)


_MAKERS: Mapping[str, Callable[[_Found], tuple[str, str, str]]] = {
    "type": _type,
    "enum": _enum,
    "const": _const,
    **dict.fromkeys(("minimum", "maximum", "exclusiveMinimum", "exclusiveMaximum"), _range),
    **dict.fromkeys(("minLength", "minItems", "maxItems", "minProperties", "maxProperties"), _length),
}
