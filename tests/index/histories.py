"""Random histories of a registry, written by one `git fast-import`: what the shared branch may go through."""

import random
import subprocess
import tempfile
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from tests.index.drawn import JUNK, LINKED, UNREADABLE, Documents, as_file

__all__ = ["FILE", "Grower", "Step", "Tree", "put"]

START = 1767225600
FILE, RUNNABLE, LINK, SUBMODULE = "100644", "100755", "120000", "160000"
FOREIGN = (
    b"records/readme.txt",
    b"records/Registry.json",
    b"records/printers/deep/er.json",
    b"records/printers/Wide.JSON",
    b"records/printers/\xff.json",
    b"records/substrates/lumenfold/dayfilm/measurements/solids.txt",
    b"records/substrates/lumenfold/dayfilm/profiles/deep.icc",
    b"outside.txt",
)
Entry = tuple[str, bytes]
Tree = dict[bytes, Entry]


@dataclass
class Step:
    """One commit."""

    tree: Tree
    parents: tuple[int, ...]
    committed: int
    offset: str
    authored: int
    author: str
    desk: str = "Registry Desk"
    says: str = ""


@dataclass
class Grower:
    """Grows one history: every commit ever made, and the tip after each thing that happened."""

    rng: random.Random
    steps: list[Step] = field(default_factory=list)
    tips: list[int] = field(default_factory=list)
    sides: list[int] = field(default_factory=list)

    def grow(self, things: int) -> None:
        """Let so many things happen to the shared branch."""
        self.documents = Documents(self.rng)
        self.clock = START
        first = [("records/registry.json", {}), *(self.documents.any() for _ in range(12))]
        tree = {path.encode(): (FILE, as_file(document)) for path, document in first}
        self.tips.append(self._commit(tree, ()))
        ways = (
            *(self._plain,) * 6,
            *(self._landing, self._side, self._foxtrot, self._squash, self._revert, self._undo),
            *(self._amended, self._octopus, self._second_root, self._empty),
        )
        for _ in range(things):
            tip = self.rng.choice(ways)(self.tips[-1])
            self.tips.append(tip)

    def write(self, repository: Path) -> list[str]:
        """Put the commits into a repository and return the commit ids of the tips, in order."""
        ids = put(repository, self.steps)
        return [ids[tip] for tip in self.tips]

    # -- what may happen to the shared branch: each returns its new tip --------------------------------------

    def _plain(self, tip: int) -> int:
        return self._commit(self._changed(tip), (tip,))

    def _empty(self, tip: int) -> int:
        return self._commit(dict(self.steps[tip].tree), (tip,))

    def _side(self, tip: int) -> int:
        """Work goes on beside: from the tip, from an earlier landing, or where it went on before."""
        base = self.rng.choice([tip, self._earlier(tip), *self.sides])
        for _ in range(self.rng.randint(1, 3)):
            base = self._commit(self._changed(base), (base,))
        if self.rng.random() < 0.3:  # the shared branch, merged into the work
            base = self._commit(self._merged(base, tip), (base, tip))
        self.sides.append(base)
        return tip

    def _landing(self, tip: int) -> int:
        self._side(tip)
        side = self.rng.choice(self.sides)
        return self._commit(self._merged(tip, side), (tip, side))

    def _octopus(self, tip: int) -> int:
        self._side(tip)
        self._side(tip)
        sides = list(dict.fromkeys(self.rng.choice(self.sides) for _ in range(2)))
        tree = self._merged(tip, sides[0])
        return self._commit(tree, (tip, *sides))

    def _foxtrot(self, tip: int) -> int:
        """The local side comes first: what landed in between is no step of the shared branch any more."""
        self._side(tip)
        side = self.sides[-1]
        return self._commit(self._merged(side, tip), (side, tip))

    def _squash(self, tip: int) -> int:
        self._side(tip)
        return self._commit(self._merged(tip, self.sides[-1]), (tip,))

    def _revert(self, tip: int) -> int:
        return self._commit(dict(self.steps[self._earlier(tip)].tree), (tip,))

    def _undo(self, tip: int) -> int:
        """The branch is forced back, and may go on from there."""
        earlier = self._earlier(tip)
        return self._plain(earlier) if self.rng.random() < 0.5 else earlier

    def _amended(self, tip: int) -> int:
        return self._commit(self._changed(tip), self.steps[tip].parents)

    def _second_root(self, tip: int) -> int:
        root = self._commit(self._changed(None), ())
        return self._commit(self._merged(tip, root), (tip, root))

    # -- how ---------------------------------------------------------------------------------------------

    def _earlier(self, tip: int) -> int:
        for _ in range(self.rng.randint(0, 3)):
            if not self.steps[tip].parents:
                break
            tip = self.steps[tip].parents[0]
        return tip

    def _merged(self, ours: int, theirs: int) -> Tree:
        """Return a merge of some kind: both sides' files, of those in both now the one's, now the other's."""
        one, other = self.steps[ours].tree, self.steps[theirs].tree
        first, second = (one, other) if self.rng.random() < 0.5 else (other, one)
        tree = _without_clashes(first | second)
        return tree if self.rng.random() < 0.7 else _without_clashes(second)

    def _changed(self, base: int | None) -> Tree:
        tree = dict(self.steps[base].tree) if base is not None else {}
        for _ in range(self.rng.randint(1, 3)):
            self._change(tree)
        return _without_clashes(tree)

    def _change(self, tree: Tree) -> None:
        what, rng = self.rng.random(), self.rng
        path, document = self.documents.any()
        there = sorted(tree)
        if what < 0.55 or not there:
            tree[path.encode()] = (FILE, as_file(document))
        elif what < 0.65:
            del tree[rng.choice(there)]
        elif what < 0.73:  # renamed, or the same bytes in two places
            source = rng.choice(there)
            target = rng.choice((path.encode(), rng.choice(FOREIGN), rng.choice(there)))
            tree[target] = tree[source] if rng.random() < 0.5 else tree.pop(source)
        elif what < 0.80:
            tree[rng.choice(there)] = (FILE, as_file(rng.choice(JUNK)))
        elif what < 0.86:
            tree[path.encode()] = (FILE, rng.choice(UNREADABLE))
        elif what < 0.92:
            tree[rng.choice(FOREIGN)] = (rng.choice((FILE, RUNNABLE)), as_file(document))
        else:
            kind = rng.choice((LINK, SUBMODULE, RUNNABLE))
            content = LINKED if kind == LINK else tree[rng.choice(there)][1]
            tree[rng.choice((path.encode(), rng.choice(FOREIGN)))] = (kind, content)

    def _commit(self, tree: Tree, parents: tuple[int, ...]) -> int:
        self.clock += self.rng.choice((0, 1, 3600, 86400, -7200, -86400 * 9))
        author = self.rng.choice(("Mill Lane", "North Quay", "Häfen & Söhne"))
        authored = self.clock - self.rng.choice((0, 0, 60, -60, 86400))
        offset = self.rng.choice(("+0100", "-0330"))
        desk = self.rng.choice(("Registry Desk", "Registry Desk", "Night Desk"))
        self.steps.append(Step(tree, parents, self.clock, offset, authored, author, desk))
        return len(self.steps) - 1


