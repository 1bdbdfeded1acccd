"""Documents by blob, many read at a time, few kept."""

from collections.abc import Iterable
from typing import Any

from registry import canonical
from registry.model.forms import lifted
from registry.store.repository import Repository

__all__ = ["BATCH", "Documents"]

BATCH = 1000
"""How many documents are worked on at a time."""


class Documents:
    """The documents of a repository, read when asked for; memory holds a few batches of them."""

    def __init__(self, repository: Repository) -> None:
        self._repository = repository
        self._held: dict[str, dict[str, Any] | canonical.Unreadable] = {}

    def read(self, blobs: Iterable[str]) -> None:
        """Make these documents available, all in one go; earlier ones may be forgotten."""
        wanted = set(blobs)
        missing = sorted(blob for blob in wanted if blob not in self._held)
        if missing and len(self._held) + len(missing) > 3 * BATCH:
            self._held = {blob: self._held[blob] for blob in wanted if blob in self._held}
        for blob, data in self._repository.blobs(missing):
            try:
                self._held[blob] = canonical.read(data)
            except canonical.Unreadable as unreadable:
                self._held[blob] = unreadable

    def __getitem__(self, named: tuple[str, str]) -> dict[str, Any]:
        """Return one that was read, by its kind and blob, or raise what keeps it from being a document."""
        kind, blob = named
        found = self._held[blob]
        if isinstance(found, canonical.Unreadable):
            raise found
        return lifted(kind, found)
