"""Which source speaks for a value of a record: the one under the longest JSON pointer that covers it."""

from collections.abc import Iterable, Mapping
from typing import Any

from registry import canonical
from registry.model.shape import Shape

__all__ = ["copied_paths", "covers", "lacking_of_measured", "speaking_for"]


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


def lacking_of_measured(source: Mapping[str, Any]) -> list[str]:
    """Return what a source that says `measured` does not say: how, by method or instrument, and when.

    >>> lacking_of_measured({"kind": "measured", "instrument": "web-probe"})
    ['date']
    >>> lacking_of_measured({"kind": "measured"}), lacking_of_measured({"kind": "data-sheet"})
    (['method', 'date'], [])
    """
    if source.get("kind") != "measured":
        return []
    how = [] if {"method", "instrument"} & source.keys() else ["method"]
    return how + ([] if "date" in source else ["date"])


def copied_paths(shape: Shape, document: dict[str, Any]) -> list[str]:
    """Return the paths of the values whose source says that they were copied."""
    sources = document.get("sources", {})
    if not any(source["kind"] == "copied" for source in sources.values()):
        return []
    speaking = {
        path: speaking_for(canonical.join_pointer(found.place), sources)
        for path, found in shape.flatten(document).items()
        if not path.startswith("sources.")
    }
    return [path for path, by in speaking.items() if by is not None and sources[by]["kind"] == "copied"]
