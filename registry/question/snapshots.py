"""The registry's files at one moment: at a commit, or as they lie in the working tree."""

import os
from collections.abc import Iterable, Iterator, Mapping
from functools import cached_property
from pathlib import Path

from registry.errors import RegistryError
from registry.store.bounded import LARGEST_FILE, kind_of, read_file
from registry.store.repository import Repository
from registry.store.walk import Entry

__all__ = ["CommitSnapshot", "FolderSnapshot"]

_REFUSED = {"120000": "symlink", "160000": "submodule"}
_TOO_LARGE = f"file larger than {LARGEST_FILE // 2**20} MiB"


class CommitSnapshot:
    """The files below `records/` at a commit ("" for before the first)."""

    def __init__(self, repository: Repository, commit: str) -> None:
        self._repository, self.commit = repository, commit
        self._contents: dict[str, bytes] = {}

    @cached_property
    def _entries(self) -> dict[str, Entry]:
        # without the slash, so that a link in the place of the folder shows too
        return self._repository.tree(self.commit, "records")

    def paths(self) -> Iterable[str]:
        """Return the paths of all regular files."""
        return [path for path, entry in self._entries.items() if entry.mode not in _REFUSED]

    def refused(self) -> Mapping[str, str]:
        """Return symbolic links and submodules, by path."""
        return {path: _REFUSED[entry.mode] for path, entry in self._entries.items() if entry.mode in _REFUSED}

    def read(self, path: str) -> bytes:
        """Return a file's bytes; KeyError where there is no file."""
        entry = self._entries[path]
        if entry.mode in _REFUSED:
            raise KeyError(path)
        if entry.blob not in self._contents:
            self._contents[entry.blob] = self._repository.blob(entry.blob)
        return self._contents[entry.blob]

    def load(self) -> None:
        """Read every file in one go."""
        self._contents |= self._repository.blobs(self._entries[path].blob for path in self.paths())

    def get(self, path: str) -> bytes | None:
        """Return a file's bytes, or None where there is none."""
        entry = self._entries.get(path)
        return self.read(path) if entry and entry.mode not in _REFUSED else None


class FolderSnapshot:
    """The files below `records/` in a folder, such as the working tree or a plain copy."""

    def __init__(self, root: Path) -> None:
        self.root = root

    @cached_property
    def _found(self) -> dict[str, str]:
        """What lies there, by path: a regular file (""), or what it is instead."""
        top = self.root / "records"
        return {"records": "symlink"} if top.is_symlink() else dict(_walked(str(top), "records"))

    def paths(self) -> Iterable[str]:
        """Return the paths of all regular files."""
        return [path for path, what in self._found.items() if not what]

    def refused(self) -> Mapping[str, str]:
        """Return by path what is not read: symlink, submodule, device or pipe, too large a file."""
        return {path: what for path, what in self._found.items() if what}

    def read(self, path: str) -> bytes:
        """Return a file's bytes."""
        try:
            return read_file(self.root / path, LARGEST_FILE)
        except OSError as error:
            raise _unreadable(error) from error


def _walked(folder: str, path: str) -> Iterator[tuple[str, str]]:
    try:
        with os.scandir(folder) as found:
            entries = sorted(found, key=lambda entry: entry.name)
    except OSError as error:
        raise _unreadable(error) from error
    for entry in entries:
        below = f"{path}/{entry.name}"
        if entry.is_symlink():
            yield below, "symlink"
        elif not entry.is_dir():
            yield below, _refused(entry.stat())
        elif os.path.lexists(f"{entry.path}/.git"):
            yield below, "submodule"
        else:
            yield from _walked(entry.path, below)


def _refused(state: os.stat_result) -> str:
    """Return what keeps something that is no folder from being read; empty where nothing does."""
    return kind_of(state) or (_TOO_LARGE if state.st_size > LARGEST_FILE else "")


def _unreadable(error: OSError) -> RegistryError:
    return RegistryError(
        f"{error.filename!r} cannot be read ({error.strerror}): make it readable, or take it out of records/"
    )
