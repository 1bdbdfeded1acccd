"""What is checked: the files below `records/` at one moment, wherever they are kept."""

from collections.abc import Iterable, Mapping
from typing import Protocol

__all__ = ["Files", "Snapshot"]


class Snapshot(Protocol):
    """The registry's files at one moment; a path starts at the top of the repository."""

    def paths(self) -> Iterable[str]:
        """Return the paths of all regular files below `records/`."""

    def read(self, path: str) -> bytes:
        """Return the bytes of a file that `paths` names."""

    def refused(self) -> Mapping[str, str]:
        """Return what is neither file nor folder below `records/`, by path: `symlink` or `submodule`."""


class Files:
    """Files that have been read already, by path; there is nothing else."""

    def __init__(self, files: Mapping[str, bytes]) -> None:
        self._files = files

    def paths(self) -> Iterable[str]:
        """Return the paths of all files."""
        return self._files.keys()

    def read(self, path: str) -> bytes:
        """Return the bytes of a file."""
        return self._files[path]

    def refused(self) -> Mapping[str, str]:
        """Return nothing: only files are held."""
        return {}
