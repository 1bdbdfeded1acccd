"""A working tree as git would keep it, were everything in it committed now."""

from collections.abc import Iterable, Mapping
from functools import cached_property
from stat import S_ISDIR, S_ISLNK, S_ISREG
from typing import NamedTuple

from registry.question.snapshots import ATTRIBUTES, REFUSED, Checkout, is_judged, tops, unreadable
from registry.store.kept import changed, indexed, kept
from registry.store.repository import Repository, is_blob
from registry.store.walk import Entry

__all__ = ["WorkingSnapshot"]


class _Found(NamedTuple):
    files: dict[str, bytes]
    refused: dict[str, str]
    altered: dict[str, bytes]
    top: dict[str, str]
    held: dict[str, bytes]


class WorkingSnapshot:
    """The files below `records/` of a working tree, as git holds them or would hold them.

    A file that git calls unchanged is its blob, whatever the checkout has made of it; one that is changed or
    new is what a commit would make of it. What git ignores is not there.
    """

    def __init__(self, repository: Repository) -> None:
        self._repository = repository

    def paths(self) -> Iterable[str]:
        """Return the paths of all regular files."""
        return [path for path in self._found.files if path != ATTRIBUTES]

    def refused(self) -> Mapping[str, str]:
        """Return what is neither file nor folder, by path: symlink, submodule, device or pipe."""
        return self._found.refused

    def read(self, path: str) -> bytes:
        """Return a file's bytes; KeyError where there is no file."""
        return self._found.files[path]

    def checkout(self) -> Checkout:
        """Return what bears on how these files are checked out, and what that made of them here."""
        found = self._found
        return Checkout(found.top, found.files.get(ATTRIBUTES, b""), found.altered)

    def differs_from(self, commit: str) -> bool:
        """Tell whether anything differs from the last commit."""
        return bool(self._states) or self._index != self._repository.tree(commit, "")

    @property
    def held(self) -> Mapping[str, bytes]:
        """The contents of blobs that need not be read again, by name."""
        return self._found.held

    @cached_property
    def _index(self) -> dict[str, Entry]:
        return indexed(self._repository)

    @cached_property
    def _states(self) -> dict[str, str]:
        return changed(self._repository)

    @cached_property
    def _found(self) -> _Found:
        index, states = self._index, self._states
        files: dict[str, bytes] = {}
        refused: dict[str, str] = {}
        altered: dict[str, bytes] = {}
        loose: dict[str, bytes] = {}
        lacking: dict[str, str] = {}
        present = [path for path in {**index, **states} if states.get(path) != "missing"]
        for path in filter(is_judged, present):
            mode, blob = index.get(path, ("", ""))
            is_as_it_was = path not in states
            if is_as_it_was and mode in REFUSED:  # its folder may be empty here, or the link a file
                refused[path] = REFUSED[mode]
                continue
            what, data = self._lying(path)
            if what and not is_as_it_was:
                refused[path] = what
            elif data is not None and mode and is_blob(data, blob):  # then nothing has altered it
                files[path] = data
            elif not is_as_it_was:
                loose |= {} if data is None else {path: data}
            else:
                lacking[path] = blob
                altered |= {} if data is None else {path: data}
        held = {index[path].blob: data for path, data in files.items()}
        held |= self._repository.blobs(set(lacking.values()))
        files |= {path: held[blob] for path, blob in lacking.items()} | kept(self._repository, loose)
        top = tops(index, present)
        top |= {path: refused.pop(path) for path in (ATTRIBUTES,) if path in refused}
        altered.pop(ATTRIBUTES, None)  # git reads it with any line ends
        return _Found(files, refused, altered, top, held)

    def _lying(self, path: str) -> tuple[str, bytes | None]:
        """Tell what is at a path instead of a file, or what is in the file; None where there is neither."""
        place = self._repository.root / path
        try:
            mode = place.lstat().st_mode
            if S_ISREG(mode):
                return "", place.read_bytes()
        except (FileNotFoundError, NotADirectoryError):  # not part of this checkout
            return "", None
        except OSError as error:
            raise unreadable(error) from error
        if S_ISDIR(mode):
            return "submodule", None
        return "symlink" if S_ISLNK(mode) else "device or pipe", None
