"""Which source speaks for a value of a record: the one under the longest JSON pointer that covers it."""

from collections.abc import Iterable, Mapping
from typing import Any

from registry import canonical
from registry.model.kinds import parts_of
from registry.model.shape import Setting, Shape, shape_of

__all__ = ["SOURCED", "copied_paths", "covers", "lacking_of_measured", "leaves", "speaking_for"]

SOURCED = ("substrate", "print-mode", "printer", "application", "display", "unit")
"""Kinds of records whose values have sources."""
_SELF_EVIDENT = ("trials", "evidence", "sources", "demands")  # these name their own day and site, or a reason


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


def leaves(kind: str, document: dict[str, Any]) -> dict[str, str]:
    """Return the pointer of every value that a source can speak for, by its path."""
    return {
        path: canonical.join_pointer(found.place)
        for path, found in shape_of(kind).flatten(document).items()
        if path.partition(".")[0] not in {*_SELF_EVIDENT, *parts_of(kind)} and _can_have(found.setting)
    }


def _can_have(setting: Setting) -> bool:
    """What names another record, as the id does, and words aside have no source."""
    return not (setting.refers or (setting.aside and not setting.unit))


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
