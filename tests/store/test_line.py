"""The line of landings, where a shop has pulled and pushed, and where it only looks so."""

from pathlib import Path

import pytest

from registry.store.line import Node, line_of, pulls_in
from registry.store.repository import NotOnChain, Repository
from tests.store.conftest import Put, Run

DAY, START = 86400, 1767225600
PULL = "Merge branch 'main' of ssh://hub/settings"


def graph(**commits: str) -> dict[str, Node]:
    """Make commits, named the oldest first: parents, who committed, and what it says, parted by `;`."""
    told = (words.split("; ") for words in commits.values())
    return {
        name: Node(tuple(parents.split()), who, says)
        for name, (parents, who, says) in reversed(list(zip(commits, told, strict=True)))
    }


SHARED = {"x": "; desk; first", "o1": "x; desk; one", "o2": "o1; yard; two"}


@pytest.mark.parametrize(
    ("commits", "line"),
    [
        ({"s": "x; mill; event", "m": f"s o2; mill; {PULL}"}, "m o2 o1 x"),
        ({"s": "x; mill; event", "m": f"s o2; mill; {PULL} into main"}, "m o2 o1 x"),
        ({"s": "x; mill; event", "m": "s o2; mill; Merge remote-tracking branch 'origin/main'"}, "m o2 o1 x"),
        ({"s": "x; mill; event", "m": "s o2; mill; Merge branch 'topic' of ssh://hub/settings"}, "m s x"),
        ({"s": "x; mill; event", "m": "s o2; mill; Land: two"}, "m s x"),
        ({"s": "x; desk; event", "m": f"s o2; mill; {PULL}"}, "m s x"),
        ({"m": f"o2 x; mill; {PULL}"}, "m o2 o1 x"),
        ({"t": "x; yard; topic", "m": "o2 t; desk; Land: topic"}, "m o2 o1 x"),
        ({"r": "; mill; another root", "m": f"r o2; mill; {PULL}"}, "m r"),
        (
            {"s": "x; mill; a", "m": f"s o2; mill; {PULL}", "s2": "o1; yard; b", "m2": f"s2 m; yard; {PULL}"},
            "m2 m o2 o1 x",
        ),
        (
            {"t": "o2; yard; topic", "k": "o2 t; desk; Land", "s": "x; mill; event", "m": "s k; mill; any"},
            "m k o2 o1 x",
        ),
        (
            {"s": "x; mill; event", "u": "o2 s; yard; update", "m": "s u; mill; anything"},
            "m s x",
        ),
        (
            {"s": "x; mill; a", "p": f"s o1; mill; {PULL}", "s2": "p; mill; b", "m": f"s2 o2; mill; {PULL}"},
            "m o2 o1 x",
        ),
        ({"s": "x; mill; a", "p": f"s o1; mill; {PULL}", "m": f"p o2; mill; {PULL}"}, "m o2 o1 x"),
        (
            {
                "f": "x; quay; fork",
                "t": "x; yard; fork",
                "p": f"o2 t; mill; {PULL}",
                "m": f"p f; mill; {PULL}",
            },
            "m p o2 o1 x",
        ),
        ({"s": "x; mill; a", "p": "s o1; mill; joined", "m": f"p o2; mill; {PULL}"}, "m p s x"),
        (
            {
                "t": "x; yard; topic",
                "u": "t o1; yard; update",
                "k": "o2 u; desk; Land",
                "t2": "u; yard; more",
                "s": "k; mill; event",
                "m": "s t2; mill; Land more",
            },
            "m s k o2 o1 x",
        ),
    ],
    ids=[
        *("pulled", "into", "remote-tracking", "another branch", "a landing", "others wrote it"),
        *(
            "nothing of its own",
            "a topic",
            "another root",
            "in turn",
            "landings of its own",
            "an update merge",
        ),
        *("twice before a push", "twice running", "from two forks", "in words of its own"),
        "a topic that went on after it landed",
    ],
)
def test_the_line_goes_where_the_shared_branch_had_stood(commits: dict[str, str], line: str) -> None:
    all_of_them = graph(**SHARED, **commits)
    tip = next(reversed(commits))
    pulls = pulls_in(all_of_them, tip, "main")
    assert list(line_of(all_of_them, tip, pulls)) == line.split()


@pytest.mark.parametrize(
    ("kept", "cut", "line"),
    [
        ("m s o2", "s o2", "m"),
        ("m s o2 o1 x", "", "m o2 o1 x"),
        ("m s o2 o1", "o1 s", "m"),
        ("m s x o2", "o2", "m"),
        ("m s x o2 o1", "x", "m o2 o1 x"),
        ("n s2 p s o2 o1 x", "s", "n"),
        ("n s2 p s o2 o1 x", "", "n o2 o1 x"),
        ("l o2 t", "o2 t", "l"),
        ("l k t", "k t", "l k"),
        ("j i t", "i t", "j i"),
    ],
    ids=[
        *("both sides", "nothing", "both sides, later", "the other side", "below where they part"),
        *("before a pull before", "nothing before a pull before"),
        *("a landing upon who knows what", "a landing upon a landing", "upon what only looks like a pull"),
    ],
)
def test_where_a_clone_is_cut_off_before_a_pull_can_be_told_the_line_ends(
    kept: str, cut: str, line: str
) -> None:
    """A graph of which only a part is here, as git shows it: what is cut off has no parents."""
    beside = {"t": "x; mill; topic", "k": "o2 t; yard; Land"}
    beside |= {"i": "o2 t; yard; Merge branch 'try'", "j": "i t; yard; Merge branch 'try'"}
    landed = {"l": f"{'k' if 'k' in kept else 'o2'} t; yard; Land more"}
    again = {"p": f"s o1; mill; {PULL}", "s2": "p; mill; more", "n": f"s2 o2; mill; {PULL}"}
    own = {"s": "x; mill; event", "m": f"s o2; mill; {PULL}", **again}
    whole = graph(**SHARED, **beside, **landed, **own)
    ends = cut.split()
    part = {
        name: node._replace(parents=() if name in ends else node.parents)
        for name, node in whole.items()
        if name in kept.split()
    }
    hidden = {name: whole[name].parents for name in ends}
    tip = line[0]
    assert list(line_of(part, tip, pulls_in(part, tip, "main", hidden))) == line.split()


def test_a_walk_along_a_pull_goes_on_from_what_was_shared_and_from_nothing_else(
    registry: Path, git: Run, put: Put
) -> None:
    first = git(registry, "rev-parse", "HEAD")
    git(registry, "switch", "-q", "-c", "shop")
    own = put(registry, {"records/own.json": "1\n"}, at=START + DAY)
    git(registry, "switch", "-q", "main")
    shared = [put(registry, {"records/b.json": f"{day}\n"}, at=START + DAY * day) for day in (2, 3)]
    git(registry, "switch", "-q", "shop")
    git(registry, "merge", "-q", "--no-ff", "-m", PULL, "main", at=START + DAY * 4)
    git(registry, "switch", "-q", "main")
    git(registry, "merge", "-q", "--ff-only", "shop")
    repository = Repository(registry)
    tip = repository.head()
    assert [each.commit for each in repository.landings(tip)] == [first, *shared, tip]
    assert [(each.status, each.path) for each in list(repository.landings(tip))[-1].changes] == [
        ("A", "records/own.json")
    ]
    for place, stood in enumerate([first, *shared]):
        fresh = Repository(registry)
        assert [each.commit for each in fresh.landings(tip, after=stood)] == [*shared[place:], tip]
    with pytest.raises(NotOnChain):
        list(Repository(registry).landings(tip, after=own))
