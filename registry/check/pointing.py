"""What the schema says of a value, by JSON pointer."""

from collections.abc import Iterable
from typing import Any

from registry.model.shape import Shape

__all__ = ["node_at"]


def node_at(shape: Shape, parts: Iterable[str]) -> dict[str, Any] | None:
    """Return the schema of the value at a pointer's parts, or None where no record can have one."""
    node: Any = shape.schema
    for part in parts:
        node = shape.resolve(node)
        members, others = node.get("properties", {}), node.get("additionalProperties")
        if part in members:
            node = members[part]
        elif node.get("type") == "array" and part.isdigit():
            node = node.get("items", {})
        elif isinstance(others, dict):
            node = others
        else:
            return None
    return shape.resolve(node)
