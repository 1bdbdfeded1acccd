"""A working tree as git would keep it, were everything in it committed now."""

from collections.abc import Iterable, Mapping
from functools import cached_property
from stat import S_ISDIR, S_ISLNK

from registry.question.snapshots import (
    ATTRIBUTES,
    REFUSED,
    Checkout,
    FolderSnapshot,
    barred,
    is_judged,
    tops,
    unreadable,
)
from registry.store.bounded import DEVICE, LARGEST_FILE, read_file
from registry.store.kept import changed, indexed, kept
from registry.store.repository import Repository, is_blob
from registry.store.walk import Entry

__all__ = ["WorkingSnapshot"]


class WorkingSnapshot:
    """The files below `records/` of a working tree, as git holds them or would hold them.

    A file that git calls unchanged is its blob, whatever the checkout has made of it; one that is changed or
    new is what a commit would make of it. What git ignores is not there. A file is read when it is asked for,
    and its blob only where that says something else.
    """

    def __init__(self, repository: Repository) -> None:
        self._repository = repository
        self._index: dict[str, Entry] = indexed(repository)
        self._states = changed(repository)
        self._unchanged: dict[str, str] = {}
        """Blobs by path."""
        self._refused: dict[str, str] = {}
        self._contents: dict[str, bytes] = {}
        """What has been read: of what is changed, all."""
        self._altered: dict[str, bytes] = {}
        """What lies in the place of unchanged files, as far as has been looked."""
        self._present = [path for path in self._index | self._states if self._states.get(path) != "missing"]
        # git never speaks of what is neither file, link nor folder
        odd = FolderSnapshot(repository.root).refused()
        self._refused |= {path: what for path, what in odd.items() if what == DEVICE}
        loose: dict[str, bytes] = {}
        for path in filter(is_judged, self._present):
            if path in self._states:
                self._look_at(path, loose)
                continue
            mode, blob = self._index[path]
            if mode in REFUSED:  # though its folder may be empty here, or the link a file
                self._refused[path] = REFUSED[mode]
            else:
                self._unchanged[path] = blob
        self._contents |= kept(repository, loose)

    def paths(self) -> Iterable[str]:
        """Return the paths of all regular files."""
        return [path for path in self._unchanged | self._contents if path != ATTRIBUTES]

    def refused(self) -> Mapping[str, str]:
        """Return what is neither file nor folder, by path: symlink, submodule, device or pipe."""
        return {path: what for path, what in self._refused.items() if path != ATTRIBUTES}

    def read(self, path: str) -> bytes:
        """Return a file's bytes; KeyError where there is no file."""
        if path not in self._contents and not self._is_held(path, self._unchanged[path]):
            self._read_blobs()
        return self._contents[path]

    def checkout(self) -> Checkout:
        """Return what bears on how these files are checked out, and what that made of them here."""
        return self._checkout

    def differs_from(self, commit: str) -> bool:
        """Tell whether anything here differs from a commit."""
        return bool(self._states) or self._index != self._repository.tree(commit, "")

    @property
    def held(self) -> Mapping[str, bytes]:
        """The contents of blobs that need not be read again, by name."""
        return {
            self._unchanged[path]: data for path, data in self._contents.items() if path in self._unchanged
        }

    @cached_property
    def _checkout(self) -> Checkout:
        top = tops(self._index, self._present)
        top |= {path: what for path, what in self._refused.items() if path == ATTRIBUTES}
        is_there = ATTRIBUTES in self._unchanged or ATTRIBUTES in self._contents
        return Checkout(top, self.read(ATTRIBUTES) if is_there else b"", self._alteration)

    def _alteration(self, path: str) -> bytes | None:
        if path in self._unchanged:
            self.read(path)
        return self._altered.get(path)

    def _look_at(self, path: str, loose: dict[str, bytes]) -> None:
        """Take in what is changed or new; what git may make something else of goes to what is loose."""
        what, data = self._lying(path)
        mode, blob = self._index.get(path, ("", ""))
        if what:
            self._refused[path] = what
        elif data is not None and mode and mode not in REFUSED and is_blob(data, blob):
            self._unchanged[path] = blob  # git would change it, but nobody here has
            self._contents[path] = data
        elif data is not None:
            loose[path] = data

    def _is_held(self, path: str, blob: str) -> bool:
        """Read what lies at a path, and tell whether it is just this blob."""
        _, data = self._lying(path)
        if data is None:  # not part of this checkout
            return False
        if is_blob(data, blob):
            self._contents[path] = data
            return True
        self._altered[path] = data
        return False

    def _read_blobs(self) -> None:
        """Read all that is left in one go: where one file is altered, others are."""
        left = {path: blob for path, blob in self._unchanged.items() if path not in self._contents}
        lacking = {path: blob for path, blob in left.items() if not self._is_held(path, blob)}
        found = dict(self._repository.blobs(set(lacking.values())))
        self._contents |= {path: found[blob] for path, blob in lacking.items()}

    def _lying(self, path: str) -> tuple[str, bytes | None]:
        """Tell what is at a path instead of a file, or what is in the file; None where there is neither."""
        place = self._repository.root / path
        try:
            state = place.lstat()
            if S_ISLNK(state.st_mode) or S_ISDIR(state.st_mode):
                return "symlink" if S_ISLNK(state.st_mode) else "submodule", None
            if what := barred(state):
                return what, None
            return "", read_file(place, LARGEST_FILE)
        except (FileNotFoundError, NotADirectoryError):
            return "", None
        except OSError as error:
            raise unreadable(error) from error
