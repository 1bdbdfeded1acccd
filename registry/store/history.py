"""What has landed, read from git's history: the steps of the shared branch, and what they brought."""

from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path

from registry.errors import RegistryError
from registry.store import beside, walk
from registry.store.drafts import DIFF
from registry.store.git import Git
from registry.store.line import Node, came_behind, line_of, may_pull, pulls_in
from registry.store.shared import REMOTES, Tip

__all__ = ["History", "NotOnChain"]


class NotOnChain(RegistryError):
    """A commit is not among those that landed one after another."""

    def __init__(self, commit: str, tip: str) -> None:
        super().__init__(commit, tip)
        self.commit = commit
        self.tip = tip

    def __str__(self) -> str:
        return (
            f"commit {self.commit} is not on the first-parent chain of {self.tip}: the branch was rewritten"
        )


class History:
    """The history of one repository."""

    git: Git
    common_dir: Path
    shallow: bool

    def __init__(self) -> None:
        self._pulls: dict[tuple[str, str], dict[str, str]] = {}
        self.ref = ""
        """The shared branch's full name, once it has been told."""

    def shared(self) -> Tip:
        """Tell the shared branch."""
        raise NotImplementedError

    def landings(self, tip: str, after: str = "") -> Iterator[walk.Landing]:
        """Walk what landed up to a tip, oldest first, after a commit that landed earlier if one is given."""
        if not tip or tip == after:
            return
        if pulls := self.pulls(tip, after):
            yield from self._along(tip, after, pulls)
            return
        if not after:
            with self.git.stream(*walk.LANDINGS, "--reverse", tip, "--") as out:
                yield from walk.read_landings(walk.fields(out))
            return
        # Newest first until the known one: an exclusion would trust dates, which may run backwards.
        newer: list[walk.Landing] = []
        with self.git.stream(*walk.LANDINGS, tip, "--") as out:
            for landing in walk.read_landings(walk.fields(out)):
                if landing.commit == after:
                    break
                newer.append(landing)
            else:
                raise NotOnChain(after, tip)
        yield from reversed(newer)

    def pulls(self, tip: str, after: str = "") -> dict[str, str]:
        """Return the plain pulls among what landed, each with where the shared branch had stood."""
        if not tip or tip == after:
            return {}
        if (tip, after) not in self._pulls:
            self._pulls[tip, after] = self._found_pulls(tip, after)
        return self._pulls[tip, after]

    def behind_pulls(self, tip: str) -> dict[str, set[str]]:
        """Return what came in behind each plain pull whose line goes on in this clone."""
        pulls = {commit: stood for commit, stood in self.pulls(tip).items() if stood}
        graph = self._graph(tip) if pulls else {}
        return {commit: came_behind(graph, commit, stood) for commit, stood in pulls.items()}

    def _found_pulls(self, tip: str, after: str) -> dict[str, str]:
        branch = (self.ref or self.shared().ref).rpartition("/")[2]
        cut = self.cut()
        if after:  # that one stays in the graph: what was merged upon it is told by it
            graph = self._graph(tip, f"{after}^@")
            if not any(may_pull(graph, each, branch, cut) for each in graph if each != after):
                return {}
        return pulls_in(self._graph(tip), tip, branch, cut)

    def cut(self) -> dict[str, tuple[str, ...]]:
        """Return the commits at which a shallow clone is cut off, with their parents, which are not here."""
        if not self.shallow:
            return {}
        named = (self.common_dir / "shallow").read_bytes()
        found: dict[str, tuple[str, ...]] = {}
        with self.git.stream("cat-file", "--batch", "--buffer", input=named) as out:
            for name in named.decode("ascii").split():
                _, what, *size = out.readline().split()
                if what == b"missing":  # git keeps names of what it has swept away
                    continue
                head = out.read(int(size[0]) + 1).partition(b"\n\n")[0].decode("ascii", "replace")
                if parents := tuple(line[7:] for line in head.split("\n") if line.startswith("parent ")):
                    found[name] = parents
        return found

    def _graph(self, tip: str, after: str = "") -> dict[str, Node]:
        without = ("--not", after) if after else ()
        with self.git.stream(*beside.GRAPH, tip, *without, "--") as out:
            return beside.read_graph(walk.fields(out))

    def _along(self, tip: str, after: str, pulls: Mapping[str, str]) -> Iterator[walk.Landing]:
        """Walk a line with plain pulls on it, oldest first."""
        line = list(line_of(self._graph(tip), tip, pulls))
        if after and after not in line:
            raise NotOnChain(after, tip)
        newer = line[: line.index(after)] if after else line
        asked = "".join(f"{commit}\n" for commit in reversed(newer)).encode()
        with self.git.stream(*walk.LISTED, input=asked) as out:
            for landing in walk.read_landings(walk.fields(out)):
                before = pulls.get(landing.commit)
                if before is None:
                    yield landing
                    continue
                # where the line ends in a clone that is cut off, all that is there came, nobody knows when
                base = before or self.git.run("hash-object", "-t", "tree", "--stdin").decode().strip()
                raw = self.git.run(*DIFF, base, landing.commit, "--", walk.RECORDS).split(b"\0")[:-1]
                yield landing._replace(changes=tuple(walk.raw_changes(raw)))

    def brought(self, tip: str, after: str = "") -> dict[str, tuple[beside.Brought, ...]]:
        """Tell by landing which commits it brought from beside the chain, oldest first; one walk for all.

        For one landing ask `brought(landing.commit, landing.parents[0])`.
        """
        if not tip or tip == after:
            return {}
        without = ("--not", after) if after else ()
        with self.git.stream(*beside.BROUGHT, tip, *without, "--") as out:
            return beside.brought_by(beside.read_commits(walk.fields(out)), tip, self.pulls(tip, after))

    def written(self, commits: Iterable[str]) -> Iterator[beside.Written]:
        """Tell what each of some commits wrote itself, in the order in which they are named."""
        wanted = "".join(f"{commit}\n" for commit in commits).encode()
        if not wanted:
            return
        with self.git.stream(*beside.WRITTEN, input=wanted) as out:
            yield from beside.read_written(walk.fields(out))

    def everywhere(self, path: str) -> Iterator[tuple[str, str]]:
        """Yield commit and blob of a file for whatever any ref here holds or has held, the newest first."""
        with self.git.stream(*beside.EVERYWHERE, "--", path) as out:
            for wrote in beside.read_written(walk.fields(out)):
                files = (change.blob for change in wrote.changes if change.mode.startswith("100"))
                yield from ((wrote.commit, blob) for blob in files)

    def stood(self) -> list[str]:
        """Return where the remote's shared branch has stood, as this clone saw it (git's reflog)."""
        ref = self.ref or self.shared().ref
        if not ref.startswith(REMOTES):  # what is only here may be written anew before anybody saw it
            return []
        try:  # git itself shows no value that the first entry replaced, and a clone makes no entry
            lines = (self.common_dir / "logs" / ref).read_text("utf-8", "replace").splitlines()
        except OSError:
            return []
        found = dict.fromkeys(name for line in lines for name in line.split(" ", 2)[:2])
        return [name for name in found if name.strip("0")]

    def last_change(self, path: str, tip: str) -> tuple[str, str, str]:
        """Return who changed a file last, with which commit, and what its first line says."""
        wanted = ("--format=%an%x00%H%x00%s", "--no-ext-diff", tip, "--")
        who, commit, subject = (
            self.git.run("--literal-pathspecs", "log", "-1", *wanted, path)
            .decode("utf-8", "replace")
            .split("\0")
        )
        return who, commit, subject.strip()

    def is_on_first_parent_chain(self, old: str, tip: str) -> bool:
        """Tell whether a tip was reached from an older one by landings alone."""
        with self.git.stream("rev-list", "--first-parent", tip, "--") as out:
            return any(line.decode().strip() == old for line in out)
