"""The line of what has landed: which commits, one after another, the shared branch stood at.

It goes from the tip back by first parents, with one exception. Who commits, pulls and pushes makes a merge
whose first parent is that shop's own commit and whose second is what everybody shared: a plain pull. There
the line goes on by the second parent, as the shared branch did; what the shop had committed came in beside.
"""

import re
from collections.abc import Iterator, Mapping, Set
from heapq import heappop, heappush
from typing import NamedTuple

__all__ = ["Node", "line_of", "may_pull", "pulls_in"]


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

    The graph lists each commit before its parents.
    `branch` is the shared branch's own name. A merge is a plain pull where all that its first side adds is of
    the committer who merged, and its second was pulled from a branch of that name or has landings of its own.
    The first side may hold merges only of what was pulled so before, and what the second side holds, too:
    who pulls from two forks in turn lands the one after the other.
    """
    if not any(may_pull(graph, each) for each in graph):
        return {}
    places = {commit: place for place, commit in enumerate(graph)}
    found: dict[str, str] = {}
    at = tip
    while at in graph:
        node = graph[at]
        before = node.parents[0] if node.parents else ""
        if _is_pull(graph, places, at, branch):
            before = found[at] = node.parents[1]
        at = before
    return found


def line_of(graph: Mapping[str, Node], tip: str, pulls: Mapping[str, str]) -> Iterator[str]:
    """Yield the commits of the line to a tip, the newest first."""
    at = tip
    while at in graph:
        yield at
        at = pulls.get(at) or next(iter(graph[at].parents), "")


def may_pull(graph: Mapping[str, Node], merge: str) -> bool:
    """Whether a commit is a merge upon what its own committer had committed: only that can be a pull."""
    node = graph[merge]
    if len(node.parents) != 2:
        return False
    own = graph.get(node.parents[0])
    if own is None:
        return True
    return own.committer == node.committer and (len(own.parents) < 2 or bool(_PULLED.fullmatch(own.subject)))


def _is_pull(graph: Mapping[str, Node], places: Mapping[str, int], merge: str, branch: str) -> bool:
    if not may_pull(graph, merge):
        return False
    who = graph[merge].committer
    ours, theirs, common = _sides(graph, places, *graph[merge].parents)
    if not (ours and theirs and common):
        return False
    if not all(graph[own].committer == who and _is_own(graph[own], ours, branch) for own in ours):
        return False
    return _is_pulled(graph[merge].subject, branch) or any(
        len(graph[each].parents) == 2 and graph[each].parents[1] in theirs for each in theirs
    )


def _is_own(commit: Node, ours: Set[str], branch: str) -> bool:
    """Whether a commit is somebody's own work, or a pull before of what the other side holds, too."""
    if len(commit.parents) == 2:
        return commit.parents[1] not in ours and _is_pulled(commit.subject, branch)
    return len(commit.parents) == 1


_FIRST, _SECOND, _BOTH = 1, 2, 3


def _sides(
    graph: Mapping[str, Node], places: Mapping[str, int], first: str, second: str
) -> tuple[set[str], set[str], bool]:
    """Return what two commits hold that the other does not, and whether they have anything in common.

    Each commit is looked at once all that rest on it have been; where only common ones are left, all is told.
    """
    held = {first: _FIRST, second: _SECOND}
    ahead = sorted((places[commit], commit) for commit in held if commit in places)
    while any(held[commit] != _BOTH for _, commit in ahead):
        _, commit = heappop(ahead)
        for parent in graph[commit].parents:
            if parent in places and parent not in held:
                held[parent] = 0
                heappush(ahead, (places[parent], parent))
            if parent in held:
                held[parent] |= held[commit]
    told = {side: {commit for commit in held if held[commit] == side} for side in (_FIRST, _SECOND, _BOTH)}
    return told[_FIRST], told[_SECOND], bool(told[_BOTH])


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
