"""Changes of the small registry upon which one rule alone speaks."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from registry.question.landed import LandedFile, Oddity
from tests.check.small import Small, sha256

__all__ = ["Change", "Mutation", "Told", "filed", "happened", "patched", "revised"]

Change = Callable[[Small], object]


@dataclass(frozen=True)
class Mutation:
    """One change, and where the rule's first finding must be."""

    code: str
    name: str
    change: Change
    path: str
    pointer: str = ""
    based: bool = False
    """Judged against the registry as it was."""
    before: Change | None = None
    """A change of what it was."""
    landed: tuple[Change, ...] = ()
    """What landed before it, one change after another, the last by a merge."""
    odd: tuple[Oddity, ...] = ()
    """What is odd about the landings."""
    merging: bool = False
    """It lies upon a merge that has not landed."""

    def __str__(self) -> str:
        return f"{self.code}: {self.name}"


class Told:
    """A history that is told: one state of the registry after another, each a landing, the last a merge."""

    def __init__(self, states: Iterable[Small], *, merging: bool, odd: Sequence[Oddity] = ()) -> None:
        self.merging, self.odd = merging, odd
        self.contents: dict[str, bytes] = {}
        self.files: dict[str, LandedFile] = {}
        for state in states:
            for path, data in state.files.items():
                name = sha256(data)
                self.contents[name] = data
                before = self.files.get(path, LandedFile(0, (), merged=True))
                if before.contents[:1] != (name,):
                    kept = (name, *before.contents)[:3]
                    self.files[path] = LandedFile(before.times + 1, kept, merged=True)

    def of(self, path: str) -> LandedFile | None:
        return self.files.get(path)

    def oddities(self) -> Sequence[Oddity]:
        return self.odd

    def is_called(self, data: bytes, name: str) -> bool:
        return sha256(data) == name

    def read(self, names: Iterable[str]) -> Mapping[str, bytes]:
        return {name: self.contents[name] for name in names}


def patched(kind: str, rid: str, patch: dict[str, Any]) -> Change:
    return lambda now: now.patch(kind, rid, patch)


def revised(kind: str, rid: str, patch: dict[str, Any], reason: str = "tuned") -> Change:
    return lambda now: now.revise(kind, rid, patch, reason)


def filed(path: str, data: bytes) -> Change:
    return lambda now: now.files.update({path: data})


def happened(kind: str, name: str, document: dict[str, Any]) -> Change:
    return lambda now: now.put(kind, f"harbour-yard/{name}", document)
