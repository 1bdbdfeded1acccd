"""JSON Schemas (draft 2020-12) generated from the models."""

import json
from importlib import import_module
from typing import Any

from pydantic import BaseModel

from registry.model.base import Record, Revised
from registry.model.kinds import KINDS

__all__ = ["ALLOWED_KEYWORDS", "model_of", "schema_bytes", "schema_of"]

ALLOWED_KEYWORDS = frozenset(
    """$schema $defs $ref type properties required additionalProperties propertyNames items enum const
    title description examples format pattern minLength maxLength minimum maximum exclusiveMinimum
    exclusiveMaximum minItems maxItems minProperties maxProperties x-unit x-effect x-scope x-scale x-key
    x-aside x-identity x-safety x-optional x-refers x-renamed x-retired x-usual""".split()
)
"""What a schema may use: where jsonschema, jsonschema-rs and pydantic are of one mind."""


def model_of(kind: str) -> type[BaseModel]:
    """Return the pydantic model of a record kind."""
    module, _, name = KINDS[kind].model.partition(":")
    model: type[BaseModel] = getattr(import_module(module), name)
    return model


def schema_of(kind: str) -> dict[str, Any]:
    """Return the JSON Schema of a record kind.

    Raises
    ------
    ValueError
        A model uses a JSON Schema keyword on which the three readers disagree.
    """
    schema = {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        **_closed(model_of(kind).model_json_schema(by_alias=True)),
        "title": kind,
    }
    schema["properties"] = _bookkeeping_last(schema["properties"])
    _refuse_foreign_keywords(kind, schema)
    return schema


def schema_bytes(kind: str) -> bytes:
    """Return the schema as it is committed."""
    return (json.dumps(schema_of(kind), indent=2, ensure_ascii=False) + "\n").encode()


def _bookkeeping_last(properties: dict[str, Any]) -> dict[str, Any]:
    """Put what a record says of itself behind what it says of the thing."""
    last = [name for name in Revised.model_fields if name not in Record.model_fields]
    return {name: properties[name] for name in sorted(properties, key=lambda name: name in last)}


def _closed(node: Any) -> Any:
    """Say of a mapping with constrained keys that other keys are refused, as pydantic does."""
    if isinstance(node, list):
        return [_closed(item) for item in node]
    if not isinstance(node, dict):
        return node
    node = {key: _closed(value) for key, value in node.items()}
    if patterns := node.pop("patternProperties", None):
        ((pattern, values),) = patterns.items()
        node |= {"propertyNames": {"pattern": pattern}, "additionalProperties": values}
    return node


def _refuse_foreign_keywords(where: str, schema: dict[str, Any]) -> None:
    for keyword, value in schema.items():
        if keyword not in ALLOWED_KEYWORDS:
            raise ValueError(
                f"{where}: the keyword {keyword!r} is not among those on which all readers agree"
            )
        if keyword in {"properties", "$defs"}:
            for name, below in value.items():
                _refuse_foreign_keywords(f"{where}/{name}", below)
        elif keyword in {"items", "additionalProperties", "propertyNames"} and isinstance(value, dict):
            _refuse_foreign_keywords(f"{where}/{keyword}", value)
