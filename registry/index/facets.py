"""What of a document can be searched: its settings as facets, and its words."""

import datetime
from collections.abc import Iterator
from typing import Any, NamedTuple

from registry.derived import derive
from registry.model.shape import shape_of

__all__ = ["Facet", "facets", "searched_words", "shown_value"]

_UNSEARCHED = ("$schema", "sources.")


class Facet(NamedTuple):
    """One searchable value."""

    path: str
    item: int
    num: float | None
    txt: str


def facets(kind: str, document: dict[str, Any], case: dict[str, Any] | None = None) -> Iterator[Facet]:
    """Yield every searchable value of a document and, for a mode with its case, every computed one."""
    for found in shape_of(kind).flatten(document).values():
        if not found.path.startswith(_UNSEARCHED):
            yield from _items(found.path, found.value)
    for path, value in derive(case).items() if case else ():
        yield from _items(path, value)


def _items(path: str, value: Any) -> Iterator[Facet]:
    for item, each in enumerate(value if isinstance(value, list) else [value]):
        yield Facet(path, item, _number(each), shown_value(each))


def _number(value: Any) -> float | None:
    if isinstance(value, (int, float)) and not isinstance(value, bool):
        return float(value)
    if isinstance(value, str) and len(value) >= 20 and value[4:5] == "-" and value[10] == "T":
        try:
            return datetime.datetime.fromisoformat(value).timestamp()
        except ValueError:
            return None
    return None


def shown_value(value: Any) -> str:
    """Return a value as people read and type it.

    >>> shown_value(True), shown_value(98.0), shown_value(98.5), shown_value("matte")
    ('yes', '98', '98.5', 'matte')
    """
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float) and value.is_integer():
        return str(int(value))
    return str(value)


def searched_words(kind: str, rid: str, document: dict[str, Any], case: dict[str, Any] | None = None) -> str:
    """Return the text in which words are looked for: for a mode also its substrate's and printer's."""
    parts = [rid.replace("/", " ").replace("-", " "), rid, *_texts(kind, document)]
    for other, role in (("substrate", "substrate"), ("printer", "printer")):
        if case and role in case and kind == "print-mode":
            parts += _texts(other, case[role])
    return " ".join(parts)


def _texts(kind: str, document: dict[str, Any]) -> Iterator[str]:
    for found in shape_of(kind).flatten(document).values():
        for each in found.value if isinstance(found.value, list) else [found.value]:
            if isinstance(each, str) and not found.path.startswith((*_UNSEARCHED, "recorded.", "reason")):
                yield each.replace("-", " ")
