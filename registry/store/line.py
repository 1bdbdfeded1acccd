"""The line of what has landed: which commits, one after another, the shared branch stood at.

It goes from the tip back by first parents, with one exception. Who commits, pulls and pushes makes a merge
whose first parent is that shop's own commit and whose second is what everybody shared: a plain pull. There
the line goes on by the second parent, as the shared branch did; what the shop had committed came in beside.
"""

import re
from collections.abc import Iterator, Mapping, Sequence
from collections.abc import Set as AbstractSet
from heapq import heappop, heappush
from types import MappingProxyType
from typing import NamedTuple, TypeAlias

__all__ = ["Node", "came_behind", "line_of", "may_pull", "pulls_in"]


class Node(NamedTuple):
    """A commit, as far as it matters here."""

    parents: tuple[str, ...]
    committer: str
    """Name and address."""
    subject: str


# What git pull calls its merge, and git merge one of what was fetched (git-fmt-merge-msg(1)).
_PULLED = re.compile(r"Merge (remote-tracking )?branch '(?P<branch>[^']+)'(?P<of> of \S+)?( into \S+)?")


_Cut: TypeAlias = Mapping[str, tuple[str, ...]]
"""The commits at which a clone is cut off, with their parents; in a graph they have none."""
_WHOLE: _Cut = MappingProxyType({})


def pulls_in(graph: Mapping[str, Node], tip: str, branch: str, cut: _Cut = _WHOLE) -> dict[str, str]:
    """Return the plain pulls on the line to a tip, each with the commit at which the shared branch had stood.

    The graph lists each commit before its parents; `branch` is the shared branch's own name. A merge is a
    plain pull where all that its first side adds is of the committer who merged, and its second was pulled
    from a branch of that name or has landings of its own. The first side may hold merges only of what was
    pulled so before, and what the second side holds, too: who pulls from two forks in turn lands both.
    Where history is cut off before this can be told, "" stands for where it had stood: the line ends there.
    """
    if not any(may_pull(graph, each, branch, cut) for each in graph):
        return {}
    places = {commit: place for place, commit in enumerate(graph)}
    found: dict[str, str] = {}
    at = tip
    while at in graph:
        stood = _stood(graph, places, at, branch, cut)
        if stood is not None:
            found[at] = stood
        at = _before(graph[at], stood)
    return found


def line_of(graph: Mapping[str, Node], tip: str, pulls: Mapping[str, str]) -> Iterator[str]:
    """Yield the commits of the line to a tip, the newest first."""
    at = tip
    while at in graph:
        yield at
        at = _before(graph[at], pulls.get(at))


def came_behind(graph: Mapping[str, Node], merge: str, stood: str) -> set[str]:
    """Return what came in behind a plain pull: what was shared and its shop had not pulled before."""
    shared = _reached(graph, stood)
    own = graph[merge].parents[0]
    while own in graph and own not in shared:
        own = _before(graph[own], None)
    return shared - _reached(graph, own)


def _reached(graph: Mapping[str, Node], start: str) -> set[str]:
    """Return all that a commit holds, by its parents alone: dates may run backwards."""
    found: set[str] = set()
    ahead = [start]
    while ahead:
        commit = ahead.pop()
        if commit in graph and commit not in found:
            found.add(commit)
            ahead.extend(graph[commit].parents)
    return found


def _before(node: Node, stood: str | None) -> str:
    """Return the commit before one on the line, "" for none; `stood` is what is known of a pull."""
    return next(iter(node.parents), "") if stood is None else stood


def may_pull(graph: Mapping[str, Node], merge: str, branch: str, cut: _Cut) -> bool:
    """Whether a commit is a merge upon what its own committer had committed: only that can be a pull."""
    node = graph[merge]
    if len(node.parents) != 2:
        return False
    first = node.parents[0]
    own = graph.get(first)
    if own is None:
        return True
    parents = len(cut.get(first, own.parents))
    work = parents == 1 or (parents == 2 and _is_pulled(own.subject, branch))
    return work and own.committer == node.committer


def _stood(
    graph: Mapping[str, Node], places: Mapping[str, int], merge: str, branch: str, cut: _Cut
) -> str | None:
    """Return where the shared branch had stood at a plain pull, "" where that cannot be told; else None."""
    if not may_pull(graph, merge, branch, cut):
        return None
    who = graph[merge].committer
    ours, theirs, common = _sides(graph, places, *graph[merge].parents)
    if not (ours and theirs):
        return None
    # what lies beyond a cut may be more of that side, or show that the other side holds it, too
    unknown = "" if theirs & cut.keys() else None
    for each in ours:
        own = graph[each]
        if own.committer != who or not _is_own(cut.get(each, own.parents), own.subject, ours, branch):
            return unknown
    landings = (each for each in theirs if len(graph[each].parents) == 2 and graph[each].parents[1] in theirs)
    if not (_is_pulled(graph[merge].subject, branch) or any(landings)):
        return unknown
    if common and not ours & cut.keys():
        return graph[merge].parents[1]
    return "" if (ours | theirs) & cut.keys() else None


def _is_own(parents: Sequence[str], subject: str, ours: AbstractSet[str], branch: str) -> bool:
    """Whether somebody's commit is their own work, or a pull before of what the other side holds, too."""
    if len(parents) == 2:
        return parents[1] not in ours and _is_pulled(subject, branch)
    return len(parents) == 1


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
