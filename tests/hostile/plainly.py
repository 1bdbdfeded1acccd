"""What a registry must answer, worked out from `git show`, `git ls-tree` and `git rev-list`, piece by piece.

Written from what is promised to people (DEVELOPERS.md), not from the program. An answer is a tuple: first a
word for what it is, then what it says. Where several answers would be as true, each of them is listed.
"""

import datetime
import subprocess
from functools import cached_property
from pathlib import Path
from typing import Any, NamedTuple

from registry.model.shape import shape_of
from tests.index.reconstruction import Reconstruction, kind_and_id, says_pulled
from tests.index.slowly import Commit, Slow

__all__ = ["Answer", "Plainly", "Rev", "day", "latest"]

Answer = tuple[Any, ...]
_ZONE = datetime.timezone(datetime.timedelta(hours=1))


class Rev(NamedTuple):
    """One revision of a record: its settings and its commit."""

    n: int
    """The landing that is it, or that brought it."""
    commit: str
    landed: bool
    """Whether the landing itself holds it; else it only came along, and was merged away."""
    number: int | None
    digest: str
    """Empty where the file is no record that can be read, or is gone."""
    blob: str
    before: str = ""
    """The file that it replaced, where it has one parent."""
    written: int = 0
    """When it was committed, where it came along."""


