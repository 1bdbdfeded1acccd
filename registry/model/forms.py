"""Settings under the names that they have now, and under those that they had first.

A setting may get another name (`renamed` in its line of the model). Documents are read under today's names,
whenever they were written, and digested under their first ones. So a new name changes no digest, and that a
file and its rewritten form have one digest proves that only form has changed.
"""

from collections.abc import Sequence
from functools import cache
from typing import Any

from registry.model.kinds import KINDS
from registry.model.schemas import schema_for
from registry.model.versions import NEWEST

__all__ = ["first", "lifted", "now_called"]

_FIRST = 0
_PLACES = ("application", "display")
_ROLES = {"mode": "print-mode"}
"""What a demand and a rule call the record whose setting they name, where that is not its kind."""


def lifted(kind: str, document: dict[str, Any], version: int = NEWEST) -> dict[str, Any]:
    """Return a document under the names of a schema version; the same object where none is another."""
    result = _named(kind, document, version)
    if isinstance(sources := result.get("sources"), dict):
        result = result | {"sources": {_pointer(kind, each, version): sources[each] for each in sources}}
    return document if result == document else result


def first(kind: str, settings: dict[str, Any]) -> dict[str, Any]:
    """Return settings under the names that they had first: what their digest is taken of."""
    return _named(kind, settings, _FIRST)


def now_called(kind: str, path: str) -> str:
    """Return what a setting is called now that once had this path; the path itself where it has no other.

    >>> now_called("print-mode", "ink.overcoat_pct"), now_called("print-mode", "heat.cure_c")
    ('ink.clear_coat_pct', 'heat.cure_c')
    """
    return ".".join(_path(kind, path.split("."), NEWEST))


def _named(kind: str, document: dict[str, Any], version: int) -> dict[str, Any]:
    """Return a document with its settings, and what it says of others' settings, under a version's names."""
    if kind not in KINDS:
        return document
    names = _names(kind)
    result: dict[str, Any] = names.given(document, version) if names.any else document
    if kind in _PLACES and isinstance(demands := result.get("demands"), list):
        result = result | {"demands": [_demand(each, version) for each in demands]}
    if kind == "guidance":
        for member in ("when", "unless"):
            if isinstance(case := result.get(member), dict):
                told = {_condition(pointer, version): case[pointer] for pointer in case}
                result = result | {member: told}
    return result


def _demand(demand: Any, version: int) -> Any:
    """Return a demand with the setting that it is about under a version's name."""
    of, path = (demand.get("of"), demand.get("setting")) if isinstance(demand, dict) else (None, None)
    if not isinstance(of, str) or not isinstance(path, str):
        return demand
    return demand | {"setting": ".".join(_path(_ROLES.get(of, of), path.split("."), version))}


def _condition(pointer: str, version: int) -> str:
    """Return a rule's pointer into a case (`/mode/ink/…`) under a version's names."""
    _, role, *parts = pointer.split("/") if pointer.startswith("/") else ("", pointer)
    return "/".join(["", role, *_path(_ROLES.get(role, role), parts, version)]) if parts else pointer


def _pointer(kind: str, pointer: str, version: int) -> str:
    head, *parts = pointer.split("/")
    return "/".join([head, *_path(kind, parts, version)])


def _path(kind: str, parts: Sequence[str], version: int) -> Sequence[str]:
    """Return the parts of a path under a version's names; what no schema knows stays as it is."""
    return _names(kind).path(parts, version) if kind in KINDS and _names(kind).any else parts


class _Names:
    """What the settings of one record kind are called, version by version."""

    def __init__(self, schema: dict[str, Any]) -> None:
        self.schema = schema
        groups = (schema, *schema.get("$defs", {}).values())
        members = (member for group in groups for member in group.get("properties", {}).items())
        self._before = [(now, _before(below)) for now, below in members if "x-renamed" in below]
        self.any = bool(self._before)
        """Whether anything was ever called otherwise."""
        self._foreign: dict[int, set[str]] = {}

    def given(self, document: dict[str, Any], version: int) -> dict[str, Any]:
        """Return a document under a version's names."""
        if version not in self._foreign:
            every = ((now, before, {now, *before.values()}) for now, before in self._before)
            self._foreign[version] = {
                name for now, before, names in every for name in names - {_called(now, before, version)}
            }
        if not _holds(document, self._foreign[version]):
            return document
        renamed: dict[str, Any] = self._renamed(document, self.schema, version)
        return renamed

    def path(self, parts: Sequence[str], version: int) -> list[str]:
        """Return the parts of a path under a version's names."""
        found = []
        node: Any = self.schema
        for part in parts:
            node, called = self._member(node, part, version)
            found.append(called)
        return found

    def _renamed(self, value: Any, node: Any, version: int) -> Any:
        if isinstance(value, list):
            items = self._resolved(node).get("items")
            return [self._renamed(each, items, version) for each in value]
        if not isinstance(value, dict):
            return value
        result = {}
        for name, each in value.items():
            below, called = self._member(node, name, version)
            # Under two names it is there twice: both stay, and the schema refuses it.
            called = name if called != name and called in value else called
            result[called] = self._renamed(each, below, version)
        return result

    def _member(self, node: Any, name: str, version: int) -> tuple[Any, str]:
        """Return the schema of a member that is called so in any version, and its name in this one."""
        group = self._resolved(node)
        properties = group.get("properties", {})
        for now in (name,) if name in properties else properties:
            before = _before(properties[now])
            if name == now or name in before.values():
                return properties[now], _called(now, before, version)
        return group.get("additionalProperties") or group.get("items"), name

    def _resolved(self, node: Any) -> dict[str, Any]:
        if not isinstance(node, dict):
            return {}
        return self.schema["$defs"][node["$ref"].removeprefix("#/$defs/")] if "$ref" in node else node


def _before(node: dict[str, Any]) -> dict[int, str]:
    """Return a setting's earlier names, oldest first, each by the version that ended it."""
    return {int(until): was for until, was in node.get("x-renamed", {}).items()}


def _called(now: str, before: dict[int, str], version: int) -> str:
    """Return a setting's name in a version.

    >>> [_called("c", {3: "a", 5: "b"}, version) for version in (0, 3, 5)]
    ['a', 'b', 'c']
    """
    return next((was for until, was in sorted(before.items()) if version < until), now)


def _holds(value: Any, names: set[str]) -> bool:
    """Whether a member anywhere in a value has one of these names."""
    if isinstance(value, list):
        return any(_holds(each, names) for each in value)
    return isinstance(value, dict) and (
        not names.isdisjoint(value)
        or any(_holds(each, names) for each in value.values() if isinstance(each, (dict, list)))
    )


@cache
def _names(kind: str) -> _Names:
    return _Names(schema_for(kind))
