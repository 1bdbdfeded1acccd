"""What is checked: the files below `records/` at one moment, wherever they are kept."""

from collections.abc import Iterable, Mapping, Sequence
from typing import Protocol

from registry.question.landed import LandedFile, Oddity
from registry.question.snapshots import Checkout

__all__ = ["Checkout", "Files", "History", "Snapshot"]


class Snapshot(Protocol):
    """The registry's files at one moment; a path starts at the top of the repository."""

    def paths(self) -> Iterable[str]:
        """Return the paths of all regular files below `records/`."""

    def read(self, path: str) -> bytes:
        """Return the bytes of a file that `paths` names."""

    def refused(self) -> Mapping[str, str]:
        """Return what is neither file nor folder below `records/`, by path: `symlink` or `submodule`."""

    def checkout(self) -> Checkout:
        """Return what bears on how git checks the files out; nothing where no git does."""


class History(Protocol):
    """What has landed of each file below `records/`, as far as what is checked rests on it."""

    @property
    def merging(self) -> bool:
        """Whether what is checked rests on a merge that has not landed."""

    def of(self, path: str) -> LandedFile | None:
        """Return how a file has landed; None where it is not there."""

    def oddities(self) -> Sequence[Oddity]:
        """Return what is odd about the landings themselves."""

    def is_called(self, data: bytes, name: str) -> bool:
        """Tell whether these bytes are the contents of this name."""

    def read(self, names: Iterable[str]) -> Mapping[str, bytes]:
        """Return contents by their names, in one go."""


class Files:
    """Files that have been read already, by path, and what is no file."""

    def __init__(
        self,
        files: Mapping[str, bytes],
        refused: Mapping[str, str] | None = None,
        checkout: Checkout | None = None,
    ) -> None:
        self._files, self._refused, self._checkout = files, refused or {}, checkout or Checkout()

    def paths(self) -> Iterable[str]:
        """Return the paths of all files."""
        return self._files.keys()

    def read(self, path: str) -> bytes:
        """Return the bytes of a file."""
        return self._files[path]

    def refused(self) -> Mapping[str, str]:
        """Return what is no file, by path."""
        return self._refused

    def checkout(self) -> Checkout:
        """Return what bears on how git checks them out."""
        return self._checkout
