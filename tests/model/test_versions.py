"""The schema changes only with its number: what an older litstock cannot read has a version of its own."""

import hashlib
import json
from pathlib import Path
from typing import Any

from registry.model.kinds import KINDS
from registry.model.schemas import schema_for
from registry.model.versions import NEWEST, VERSIONS

HELD = Path(__file__).parent.parent / "cases" / "schema-versions.json"
IN_WORDS = {"title", "description", "examples", "x-usual"}


def meaning(node: Any) -> Any:
    """Return a schema without what it says to people."""
    if isinstance(node, list):
        return [meaning(each) for each in node]
    if not isinstance(node, dict):
        return node
    return {
        name: {key: meaning(each) for key, each in value.items()}
        if name in {"properties", "$defs"}
        else meaning(value)
        for name, value in node.items()
        if name not in IN_WORDS
    }


def test_the_schemas_are_those_of_the_newest_version() -> None:
    """Where this fails, the schema has changed: give it a number in registry/model/versions.py.

    Then write that number and the sum found here into tests/cases/schema-versions.json; the sum of a version
    that was released is never changed.
    """
    schemas = {kind: meaning(schema_for(kind)) for kind in KINDS}
    found = hashlib.sha256(json.dumps(schemas, sort_keys=True).encode()).hexdigest()
    held = json.loads(HELD.read_text("utf-8"))
    assert {str(NEWEST): found}.items() <= held.items()


def test_a_version_number_is_given_once() -> None:
    numbers = [each.number for each in VERSIONS]
    assert numbers == sorted(set(numbers))


def test_words_for_people_are_no_part_of_a_schemas_meaning() -> None:
    one = {"properties": {"title": {"type": "string", "title": "name"}}, "title": "x", "required": ["title"]}
    other = {"properties": {"title": {"type": "string", "title": "called"}}, "required": ["title"]}
    assert (
        meaning(one) == meaning(other) == {"properties": {"title": {"type": "string"}}, "required": ["title"]}
    )
    assert meaning(one) != meaning(one | {"required": []})
