"""What git's history looks like once it has been read: landings, changes, moments."""

from collections.abc import Iterable, Iterator
from io import BufferedReader
from typing import NamedTuple

from registry.errors import RegistryError

__all__ = [
    "CHANGES",
    "LANDINGS",
    "LISTED",
    "RECORDS",
    "Change",
    "Entry",
    "Landing",
    "MalformedTree",
    "Moment",
    "fields",
    "moment",
    "path_text",
    "raw_changes",
    "read_changes",
    "read_landings",
    "read_tree",
    "text",
]

RECORDS = "records/"
# --diff-merges and --root against the user's log.* settings; no pathspec, no date filter and no
# --full-history: the first-parent chain itself is what landed, in its own order.
LANDINGS = (
    *("log", "--first-parent", "--diff-merges=first-parent", "--raw", "-z", "--no-renames", "--no-abbrev"),
    *("--root", "--ignore-submodules=none", "--encoding=UTF-8", "--date=raw"),
    "--format=%H%x00%P%x00%cd%x00%cn%x00%ad%x00%an%x00%ae%x00%s%x00%b",
)
CHANGES = (
    *("log", "--reverse", "--topo-order", "--diff-merges=first-parent", "--raw", "-z", "--no-renames"),
    *("--no-abbrev", "--root", "--ignore-submodules=none", "--full-history", "--format=%H"),
)
# The landings named on standard input, in their order.
LISTED = ("log", "--no-walk=unsorted", "--stdin", *LANDINGS[2:])


class MalformedTree(RegistryError):
    """A commit lists its files as no git writes them, so that each reader takes another one."""

    def __init__(self, commit: str, path: str) -> None:
        super().__init__(commit, path)
        self.commit = commit
        self.path = path

    def __str__(self) -> str:
        return (
            f"commit {self.commit} lists {self.path!r} twice or out of its order, as no git does, so nobody"
            " can tell what is there: do not take the commit over; git fsck says more"
        )


class Moment(NamedTuple):
    """A point in time as git keeps it."""

    epoch: int
    offset: int
    """Minutes east of UTC of the clock that wrote it."""


class Entry(NamedTuple):
    """One file of a tree."""

    mode: str
    blob: str


class Change(NamedTuple):
    """What one step did to one path."""

    status: str
    """A added, M changed, D removed, T changed its type."""
    path: str
    mode: str
    """As it is after the step ("" when removed); 120000 is a symbolic link, 160000 a submodule."""
    blob: str
    """As it is after the step ("" when removed)."""


class Landing(NamedTuple):
    """One step of the shared branch's first-parent chain."""

    commit: str
    parents: tuple[str, ...]
    landed: int
    """Committer date, epoch seconds."""
    landed_offset: int
    """Minutes east of UTC of the committer's clock."""
    authored: Moment
    author: str
    author_email: str
    committer: str
    subject: str
    body: str
    changes: tuple[Change, ...]
    """Only what lies below records/, against the first parent."""


def fields(stream: BufferedReader) -> Iterator[bytes]:
    """Split a stream at its NUL bytes, without holding the whole of it; every field ends with one."""
    rest = b""
    while chunk := stream.read1(1 << 16):
        *whole, rest = (rest + chunk).split(b"\0")
        yield from whole


def path_text(path: bytes) -> str:
    """Read a path of a tree; bytes that are no UTF-8 survive the way back."""
    return path.decode("utf-8", "surrogateescape")


def moment(text: str) -> Moment:
    """Read a date as git writes it with --date=raw: `1767225600 +0900`.

    >>> moment("1767225600 -0330")
    Moment(epoch=1767225600, offset=-210)
    """
    seconds, _, zone = text.partition(" ")
    if not zone:  # a commit whose date cannot be read; git itself shows the epoch
        return Moment(0, 0)
    minutes = int(zone[-4:-2]) * 60 + int(zone[-2:])
    return Moment(int(seconds), -minutes if zone.startswith("-") else minutes)


def raw_changes(tokens: Iterable[bytes]) -> Iterator[Change]:
    """Read `--raw -z` output: a colon line and a path in turn."""
    ahead = iter(tokens)
    for token in ahead:
        yield _change(token, next(ahead, b""))


def read_changes(tokens: Iterable[bytes]) -> Iterator[tuple[str, Change]]:
    """Read the output of CHANGES: a commit, then its raw changes up to the next commit."""
    ahead = iter(tokens)
    commit = ""
    for token in ahead:
        if token.startswith((b"\n:", b":")):
            yield commit, _change(token, next(ahead, b""))
        else:
            commit = text(token)


def read_tree(listed: bytes, commit: str) -> dict[str, Entry]:
    """Read the output of `ls-tree -r -z`: the files of a commit, by path."""
    entries: dict[str, Entry] = {}
    folders: set[bytes] = set()
    last = b""
    for line in listed.split(b"\0")[:-1]:
        what, _, path = line.partition(b"\t")
        mode, _, blob = what.decode("ascii").split(" ")
        folder = path.rpartition(b"/")[0]
        while folder and folder not in folders:
            folders.add(folder)
            folder = folder.rpartition(b"/")[0]
        if path <= last or path in folders:
            raise MalformedTree(commit, path_text(path))
        entries[path_text(path)] = Entry(mode, blob)
        last = path
    if both := next((path for path in map(path_text, folders) if path in entries), ""):
        raise MalformedTree(commit, both)
    return entries


def read_landings(tokens: Iterable[bytes]) -> Iterator[Landing]:
    """Read the output of LANDINGS: nine fields, then the raw changes up to the next commit."""
    ahead = iter(tokens)
    header: list[str] = []
    changes: list[Change] = []
    for token in ahead:
        if token.startswith((b"\n:", b":")):
            change = _change(token, next(ahead, b""))
            if change.path.startswith(RECORDS):
                changes.append(change)
            continue
        if header:
            yield _landing(header, changes)
        header = [text(token), *(text(next(ahead, b"")) for _ in range(8))]
        changes = []
    if header:
        yield _landing(header, changes)


def _landing(header: list[str], changes: list[Change]) -> Landing:
    commit, parents, landed, committer, authored, author, email, subject, body = header
    return Landing(
        commit,
        tuple(parents.split()),
        *moment(landed),
        moment(authored),
        author,
        email,
        committer,
        subject,
        body.strip("\n"),
        tuple(changes),
    )


def _change(line: bytes, path: bytes) -> Change:
    _, mode, _, blob, status = line.decode("ascii").split(" ")
    gone = status == "D"
    return Change(status, path_text(path), "" if gone else mode, "" if gone else blob)


def text(token: bytes) -> str:
    return token.decode("utf-8", "replace")
