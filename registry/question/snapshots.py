"""The registry's files at one moment: at a commit, or as they lie in a folder."""

import os
from collections.abc import Callable, Iterable, Iterator, Mapping
from functools import cached_property
from pathlib import Path
from typing import NamedTuple

from registry.errors import RegistryError
from registry.store.bounded import LARGEST_FILE, kind_of, read_file
from registry.store.repository import Repository
from registry.store.walk import RECORDS, Entry

__all__ = [
    "ATTRIBUTES",
    "REFUSED",
    "Checkout",
    "CommitSnapshot",
    "FolderSnapshot",
    "Left",
    "barred",
    "is_judged",
    "tops",
    "unreadable",
]

ATTRIBUTES = ".gitattributes"
REFUSED = {"120000": "symlink", "160000": "submodule"}


class Left(NamedTuple):
    """A commit that is held, but not as what another goes on from by first parents."""

    base: str
    head: str


class Checkout(NamedTuple):
    """What bears on how the files are checked out, and what that has made of them."""

    top: Mapping[str, str] = {}
    """What lies at the top of the repository, by name: a file (""), or what it is instead."""
    attributes: bytes = b""
    """The `.gitattributes` there."""
    altered: Callable[[str], bytes | None] = lambda _: None
    """Return what lies at a path in place of a file that git calls unchanged; None where it is the file."""
    left: Left | None = None
    """The base that was left, where one was asked about."""


_TOO_LARGE = f"file larger than {LARGEST_FILE // 2**20} MiB"


class CommitSnapshot:
    """The files below `records/` at a commit ("" for before the first)."""

    def __init__(self, repository: Repository, commit: str, held: Mapping[str, bytes] | None = None) -> None:
        self._repository, self.commit = repository, commit
        self._contents: dict[str, bytes] = dict(held or {})

    @cached_property
    def _all(self) -> dict[str, Entry]:
        return self._repository.tree(self.commit, "")

    @cached_property
    def _entries(self) -> dict[str, Entry]:
        return {path: entry for path, entry in self._all.items() if is_judged(path) and path != ATTRIBUTES}

    def paths(self) -> Iterable[str]:
        """Return the paths of all regular files."""
        return [path for path, entry in self._entries.items() if entry.mode not in REFUSED]

    def refused(self) -> Mapping[str, str]:
        """Return symbolic links and submodules, by path."""
        return {path: REFUSED[entry.mode] for path, entry in self._entries.items() if entry.mode in REFUSED}

    def checkout(self) -> Checkout:
        """Return what bears on how these files are checked out."""
        return self._checkout

    @cached_property
    def _checkout(self) -> Checkout:
        top = tops(self._all, self._all)
        found = self._all[ATTRIBUTES].blob if top.get(ATTRIBUTES) == "" else ""
        return Checkout(top, self._repository.blob(found) if found else b"")

    def read(self, path: str) -> bytes:
        """Return a file's bytes; KeyError where there is no file."""
        entry = self._entries[path]
        if entry.mode in REFUSED:
            raise KeyError(path)
        if entry.blob not in self._contents:
            self._contents[entry.blob] = self._repository.blob(entry.blob)
        return self._contents[entry.blob]

    @property
    def held(self) -> Mapping[str, bytes]:
        """The contents of blobs that need not be read again, by name."""
        return self._contents

    def load(self) -> None:
        """Read every file in one go."""
        wanted = dict.fromkeys(self._entries[path].blob for path in self.paths())
        self._contents |= self._repository.blobs(blob for blob in wanted if blob not in self._contents)

    def get(self, path: str) -> bytes | None:
        """Return a file's bytes, or None where there is none."""
        entry = self._entries.get(path)
        return self.read(path) if entry and entry.mode not in REFUSED else None


class FolderSnapshot:
    """The files below `records/` in a folder, just as they lie there: a plain copy, or drafts."""

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
            raise unreadable(error) from error

    def checkout(self) -> Checkout:
        """Return nothing: no git checks these files out."""
        return Checkout()


def _walked(folder: str, path: str) -> Iterator[tuple[str, str]]:
    try:
        with os.scandir(folder) as found:
            entries = sorted(found, key=lambda entry: entry.name)
    except OSError as error:
        raise unreadable(error) from error
    for entry in entries:
        below = f"{path}/{entry.name}"
        if entry.is_symlink():
            yield below, "symlink"
        elif not entry.is_dir():
            yield below, barred(entry.stat())
        elif os.path.lexists(f"{entry.path}/.git"):
            yield below, "submodule"
        else:
            yield from _walked(entry.path, below)


def is_judged(path: str) -> bool:
    """Tell whether a path is of the records, or says how git treats them.

    A link may stand in the place of the folder itself.
    """
    return path.startswith(RECORDS) or path in {"records", ATTRIBUTES}


def tops(entries: Mapping[str, Entry], paths: Iterable[str]) -> dict[str, str]:
    """Tell what lies at the top, by name; a path without an entry is a file."""
    found = {}
    for path in paths:
        name, below, _ = path.partition("/")
        found[name] = "folder" if below else REFUSED.get(entries[path].mode, "") if path in entries else ""
    return found


def barred(state: os.stat_result) -> str:
    """Tell what keeps something that is no folder from being read; empty where nothing does."""
    return kind_of(state) or (_TOO_LARGE if state.st_size > LARGEST_FILE else "")


def unreadable(error: OSError) -> RegistryError:
    """Say that something that lies there cannot be read."""
    return RegistryError(
        f"{error.filename!r} cannot be read ({error.strerror}): make it readable, or take it out of records/"
    )
