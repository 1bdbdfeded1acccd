"""Random lives of a registry under plain git: shops pull, merge, rebase and force, and clocks go wrong."""

import random
from collections import Counter
from dataclasses import dataclass, field
from typing import NamedTuple

from tests.hostile.papers import MODE, SITES, Papers
from tests.index.histories import Step, Tree

__all__ = ["LOCAL", "OPERATIONS", "SHARED", "Cooperative", "Seen"]

START = 1704103200
"""2024-01-01T10:00:00Z."""
HOUR, DAY = 3600, 86400
HERE = SITES[0]
"""The shop whose clone is asked."""
SHARED, LOCAL, TOPIC = "refs/remotes/origin/main", "refs/heads/main", "refs/remotes/origin/try-"
PULLED = (
    *("Merge branch 'main' of ssh://hub/settings",) * 6,
    *("Merge remote-tracking branch 'origin/main'",) * 2,
    "Joined what the others have",
)


class Seen(NamedTuple):
    """What the clone that is asked held once it had fetched: its refs, each with a step."""

    refs: dict[str, int]


@dataclass
class Cooperative:
    """Three shops, a desk, one shared branch, and one clone that now and then fetches."""

    rng: random.Random
    plain: bool = False
    """Whether nobody forces a push, or words what git words itself."""
    steps: list[Step] = field(default_factory=list)
    seen: list[Seen] = field(default_factory=list)
    drawn: Counter[str] = field(default_factory=Counter)

    def live(self, things: int) -> None:
        """Let so many things happen."""
        self.papers = Papers(self.rng)
        self.clock = START
        self.held: list[set[int]] = []
        self.main = self._commit(self.papers.first(), (), HERE)
        self.stood = [self.main]
        self.local = dict.fromkeys(SITES, self.main)
        self.topics: list[int] = []
        self._fetch()
        for _ in range(things):
            name = self.rng.choice(_WAYS[:-1] if self.plain else _WAYS)
            self.drawn[name] += 1
            getattr(self, f"_{name.replace(' ', '_')}")(self.rng.choice(SITES))
            if self.rng.random() < 0.25:
                self._fetch()
        self._fetch()

    # -- what shops do -------------------------------------------------------------------------------------

    def _fast_forward(self, shop: str) -> None:
        if self.main not in self.held[self.local[shop]]:
            if self._has_own(shop):
                self._pull(shop)
                return
            self.local[shop] = self.main
        self._push(shop, self._work(shop, self.local[shop]))

    def _pull(self, shop: str, how: str = "") -> None:
        mine = self._behind(shop)
        tree = self._merged(mine, self.main, how)
        says = self.rng.choice(PULLED[:-1] if self.plain else PULLED)
        self.local[shop] = self._commit(tree, (mine, self.main), shop, says=says)
        if how or self.rng.random() < 0.7:
            self._push(shop, self.local[shop])

    def _no_ff_merge(self, shop: str, how: str = "") -> None:
        topic = self._topic(shop)
        who = self.rng.choice(("registry desk", shop))
        merge = self._commit(
            self._merged(self.main, topic, how), (self.main, topic), who, says="Merge branch 'try'"
        )
        self._push(who, merge)

    def _update_of_a_topic(self, shop: str) -> None:
        topic = self._topic(shop)
        if self.main in self.held[topic]:
            self._fast_forward(self.rng.choice(SITES))
        tree = self._merged(topic, self.main, "")
        self.topics.append(self._commit(tree, (topic, self.main), shop, says="Merge branch 'main' into try"))

    def _rebase(self, shop: str) -> None:
        at, own = self._behind(shop), []
        while at not in self.held[self.main]:
            own.append(at)
            at = self.steps[at].parents[0]
        at = self.main
        for each in reversed([each for each in own if len(self.steps[each].parents) == 1]):
            at = self._replayed(each, at, shop)
        self._push(shop, at)

    def _cherry_pick(self, shop: str) -> None:
        singles = [n for n, step in enumerate(self.steps) if len(step.parents) == 1]
        beyond = [n for n in singles if n not in self.held[self.main]]
        if picked := beyond or singles:
            upon = self.local[shop] if self._has_own(shop) else self.main
            at = self._replayed(self.rng.choice(picked), upon, shop)
            self.local[shop] = at
            if upon == self.main:
                self._push(shop, at)

    def _revert(self, shop: str) -> None:
        line = self._firsts(self.main)[:6]
        undone = self.rng.choice(line)
        if before := self.steps[undone].parents:
            tree = self._applied(
                self.steps[undone].tree, self.steps[before[0]].tree, self.steps[self.main].tree
            )
            self._push(shop, self._commit(tree, (self.main,), shop, says="Revert"))

    def _octopus(self, shop: str) -> None:
        one, other = self._topic(shop), self._topic(self.rng.choice(SITES), anew=True)
        tree = self._merged(self.main, one, "")
        tree = self._joined(self._base(self.main, other), tree, self.steps[other].tree, "")
        self._push(shop, self._commit(tree, (self.main, one, other), shop, says="Merge branches"))

    def _evil_merge(self, shop: str) -> None:
        self.rng.choice((self._pull, self._no_ff_merge))(shop, "evil")

    def _settled_merge(self, shop: str) -> None:
        self.rng.choice((self._pull, self._no_ff_merge))(shop, self.rng.choice(("ours", "theirs")))

    def _forced_push(self, shop: str) -> None:
        if self.rng.random() < 0.6:
            self._fetch()
        line = self._firsts(self.main)
        back = self.rng.choice(line[1:4] or line)
        tip = self.steps[self.main]
        match self.rng.choice(("back", "amended", "squashed")):
            case "amended" if tip.parents:
                back = self._commit(self._changed(self.main, shop), tip.parents, shop)
            case "squashed":
                back = self._commit(tip.tree, (back,), shop)
        self.main = self.local[shop] = back

    def _clock_skew(self, shop: str) -> None:
        """The next commits are made by a clock that is slow, or ahead."""
        del shop
        self.skew = self.rng.choice((-9 * DAY, -2 * HOUR, -40 * DAY, 5 * DAY, 60 * DAY))
        self.skewed = self.rng.randint(1, 3)

    # -- how -----------------------------------------------------------------------------------------------

    def _push(self, who: str, tip: int) -> None:
        assert self.main in self.held[tip]
        self.main = tip
        self.stood.append(tip)
        if who in SITES and not (self._has_own(who) and self.local[who] not in self.held[tip]):
            self.local[who] = tip

    def _has_own(self, shop: str) -> bool:
        return self.local[shop] not in self.held[self.main]

    def _behind(self, shop: str) -> int:
        """Return where a shop stands that has commits of its own while others have pushed."""
        if not self._has_own(shop):
            self.local[shop] = self._work(shop, self.local[shop])
        while self.main in self.held[self.local[shop]]:
            self.drawn["fast forward"] += 1
            self._fast_forward(self.rng.choice([each for each in SITES if each != shop]))
        return self.local[shop]

    def _topic(self, shop: str, *, anew: bool = False) -> int:
        """Return a topic that has not landed; an older one, or a new one."""
        beyond = [each for each in self.topics if each not in self.held[self.main]]
        if anew or not beyond or self.rng.random() < 0.7:
            line = self._firsts(self.main)
            self.topics.append(self._work(shop, self.rng.choice(line[:4])))
            return self.topics[-1]
        return self.rng.choice(beyond)

    def _work(self, shop: str, at: int) -> int:
        for _ in range(self.rng.choice((1, 1, 2, 3))):
            at = self._commit(self._changed(at, shop), (at,), shop)
        return at

    def _changed(self, at: int, shop: str) -> Tree:
        tree = dict(self.steps[at].tree)
        for _ in range(self.rng.choice((1, 1, 2))):
            self.papers.change(tree, shop, self.clock)
        return tree

    def _replayed(self, step: int, upon: int, who: str) -> int:
        """Commit anew, upon another commit, what a commit changed: as rebase and cherry-pick do."""
        old = self.steps[step]
        tree = self._applied(self.steps[old.parents[0]].tree, old.tree, self.steps[upon].tree)
        return self._commit(tree, (upon,), who, author=old.author, authored=old.authored, says=old.says)

    def _applied(self, before: Tree, after: Tree, upon: Tree) -> Tree:
        return self._joined(before, upon, after, "theirs")

    def _merged(self, ours: int, theirs: int, how: str) -> Tree:
        """Merge as git does, file by file; `how` as asked of it: "ours", "theirs", or to add what is new."""
        if how == "ours":
            return dict(self.steps[ours].tree)
        base = self._base(ours, theirs)
        tree = self._joined(base, self.steps[ours].tree, self.steps[theirs].tree, how)
        if how == "evil":
            for _ in range(2):
                self.papers.change(tree, HERE, self.clock)
        return tree

    def _base(self, one: int, other: int) -> Tree:
        return self.steps[max(self.held[one] & self.held[other])].tree

    def _joined(self, base: Tree, ours: Tree, theirs: Tree, how: str) -> Tree:
        tree: Tree = {}
        both = set()
        for path in ours | theirs:
            was, mine, yours = base.get(path), ours.get(path), theirs.get(path)
            if mine != yours and was not in (mine, yours):
                both.add(path)
            kept = yours if mine == was or (path in both and how == "theirs") else mine
            if kept:
                tree[path] = kept
        if not how:
            self._settle(both, tree, theirs)
        return tree

    def _settle(self, both: set[bytes], tree: Tree, theirs: Tree) -> None:
        """Settle what both sides changed: by one's own, theirs, or a revision that is new."""
        for path in sorted(both):
            drawn = self.rng.random()
            if drawn < 0.35 and path in theirs:
                tree[path] = theirs[path]
            elif drawn < 0.7 and path == MODE.encode():
                self.papers.revise(tree, MODE)

    def _firsts(self, at: int) -> list[int]:
        line = [at]
        while parents := self.steps[line[-1]].parents:
            line.append(parents[0])
        return line

    skew = skewed = 0

    def _commit(
        self,
        tree: Tree,
        parents: tuple[int, ...],
        who: str,
        *,
        says: str = "",
        author: str = "",
        authored: int = 0,
    ) -> int:
        self.clock += self.rng.choice((60, HOUR, 5 * HOUR, DAY, 2 * DAY))
        skew = self.skew if self.skewed else 0
        self.skewed = max(0, self.skewed - 1)
        when = self.clock + skew + (76 * 365 * DAY if self.rng.random() < 0.002 else 0)
        wrote = author or (who if who in SITES else "somebody")
        self.steps.append(Step(tree, parents, when, "+0100", authored or when - 60, wrote, who, says))
        self.held.append({len(self.steps) - 1}.union(*(self.held[each] for each in parents)))
        return len(self.steps) - 1

    def _fetch(self) -> None:
        """The clone fetches; of topics some were pushed, and some of those are gone again."""
        topics = {f"{TOPIC}{topic}": topic for topic in self.topics if topic % 3}
        kept = {ref: topic for ref, topic in topics.items() if self.rng.random() < 0.7}
        self.seen.append(Seen({SHARED: self.main, LOCAL: self.local[HERE], **kept}))


_WAYS = (
    *("fast forward", "fast forward", "pull", "pull", "pull", "no ff merge", "no ff merge"),
    *("update of a topic", "rebase", "cherry pick", "revert", "octopus", "evil merge", "settled merge"),
    *("clock skew", "forced push"),
)
OPERATIONS = tuple(dict.fromkeys(_WAYS))
