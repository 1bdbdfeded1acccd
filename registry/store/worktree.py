"""A checkout brought in step with a commit: prepared beforehand, put in place once the branch has moved."""

import os
import shlex
import time
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager, suppress
from pathlib import Path
from shutil import copyfile

from registry.errors import RegistryError
from registry.store.drafts import DIFF, STATUS, read_status
from registry.store.git import GitFailed
from registry.store.plumbing import Plumbing
from registry.store.repository import Repository
from registry.store.turn import MARK, Turn, Under
from registry.store.walk import Change, raw_changes

__all__ = ["IndexBusy", "OutOfStep", "Step", "WouldOverwrite", "changes_of", "held", "in_step", "swept"]

PATIENCE_S = 5.0
NAMED_PATHS = 500  # more are not named on a command line
FILES = {"100644": 0o666, "100755": 0o777}


class WouldOverwrite(RegistryError):
    """The commit would overwrite what has not been committed."""

    def __init__(self, paths: Sequence[str]) -> None:
        super().__init__(paths)
        self.paths = tuple(paths)

    def __str__(self) -> str:
        named = ", ".join(repr(path) for path in self.paths)
        return f"{named}: changed here and not committed, so not overwritten; commit it or move it away first"


class IndexBusy(RegistryError):
    """Another git holds the index."""

    def __init__(self, lock: Path) -> None:
        super().__init__(lock)
        self.lock = lock

    def __str__(self) -> str:
        return (
            f"another git is at work ({str(self.lock)!r} exists): try again; if none runs, remove that file"
        )


class OutOfStep(RegistryError):
    """The commit was made, but the checkout could not follow."""

    def __init__(self, commit: str, why: str, paths: Sequence[str]) -> None:
        super().__init__(commit, why, paths)
        self.commit = commit
        self.why = why
        self.paths = tuple(paths)

    def __str__(self) -> str:
        named = " ".join(map(shlex.quote, self.paths))
        return (
            f"commit {self.commit} stands, but the working tree could not follow ({self.why}); "
            f"to bring it in step: git restore --source=HEAD --staged --worktree -- {named}"
        )


class Step:
    """The way of a checkout to a commit: what the index has to follow, and what the disk."""

    def __init__(
        self, repository: Repository, plumbing: Plumbing, changes: Sequence[Change], new: str
    ) -> None:
        self.root = repository.root
        self.new = new
        self.changes = changes
        self._repository = repository
        self._plumbing = plumbing
        self._gone: list[Path] = []
        self._index = repository.git_dir / "index"
        self._next = repository.git_dir / "litstock-index"
        self._made: list[Path] = []
        self._ready: list[tuple[Path, Path]] = []

    def prepare(self, files: Sequence[Change], contents: Mapping[str, bytes | None] | None = None) -> None:
        """Write these files beside their places, and an index that knows every change."""
        contents = _contents(self._repository, files) if contents is None else contents
        for change in files:
            data = contents[change.path]
            if data is not None:
                self._stage(self.root / change.path, data, FILES[change.mode])
            else:
                self._gone.append(self.root / change.path)
        self._next.unlink(missing_ok=True)  # of a commit that was killed
        if self._index.exists():
            copyfile(self._index, self._next)
        entries = [
            f"{change.mode or '0'} {change.blob or self.new}\t{change.path}\0" for change in self.changes
        ]
        info = "".join(entries).encode("utf-8", "surrogateescape")
        self._plumbing.run("update-index", "-z", "--index-info", input=info, index=self._next)

    def apply(self) -> None:
        """Put everything in its place."""
        try:
            while self._ready:
                temporary, target = self._ready[-1]
                temporary.replace(target)
                self._ready.pop()
            for target in self._gone:
                self._remove(target)
            self._plumbing.run("update-index", "-q", "--refresh", index=self._next)
            self._next.replace(self._index)
        except (OSError, GitFailed) as error:
            raise OutOfStep(self.new, str(error), [change.path for change in self.changes]) from error

    def clear(self) -> None:
        """Take away what was written beside its place and has found no use."""
        for temporary, _ in self._ready:
            temporary.unlink(missing_ok=True)
        for folder in reversed(self._made):
            with suppress(OSError):  # no longer empty: then it is in use
                folder.rmdir()
        self._next.unlink(missing_ok=True)

    def _stage(self, target: Path, data: bytes, mode: int) -> None:
        missing = [folder for folder in target.parents if not folder.exists()]
        for folder in reversed(missing):
            folder.mkdir()
            self._made.append(folder)
        temporary = target.with_name(f".litstock-{len(self._ready)}")
        self._ready.append((temporary, target))
        with open(os.open(temporary, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, mode), "wb") as out:  # noqa: PTH123
            out.write(data)

    def _remove(self, target: Path) -> None:
        target.unlink(missing_ok=True)
        with suppress(OSError):  # up to the first folder that still holds something
            for folder in target.parents:
                if folder == self.root:
                    break
                folder.rmdir()


