"""A registry's repository: where it is, which commit is shared, and what it holds."""

from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path

from registry.errors import RegistryError, RequestError
from registry.store import walk
from registry.store.drafts import Draft, find_drafts
from registry.store.git import ForeignOwner, Git, GitFailed
from registry.store.history import History, NotOnChain
from registry.store.shared import REFS, Tip, read_refs, remote_tip

__all__ = [
    "MissingObject",
    "NoRegistry",
    "NotOnChain",
    "Repository",
    "UnknownRevision",
    "UnusableRepository",
    "find_registry",
    "is_blob",
]

MARK = "records/registry.json"
VARIABLE = "LITSTOCK_REGISTRY"
_SHA1_DIGITS = 40


class NoRegistry(RegistryError):
    """There is no registry where one was looked for."""

    def __init__(self, looked: str) -> None:
        super().__init__(looked)
        self.looked = looked

    def __str__(self) -> str:
        return (
            f"no registry {self.looked}: looked for {MARK}; "
            "litstock demo DIR makes one to try, litstock start DIR founds your own, -C DIR chooses one"
        )


class UnusableRepository(RegistryError):
    """There are records, but not in a repository that can serve as a registry."""


class UnknownRevision(RequestError):
    """A revision names no commit, or more than one."""

    def __init__(self, revision: str, why: str) -> None:
        super().__init__(revision, why)
        self.revision = revision
        self.why = why

    def __str__(self) -> str:
        return f"revision {self.revision!r} {self.why}"


class MissingObject(RegistryError):
    """An object that the history names is not in this clone."""

    def __init__(self, blob: str, kind: str) -> None:
        super().__init__(blob, kind)
        self.blob = blob
        self.kind = kind

    def __str__(self) -> str:
        return (
            f"object {self.blob} is {self.kind} in this clone: git fetch --refetch brings what a partial "
            "clone lacks, git fsck shows what is damaged"
        )


def find_registry(start: Path | None, environ: Mapping[str, str]) -> Path:
    """Return the registry's folder: the one asked for, else the variable's, else the nearest above."""
    if start is not None:
        return _only(start, f"in {str(start)!r}")
    if named := environ.get(VARIABLE):
        return _only(Path(named), f"in {named!r} ({VARIABLE})")
    here = Path.cwd()
    for folder in (here, *here.parents):
        if _is_registry(folder):
            return folder
    raise NoRegistry(f"at or above {str(here)!r}")


def is_blob(data: bytes, name: str) -> bool:
    """Tell whether bytes are the blob of this name, in a repository of either object format.

    >>> is_blob(b"", "e69de29bb2d1d6434b8b29ae775ad8c2e48c5391"), is_blob(b"x", "0" * 64)
    (True, False)
    """
    import hashlib  # noqa: PLC0415 (2 ms that only who compares contents pays)

    made = hashlib.sha1 if len(name) == _SHA1_DIGITS else hashlib.sha256
    return made(b"blob %d\0" % len(data) + data, usedforsecurity=False).hexdigest() == name


def _only(folder: Path, looked: str) -> Path:
    if _is_registry(folder):
        return folder.resolve()
    raise NoRegistry(looked)


def _is_registry(folder: Path) -> bool:
    try:
        if (folder / MARK).is_file():
            return True
        if not ((folder / "HEAD").is_file() and (folder / "objects").is_dir() and (folder / "refs").is_dir()):
            return False
    except PermissionError:  # a folder above that this user may not look into
        return False
    try:
        return Git(folder).run("rev-parse", "--is-bare-repository", f"HEAD:{MARK}").startswith(b"true\n")
    except ForeignOwner:
        raise
    except GitFailed:  # no commits, or commits without the mark
        return False


