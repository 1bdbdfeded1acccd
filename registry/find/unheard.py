"""Words that nothing says: a slip of the pen is no demand, so it is told apart, with the nearest words."""

import difflib
import re
from collections.abc import Iterable, Iterator
from typing import NamedTuple

from registry.index.pairs import Pairs, Worded
from registry.question.registry import Registry

__all__ = ["Unheard", "unheard"]

_NEAREST, _ALIKE = 3, 0.7
"""So many words are offered, and how like they must be (difflib's ratio)."""


class Unheard(NamedTuple):
    """A word that no print mode, substrate or printer says."""

    word: str
    near: tuple[str, ...]
    """Words that some do say, the most alike first."""
    use: str = ""
    """application or display, where one is called so: that is asked for in another way."""


def unheard(registry: Registry, pairs: Pairs, words: Iterable[str]) -> Iterator[Unheard]:
    """Yield those of the words that nothing says."""
    for word in dict.fromkeys(words):
        if not _is_said(pairs, word):
            uses = (kind for kind in ("application", "display") if registry.model.named(word, kind))
            yield Unheard(word, tuple(_near(pairs, word)), next(uses, ""))


def _is_said(pairs: Pairs, word: str) -> bool:
    return pairs.counts([Worded(word)]) != [0]


def _near(pairs: Pairs, word: str) -> Iterator[str]:
    """Yield the word as it may be meant: each part of it that nothing says as one that is like it."""
    parts = dict.fromkeys(re.findall(r"\w+", word.casefold()))
    meant = {part: [part] * _NEAREST if _is_said(pairs, part) else _alike(pairs, part) for part in parts}
    for choice in range(min(map(len, meant.values()), default=0)):
        text = re.sub(r"\w+", lambda part: meant[part[0]][choice], word.casefold())  # noqa: B023 (used at once)
        if _is_said(pairs, text):
            yield text


def _alike(pairs: Pairs, part: str) -> list[str]:
    return difflib.get_close_matches(part, pairs.terms_as_long_as(part), n=_NEAREST, cutoff=_ALIKE)
