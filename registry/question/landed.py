"""How each file has landed, as far as what is checked out rests on it."""

from collections.abc import Iterable, Mapping
from functools import cached_property
from itertools import takewhile
from typing import NamedTuple

from registry.store.repository import Repository, is_blob
from registry.store.shared import NoSharedBranch

__all__ = ["LandedFile", "LandedFiles"]

_KEPT = 3


class LandedFile(NamedTuple):
    """How a file has landed."""

    times: int
    """How many landings changed it since it was last new."""
    contents: tuple[str, ...]
    """Names of its last contents, newest first: at most three."""
    merged: bool
    """Whether a merge brought the last of them: what another branch had written meanwhile."""


class LandedFiles:
    """What has landed of every file below `records/`, as far as it is checked out or just being merged."""

    def __init__(self, repository: Repository) -> None:
        self._repository = repository

    def load(self) -> None:
        """Ask git now, so that what keeps it from telling shows before anything rests on it."""
        _ = self._files, self.merging

    def of(self, path: str) -> LandedFile | None:
        """Return how a file has landed; None where it is not there."""
        return self._files.get(path)

    def is_called(self, data: bytes, name: str) -> bool:
        """Tell whether these bytes are the contents of this name."""
        return is_blob(data, name)

    def read(self, names: Iterable[str]) -> Mapping[str, bytes]:
        """Return contents by their names, in one go."""
        return dict(self._repository.blobs(names))

    @cached_property
    def merging(self) -> bool:
        """Whether what is checked out rests on a merge that has not landed, or is just being merged."""
        repository = self._repository
        return bool(self._held) and (
            len(self._held) > 1 or repository.has_merges(self._held[0], repository.shared().commit)
        )

    @cached_property
    def _held(self) -> list[str]:
        """The commits on which the files rest: the checked-out one, and one that is being merged."""
        return [each for each in (self._repository.head(), self._repository.merging()) if each]

    @cached_property
    def _files(self) -> dict[str, LandedFile]:
        found: dict[str, LandedFile] = {}
        try:
            shared = self._repository.shared()
        except NoSharedBranch:
            return found
        if not self._held or not shared.commit or shared.how == "detached":
            return found
        beyond = set.intersection(*(self._repository.commits(shared.commit, each) for each in self._held))
        landings = self._repository.landings(shared.commit)
        for landing in takewhile(lambda each: each.commit not in beyond, landings):
            for change in landing.changes:
                if not change.mode.startswith("100"):  # gone, or no file any more
                    found.pop(change.path, None)
                    continue
                before = found.get(change.path, LandedFile(0, (), merged=False))
                kept = (change.blob, *before.contents)[:_KEPT]
                found[change.path] = LandedFile(before.times + 1, kept, merged=len(landing.parents) > 1)
        return found
