"""Words that name a place: who looks for `light box film` may mean a use, of which the demands are known."""

import re
from collections.abc import Iterable, Sequence
from typing import NamedTuple

from registry.index.readmodel import Subject
from registry.model.shape import shape_of

__all__ = ["NamedPlace", "named_place"]


class NamedPlace(NamedTuple):
    """The application or display that words name."""

    kind: str
    rid: str
    title: str
    words: tuple[str, ...]
    """Those that name it, as they were typed."""


def named_place(places: Iterable[Subject], words: Sequence[str]) -> NamedPlace | None:
    """Return the place that most of the words name; None where several are named as well, or by no word.

    An application goes before its displays.
    """
    telling = [word for word in words if not _of_material().issuperset(_parts(word))]
    by_words = {place: tuple(word for word in telling if _names(word, place)) for place in places}
    most = max(map(len, by_words.values()), default=0)
    best = [place for place, named in by_words.items() if len(named) == most > 0]
    chosen = [place for place in best if place.kind == "application"] or best
    if len(chosen) != 1:
        return None
    place = chosen[0]
    return NamedPlace(place.kind, place.rid, place.title, by_words[place])


def _names(word: str, place: Subject) -> bool:
    """Whether each part of a word is in the place's title or its own name; a site's name is no place's."""
    return _parts(word) <= _parts(f"{place.title} {place.rid.rpartition('/')[2]}")


def _parts(text: str) -> set[str]:
    """Return the parts of a text in small letters, in the singular.

    >>> sorted(_parts("Market-row Awnings 2"))
    ['awning', 'market', 'row']
    """
    return {part.rstrip("s") for part in re.findall(r"[^\W\d_]+", text.casefold())}


def _of_material() -> frozenset[str]:
    """Return the words that say what a material is or how it is lit: they name no place."""
    of_film = shape_of("substrate").settings
    settings = [of_film[path] for path in ("construction", "base", "coating", "finish")]
    settings.append(shape_of("print-mode").settings["lighting"])
    return frozenset(part for setting in settings for word in setting.words for part in _parts(word))
