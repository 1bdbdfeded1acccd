"""The longest document that a schema allows: every member, every text and list at its full length."""

from collections.abc import Callable, Sequence
from typing import Any

from registry.model.shape import shape_of

Writer = Callable[[int], str]

_PROSE = "the heaviest solid lies flat for a day until it is dry at both edges and the middle "


def prose(length: int) -> str:
    """Return ordinary words, exactly so many characters."""
    return (_PROSE * (length // len(_PROSE) + 1))[: length - 1] + "x"


def unbroken(length: int) -> str:
    """Return one word without a place to break, exactly so many characters."""
    return ("signboard" * (length // 9 + 1))[:length]


def slug(length: int) -> str:
    """Return an id of exactly so many characters."""
    return ("signboard-backlit-" * (length // 18 + 1))[: length - 1] + "x"


def numbered(texts: Sequence[str], name: str) -> list[str]:
    """Return the texts, each as long as before, but no two of which say the same."""
    marks = [f"{name}{number:02}" for number in range(len(texts))]
    return [f"{mark}{text[len(mark) :]}" for mark, text in zip(marks, texts, strict=True)]


def longest(kind: str, writer: Writer = prose) -> dict[str, Any]:
    """Return the longest document of a kind; ids and dates are merely well-formed."""
    schema = shape_of(kind).schema
    document: dict[str, Any] = _longest(schema, schema, "", writer)
    if "cautions" in document:
        document["cautions"] = numbered(document["cautions"], kind)
    return document


def _longest(node: dict[str, Any], schema: dict[str, Any], name: str, writer: Writer, turn: int = -1) -> Any:
    """Return the longest value; `turn` counts a list's items, whose names take turns."""
    if reference := node.get("$ref"):
        node = {**schema["$defs"][reference.removeprefix("#/$defs/")], **node}
    kind = node.get("type")
    if kind == "object":
        members = node.get("properties", {})
        return {
            key: _longest(below, schema, key, writer, turn)
            for key, below in members.items()
            if "x-retired" not in below  # what stands in its place is there
        }
    if kind == "array":
        return [
            _longest(node["items"], schema, name, writer, item) for item in range(node.get("maxItems", 1))
        ]
    if words := node.get("enum"):
        return words[turn % len(words)] if turn >= 0 and name == "what" else max(words, key=len)
    if kind == "boolean":
        return True
    if kind in {"integer", "number"}:
        return node.get("maximum", 64 if kind == "integer" else node.get("exclusiveMaximum", 1) - 0.25)
    return node["const"] if "const" in node else _text(node, writer)


def _text(node: dict[str, Any], writer: Writer) -> str:
    pattern, length = node.get("pattern", ""), node.get("maxLength", 80)
    if node.get("format") == "date":
        return "2026-12-31"
    if "x[1-9]" in pattern:
        return "9999x9999"
    if pattern.startswith("^[0-9a-f]{64}"):
        return "0123456789abcdef" * 4
    if "icc" in pattern:
        return slug(length - 4) + ".icc"
    if pattern:
        parts = pattern.count("/") + 1
        return "/".join([slug(length // parts)] * parts)[:length]
    return writer(length)