def put(repository: Path, steps: Sequence[Step]) -> list[str]:
    """Put commits into a repository with one `git fast-import`, and return their ids."""
    with tempfile.TemporaryDirectory() as folder:
        marks = Path(folder) / "marks"
        subprocess.run(
            ["git", "fast-import", "--quiet", "--force", f"--export-marks={marks}"],
            cwd=repository,
            input=b"".join(_stream(steps)),
            check=True,
        )
        ids = dict(line.split() for line in marks.read_text(encoding="ascii").splitlines())
    return [ids[f":{number}"] for number in range(1, len(steps) + 1)]


def _stream(steps: Sequence[Step]) -> Iterator[bytes]:
    blobs: dict[bytes, int] = {}
    for number, step in enumerate(steps, 1):
        for kind, content in step.tree.values():
            if kind != SUBMODULE and content not in blobs:
                blobs[content] = 1_000_000 + len(blobs)
                yield b"blob\nmark :%d\ndata %d\n%s\n" % (blobs[content], len(content), content)
        author = f"{step.author} <mill-lane@saltmarsh.invalid> {step.authored} {step.offset}"
        desk = f"{step.desk} <desk@saltmarsh.invalid> {step.committed} {step.offset}"
        says = step.says or f"step {number % 10} "
        yield f"commit refs/grown/{number}\nmark :{number}\nauthor {author}\n".encode()
        yield f"committer {desk}\ndata {len(says.encode())}\n{says}\n".encode()
        for place, parent in enumerate(step.parents):
            yield b"%s :%d\n" % (b"merge" if place else b"from", parent + 1)
        yield b"deleteall\n"
        for path, (kind, content) in step.tree.items():
            shown = b'"%s"' % path.replace(b"\xff", b"\\377")
            named = b"1" * 40 if kind == SUBMODULE else b":%d" % blobs[content]
            yield b"M %s %s %s\n" % (kind.encode(), named, shown)


def _without_clashes(tree: Tree) -> Tree:
    """Leave out what would need a folder where a file stands."""
    folders = {path[:place] for path in tree for place in range(len(path)) if path[place : place + 1] == b"/"}
    return {path: entry for path, entry in tree.items() if path not in folders}
