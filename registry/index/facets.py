"""What of a document can be searched: its settings as facets, and its words."""

import datetime
from collections.abc import Iterator, Mapping
from typing import Any, NamedTuple

from registry.model.shape import shape_of
from registry.model.sourced import copied_paths

__all__ = ["COPIED", "FROM_COPIED", "Facet", "Searchable", "computed_facets", "searchable", "shown_value"]

COPIED = "sources.copied"
"""Where the paths of the values stand whose source says that they were copied; nobody asks for it."""
FROM_COPIED = "sources.copied.computed"
"""Likewise of the values that are computed from such."""
_UNSEARCHED = ("$schema", "sources.")
_NO_WORDS = ("recorded.", "reason")
_ALSO_CALLED = {
    "pvc": "vinyl",
    "polyester": "PET",
    "polycarbonate": "PC",
    "adhesive-film": "self-adhesive",
    "fabric": "textile cloth",
}
"""What the trade also says for a word of the vocabulary."""


class Facet(NamedTuple):
    """One searchable value."""

    path: str
    item: int
    num: float | None
    txt: str


class Searchable(NamedTuple):
    """What a document can be found by."""

    facets: tuple[Facet, ...]
    words: str


def searchable(kind: str, document: dict[str, Any]) -> Searchable:
    """Return every searchable value of a document, and the text in which words are looked for."""
    shape = shape_of(kind)
    facets: list[Facet] = list(_facets(COPIED, copied_paths(shape, document)))
    words: list[str] = []
    for found in shape.flatten(document).values():
        if found.path.startswith(_UNSEARCHED):
            continue
        facets.extend(_facets(found.path, found.value))
        if not found.path.startswith(_NO_WORDS):
            said = [each for each in _listed(found.value) if isinstance(each, str)]
            words.extend(said)
            words.extend(_ALSO_CALLED[each] for each in said if found.setting.words and each in _ALSO_CALLED)
    return Searchable(tuple(facets), " ".join(words).replace("-", " "))


def computed_facets(values: Mapping[str, Any]) -> Iterator[Facet]:
    """Yield computed values in the same form."""
    for path, value in values.items():
        yield from _facets(path, value)


def _facets(path: str, value: Any) -> Iterator[Facet]:
    for item, each in enumerate(_listed(value)):
        yield Facet(path, item, _number(each), shown_value(each))


def _listed(value: Any) -> list[Any]:
    return value if isinstance(value, list) else [value]


def _number(value: Any) -> float | None:
    if isinstance(value, (int, float)) and not isinstance(value, bool):
        return float(value)
    if isinstance(value, str) and len(value) >= 20 and value[4] == "-" and value[10] == "T":
        try:
            moment = datetime.datetime.fromisoformat(value)
        except ValueError:
            return None
        return moment.timestamp() if moment.tzinfo else None  # a local time is the machine's own
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
