"""Commits: exactly the files asked for, on top of the checked-out branch, whoever else is at work there."""

from collections.abc import Mapping, Sequence
from datetime import datetime, timedelta, timezone
from pathlib import Path
from tempfile import TemporaryDirectory
from types import TracebackType
from typing import NamedTuple, Self

from registry.errors import RegistryError
from registry.store.git import GitFailed
from registry.store.mending import mend
from registry.store.plumbing import Plumbing
from registry.store.repository import NotOnChain, Repository
from registry.store.turn import Under, turn
from registry.store.walk import moment
from registry.store.worktree import in_step

__all__ = [
    "DetachedHead",
    "NoIdentity",
    "Overtaken",
    "Series",
    "Signature",
    "UnreadableIdentity",
    "commit",
    "identity",
]


class NoIdentity(RegistryError):
    """Git does not know who commits."""

    def __str__(self) -> str:
        return (
            "git does not know who you are: run git config --global user.name 'YOUR NAME' "
            "and git config --global user.email YOU@EXAMPLE.ORG"
        )


class UnreadableIdentity(RegistryError):
    """Git's settings name someone in another encoding than UTF-8."""

    def __init__(self, said: bytes) -> None:
        super().__init__(said)
        self.said = said

    def __str__(self) -> str:
        name = self.said.partition(b" <")[0].decode("utf-8", "backslashreplace")
        return (
            f"your name in git's settings is not UTF-8 ({name}): run git config --global user.name "
            "'YOUR NAME' on a terminal that writes UTF-8"
        )


class DetachedHead(RegistryError):
    """No branch is checked out."""

    def __init__(self, root: Path) -> None:
        super().__init__(root)
        self.root = root

    def __str__(self) -> str:
        return (
            f"no branch is checked out in {str(self.root)!r}, so a commit would belong to none: "
            "run git switch BRANCH first"
        )


class Overtaken(RegistryError):
    """Someone else committed in between."""

    def __init__(self, ref: str, expected: str, why: str) -> None:
        super().__init__(ref, expected, why)
        self.ref = ref
        self.expected = expected
        self.why = why

    def __str__(self) -> str:
        expected = self.expected or "the state without commits"
        return f"{self.ref} is no longer at {expected} ({self.why}): nothing was changed, try again"


class Signature(NamedTuple):
    """Who made a commit, and when."""

    name: str
    email: str
    when: datetime
    """With its time zone; whole seconds count."""

    def env(self, role: str) -> dict[str, str]:
        """Give it to git as the AUTHOR or the COMMITTER."""
        return {
            f"GIT_{role}_NAME": self.name,
            f"GIT_{role}_EMAIL": self.email,
            f"GIT_{role}_DATE": _stamp(self.when),
        }


def identity(repository: Repository) -> Signature:
    """Return who the user is by git's own settings, and now."""
    try:
        said = repository.git.run("-c", "user.useConfigOnly=true", "var", "GIT_AUTHOR_IDENT")
    except GitFailed as failed:
        if "tell me who you are" in failed.said or "ident" in failed.said:
            raise NoIdentity from failed
        raise
    try:
        signed = said.decode()
    except UnicodeDecodeError as error:
        raise UnreadableIdentity(said) from error
    name, _, rest = signed.strip().partition(" <")
    email, _, date = rest.partition("> ")
    epoch, offset = moment(date)
    return Signature(name, email, datetime.fromtimestamp(epoch, timezone(timedelta(minutes=offset))))


def commit(
    repository: Repository,
    files: Mapping[str, bytes | None],
    message: str,
    *,
    author: Signature,
    committer: Signature | None = None,
    sign: bool | None = None,
    update_worktree: bool = True,
    onto: str | None = None,
) -> str:
    """Commit exactly these files (None removes one) on top of the checked-out branch.

    `onto` is the commit from which the files were worked out: if the branch has moved since, nothing is
    written. `sign` None does as the user's commit.gpgsign says.
    """
    with Series(repository, sign=sign) as series:
        if onto is not None and series.start != onto:
            raise Overtaken(series.ref, onto, f"it is at {series.start}")
        series.commit(files, message, author=author, committer=committer)
        return series.finish(update_worktree=update_worktree)