class Repository(History):
    """One registry's git repository, for reading."""

    def __init__(self, root: Path) -> None:
        super().__init__()
        self.root = root.resolve()
        self.git = Git(self.root)
        bare, inside, shallow, git_dir, common_dir, *up = self._layout()
        self.bare = bare == "true"
        self.shallow = shallow == "true"
        self.git_dir = Path(git_dir)
        self.common_dir = Path(common_dir)
        if not self.bare and (inside != "true" or up != [""]):
            raise UnusableRepository(
                f"{str(self.root)!r} is not the top of a git work tree: a registry is a repository of its "
                f"own; move it out of the repository {str(self.git_dir)!r} and run git init in it"
            )

    def shared(self) -> Tip:
        """Tell the shared branch: the remote's default branch, with no remote the checked-out one."""
        found = self._shared()
        self.ref = found.ref
        return found

    def _shared(self) -> Tip:
        refs = read_refs(self._lines(*REFS))
        if tip := remote_tip(refs):
            return tip
        if branch := next((ref for ref in refs if ref.checked_out == "*"), None):
            return Tip(branch.name, branch.commit, "branch")
        unborn = self.git.ask("symbolic-ref", "-q", "HEAD")
        if unborn is not None:
            return Tip(unborn.decode().strip(), "", "branch")
        return Tip("", self.head(), "detached")

    def head(self) -> str:
        """Return the checked-out commit, "" when there are no commits yet."""
        return (self.git.ask("rev-parse", "-q", "--verify", "HEAD^{commit}") or b"").decode().strip()

    def is_on_shared_branch(self) -> bool:
        """Tell whether the branch that is checked out is called as the shared one: a push goes there."""
        branch = self.git.ask("symbolic-ref", "-q", "--short", "HEAD") or b""
        return branch.decode().strip() == (self.ref or self.shared().ref).rpartition("/")[2]

    def merging(self) -> str:
        """Return the commit that is being merged into the checked-out one, "" where none is."""
        return (self.git.ask("rev-parse", "-q", "--verify", "MERGE_HEAD^{commit}") or b"").decode().strip()

    def resolve(self, rev: str) -> str:
        """Return the commit that a revision names."""
        if not rev or "\0" in rev:
            raise UnknownRevision(rev, "is no revision: name a commit, a branch or a tag")
        ended = self.git.ended(["rev-parse", "--verify", "--end-of-options", f"{rev}^{{commit}}"])
        commit = ended.stdout.decode("ascii", "replace").strip()
        if b"ambiguous" in ended.stderr:
            raise UnknownRevision(
                rev, "is ambiguous: give more of the commit id, or the full name of the ref"
            )
        if ended.returncode or commit.startswith("^"):  # git's way to say "not this one"
            raise UnknownRevision(rev, "is unknown: no commit, branch or tag here is called so")
        return commit

    def time_of(self, commit: str) -> walk.Moment:
        """Return when a commit was made, by its committer's clock: when it landed, if it is a landing."""
        said = self.git.run("log", "-1", "--format=%cd", "--date=raw", commit, "--")
        return walk.moment(said.decode().strip())

    def common(self, one: str, other: str) -> str:
        """Return the commit at which two lines of commits part; empty where nothing joins them."""
        return (self.git.ask("merge-base", one, other) or b"").decode().strip()

    def commits(self, tip: str, after: str) -> set[str]:
        """Return the commits that a tip holds and another does not."""
        return set(self._lines("rev-list", tip, f"^{after}", "--"))

    def changes(self, tip: str, after: str) -> list[tuple[str, walk.Change]]:
        """List what the commits that a tip holds and another does not did to records, oldest first."""
        with self.git.stream(*walk.CHANGES, tip, f"^{after}", "--", "records") as out:
            return list(walk.read_changes(walk.fields(out)))

    def has_merges(self, tip: str, after: str) -> bool:
        """Tell whether a merge is among the commits that a tip holds and another does not."""
        return bool(self._lines("rev-list", "--min-parents=2", "--max-count=1", tip, f"^{after}", "--"))

    def branches_with(self, commit: str) -> list[str]:
        """Return the branches, here and of remotes, that hold a commit."""
        asked = ("--contains", commit, "--format=%(refname:lstrip=2)", "refs/heads", "refs/remotes")
        return self._lines("for-each-ref", *asked)

    def tree(self, commit: str, prefix: str = "records/") -> dict[str, walk.Entry]:
        """List the files of a commit below a folder, by path."""
        if not commit:
            return {}
        below = (prefix,) if prefix else ()
        said = self.git.run("ls-tree", "-r", "-z", "--full-tree", commit, "--", *below)
        return walk.read_tree(said, commit)

    def blobs(self, shas: Iterable[str]) -> Iterator[tuple[str, bytes]]:
        """Read the contents of many blobs with one process, in the order asked."""
        if not (wanted := list(shas)):
            return
        asked = "".join(f"{sha}\n" for sha in wanted).encode()
        command = ("-c", "core.deltaBaseCacheLimit=1g", "cat-file", "--batch", "--buffer")
        with self.git.stream(*command, input=asked) as out:
            for sha in wanted:
                header = out.readline().split()
                if not header:  # git broke off; leaving the stream tells why
                    break
                if header[1] != b"blob":
                    raise MissingObject(sha, header[1].decode())
                data = out.read(int(header[2]))
                out.read(1)
                yield sha, data

    def blob(self, sha: str) -> bytes:
        """Read the contents of one blob."""
        return dict(self.blobs([sha]))[sha]

    def drafts(self) -> list[Draft]:
        """List the records of this checkout that have not landed."""
        return [] if self.bare else find_drafts(self.git, self.shared().commit, self.head())

    def shallow_since(self, oldest: str) -> int | None:
        """Return when the oldest landing was made, if a shallow clone is cut off there; else None."""
        if not self.shallow:
            return None
        cut = b"\nparent " in self.git.run("cat-file", "commit", oldest).partition(b"\n\n")[0]
        return self.time_of(oldest).epoch if cut else None

    def _layout(self) -> list[str]:
        asked = ("--is-bare-repository", "--is-inside-work-tree", "--is-shallow-repository")
        where = ("--path-format=absolute", "--git-dir", "--git-common-dir", "--show-cdup")
        try:
            return self._lines("rev-parse", *asked, *where)
        except GitFailed as failed:
            if "not a git repository" not in failed.said:
                raise
            raise UnusableRepository(
                f"{str(self.root)!r} is in no git repository ({failed.said.splitlines()[0]}): "
                "run git init there and commit its records, or choose a registry with -C DIR"
            ) from failed

    def _lines(self, *args: str) -> list[str]:
        return self.git.run(*args).decode("utf-8", "surrogateescape").split("\n")[:-1]
