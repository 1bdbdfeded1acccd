"""Records that lie in the working tree, landed or not."""

from collections.abc import Sequence
from pathlib import Path
from typing import Any, NamedTuple

from registry import canonical
from registry.errors import RegistryError, RequestError
from registry.index.reference import reference
from registry.model.forms import lifted
from registry.model.kinds import KINDS, place_at
from registry.model.sound import misfit
from registry.question.names import lying, meant
from registry.question.registry import Registry
from registry.question.snapshots import FolderSnapshot
from registry.store.bounded import LARGEST_FILE, read_file

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
            document = lifted(self.kind, canonical.read(self.data))
        except canonical.Unreadable as unreadable:
            raise RegistryError("\n".join(f"{self.where}: {fault}" for fault in unreadable.faults)) from None
        if fault := misfit(self.kind, document):
            raise RegistryError(f"{self.where} {fault}: litstock check says more")
        return document


def draft_of(registry: Registry, name: str, kinds: Sequence[str]) -> File:
    """Return a record's file in the working tree."""
    root = registry.repository.root
    if registry.repository.bare:
        raise RequestError("a bare repository has no working tree, so no drafts: ask for @git:BRANCH instead")
    found = lying(_whole(root, *meant(name, kinds)) or FolderSnapshot(root).paths(), name, kinds)
    if found is None:
        raise RequestError(f"there is no {name!r} in the working tree {str(root)!r}: write its whole id")
    return File(*found, read_file(root / found.path, LARGEST_FILE), found.path)


def _whole(root: Path, kinds: Sequence[str], rid: str) -> list[str]:
    """Return where a record of just this id lies: with it there is no need to look through all."""
    paths = (reference(kind, rid) for kind in kinds or KINDS)
    here = (path for path in paths if path and place_at(path))
    return [path for path in here if (root / path).is_file() and not (root / path).is_symlink()]
