"""Records that lie in the working tree, landed or not."""

from collections.abc import Iterator, Sequence
from typing import Any, NamedTuple

from registry import canonical
from registry.errors import RegistryError, RequestError
from registry.index.reference import reference
from registry.model.kinds import KINDS, place_at
from registry.question.names import meant
from registry.question.registry import Registry

__all__ = ["File", "draft_of"]


class File(NamedTuple):
    """A record's file from elsewhere than the landed history."""

    path: str
    kind: str
    rid: str
    data: bytes
    where: str
    """What to call it where it is faulty."""

    def document(self) -> dict[str, Any]:
        """Return what it holds; faults are said with their place."""
        try:
            return canonical.read(self.data)
        except canonical.Unreadable as unreadable:
            raise RegistryError("\n".join(f"{self.where}: {fault}" for fault in unreadable.faults)) from None


def draft_of(registry: Registry, name: str, kinds: Sequence[str]) -> File:
    """Return a record's file in the working tree."""
    root = registry.repository.root
    if registry.repository.bare:
        raise RequestError("a bare repository has no working tree, so no drafts: ask for @git:BRANCH instead")
    for path, kind, rid in _candidates(*meant(name, kinds)):
        file = root / path
        if file.is_file() and not file.is_symlink():
            return File(path, kind, rid, file.read_bytes(), path)
    raise RequestError(f"there is no {name!r} in the working tree {str(root)!r}: write its whole id")


def _candidates(kinds: Sequence[str], rid: str) -> Iterator[tuple[str, str, str]]:
    for kind in kinds or KINDS:
        path = reference(kind, rid)
        if path and (place := place_at(path)):
            yield path, place.kind, place.id
