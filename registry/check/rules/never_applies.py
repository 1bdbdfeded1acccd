"""Rule: guidance can apply."""

from collections.abc import Iterator
from typing import Any

from registry import canonical
from registry.check.checked import Checked
from registry.check.finding import Remark
from registry.check.pointing import node_at
from registry.check.rule import rule
from registry.check.saying import listed, meant, shown
from registry.model.shape import Shape, shape_of

__all__ = ["never_applies"]

_KINDS = {"mode": "print-mode"}  # the others are called as their kind
_COMPARED: dict[str, tuple[str, ...]] = {
    **dict.fromkeys(("minimum", "maximum", "exclusiveMinimum", "exclusiveMaximum"), ("number", "integer")),
    "pattern": ("string",),
    "contains": ("array",),
}
"""What a keyword compares, by the type of the value."""
_PYTHON: dict[str, type | tuple[type, ...]] = {"string": str, "number": (int, float), "integer": int}


@rule("never-applies", "error")
def never_applies(checked: Checked) -> Iterator[Remark]:
    """Every condition of a guidance rule looks at a value that exists, and can hold.

    A mistyped pointer or word makes a rule that never applies: a warning against a spoiled roll is given to
    nobody, and nobody notices.

    To mend: correct the pointer, or the value in the condition.
    """
    for document in checked.of("guidance"):
        for member, pointer, condition in _conditions(document.content):
            root, *parts = canonical.split_pointer(pointer)
            shape = shape_of(_KINDS.get(root, root))
            here = canonical.join_pointer([member, pointer])
            node = node_at(shape, parts)
            if node is None:
                known = ["/".join(("", root, *path.split("."))) for path in shape.settings if "*" not in path]
                yield document.remark(
                    here,
                    f"no {shape.kind} has such a value",
                    meant(pointer, known) or "correct the pointer",
                    found=shown(pointer),
                    allowed=f"a pointer such as {listed(known[1:4])}",
                )
                continue
            for below, found, allowed in _vain(shape, node, condition):
                yield document.remark(
                    here + below,
                    "the condition can never hold",
                    "compare the value with what it can be",
                    found=found,
                    allowed=allowed,
                )


def _conditions(content: dict[str, Any]) -> Iterator[tuple[str, str, dict[str, Any]]]:
    for member in ("when", "unless"):
        for pointer, condition in content.get(member, {}).items():
            yield member, pointer, condition


def _vain(shape: Shape, node: dict[str, Any], condition: dict[str, Any]) -> Iterator[tuple[str, str, str]]:
    """Yield pointer, what was found and what is allowed for everything that the value can never be."""
    for keyword, wanted in condition.items():
        if keyword == "not" or (keyword == "contains" and node.get("type") == "array"):
            # What can never be is never so, and a rule upon `not` would always apply: a slip as well.
            inner = node if keyword == "not" else shape.resolve(node.get("items", {}))
            for below, found, allowed in _vain(shape, inner, wanted):
                yield f"/{keyword}{below}", found, allowed
        elif keyword in {"const", "enum"}:
            words = [wanted] if keyword == "const" else wanted
            for word in (word for word in words if not _can_be(node, word)):
                allowed = listed(node["enum"]) if "enum" in node else _needed(node)
                yield f"/{keyword}", shown(word), allowed
        elif node.get("type") not in _COMPARED[keyword]:
            yield f"/{keyword}", f"a comparison that suits {' or '.join(_COMPARED[keyword])}", _needed(node)


def _needed(node: dict[str, Any]) -> str:
    return f"what suits a value of the type {node.get('type', 'object')}"


def _can_be(node: dict[str, Any], word: Any) -> bool:
    if "enum" in node:
        return word in node["enum"]
    kind = node.get("type")
    if kind == "boolean" or isinstance(word, bool):
        return kind == "boolean" and isinstance(word, bool)
    return isinstance(word, _PYTHON.get(str(kind), ()))
