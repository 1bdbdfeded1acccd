"""Starting a record: from nothing, from a document, or like another record."""

from collections.abc import Mapping
from typing import Any

from registry.contribute.sourcing import copied
from registry.errors import RequestError
from registry.model.kinds import parts_of, path_of, place_at
from registry.model.shape import shape_of
from registry.model.sourced import SOURCED

__all__ = ["left_behind", "like", "skeleton", "with_identity"]


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
    """Return a document that starts from another record; each value is marked as copied from `origin`.

    `printer` is the new mode's, where it may be another than its model's.
    """
    gone = _OF_ONE | _OF_ONE_OF_A_KIND.get(kind, frozenset())
    document = {name: value for name, value in model.items() if name not in gone}
    document.pop("sources", None)
    if kind == "print-mode":
        document["status"] = "trial"
        other_printer = (printer or model.get("printer")) != model.get("printer")
        other_substrate = model.get("substrate") != "/".join(rid.split("/")[:2])
        if other_printer or other_substrate:
            document = _without(document, _OF_ONE_PRINT)
        if other_printer:
            document = _without(document, _OF_ONE_PRINTER)
    document = with_identity(kind, rid, document)
    return document | ({"sources": copied(kind, document, origin, date)} if kind in SOURCED else {})


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
