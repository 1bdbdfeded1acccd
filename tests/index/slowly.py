"""Git, asked one thing at a time: a process per commit and per file."""

import subprocess
from pathlib import Path
from typing import NamedTuple

__all__ = ["Commit", "Slow"]


class Commit(NamedTuple):
    """A commit as `git show` tells it."""

    id: str
    parents: tuple[str, ...]
    committed: int
    offset: int
    committer: str
    by: str
    """The committer's name and address."""
    authored: int
    author: str
    subject: str


class Slow:
    """Git, asked one thing at a time; what it once said of a commit or a file never changes."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self._commits: dict[str, Commit] = {}
        self._trees: dict[str, dict[str, tuple[str, str]]] = {}
        self._files: dict[str, bytes] = {}

    def commit(self, name: str) -> Commit:
        if name not in self._commits:
            told = "%H%x00%P%x00%cd%x00%cn%x00%cn <%ce>%x00%at%x00%an%x00%s"
            said = self._git("show", "--no-patch", f"--format={told}", "--date=raw", name).decode()
            full, parents, committed, committer, by, authored, author, subject = said.strip("\n").split("\0")
            epoch, zone = committed.split(" ")
            minutes = int(zone[1:3]) * 60 + int(zone[3:])
            offset = -minutes if zone[0] == "-" else minutes
            self._commits[name] = Commit(
                *(full, tuple(parents.split()), int(epoch), offset, committer, by),
                *(int(authored), author, subject),
            )
        return self._commits[name]

    def tree(self, name: str) -> dict[str, tuple[str, str]]:
        """Return mode and blob of every file below records/, by path."""
        if name not in self._trees:
            found = {}
            for line in self._git("ls-tree", "-r", "-z", "--full-tree", name).split(b"\0")[:-1]:
                what, _, path = line.partition(b"\t")
                mode, _, blob = what.decode().split(" ")
                if path.startswith(b"records/"):
                    found[path.decode(errors="backslashreplace")] = (mode, blob)
            self._trees[name] = found
        return self._trees[name]

    def file(self, blob: str) -> bytes:
        if blob not in self._files:
            self._files[blob] = self._git("cat-file", "blob", blob)
        return self._files[blob]

    def reached(self, name: str) -> set[str]:
        """Return a commit and all that it holds."""
        found: set[str] = set()
        ahead = [name]
        while ahead:
            if (commit := ahead.pop()) not in found:
                found.add(commit)
                ahead.extend(self.commit(commit).parents)
        return found

    def _git(self, *args: str) -> bytes:
        return subprocess.run(["git", *args], cwd=self.folder, check=True, capture_output=True).stdout
