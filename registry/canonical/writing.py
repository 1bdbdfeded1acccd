"""Documents → bytes: the file form, which people read and git compares, and the digest form."""

import json
import re
from json.encoder import encode_basestring
from typing import Any

from registry.canonical.tree import Json, lookup

__all__ = ["digest", "file_form", "written"]

_WIDEST_LINE = 100
_INDENT = "  "
_ENCODER = json.JSONEncoder(ensure_ascii=False, allow_nan=False)
_SORTED = json.JSONEncoder(ensure_ascii=False, sort_keys=True, separators=(",", ":"))
_WRITTEN_OTHERWISE = re.compile(r"[0-9]e[+-]?[0-9]|\.0(?![0-9])|[0-9]{16}|NaN|Infinity")
"""Signs of what Python writes otherwise than RFC 8785, or RFC 8785 not at all: exponents, whole fractions,
long numbers. A text that shows one is left to the careful writer."""
_NOTHING: dict[str, Any] = {}
"""The schema that says nothing; one object, since schemas are told apart by identity."""


def file_form(document: dict[str, Any], schema: dict[str, Any]) -> bytes:
    """Write a document that reading accepts in its one form on disk, with keys in the schema's order."""
    return written(document, schema).encode()


def written(document: dict[str, Any], schema: dict[str, Any]) -> str:
    """Write the file form as text."""
    return _writer(schema).value(document, schema, "", 0) + "\n"


def digest(document: Json) -> str:
    """Identify a document by the SHA-256 of its RFC 8785 form, whatever its key order and layout."""
    import hashlib  # noqa: PLC0415  questions import this package and seldom need a digest

    return hashlib.sha256(_digest_form(document)).hexdigest()


def _digest_form(document: Json) -> bytes:
    """Write a document's RFC 8785 form: quickly where Python's own writer gives just that, else with care."""
    text = _SORTED.encode(document)
    if text.isascii() and not _WRITTEN_OTHERWISE.search(text):
        return text.encode()
    import rfc8785  # noqa: PLC0415  few documents need it

    return rfc8785.dumps(document)


class _Writer:
    def __init__(self, root: dict[str, Any]) -> None:
        self.root = root
        # By identity: the root keeps every schema alive, and none is changed once it is in use.
        self._resolved: dict[int, dict[str, Any]] = {}
        self._orders: dict[tuple[int | str, ...], list[tuple[str, str, Json]]] = {}

    def value(self, value: Json, schema: Json, indent: str, used: int) -> str:
        """Write a value with `used` columns before it in its first line.

        Whether it fits there is judged with a comma behind it, so that a later member never reflows it.
        """
        if isinstance(value, dict):
            return self._object(value, self._resolve(schema), indent)
        if isinstance(value, list):
            return self._array(value, self._resolve(schema), indent, used)
        return _scalar(value)

    def _object(self, members: dict[str, Json], schema: dict[str, Any], indent: str) -> str:
        if not members:
            return "{}"
        deeper = indent + _INDENT
        lines = []
        for key, start, member in self._order(members, schema, deeper):
            value = members[key]
            if isinstance(value, str):  # most are
                lines.append(start + encode_basestring(value))
            elif isinstance(value, (dict, list)):
                lines.append(start + self.value(value, member, deeper, len(start)))
            else:
                lines.append(start + _scalar(value))
        return "{\n" + ",\n".join(lines) + f"\n{indent}}}"

    def _order(
        self, members: dict[str, Json], schema: dict[str, Any], indent: str
    ) -> list[tuple[str, str, Json]]:
        """Return the members' keys in order, each with how its line starts and the schema of its value.

        Many objects have the same keys, so it is worked out once for all of them.
        """
        wanted: tuple[int | str, ...] = (id(schema), indent, *members)
        known = self._orders.get(wanted)
        if known is None:
            known = self._orders[wanted] = [
                (key, f"{indent}{encode_basestring(key)}: ", _member_schema(schema, key))
                for key in _ordered(members, schema)
            ]
        return known

    def _array(self, elements: list[Json], schema: dict[str, Any], indent: str, used: int) -> str:
        if not any(isinstance(element, (dict, list)) for element in elements):
            line = f"[{', '.join(map(_scalar, elements))}]"
            if used + len(line) + len(",") <= _WIDEST_LINE or not elements:
                return line
        deeper = indent + _INDENT
        items = schema.get("items", _NOTHING)
        lines = [deeper + self.value(element, items, deeper, len(deeper)) for element in elements]
        return "[\n" + ",\n".join(lines) + f"\n{indent}]"

    def _resolve(self, schema: Json) -> dict[str, Any]:
        """Follow references."""
        known = self._resolved.get(id(schema))
        if known is not None:
            return known
        start = schema
        while isinstance(schema, dict):
            if "$ref" in schema:
                schema = lookup(self.root, schema["$ref"].removeprefix("#"))
            else:
                self._resolved[id(start)] = schema
                return schema
        return _NOTHING  # true and false are schemas too, and name nothing


_WRITERS: dict[int, _Writer] = {}


def _writer(schema: dict[str, Any]) -> _Writer:
    """Return the writer of a schema; it holds the schema, so no other can have its identity."""
    if id(schema) not in _WRITERS:
        _WRITERS[id(schema)] = _Writer(schema)
    return _WRITERS[id(schema)]


def _ordered(members: dict[str, Json], schema: dict[str, Any]) -> list[str]:
    properties = schema.get("properties", {})
    named = [key for key in properties if key in members]
    return named if len(named) == len(members) else named + sorted(members.keys() - set(named))


def _member_schema(schema: dict[str, Any], key: str) -> Json:
    properties = schema.get("properties", {})
    if key in properties:
        return properties[key]
    for pattern, member in schema.get("patternProperties", {}).items():
        if re.search(pattern, key):
            return member
    return schema.get("additionalProperties", _NOTHING)


def _scalar(value: Json) -> str:
    if isinstance(value, str):
        return encode_basestring(value)
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, int) or (isinstance(value, float) and value.is_integer()):
        return str(int(value))
    return _ENCODER.encode(value)
