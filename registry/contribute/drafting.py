"""Starting a record: from nothing, from a document, or like another record."""

from typing import Any

from registry.errors import RequestError
from registry.model.kinds import parts_of, path_of, place_at

__all__ = ["like", "skeleton", "with_identity"]

_LEFT_BEHIND = {"withdrawn", "trials", "evidence", "revision", "reason", "recorded", "$schema", "answer"}
"""What is true of one record only and never goes along to another."""


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


def like(kind: str, rid: str, model: dict[str, Any], origin: str, date: str) -> dict[str, Any]:
    """Return a document that starts from another record; its values are marked as copied from `origin`."""
    document = {name: value for name, value in model.items() if name not in _LEFT_BEHIND}
    document["sources"] = {"": {"kind": "copied", "date": date, "note": f"copied from {origin}"}}
    if kind == "print-mode":
        document["status"] = "trial"
        if document.get("substrate") != "/".join(rid.split("/")[:2]):
            colour = {name: value for name, value in document.get("colour", {}).items() if name != "profile"}
            document["colour"] = colour
            if not colour:
                document.pop("colour")
    if kind == "guidance":
        document.pop("sources")
    return with_identity(kind, rid, document)


def skeleton(kind: str, rid: str, title: str) -> dict[str, Any]:
    """Return the beginning of a document that only its id and title are known of."""
    document: dict[str, Any] = {"title": title}
    if kind == "print-mode":
        document["status"] = "trial"
    if kind == "complaint":
        document["state"] = "open"
    return with_identity(kind, rid, document)
