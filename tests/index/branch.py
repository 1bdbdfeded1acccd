"""A shared branch on which files land quickly: each landing is one `git fast-import`."""

import os
import subprocess
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from registry.index.readmodel import ReadModel
from registry.question.registry import Registry
from tests.index.drawn import as_file, whole

__all__ = ["DAY", "START", "Branch"]

START = 1767225600
"""2026-01-01T00:00:00Z."""
DAY = 86400

File = Mapping[str, Any] | bytes | None


class Branch:
    """The branch main of a repository, checked out; made anew, or one that is there."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.landed = 0
        if folder.exists():
            self.landed = int(self.git("rev-list", "--count", "--first-parent", "HEAD"))
            return
        subprocess.run(["git", "init", "-q", "--template=", "-b", "main", str(folder)], check=True)
        self.land({"records/registry.json": {"title": "Branch", "time_zone": "+01:00", "revision": 1}})

    def land(
        self,
        files: Mapping[str, File],
        at: int | None = None,
        onto: str = "refs/heads/main^0",
        merging: Sequence[str] = (),
    ) -> str:
        """Land files (None removes one) and return the commit; what is said of a record is made whole.

        What is merged comes along with its files as they are `onto`, and in `files`.
        """
        self._commit("refs/heads/main", files, at, onto, merging)
        self.git("reset", "--quiet", "--hard")
        return self.git("rev-parse", "HEAD")

    def beside(self, *steps: Mapping[str, File], onto: str = "refs/heads/main^0") -> str:
        """Commit files one after another beside the branch, and return the last commit."""
        for files in steps:
            self._commit("refs/heads/side", files, None, onto, ())
            onto = "refs/heads/side^0"
        commit = self.git("rev-parse", "refs/heads/side")
        self.git("branch", "--quiet", "-D", "side")
        return commit

    def _commit(
        self, ref: str, files: Mapping[str, File], at: int | None, onto: str, merging: Sequence[str]
    ) -> None:
        when = START + self.landed * DAY if at is None else at
        who = f"Mill Lane <mill-lane@saltmarsh.invalid> {when} +0100"
        lines = [f"commit {ref}\nauthor {who}\ncommitter {who}\ndata 4\nland\n".encode()]
        if self.landed:
            lines.append(f"from {onto}\n".encode())
        lines += [f"merge {each}\n".encode() for each in merging]
        for path, content in files.items():
            if content is None:
                lines.append(f"D {path}\n".encode())
                continue
            data = content if isinstance(content, bytes) else as_file(whole(path, content))
            lines.append(f"M 100644 inline {path}\ndata {len(data)}\n".encode() + data + b"\n")
        self.git("fast-import", "--quiet", "--force", given=b"".join(lines))
        self.landed += 1

    def git(self, *args: str, given: bytes = b"") -> str:
        """Run git there, as a person would, and return what it says."""
        who = {f"GIT_{role}_{what}": "quay" for role in ("AUTHOR", "COMMITTER") for what in ("NAME", "EMAIL")}
        ended = subprocess.run(
            ["git", *args],
            cwd=self.folder,
            env=os.environ | who,
            input=given,
            capture_output=True,
            check=False,
        )
        assert not ended.returncode, ended.stderr.decode()
        return ended.stdout.decode().strip()

    def registry(self) -> Registry:
        """Open it for questions."""
        return Registry(self.folder, {})

    def model(self) -> ReadModel:
        """Return the read model as of now."""
        return self.registry().model