class Series:
    """Commits made one upon another; the branch and the checkout stay as they are until `finish`."""

    def __init__(self, repository: Repository, *, sign: bool | None = None) -> None:
        ref = repository.git.ask("symbolic-ref", "-q", "HEAD")
        if ref is None:
            raise DetachedHead(repository.root)
        self.repository = repository
        self.ref = ref.decode().strip()
        self.start = self.head = repository.head()
        """Where the branch stood, and the last commit made."""
        self._signing = ("--gpg-sign",) if (_signs(repository) if sign is None else sign) else ()
        self._plumbing = Plumbing(repository.root, repository.git_dir, repository.common_dir)
        self._scratch = TemporaryDirectory(prefix="litstock-")
        self._index = Path(self._scratch.name, "index")
        self._held = ""  # the tree that the scratch index holds
        self._trees: dict[str, str] = {}
        self._last: dict[str, str] = {}

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, raised: BaseException | None, trace: TracebackType | None
    ) -> None:
        self._scratch.cleanup()

    def commit(
        self,
        files: Mapping[str, bytes | None],
        message: str,
        *,
        author: Signature,
        committer: Signature | None = None,
        onto: str | None = None,
    ) -> str:
        """Make a commit upon the last one, or upon another that is named; None removes a file."""
        base = self.head if onto is None else onto
        parents = [base] if base else []
        return self.record(self.tree(base, files), parents, message, author=author, committer=committer)

    def tree(self, base: str, files: Mapping[str, bytes | None] | None = None) -> str:
        """Return the tree of a commit with these files put in or taken out."""
        if files is None and base in self._trees:
            return self._trees[base]
        if not self._held or self._trees.get(base) != self._held:
            self._plumbing.run("read-tree", base or "--empty", index=self._index)
        self._held = ""
        if files:
            info = self._entries(base, files)
            self._plumbing.run("update-index", "-z", "--index-info", input=info, index=self._index)
        self._held = self._plumbing.run("write-tree", index=self._index)
        return self._held

    def record(
        self,
        tree: str,
        parents: Sequence[str],
        message: str,
        *,
        author: Signature,
        committer: Signature | None = None,
    ) -> str:
        """Make a commit of a tree, with the parents named, and let it be the last one."""
        env = author.env("AUTHOR") | (committer or author).env("COMMITTER")
        given = (message.strip() + "\n").encode()
        upon = [part for parent in parents for part in ("-p", parent)]
        self.head = self._plumbing.run("commit-tree", *self._signing, *upon, tree, input=given, env=env)
        self._trees[self.head] = tree
        self._last = env
        return self.head

    def finish(self, *, update_worktree: bool = True) -> str:
        """Move the branch to the last commit made, and bring the checkout with it."""
        old, new = self.start, self.head
        if new == old:
            return new
        if old and not self.repository.is_on_first_parent_chain(old, new):
            raise NotOnChain(old, new)
        if update_worktree and not self.repository.bare:
            with turn(self.repository.git_dir) as taken:
                if left := taken.left():
                    mend(self.repository, left)
                with in_step(self.repository, self._plumbing, taken, Under(self.ref, old, new)):
                    self._advance(old, new)
        else:
            self._advance(old, new)
        self.start = new
        return new

    def _advance(self, old: str, new: str) -> None:
        branch = self.repository.git.ask("symbolic-ref", "-q", "HEAD") or b""
        if branch.decode().strip() != self.ref:
            raise Overtaken(self.ref, old, "another branch was checked out")
        try:
            self._plumbing.run("update-ref", "-m", "litstock", self.ref, new, old, env=self._last)
        except GitFailed as failed:
            if "cannot lock ref" in failed.said:
                raise Overtaken(self.ref, old, failed.said) from failed
            raise

    def _entries(self, base: str, files: Mapping[str, bytes | None]) -> bytes:
        """Put the contents into the repository and return what update-index reads."""
        written: dict[str, Path] = {}
        entries = []
        for path, data in files.items():
            if data is not None:
                written[path] = Path(self._scratch.name, str(len(written)))
                written[path].write_bytes(data)
            elif base:
                entries.append(f"0 {base}\t{path}\0")  # mode 0 takes out; the id only has to be one
        asked = "".join(f"{file}\n" for file in written.values()).encode()
        said = self._plumbing.run("hash-object", "-w", "--no-filters", "--stdin-paths", input=asked)
        for path, blob in zip(written, said.split(), strict=True):
            entries.append(f"100644 {blob}\t{path}\0")
        return "".join(entries).encode("utf-8", "surrogateescape")


def _signs(repository: Repository) -> bool:
    return repository.git.ask("config", "--type=bool", "--get", "commit.gpgsign") == b"true\n"


def _stamp(when: datetime) -> str:
    offset = when.utcoffset()
    if offset is None:
        raise ValueError(f"a signature needs a date with its time zone, not {when.isoformat()!r}")
    minutes = int(offset.total_seconds()) // 60
    hours, rest = divmod(abs(minutes), 60)
    return f"@{int(when.timestamp())} {'-' if minutes < 0 else '+'}{hours:02}{rest:02}"
