"""The line of what has landed: which commits, one after another, the shared branch stood at.

It goes from the tip back by first parents, with one exception. Who commits, pulls and pushes makes a merge
whose first parent is that shop's own commit and whose second is what everybody shared: a plain pull. There
the line goes on by the second parent, as the shared branch did; what the shop had committed came in beside.
"""

import re
from collections.abc import Iterable, Iterator, Mapping
from typing import NamedTuple

__all__ = ["Node", "chain", "line_of", "may_pull", "pulls_in"]


class Node(NamedTuple):
    """A commit, as far as it matters here."""

    parents: tuple[str, ...]
    committer: str
    """Name and address."""
    subject: str


# What git pull calls its merge, and git merge one of what was fetched (git-fmt-merge-msg(1)).
_PULLED = re.compile(r"Merge (remote-tracking )?branch '(?P<branch>[^']+)'(?P<of> of \S+)?( into \S+)?")


def pulls_in(graph: Mapping[str, Node], tip: str, branch: str) -> dict[str, str]:
    """Return the plain pulls on the line to a tip, each with the commit at which the shared branch had stood.

    `branch` is the shared branch's own name. A merge is a plain pull where all that its first side adds is of
    the committer who merged, and its second was pulled from a branch of that name or has landings of its own.
    """
    if not any(may_pull(graph, each) for each in graph):
        return {}
    found: dict[str, str] = {}
    at = tip
    while at in graph:
        node = graph[at]
        before = node.parents[0] if node.parents else ""
        if _is_pull(graph, at, branch):
            before = found[at] = node.parents[1]
        at = before
    return found


def line_of(graph: Mapping[str, Node], tip: str, pulls: Mapping[str, str]) -> Iterator[str]:
    """Yield the commits of the line to a tip, the newest first."""
    at = tip
    while at in graph:
        yield at
        at = pulls.get(at) or next(iter(graph[at].parents), "")


def chain(graph: Mapping[str, Node], start: str) -> Iterator[str]:
    """Yield a commit and its first parents, the newest first."""
    return line_of(graph, start, {})


def may_pull(graph: Mapping[str, Node], merge: str) -> bool:
    """Whether a commit is a merge upon what its own committer had committed: only that can be a pull."""
    node = graph[merge]
    if len(node.parents) != 2:
        return False
    own = graph.get(node.parents[0])
    return own is None or (len(own.parents) < 2 and own.committer == node.committer)


def _is_pull(graph: Mapping[str, Node], merge: str, branch: str) -> bool:
    if not may_pull(graph, merge):
        return False
    first, second = graph[merge].parents
    theirs, met = _beside(graph, second, set(chain(graph, first)))
    ours = [graph[each] for each in _until(chain(graph, first), met)]
    who = graph[merge].committer
    if not (theirs and ours and met and all(len(own.parents) == 1 and own.committer == who for own in ours)):
        return False
    return _is_pulled(graph[merge].subject, branch) or any(
        len(graph[each].parents) == 2 and graph[each].parents[1] in theirs for each in theirs
    )


def _beside(graph: Mapping[str, Node], start: str, on_line: set[str]) -> tuple[set[str], set[str]]:
    """Return what a commit holds down to the line, and where it meets the line."""
    found: set[str] = set()
    met: set[str] = set()
    ahead = [start]
    while ahead:
        commit = ahead.pop()
        if commit in on_line:
            met.add(commit)
        elif commit in graph and commit not in found:
            found.add(commit)
            ahead.extend(graph[commit].parents)
    return found, met


def _is_pulled(subject: str, branch: str) -> bool:
    """Whether git says so that the shared branch was pulled.

    >>> _is_pulled("Merge branch 'main' of ssh://hub/settings", "main"), _is_pulled("Merge branch 'x'", "x")
    (True, False)
    """
    found = _PULLED.fullmatch(subject)
    if not found:
        return False
    if found["of"]:
        return found["branch"] == branch
    return bool(found[1]) and found["branch"].partition("/")[2] == branch


def _until(commits: Iterable[str], ends: set[str]) -> Iterator[str]:
    for commit in commits:
        if commit in ends:
            return
        yield commit
