"""The registry's files at one moment: at a commit, or as they lie in the working tree."""

import os
from collections.abc import Iterable, Mapping
from functools import cached_property
from pathlib import Path

from registry.store.repository import Repository
from registry.store.walk import Entry

__all__ = ["CommitSnapshot", "FolderSnapshot"]

_SYMLINK, _SUBMODULE = "120000", "160000"


class CommitSnapshot:
    """The files below `records/` at a commit ("" for before the first)."""

    def __init__(self, repository: Repository, commit: str) -> None:
        self._repository, self.commit = repository, commit
        self._contents: dict[str, bytes] = {}

    @cached_property
    def _entries(self) -> dict[str, Entry]:
        return self._repository.tree(self.commit) if self.commit else {}

    def paths(self) -> Iterable[str]:
        """Return the paths of all regular files."""
        return [path for path, entry in self._entries.items() if entry.mode not in (_SYMLINK, _SUBMODULE)]

    def refused(self) -> Mapping[str, str]:
        """Return symbolic links and submodules, by path."""
        words = {_SYMLINK: "symlink", _SUBMODULE: "submodule"}
        return {path: words[entry.mode] for path, entry in self._entries.items() if entry.mode in words}

    def read(self, path: str) -> bytes:
        """Return a file's bytes; KeyError where there is none."""
        blob = self._entries[path].blob
        if blob not in self._contents:
            self._contents[blob] = self._repository.blob(blob)
        return self._contents[blob]

    def load(self) -> None:
        """Read every file in one go."""
        self._contents |= self._repository.blobs(self._entries[path].blob for path in self.paths())

    def get(self, path: str) -> bytes | None:
        """Return a file's bytes, or None where there is none."""
        return self.read(path) if path in self._entries else None


class FolderSnapshot:
    """The files below `records/` in a folder, such as the working tree or a plain copy."""

    def __init__(self, root: Path) -> None:
        self.root = root

    @cached_property
    def _found(self) -> tuple[list[str], dict[str, str]]:
        files: list[str] = []
        refused: dict[str, str] = {}
        if (self.root / "records").is_dir():
            self._look("records", files, refused)
        return files, refused

    def _look(self, folder: str, files: list[str], refused: dict[str, str]) -> None:
        for entry in sorted(os.scandir(f"{self.root}/{folder}"), key=lambda entry: entry.name):
            path = f"{folder}/{entry.name}"
            if entry.is_symlink():
                refused[path] = "symlink"
            elif not entry.is_dir():
                files.append(path)
            elif os.path.lexists(f"{self.root}/{path}/.git"):
                refused[path] = "submodule"
            else:
                self._look(path, files, refused)

    def paths(self) -> Iterable[str]:
        """Return the paths of all regular files."""
        return self._found[0]

    def refused(self) -> Mapping[str, str]:
        """Return symbolic links and submodules, by path."""
        return self._found[1]

    def read(self, path: str) -> bytes:
        """Return a file's bytes."""
        with open(f"{self.root}/{path}", "rb") as file:  # noqa: PTH123 (a Path each costs as much as reading)
            return file.read()
