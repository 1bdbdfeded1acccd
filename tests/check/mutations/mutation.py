"""Changes of the small registry upon which one rule alone speaks."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from tests.check.small import Small

__all__ = ["Change", "Mutation", "filed", "happened", "patched", "revised"]

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

    def __str__(self) -> str:
        return f"{self.code}: {self.name}"


def patched(kind: str, rid: str, patch: dict[str, Any]) -> Change:
    return lambda now: now.patch(kind, rid, patch)


def revised(kind: str, rid: str, patch: dict[str, Any], reason: str = "tuned") -> Change:
    return lambda now: now.revise(kind, rid, patch, reason)


def filed(path: str, data: bytes) -> Change:
    return lambda now: now.files.update({path: data})


def happened(kind: str, name: str, document: dict[str, Any]) -> Change:
    return lambda now: now.put(kind, f"harbour-yard/{name}", document)
