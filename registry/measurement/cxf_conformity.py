"""What a CxF3 document (ISO 17972-1) lacks: the reader lets through much that the schema does not.

It takes any root element, leaves out what is required, and hands on as text what it cannot convert. The
schema stands in the metadata of the reader's own classes, so it is asked there.
"""

import math
import operator
from collections.abc import Callable, Iterator, Mapping
from dataclasses import Field, fields, is_dataclass
from typing import Any

from registry.measurement.form import is_reading

__all__ = ["element", "faults", "named"]

_BOUNDS: dict[str, tuple[str, Callable[[float, float], bool]]] = {
    "min_inclusive": ("below", operator.lt),
    "max_inclusive": ("above", operator.gt),
    "min_exclusive": ("not above", operator.le),
    "max_exclusive": ("not below", operator.ge),
}


def element(node: Any) -> str:
    """Return the name of a node's element."""
    kind = type(node)
    return str(getattr(getattr(kind, "Meta", None), "name", kind.__name__))


def named(node: Any) -> str:
    """Return an object or a specification by its id, as people find it in the file."""
    return f"{element(node)} {node.id!r}" if node.id else f"{element(node)} without an Id"


def faults(document: Any, lines: Mapping[str, list[int]]) -> Iterator[tuple[int, str]]:
    """Yield line and words of everything in the document that its schema does not allow.

    `lines` gives, by element, the line of each in the file's order; a fault is said of the nearest of them.
    """
    yield from _within(document, "", 0, {name: iter(found) for name, found in lines.items()})


def _within(node: Any, who: str, line: int, lines: Mapping[str, Iterator[int]]) -> Iterator[tuple[int, str]]:
    owner = element(node)
    if owner in lines:
        who, line = f"{named(node)}: ", next(lines[owner])
        about = who
    else:
        about = f"{who}{owner}: "
    for each in fields(node):
        held = getattr(node, each.name)
        name = each.metadata.get("name", "")
        yield from ((line, f"{about}{name or 'its value'} {said}") for said in _of_field(each, held))
        if each.metadata.get("type") == "Wildcard":
            continue
        for inner in held if isinstance(held, list) else [held]:
            if is_dataclass(inner):
                yield from _within(inner, who, line, lines)


def _of_field(each: Field[Any], held: Any) -> Iterator[str]:
    if held is None or held == []:
        if each.metadata.get("required") or each.metadata.get("min_occurs"):
            yield "is missing"
    elif isinstance(held, str) and "str" not in str(each.type):
        wrong = next((word for word in held.split() if not _is_number(word)), held)
        yield f"is {wrong!r}, which the standard does not allow there"
    else:
        for value in held if isinstance(held, list) else [held]:
            if isinstance(value, (int, float)) and not isinstance(value, bool):
                yield from _of_number(each, value)


def _of_number(each: Field[Any], value: float) -> Iterator[str]:
    if not math.isfinite(value):
        yield f"is {value:g}, which is no number"
        return
    if not is_reading(value):
        yield f"is {value:g}, which is beyond what can be read"
        return
    for bound, (words, beyond) in _BOUNDS.items():
        limit = each.metadata.get(bound)
        if limit is not None and beyond(value, limit):
            yield f"is {value:g}, which is {words} {limit:g}"


def _is_number(word: str) -> bool:
    try:
        return math.isfinite(float(word))
    except ValueError:
        return False
