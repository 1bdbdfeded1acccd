"""Which settings of which mode are confirmed as good, by the words that count."""

from registry.check.checked import Checked
from registry.model.word import counting, word_in

__all__ = ["confirmed_as_good"]


def confirmed_as_good(checked: Checked) -> dict[str, set[str]]:
    """Return the settings digests that were confirmed as good, by mode; a reservation is no such word."""
    said = {each.id: each.content for each in checked.every("confirmation")}
    words = (word_in(rid, rid.rpartition("/")[2], content) for rid, content in said.items())
    found: dict[str, set[str]] = {}
    for word in counting(words):
        if said[word.of]["outcome"] == "good":
            found.setdefault(word.mode, set()).add(word.digest)
    return found
