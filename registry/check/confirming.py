"""Which settings of which mode are confirmed as good, by the words that count."""

from typing import Any

from registry.check.checked import Checked
from registry.model.word import counting, word_in

__all__ = ["confirmed_as_good", "is_lit_from_behind"]


def confirmed_as_good(checked: Checked) -> dict[str, set[str]]:
    """Return the settings digests that were confirmed as good, by mode; a reservation is no such word.

    Nor is one on a print that is to be lit and was not when it was judged.
    """
    said = {each.id: each.content for each in checked.every("confirmation")}
    words = (word_in(rid, rid.rpartition("/")[2], content) for rid, content in said.items())
    found: dict[str, set[str]] = {}
    for word in counting(words):
        unseen = said[word.of].get("seen") == "not-lit" and is_lit_from_behind(
            checked.content("print-mode", word.mode)
        )
        if said[word.of]["outcome"] == "good" and not unseen:
            found.setdefault(word.mode, set()).add(word.digest)
    return found


def is_lit_from_behind(mode: dict[str, Any]) -> bool:
    """Whether light is to come through a mode's prints, at least at night."""
    return mode.get("lighting") in {"backlit", "dual"}
