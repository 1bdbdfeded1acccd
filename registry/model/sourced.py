"""Which source speaks for a value of a record: the one under the longest JSON pointer that covers it."""

from collections.abc import Iterable, Mapping
from typing import Any

from registry import canonical
from registry.model.shape import Shape, named_items

__all__ = ["copied_paths", "covers", "pointer_of", "speaking_for"]


def covers(source: str, pointer: str) -> bool:
    """Whether a source's pointer is that of a value, of a group around it, or of the whole record.

    >>> covers("/heat", "/heat/cure_c"), covers("", "/heat"), covers("/he", "/heat")
    (True, True, False)
    """
    return not source or pointer == source or pointer.startswith(f"{source}/")


def speaking_for(pointer: str, sources: Iterable[str]) -> str | None:
    """Return the pointer of the source that speaks for a value; None where none does.

    >>> speaking_for("/heat/cure_c", ["", "/heat", "/motion"])
    '/heat'
    """
    return max((each for each in sources if covers(each, pointer)), key=len, default=None)


def pointer_of(shape: Shape, document: Mapping[str, Any], path: str) -> str:
    """Return the JSON pointer of the value that people know by a path: `layers.colour` is `/layers/0`."""
    value: Any = document
    node = shape.schema
    parts: list[str] = []
    rest = path
    while rest:
        node = shape.resolve(node)
        if isinstance(value, list):  # an item's name may hold points, as that of a demand does
            names = [each for each, _ in named_items(value, node.get("x-key", ""))]
            name = next(each for each in names if rest == each or rest.startswith(f"{each}."))
            parts.append(str(names.index(name)))
            value, node = value[names.index(name)], node.get("items", {})
        else:
            name = rest.partition(".")[0]
            parts.append(name)
            value, node = value.get(name), node.get("properties", {}).get(name, {})
        rest = rest[len(name) + 1 :]
    return canonical.join_pointer(parts)


def copied_paths(shape: Shape, document: dict[str, Any]) -> list[str]:
    """Return the paths of the values whose source says that they were copied."""
    sources = document.get("sources", {})
    if not any(source["kind"] == "copied" for source in sources.values()):
        return []
    speaking = {
        path: speaking_for(pointer_of(shape, document, path), sources)
        for path in shape.flatten(document)
        if not path.startswith("sources.")
    }
    return [path for path, by in speaking.items() if by is not None and sources[by]["kind"] == "copied"]
