"""How each file has landed, as far as what is checked out rests on it."""

import time
from collections.abc import Iterable, Iterator, Mapping, Sequence
from functools import cached_property
from itertools import takewhile
from typing import Literal, NamedTuple

from registry.question.merges import moment_on
from registry.store.repository import Repository, is_blob
from registry.store.shared import NoSharedBranch
from registry.store.walk import Landing

__all__ = ["LandedFile", "LandedFiles", "Oddity"]

_KEPT = 3
_AHEAD_S = 24 * 3600
"""A clock may be so far ahead of ours without being called wrong."""


class LandedFile(NamedTuple):
    """How a file has landed."""

    times: int
    """How many landings changed it since it was last new."""
    contents: tuple[str, ...]
    """Names of its last contents, newest first: at most three."""
    merged: bool
    """Whether a merge brought the last of them: what another branch had written meanwhile."""


class Oddity(NamedTuple):
    """Something odd about a landing."""

    of: Literal["clock", "pull", "rewritten", "left-out"]
    words: str
    remedy: str = ""
    path: str = ""
    """The record that it is about; empty where it is about landings as such."""
    number: int = 0
    """Of a record: the number that its newest revision has. A higher one settles the matter."""


class LandedFiles:
    """What has landed of every file below `records/`, as far as it is checked out or just being merged."""

    def __init__(self, repository: Repository) -> None:
        self._repository = repository
        self.told: Sequence[Oddity] = ()
        """What is odd beside, as the read model tells it."""

    def load(self) -> None:
        """Ask git now, so that what keeps it from telling shows before anything rests on it."""
        _ = self._files, self.merging

    def of(self, path: str) -> LandedFile | None:
        """Return how a file has landed; None where it is not there."""
        return self._files.get(path)

    def oddities(self) -> Sequence[Oddity]:
        """Return what is odd about the landings: clocks that fell or ran ahead, plain pulls, what is told."""
        return [*_clocks(self._landings, time.time()), *self._pulls(), *self.told]

    @property
    def any(self) -> bool:
        """Whether anything has landed that is held here."""
        return bool(self._landings)

    def _pulls(self) -> Iterator[Oddity]:
        behind = self._repository.behind_pulls(self._landings[-1].commit) if self._landings else {}
        for landing in self._landings:
            if landing.commit in behind:
                number = sum(each.commit in behind[landing.commit] for each in self._landings)
                came = "1 landing came" if number == 1 else f"{number} landings came"
                which = f"{_day(landing)} (commit {landing.commit[:12]})"
                yield Oddity("pull", f"a plain pull was pushed on {which}: {came} in behind it")

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
    def _landings(self) -> list[Landing]:
        """What has landed and is held here, oldest first."""
        try:
            shared = self._repository.shared()
        except NoSharedBranch:
            return []
        if not self._held or not shared.commit or shared.how == "detached":
            return []
        beyond = set.intersection(*(self._repository.commits(shared.commit, each) for each in self._held))
        landings = self._repository.landings(shared.commit)
        return list(takewhile(lambda each: each.commit not in beyond, landings))

    @cached_property
    def _files(self) -> dict[str, LandedFile]:
        found: dict[str, LandedFile] = {}
        for landing in self._landings:
            for change in landing.changes:
                if not change.mode.startswith("100"):  # gone, or no file any more
                    found.pop(change.path, None)
                    continue
                before = found.get(change.path, LandedFile(0, (), merged=False))
                kept = (change.blob, *before.contents)[:_KEPT]
                found[change.path] = LandedFile(before.times + 1, kept, merged=len(landing.parents) > 1)
        return found


def _clocks(landings: Iterable[Landing], now: float) -> Iterator[Oddity]:
    """Yield which landings are dated before one under them, or in the future."""
    latest: Landing | None = None
    for landing in landings:
        which = f"commit {landing.commit[:12]} is dated {_day(landing)}"
        if latest and landing.landed < latest.landed:
            yield Oddity(
                "clock", f"{which}, before a landing under it: it counts as landed on {_day(latest)}"
            )
        if landing.landed > now + _AHEAD_S:
            yield Oddity("clock", f"{which}, which lies in the future")
        latest = landing if latest is None or landing.landed > latest.landed else latest


def _day(landing: Landing) -> str:
    """Return when a landing was made, on its committer's clock."""
    return moment_on(landing.landed, landing.landed_offset)
