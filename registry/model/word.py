"""A site's word on how a mode's settings went, and which of several words counts."""

from collections.abc import Iterable
from typing import Any, NamedTuple

__all__ = ["Word", "counting", "word_in"]

_OUTCOMES = {"good": True, "usable": True, "failed": False}


class Word(NamedTuple):
    """What one confirmation says."""

    of: str
    """What tells the confirmation from others: its id, or its path."""
    mode: str
    digest: str
    """Of the settings that were judged."""
    site: str
    unit: str
    """The machine; empty where none is named."""
    went_well: bool
    """Good, or usable with a reservation."""
    order: str
    """Sorts as the words were said: by the day judged, the day written down, and the name of the record."""


def word_in(of: str, rid: str, confirmation: dict[str, Any]) -> Word:
    """Return the word that a sound confirmation with an id gives."""
    date, written = confirmation["date"], confirmation["recorded"]["date"]
    return Word(
        of,
        confirmation["mode"],
        confirmation["settings_digest"],
        confirmation["site"],
        confirmation.get("unit", ""),
        _OUTCOMES[confirmation["outcome"]],
        f"{date} {written} {len(rid):04} {rid}",  # of a day the second ends in -2
    )


def counting(words: Iterable[Word]) -> list[Word]:
    """Return the words that count, as they were said.

    What a site said of one machine's print with the same settings counts as long as its latest word of that
    machine agrees. So a mistyped outcome is put right by another confirmation, and nothing is edited.
    """
    said = sorted(words, key=lambda word: word.order)
    latest = {_of_one(word): word.went_well for word in said}
    return [word for word in said if word.went_well == latest[_of_one(word)]]


def _of_one(word: Word) -> tuple[str, ...]:
    return word.mode, word.digest, word.site, word.unit
