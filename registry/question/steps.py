"""The steps from a base to what is checked: the landings between, and last what has not landed."""

from collections.abc import Iterable, Iterator, Mapping
from itertools import takewhile
from typing import NamedTuple, Protocol

from registry.question.snapshots import REFUSED, Checkout, CommitSnapshot, Left
from registry.store.repository import NotOnChain, Repository
from registry.store.shared import NoSharedBranch
from registry.store.walk import Change, Landing

__all__ = ["Passing", "Since", "Step", "since"]


class Step(NamedTuple):
    """Files that changed together."""

    files: Mapping[str, bytes | None]
    """Their new contents by path; None where a file is gone."""
    landing: str = ""
    """The commit that brought them; empty for what has not landed."""


class Passing(NamedTuple):
    """Something other than a file that a commit brought and a later one took away again."""

    commit: str
    path: str
    what: str
    """symlink or submodule."""


class Since(NamedTuple):
    """A base, and what has changed since."""

    commit: str
    """The base: the commit that was named or, where it has gone on alone, the one at which the two parted."""
    parted: bool
    behind: bool
    """What is checked lies before the commit that was named: there is nothing new in it."""
    files: dict[str, bytes]
    """What was there then, by path."""
    steps: list[Step]
    before: Checkout
    after: Checkout
    """What bore on how git checks the files out, then and at the end."""
    passing: list[Passing]
    """In any commit since, landed or not: whoever takes the commits over one by one has it for a while."""

    @property
    def landings(self) -> int:
        """How many landings lie between."""
        return sum(bool(step.landing) for step in self.steps)


class _Files(Protocol):
    def paths(self) -> Iterable[str]: ...
    def checkout(self) -> Checkout: ...
    def refused(self) -> Mapping[str, str]: ...
    def read(self, path: str) -> bytes: ...
    @property
    def held(self) -> Mapping[str, bytes]: ...


def since(repository: Repository, named: str, head: str, now: _Files) -> Since:
    """Return what has changed between a commit that was named and the files `now`, which lie upon `head`."""
    base = repository.common(named, head) or named
    before = CommitSnapshot(repository, base, now.held)
    before.load()
    contents = {path: before.read(path) for path in before.paths()}
    steps = list(_landed(repository, base, head))
    files = contents
    for step in steps:
        files = {path: data for path, data in {**files, **step.files}.items() if data is not None}
    rest = dict(_changed(files, now))
    steps += [Step(rest)] if rest else []
    passing = list(_passing(repository, base, head, now.refused()))
    behind = base != named and not steps
    after = now.checkout()
    held = base == named != head and repository.is_on_shared_branch()
    if held and not repository.is_on_first_parent_chain(named, head):
        after = after._replace(left=Left(named, head))
    return Since(base, base != named, behind, contents, steps, before.checkout(), after, passing)


def _landed(repository: Repository, base: str, head: str) -> Iterator[Step]:
    """Yield what landed after the base, as far as `head` holds it.

    Commits that have not landed are no steps: together they are one contribution.
    """
    try:
        shared = repository.shared()
        landings = [] if shared.how == "detached" else list(repository.landings(shared.commit, base))
    except (NoSharedBranch, NotOnChain):
        return
    reached = repository.commits(head, base)
    landings = list(takewhile(lambda landing: landing.commit in reached, landings))
    blobs = dict(
        repository.blobs({change.blob for each in landings for change in each.changes if _is_file(change)})
    )
    for landing in landings:
        yield Step(_files(landing, blobs), landing.commit)


def _files(landing: Landing, blobs: Mapping[str, bytes]) -> dict[str, bytes | None]:
    return {change.path: blobs[change.blob] if _is_file(change) else None for change in landing.changes}


def _is_file(change: Change) -> bool:
    """Whether a regular file is there after the change, neither nothing nor a link or a submodule."""
    return change.mode.startswith("100")


def _passing(repository: Repository, base: str, head: str, kept: Mapping[str, str]) -> Iterator[Passing]:
    """Yield what is no file, once for each path at which it is not any more."""
    told = set(kept)
    for commit, change in repository.changes(head, base):
        if change.mode in REFUSED and change.path not in told:
            told.add(change.path)
            yield Passing(commit, change.path, REFUSED[change.mode])


def _changed(before: Mapping[str, bytes], now: _Files) -> Iterator[tuple[str, bytes | None]]:
    paths = set(now.paths())
    yield from ((path, None) for path in before if path not in paths)
    for path in sorted(paths):
        if (data := now.read(path)) != before.get(path):
            yield path, data
