"""What sites have said of a mode, and how far that counts for the settings that are shown."""

from collections.abc import Iterator
from dataclasses import dataclass

from registry.question.registry import Registry
from registry.question.when import Version

__all__ = ["Confirmed", "confirmations"]


@dataclass(frozen=True, slots=True)
class Confirmed:
    """A site's word on a mode."""

    record: str
    site: str
    unit: str
    date: str
    outcome: str
    revision: int
    counts: bool
    """Whether it is of the very settings that are shown, and still said so."""
    overruled: bool
    """Whether it is of these settings, and its site has said otherwise of that machine's print since."""
    note: str


def confirmations(registry: Registry, found: Version) -> Iterator[Confirmed]:
    """Yield what sites have said of a mode, oldest first."""
    subjects = registry.model.holding("confirmation", {"mode": found.rid})
    documents = registry.documents(subject.blob for subject in subjects)
    told = [(subject, documents[subject.blob]) for subject in subjects]
    counting = {word.of for word in registry.model.words(found.rid, found.digest)}
    for subject, word in sorted(told, key=lambda each: (str(each[1].get("date")), each[0].rid)):
        same = word.get("settings_digest") == found.digest
        yield Confirmed(
            record=subject.rid,
            site=str(word.get("site")),
            unit=str(word.get("unit", "")),
            date=str(word.get("date")),
            outcome=str(word.get("outcome")),
            revision=int(word.get("mode_revision", 0)),
            counts=same and subject.path in counting,
            overruled=same and subject.path not in counting,
            note=str(word.get("note", "")),
        )
