"""What came in beside the line of landings: which commits each brought, and what they wrote themselves."""

from collections.abc import Iterable, Iterator, Mapping
from heapq import heapify, heappop, heappush
from typing import NamedTuple

from registry.store.line import Node
from registry.store.walk import RECORDS, Change, Moment, moment, path_text, text

__all__ = [
    "BROUGHT",
    "EVERYWHERE",
    "GRAPH",
    "WRITTEN",
    "Brought",
    "Written",
    "brought_by",
    "read_commits",
    "read_graph",
    "read_written",
]

# What commits wrote themselves: of a merge, what none of its parents holds.
_WROTE = (
    *("--diff-merges=combined", "--raw", "-z", "--no-renames", "--no-abbrev", "--root"),
    *("--ignore-submodules=none", "--encoding=UTF-8", "--date=raw", "--format=%H%x00%cd%x00%an"),
)
# The commits named on standard input; and whatever any ref here holds or has held, the newest first.
WRITTEN = ("log", "--no-walk=unsorted", "--stdin", *_WROTE)
EVERYWHERE = ("log", "--all", "--reflog", "--full-history", *_WROTE)
BROUGHT = ("log", "--topo-order", "-z", "--encoding=UTF-8", "--date=raw", "--format=%H%x00%P%x00%an%x00%ad")
GRAPH = ("log", "--topo-order", "-z", "--encoding=UTF-8", "--format=%H%x00%P%x00%cn <%ce>%x00%s")


class Brought(NamedTuple):
    """A commit that a landing brought with it from beside the first-parent chain."""

    commit: str
    author: str
    authored: Moment


class Written(NamedTuple):
    """What one commit wrote itself."""

    commit: str
    committed: Moment
    author: str
    changes: tuple[Change, ...]
    """Only what lies below records/; of a merge, only what differs from each of its parents."""
    before: tuple[str, ...]
    """For each change, the blob that was there before; "" where none was; of a merge one for each parent that
    has another, with spaces between."""


def read_written(tokens: Iterable[bytes]) -> Iterator[Written]:
    """Read the output of WRITTEN: three fields, then the raw changes up to the next commit."""
    ahead = iter(tokens)
    header: list[str] = []
    changes: list[tuple[Change, str]] = []
    for token in ahead:
        if token.startswith((b"\n:", b":")):
            change, before = _combined(token.lstrip(b"\n"), next(ahead, b""))
            if change.path.startswith(RECORDS):
                changes.append((change, before))
            continue
        if not token:  # before the changes of a merge git puts one more NUL
            continue
        if header:
            yield _written(header, changes)
        header = [text(token), *(text(next(ahead, b"")) for _ in range(2))]
        changes = []
    if header:
        yield _written(header, changes)


def read_commits(tokens: Iterable[bytes]) -> Iterator[tuple[Brought, tuple[str, ...]]]:
    """Read the output of BROUGHT: each commit with its parents."""
    ahead = iter(tokens)
    for token in ahead:
        parents, author, authored = (text(next(ahead, b"")) for _ in range(3))
        yield Brought(text(token), author, moment(authored)), tuple(parents.split())


def read_graph(tokens: Iterable[bytes]) -> dict[str, Node]:
    """Read the output of GRAPH."""
    ahead = iter(tokens)
    graph: dict[str, Node] = {}
    for token in ahead:
        parents, committer, subject = (text(next(ahead, b"")) for _ in range(3))
        graph[text(token)] = Node(tuple(parents.split()), committer, subject)
    return graph


def brought_by(
    commits: Iterable[tuple[Brought, tuple[str, ...]]], tip: str, pulls: Mapping[str, str]
) -> dict[str, tuple[Brought, ...]]:
    """Give each commit beside the line to the landing that first reached it."""
    known = {commit.commit: (commit, parents) for commit, parents in commits}
    chain: list[str] = []
    step = tip
    while step in known:
        chain.append(step)
        step = pulls.get(step, next(iter(known[step][1]), ""))
    given = set(chain)
    answer: dict[str, tuple[Brought, ...]] = {}
    for landing in reversed(chain):
        reached: list[str] = []
        before = pulls.get(landing, next(iter(known[landing][1]), ""))
        ahead = [parent for parent in known[landing][1] if parent != before]
        while ahead:
            commit = ahead.pop()
            if commit in known and commit not in given:
                given.add(commit)
                reached.append(commit)
                ahead.extend(known[commit][1])
        if pulls.get(landing) == "":  # the line ends there: of what it holds nobody knows how it came
            reached = []
        answer[landing] = tuple(known[commit][0] for commit in _oldest_first(reached, known))
    return answer


def _oldest_first(
    commits: Iterable[str], known: Mapping[str, tuple[Brought, tuple[str, ...]]]
) -> Iterator[str]:
    """Yield commits, each behind its parents; where that leaves a choice, by date and then by id.

    Git's own order depends on where its walk begins.
    """
    among = set(commits)
    waiting = {commit: among.intersection(known[commit][1]) for commit in among}
    children: dict[str, list[str]] = {}
    for commit, parents in waiting.items():
        for parent in parents:
            children.setdefault(parent, []).append(commit)
    ready = [(known[commit][0].authored, commit) for commit, parents in waiting.items() if not parents]
    heapify(ready)
    while ready:
        _, commit = heappop(ready)
        yield commit
        for child in children.get(commit, ()):
            waiting[child].discard(commit)
            if not waiting[child]:
                heappush(ready, (known[child][0].authored, child))


def _written(header: list[str], changes: list[tuple[Change, str]]) -> Written:
    commit, committed, author = header
    told, before = zip(*changes, strict=True) if changes else ((), ())
    return Written(commit, moment(committed), author, told, before)


def _combined(line: bytes, path: bytes) -> tuple[Change, str]:
    """Read a raw line against any number of parents (git-diff-tree(1), "diff format for merges")."""
    parents = len(line) - len(line.lstrip(b":"))
    words = line.decode("ascii").lstrip(":").split(" ")
    modes, blobs, status = words[: parents + 1], words[parents + 1 : -1], words[-1]
    gone = modes[-1] == "000000"
    held = [blob for blob, mode in zip(blobs[:parents], modes, strict=False) if mode != "000000"]
    before = " ".join(dict.fromkeys(held))
    mark = "D" if gone else status if parents == 1 else "M"
    return Change(mark, path_text(path), "" if gone else modes[-1], "" if gone else blobs[-1]), before
