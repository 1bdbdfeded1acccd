"""A step that was broken off, as by a kill or a power cut, is finished by the next litstock that comes.

What it had not reached yet is brought to where it was to go; what a person has changed since is left alone.
"""

import shlex
from collections.abc import Sequence
from pathlib import Path

from registry.errors import RegistryError
from registry.store.plumbing import Plumbing
from registry.store.repository import Repository, is_blob
from registry.store.turn import Busy, Under, turn, under_way
from registry.store.walk import Change, Entry, path_text
from registry.store.worktree import Step, changes_of, held, swept

__all__ = ["PutBack", "mend", "mended"]


class PutBack(RegistryError):
    """A later commit has put back what a commit brought whose checkout was never brought in step."""

    def __init__(self, commit: str, paths: Sequence[str]) -> None:
        super().__init__(commit, paths)
        self.commit = commit
        self.paths = tuple(paths)

    def __str__(self) -> str:
        named = " ".join(map(shlex.quote, self.paths))
        return (
            f"the litstock that made commit {self.commit[:12]} was killed before the files here "
            f"followed, and a later commit has put the older state back: {', '.join(map(repr, self.paths))}; "
            f"type: git restore --source={self.commit} --staged --worktree -- {named} "
            "&& git commit -m 'Restore'"
        )


def mended(repository: Repository) -> list[str]:
    """Finish what a litstock has left half done here, and tell in words what came of it.

    Raises
    ------
    PutBack
        It is too late for that.
    """
    if repository.bare or under_way(repository.git_dir) is None:
        return []
    try:
        with turn(repository.git_dir, wait=False) as taken:
            left = taken.left()
            told = mend(repository, left) if left else []
            taken.done()
            return told
    except (Busy, PermissionError):  # it lives and is at work; or it is for others to mend
        return []


def mend(repository: Repository, left: Under) -> list[str]:
    """Finish a step that was broken off; whoever calls holds the turn."""
    plumbing = Plumbing(repository.root, repository.git_dir, repository.common_dir)
    with held(repository.git_dir / "index.lock", alone=True):
        changes = changes_of(repository, left.old, left.new)
        swept(repository, changes)
        head = repository.head()
        if not _holds(repository, head, left.new):
            return []  # the branch was never moved: nothing has happened
        before, now = repository.tree(left.old, ""), repository.tree(head, "")
        back = [
            change.path
            for change in changes
            if _entry(change) != now.get(change.path) == before.get(change.path)
        ]
        if back:
            raise PutBack(left.new, back)
        open_ = [change for change in changes if _entry(change) == now.get(change.path)]
        return _finished(repository, plumbing, left, open_, before)


def _finished(
    repository: Repository,
    plumbing: Plumbing,
    left: Under,
    changes: Sequence[Change],
    before: dict[str, Entry],
) -> list[str]:
    indexed = _index(repository)
    staged = [change for change in changes if indexed.get(change.path) == before.get(change.path)]
    behind: list[Change] = []
    other: list[str] = []
    for change in changes:
        old, new = before.get(change.path), _entry(change)
        if indexed.get(change.path) not in (old, new):
            other.append(change.path)
        elif not _is(repository.root / change.path, new):
            if _is(repository.root / change.path, old):
                behind.append(change)
            else:
                other.append(change.path)
    if not (staged or behind or other):
        return []
    step = Step(repository, plumbing, staged, left.new)
    try:
        step.prepare(behind)
        step.apply()
    finally:
        step.clear()
    told = [f"commit {left.new[:12]} was made by a litstock that was killed; the files here follow it now"]
    if other:
        named = " ".join(map(shlex.quote, other))
        told.append(
            f"changed here since, so left as it is: {', '.join(map(repr, other))}; what you commit there "
            f"replaces what commit {left.new[:12]} brought: look at git diff HEAD -- {named}"
        )
    return told


def _holds(repository: Repository, head: str, commit: str) -> bool:
    return bool(head) and repository.git.ask("merge-base", "--is-ancestor", commit, head) is not None


def _entry(change: Change) -> Entry | None:
    return Entry(change.mode, change.blob) if change.blob else None


def _index(repository: Repository) -> dict[str, Entry]:
    """Return what the index holds, by path; of a path in conflict nothing that equals any other."""
    entries = {}
    for line in repository.git.run("ls-files", "--stage", "-z").split(b"\0")[:-1]:
        what, _, path = line.partition(b"\t")
        mode, blob, stage = what.decode("ascii").split(" ")
        entries[path_text(path)] = Entry(mode, blob) if stage == "0" else Entry(stage, "")
    return entries


def _is(target: Path, entry: Entry | None) -> bool:
    """Tell whether what is on disk is just this."""
    if entry is None:
        return not target.is_symlink() and not target.exists()
    return not target.is_symlink() and target.is_file() and is_blob(target.read_bytes(), entry.blob)