class Plainly(Reconstruction):
    """A registry as of one tip, in one clone."""

    def __init__(self, slow: Slow, tip: str, folder: Path) -> None:
        super().__init__(slow, tip)
        self.folder = folder

    # -- landed ----------------------------------------------------------------------------------------

    @cached_property
    def dates(self) -> list[int]:
        """When each step of the line landed: the latest that any committer's clock has said up to there."""
        return [max(each.committed for each in self.chain[: n + 1]) for n in range(len(self.chain))]

    def landed_by(self, path: str, until: float) -> Answer:
        """Tell which revision had landed by a moment."""
        if self.starts_late and until < self.dates[0]:
            return ("cut off",)
        if not self.line(path):
            return self.unknown
        by = [n for n, date in enumerate(self.dates, 1) if date <= until]
        found = [each for each in self.line(path) if by and each.n <= by[-1]]
        if not found and self.starts_late:  # it may have been there before, and have been taken away
            return ("cut off",)
        if not found:
            return ("not landed yet", day(self.dates[self.line(path)[0].n - 1]))
        return self.told(found[-1])

    def told(self, rev: Rev) -> Answer:
        """Tell a revision; what is gone or spoiled, as just that."""
        landed = self.dates[rev.n - 1]
        if not rev.blob:
            return ("removed", day(landed))
        if not rev.digest:
            return ("unreadable", day(landed))
        return ("told", rev.number, rev.digest, not rev.landed, self.chain[rev.n - 1].id, landed)

    # -- identity --------------------------------------------------------------------------------------

    def line(self, path: str) -> list[Rev]:
        """Return what the steps of the line made of a file."""
        return self._lines.get(path, [])

    @cached_property
    def _lines(self) -> dict[str, list[Rev]]:
        found: dict[str, list[Rev]] = {}
        for each in self.revisions:
            commit, digest = self.chain[each.n - 1].id, self._digest(each.path, each.blob)
            rev = Rev(each.n, commit, True, each.number, digest, each.blob)
            found.setdefault(each.path, []).append(rev)
        return found

    def came_along(self, path: str) -> list[Rev]:
        """Return what other commits wrote that the landing which brought them does not hold as a step."""
        return self._beside_lines.get(path, [])

    @cached_property
    def _beside_lines(self) -> dict[str, list[Rev]]:
        found: dict[str, list[Rev]] = {}
        for path, n, commit, when, _, _, blob, before, number, _, _ in self.written:
            rev = Rev(n, commit, False, number, self._digest(path, blob), blob, before, when)
            if commit not in self.unknown_parents and (n, blob) not in {
                (each.n, each.blob) for each in self.line(path)
            }:
                found.setdefault(path, []).append(rev)
        return found

    def _digest(self, path: str, blob: str) -> str:
        kind, _ = kind_and_id(path)
        document = self.document(kind, blob) if blob else None
        return shape_of(kind).digest(document) if document else ""

    def numbered(self, path: str, number: int) -> list[Answer]:
        """Tell the revision whose file gives a number, or that several with other settings do."""
        if not self.line(path):
            return [self.unknown]
        known = [
            each
            for each in [*self.line(path), *self.came_along(path)]
            if each.digest and each.number == number
        ]
        # a draft that its own branch replaced under the same number is none that anybody means
        again = {
            (n, before)
            for of, n, _, _, _, _, _, before, other, _, _ in self.written
            if of == path and other == number and before
        }
        known = [each for each in known if each.landed or (each.n, each.blob) not in again]
        if len(digests := {each.digest[:12] for each in known}) > 1:
            return [("several", frozenset(digests))]
        return [self.told(each) for each in latest(known)] or [
            ("cut off",) if self.shallow else ("no such number",)
        ]

    def with_settings(self, path: str, digest: str) -> list[Answer]:
        """Tell the revision with the settings of which a digest is given, or where such settings are."""
        if not self.line(path):
            return [self.unknown]
        known = [
            each for each in [*self.line(path), *self.came_along(path)] if each.digest.startswith(digest)
        ]
        return [self.told(each) for each in latest(known)] or [self.whereabouts(path, digest)]

    def whereabouts(self, path: str, digest: str) -> Answer:
        """Tell where settings are that what is shared does not hold, with every commit that has them."""
        if self.shallow:
            return ("cut off",)
        having = [each for each in self.everywhere if self._at(each, path).startswith(digest)]
        branches = {each: branch for each in having if (branch := self.branches_with(each))}
        if branches:
            return ("on a branch", branches)
        if having:
            return ("forced away", frozenset(having))
        return ("nowhere",)

    def _at(self, commit: str, path: str) -> str:
        mode, blob = self.slow.tree(commit).get(path, ("", ""))
        return self._digest(path, blob) if mode.startswith("100") else ""

    @cached_property
    def everywhere(self) -> list[str]:
        """Every commit that any ref of this clone holds, or has held as far as its reflogs say."""
        return self._git("rev-list", "--all", "--reflog")

    def branches_with(self, commit: str) -> frozenset[str]:
        heads = self._git("for-each-ref", "--format=%(refname)", "refs/heads", "refs/remotes")
        names = {head: head.split("/", 2)[2] for head in heads}
        return frozenset(name for head, name in names.items() if commit in self.held(head))

    def held(self, ref: str) -> set[str]:
        (commit,) = self._git("rev-parse", ref)
        return self.slow.reached(commit)

    # -- what is cut off -------------------------------------------------------------------------------

    @cached_property
    def shallow(self) -> frozenset[str]:
        """The commits at which this clone is cut off: their parents are not here."""
        file = self.folder / "shallow"
        named = file.read_text("ascii").split() if file.exists() else []
        return frozenset(name for name in named if self._parents(name))

    def _parents(self, name: str) -> list[str]:
        """Return a commit's parents, whether they are here or not."""
        words = self._git("cat-file", "commit", name)
        return [words[n + 1] for n in range(len(words[: words.index("author")])) if words[n] == "parent"]

    @cached_property
    def unknown_parents(self) -> frozenset[str]:
        """The commits of which nobody can tell what they wrote themselves, or what they brought."""
        return self.shallow | {self.chain[0].id} if self.starts_late else self.shallow

    def before(self, commit: Commit) -> str:
        """Return where the shared branch stood before, "" where history is cut off before that shows."""
        if len(commit.parents) != 2 or not self.shallow:
            return super().before(commit)
        mine, theirs = (self.slow.reached(each) for each in commit.parents)
        common, mine, theirs = mine & theirs, mine - theirs, theirs - mine
        work = self._whole(commit.parents[0])
        own = len(work.parents) == 1 or (len(work.parents) == 2 and says_pulled(work))
        if not mine or not theirs or not own or work.by != commit.by:
            return commit.parents[0]
        own = all(each.by == commit.by and self.is_own(each, mine) for each in map(self._whole, mine))
        shared = says_pulled(commit) or self.has_landings(theirs)
        if theirs & self.shallow:  # more of what is taken for one's own may be the others', or have landed
            certain = own and shared and common and not mine & self.shallow
            return commit.parents[1] if certain else ""
        if mine & self.shallow:  # others may have written what lies before
            return "" if own and shared else commit.parents[0]
        return super().before(commit)

    def _whole(self, name: str) -> Commit:
        return self.slow.commit(name)._replace(parents=tuple(self._parents(name)))

    @property
    def unknown(self) -> Answer:
        """Tell of a record that no step of the line has."""
        return ("cut off",) if self.shallow else ("no such record",)

    @property
    def starts_late(self) -> bool:
        """Whether what landed before the oldest step of the line is not here."""
        return bool(self._parents(self.chain[0].id))

    def _git(self, *args: str) -> list[str]:
        return subprocess.run(
            ["git", *args], cwd=self.folder, check=True, capture_output=True, text=True
        ).stdout.split()


def latest(revs: list[Rev]) -> list[Rev]:
    """Return which of revisions alike is meant: the last that landed, else any of the last that came."""
    if landed := [each for each in revs if each.landed]:
        return landed[-1:]
    return [each for each in revs if each.n == max(other.n for other in revs)]


def day(epoch: float) -> str:
    """Return a day on the registry's clock."""
    return f"{datetime.datetime.fromtimestamp(epoch, _ZONE):%Y-%m-%d}"