@contextmanager
def in_step(repository: Repository, plumbing: Plumbing, turn: Turn, step: Under) -> Iterator[None]:
    """Hold the checkout, let the caller move the branch, and bring the checkout with it.

    What could fail is done before the branch moves; whoever else writes here waits, or finds it moved. What
    is about to be done is noted first, and the note stays until the checkout has followed.
    """
    turn.tell(step)
    try:
        with held(repository.git_dir / "index.lock", alone=turn.alone):
            way = Step(repository, plumbing, changes_of(repository, step.old, step.new), step.new)
            try:
                contents = _contents(repository, way.changes)
                _refuse_overwriting(repository, contents)
                way.prepare(way.changes, contents)
                yield
                way.apply()
            finally:
                way.clear()
    except BaseException:
        if repository.head() != step.new:
            turn.done()
        raise
    turn.done()


@contextmanager
def held(lock: Path, *, alone: bool) -> Iterator[None]:
    """Hold git's own lock on the index, so that no git command changes the checkout meanwhile.

    Where no other litstock can be at work, a lock that a litstock took is that of one that has been killed.
    """
    until = time.monotonic() + PATIENCE_S
    while not _taken(lock):
        if alone and _is_of_a_litstock(lock):
            break
        if time.monotonic() > until:
            raise IndexBusy(lock)
        time.sleep(0.02)
    try:
        yield
    finally:
        lock.unlink(missing_ok=True)


def _taken(lock: Path) -> bool:
    """Make the lock with our mark in it, in one go: one that is killed leaves no lock that could be git's."""
    marked = lock.with_name("litstock-lock")
    marked.write_bytes(MARK)
    try:
        os.link(marked, lock)
    except FileExistsError:
        return False
    except OSError:  # a file system without links
        with suppress(FileExistsError), lock.open("xb") as file:
            file.write(MARK)
            return True
        return False
    finally:
        marked.unlink(missing_ok=True)
    return True


def _is_of_a_litstock(lock: Path) -> bool:
    with suppress(OSError):
        return lock.read_bytes() == MARK
    return False


def swept(repository: Repository, changes: Sequence[Change]) -> None:
    """Take away what a step that was broken off has written beside its places."""
    for name in ("litstock-index", "litstock-index.lock", "litstock-lock"):
        (repository.git_dir / name).unlink(missing_ok=True)
    folders = {target for change in changes for target in (repository.root / change.path).parents}
    inside = [folder for folder in folders if repository.root in folder.parents]
    for folder in sorted(inside, key=lambda each: len(each.parts), reverse=True):
        for file in folder.glob(".litstock-*"):
            file.unlink(missing_ok=True)
        with suppress(OSError):  # it holds something
            folder.rmdir()
    for file in repository.root.glob(".litstock-*"):
        file.unlink(missing_ok=True)


def changes_of(repository: Repository, old: str, new: str) -> list[Change]:
    """Return what a checkout has to follow from one commit to another."""
    if old:
        changes = list(raw_changes(repository.git.run(*DIFF, old, new).split(b"\0")[:-1]))
    else:
        changes = [Change("A", path, *entry) for path, entry in repository.tree(new, "").items()]
    other = [change.path for change in changes if change.blob and change.mode not in FILES]
    if other:
        raise RegistryError(
            f"{', '.join(map(repr, other))}: a symbolic link or a submodule, and only files are taken over; "
            "take it out of the commit that brings it"
        )
    return changes


def _contents(repository: Repository, changes: Sequence[Change]) -> dict[str, bytes | None]:
    written = [change for change in changes if change.blob]
    data = (data for _, data in repository.blobs(change.blob for change in written))
    new = dict(zip((change.path for change in written), data, strict=True))
    return {change.path: new.get(change.path) for change in changes}


def _refuse_overwriting(repository: Repository, contents: Mapping[str, bytes | None]) -> None:
    named = list(contents) if len(contents) <= NAMED_PATHS else []
    command = ("--literal-pathspecs", *STATUS, "--ignored=matching", "--", *named)
    status = dict(read_status(repository.git.run(*command)))
    ignored = tuple(path for path in status if path.endswith("/"))
    in_the_way = []
    for path, data in contents.items():
        target = repository.root / path
        loose = path in status or (path.startswith(ignored) and _exists(target))
        if _is_blocked(repository.root, target, data) or (loose and _differs(target, data)):
            in_the_way.append(path)
    if in_the_way:
        raise WouldOverwrite(sorted(in_the_way))


def _exists(target: Path) -> bool:
    return target.is_symlink() or target.exists()


def _differs(target: Path, data: bytes | None) -> bool:
    """Tell whether what is on disk is something else than what the commit would put there."""
    if data is None:
        return _exists(target)
    return target.is_symlink() or not target.is_file() or not _holds(target, data)


def _holds(target: Path, data: bytes) -> bool:
    # The size comes first: what lies there may be of any.
    return target.stat().st_size == len(data) and target.read_bytes() == data


def _is_blocked(root: Path, target: Path, data: bytes | None) -> bool:
    """Tell whether a folder stands where the file should, or anything but a folder above it."""
    above = target.relative_to(root).parents
    for folder in (root / part for part in above if part.name):
        if folder.is_symlink() or (folder.exists() and not folder.is_dir()):
            return True
    return data is not None and target.is_dir() and not target.is_symlink()
