"""Starting a record: from nothing, from a document, or like another record."""

from collections.abc import Iterable, Mapping
from typing import Any

from registry import canonical
from registry.errors import RequestError
from registry.model.kinds import parts_of, path_of, place_at
from registry.model.shape import Shape, named_items, shape_of

__all__ = ["left_behind", "like", "outlived", "skeleton", "sourced", "unsourced", "with_identity"]


_OF_ONE = frozenset(
    ["withdrawn", "trials", "evidence", "revision", "reason", "recorded", "$schema", "answer", "notes"]
)
"""Members that are true of one record only and never go along to another."""
_OF_ONE_OF_A_KIND = {
    "substrate": frozenset(["product_code", "fire"]),
    "unit": frozenset(["own", "in_service"]),
    "display": frozenset(["luminance", "location"]),
    "site": frozenset(["instruments"]),
    "complaint": frozenset(["readings"]),
}
_OF_ONE_PRINT = {
    "colour": ("profile", "linearised"),
    "heat": ("web_centre_c", "web_edge_c", "web_edge_hot_c"),
}
"""What was made for, or measured on, one substrate in one printer."""
_OF_ONE_PRINTER = {"motion": ("speed_m2_h",)}
_TOLD = ("revision", "reason", "recorded", "$schema", "sources", "withdrawn")
"""What nobody expects to find in a copy, so that it need not be said."""


def with_identity(kind: str, rid: str, document: dict[str, Any]) -> dict[str, Any]:
    """Return the document with the members that its id decides (maker and grade, substrate, site)."""
    if place_at(path_of(kind, rid)) is None:
        raise RequestError(f"{rid!r} is no id: small letters, digits and hyphens, such as film-210")
    names, parts = parts_of(kind), rid.split("/")
    decided: dict[str, str] = {}
    if kind == "substrate":
        decided = dict(zip(names, parts, strict=True))
    elif kind == "print-mode":
        decided = {"substrate": "/".join(parts[:2])}
    elif names[0] == "site" and len(names) > 1:
        decided = {"site": parts[0]}
    return {**document, **decided}


def like(
    kind: str, rid: str, model: dict[str, Any], origin: str, date: str, *, printer: str = ""
) -> dict[str, Any]:
    """Return a document that starts from another record; its values are marked as copied from `origin`.

    `printer` is the new mode's, where it may be another than its model's.
    """
    gone = _OF_ONE | _OF_ONE_OF_A_KIND.get(kind, frozenset())
    document = {name: value for name, value in model.items() if name not in gone}
    document["sources"] = {"": {"kind": "copied", "date": date, "note": f"copied from {origin}"}}
    if kind == "print-mode":
        document["status"] = "trial"
        other_printer = (printer or model.get("printer")) != model.get("printer")
        other_substrate = model.get("substrate") != "/".join(rid.split("/")[:2])
        if other_printer or other_substrate:
            document = _without(document, _OF_ONE_PRINT)
        if other_printer:
            document = _without(document, _OF_ONE_PRINTER)
    if kind == "guidance":
        document.pop("sources")
    return with_identity(kind, rid, document)


def sourced(document: dict[str, Any], sources: Mapping[str, Mapping[str, Any]]) -> dict[str, Any]:
    """Return a document with the sources of values that its writer set, by JSON pointer.

    A source of the whole record, as a copy has one, stays and covers what is left.

    >>> sourced({"sources": {"": {"kind": "copied"}}}, {"/heat": {"kind": "measured"}})["sources"]
    {'': {'kind': 'copied'}, '/heat': {'kind': 'measured'}}
    """
    told = {pointer: dict(source) for pointer, source in sources.items()}
    return {**document, "sources": {**document.get("sources", {}), **told}}


def unsourced(kind: str, document: dict[str, Any], paths: Iterable[str]) -> dict[str, str]:
    """Return which of the values that were set by path have no source of their own, each with its pointer.

    Only what has a source counts: what the id decides, what names another record, and words aside have none.
    """
    shape = shape_of(kind)
    found: dict[str, str] = {}
    for path in paths:
        setting = shape.setting_at(path)
        if setting and not (setting.identity or setting.refers or (setting.aside and not setting.unit)):
            pointer = _pointer(shape, document, path)
            if not any(_covers(each, pointer) for each in document.get("sources", {})):
                found[path] = pointer
    return found


def outlived(
    kind: str, before: dict[str, Any], after: dict[str, Any], paths: Iterable[str]
) -> dict[str, str]:
    """Return the values that were changed while their source still says what it said, each with its pointer.

    The most particular source that covers a value speaks for it; one of the whole record counts too.
    """
    shape = shape_of(kind)
    was, now = shape.flatten(before), shape.flatten(after)
    found: dict[str, str] = {}
    for path in paths:
        changed = path in was and path in now and was[path].value != now[path].value
        if not changed or was[path].setting.aside:
            continue
        pointer = _pointer(shape, after, path)
        covering = [each for each in before.get("sources", {}) if not each or _covers(each, pointer)]
        source = max(covering, key=len, default=None)
        newer = [each for each in after.get("sources", {}) if _covers(each, pointer)]
        same = source is not None and before["sources"][source] == after.get("sources", {}).get(source)
        if same and all(len(each) <= len(source or "") for each in newer):
            found[path] = str(source)
    return found


def _covers(source: str, pointer: str) -> bool:
    return bool(source) and (pointer == source or pointer.startswith(f"{source}/"))


def _pointer(shape: Shape, document: dict[str, Any], path: str) -> str:
    """Return the JSON pointer of the value that people know by a path: `layers.colour` is `/layers/0`."""
    value: Any = document
    node = shape.schema
    parts: list[str] = []
    for name in path.split("."):
        node = shape.resolve(node)
        if isinstance(value, list):
            names = [each for each, _ in named_items(value, node.get("x-key", ""))]
            parts.append(str(names.index(name)))
            value, node = value[names.index(name)], node.get("items", {})
        else:
            parts.append(name)
            value, node = value.get(name), node.get("properties", {}).get(name, {})
    return canonical.join_pointer(parts)


def left_behind(kind: str, model: dict[str, Any], document: dict[str, Any]) -> list[str]:
    """Return the labels of what a record says and its copy does not, since it is true of that one alone."""
    shape = shape_of(kind)
    held = shape.flatten(document)
    left = [found for path, found in shape.flatten(model).items() if path not in held]
    labels = (
        each.setting.label if each.path.partition(".")[0] in document else each.setting.group or each.label
        for each in left
        if not each.path.startswith(_TOLD)
    )
    return list(dict.fromkeys(labels))


def _without(document: dict[str, Any], parts: Mapping[str, tuple[str, ...]]) -> dict[str, Any]:
    """Return the document without some members of its groups, and without a group that is empty then."""
    for group, names in parts.items():
        if group in document:
            kept = {name: value for name, value in document[group].items() if name not in names}
            document = {**document, group: kept}
            if not kept:
                del document[group]
    return document


def skeleton(kind: str, rid: str, title: str) -> dict[str, Any]:
    """Return the beginning of a document that only its id and title are known of."""
    document: dict[str, Any] = {"title": title}
    if kind == "print-mode":
        document["status"] = "trial"
    if kind == "complaint":
        document["state"] = "open"
    return with_identity(kind, rid, document)
