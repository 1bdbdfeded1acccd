"""Cautions and advice said once: which of several texts says what another one says as well.

Two texts say the same where every telling word of one stands in the other. Nothing that only one of them says
is lost: what is left out, a fuller text says.
"""

import re
from collections.abc import Sequence
from functools import cache

__all__ = ["left_to_say", "said_once"]

_WORD = re.compile(r"[^\W_]+(?:[-.][^\W_]+)*")
_IDLE = frozenset(
    "a an and any are as ask asks at be before by for from goes if in is it its let make of off on or so "
    "sure that the their them then there they this to under until use wait was wear wears well where "
    "with".split()
)
"""Words that tell nothing of what to do or what to beware of."""
_ALIKE = {"crease": "fold", "no": "never", "not": "never", "nothing": "never"}
_ENDINGS = ("ician", "ical", "ing", "ed", "er", "ers", "es", "s", "e")


def said_once(texts: Sequence[str]) -> dict[int, int]:
    """Return the place of each text that says something of its own, and of the first that it speaks for.

    >>> said_once(["film edges cut", "earth the take-up", "film and sheet edges cut: gloves"])
    {2: 0, 1: 1}
    """
    told = [_telling(text) for text in texts]
    kept: dict[int, int] = {}
    for at in range(len(texts)):
        kept.setdefault(_fullest(at, told), at)
    return kept


def left_to_say(texts: Sequence[str], told: Sequence[str] = ()) -> list[int]:
    """Return the places of those texts that neither what is told already nor another of them says as well.

    >>> left_to_say(["blades cut", "earth it", "earth it: static"], ["Every blade cuts. Wear gloves."])
    [2]
    """
    kept = said_once([*told, *texts])
    return sorted(place - len(told) for place in kept if place >= len(told))


def _fullest(at: int, told: Sequence[frozenset[str]]) -> int:
    """Return the place of the text that says all that this one does and most besides."""
    saying = [other for other, words in enumerate(told) if other == at or (told[at] and words >= told[at])]
    return max(saying, key=lambda other: (len(told[other]), -other))


@cache
def _telling(text: str) -> frozenset[str]:
    """Return the stems of the words that tell something.

    >>> sorted(_telling("Roll it, never fold it: resin ink whitens in a crease"))
    ['fold', 'ink', 'nev', 'resin', 'roll', 'whiten']
    """
    words = (_ALIKE.get(word, word) for word in _WORD.findall(text.lower()) if word not in _IDLE)
    return frozenset(map(_stem, words))


def _stem(word: str) -> str:
    """Return a word without its ending, as far as that is needed to see that two are of one stem.

    >>> [_stem(word) for word in ("electrical", "electrician", "blades", "blade", "cleared", "clearing")]
    ['electr', 'electr', 'blad', 'blad', 'clear', 'clear']
    """
    for ending in _ENDINGS:
        if word.endswith(ending) and len(word) - len(ending) >= 3:
            return word.removesuffix(ending)
    return word
