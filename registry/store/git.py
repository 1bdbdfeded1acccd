"""Running git: one environment, one set of fixed settings, one way to read its failures."""

import os
import re
import subprocess
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from io import BufferedReader
from pathlib import Path
from threading import Thread
from typing import IO

from registry.errors import RegistryError

__all__ = ["ALWAYS", "FIXED", "TALKATIVE", "ForeignOwner", "Git", "GitFailed", "GitMissing", "clean"]

# What would point git at another repository, another index, other objects or other parents than those of
# the folder it is run in. A hook inherits them. Identity, dates and GIT_CONFIG_* are left alone.
REDIRECTING = frozenset(
    {
        "GIT_ALTERNATE_OBJECT_DIRECTORIES",
        "GIT_ATTR_SOURCE",
        "GIT_CEILING_DIRECTORIES",
        "GIT_COMMON_DIR",
        "GIT_DIFF_OPTS",
        "GIT_DIR",
        "GIT_DISCOVERY_ACROSS_FILESYSTEM",
        "GIT_EXTERNAL_DIFF",
        "GIT_GLOB_PATHSPECS",
        "GIT_GRAFT_FILE",
        "GIT_ICASE_PATHSPECS",
        "GIT_IMPLICIT_WORK_TREE",
        "GIT_INDEX_FILE",
        "GIT_INTERNAL_SUPER_PREFIX",
        "GIT_LITERAL_PATHSPECS",
        "GIT_NAMESPACE",
        "GIT_NOGLOB_PATHSPECS",
        "GIT_OBJECT_DIRECTORY",
        "GIT_PREFIX",
        "GIT_REPLACE_REF_BASE",
        "GIT_SHALLOW_FILE",
        "GIT_WORK_TREE",
    }
)
# What would make git talk about its work, among its answers or where its faults are read.
TALKATIVE = ("GIT_TRACE", "GIT_CURL_VERBOSE", "GIT_TRANSFER_TRACE")
ALWAYS = {
    "GIT_NO_REPLACE_OBJECTS": "1",  # a local replacement must not change what has landed
    "GIT_OPTIONAL_LOCKS": "0",
    "GIT_TERMINAL_PROMPT": "0",
    "GIT_TRACE2": "0",  # as the user's settings may ask for
    "GIT_TRACE2_EVENT": "0",
    "GIT_TRACE2_PERF": "0",
    "LANGUAGE": "C",
    "LC_ALL": "C",
}
# Settings of the user that would change what git prints.
FIXED = (
    *("-c", "core.quotepath=false"),
    *("-c", "log.showSignature=false"),
    *("-c", "core.fsmonitor=false"),
    *("-c", "core.warnAmbiguousRefs=true"),
    *("-c", "color.ui=false"),
)


class GitMissing(RegistryError):
    """There is no git to run."""

    def __str__(self) -> str:
        return "git is not on the PATH: install git 2.31 or newer, a registry is a git repository"


class GitFailed(RegistryError):
    """Git refused, or broke off."""

    def __init__(self, folder: Path, asked: Sequence[str], status: int, said: str) -> None:
        super().__init__(folder, asked, status, said)
        self.folder = folder
        self.asked = tuple(asked)
        self.status = status
        self.said = said.strip()

    def __str__(self) -> str:
        said = self.said or f"it ended with status {self.status} and said nothing"
        return f"git {' '.join(self.asked)} failed in {str(self.folder)!r}: {said}; {self.advice}"

    @property
    def advice(self) -> str:
        for sign, advice in _ADVICE:
            if sign in self.said:
                return advice
        return f"run git -C {str(self.folder)!r} fsck to see whether the repository is whole"


_ADVICE = (
    ("not a git repository", "choose a registry with -C DIR"),
    (".lock': File exists", "another git is at work there: try again when it has ended"),
    ("promisor remote", "this clone is partial and needs its remote: try again when the remote answers"),
    ("failed to sign", "mend the signing key, or turn signing off with git config commit.gpgsign false"),
    ("Ignoring path", "name a path that lies inside the repository"),
    ("Permission denied", "ask the owner of the folder for the right to write there"),
)


class ForeignOwner(GitFailed):
    """The repository belongs to another user of this machine, so git will not read it."""

    def __str__(self) -> str:
        owned = re.search(r"dubious ownership in repository at '(.*)'", self.said)
        where = owned[1] if owned else str(self.folder)
        command = re.search(r"^\s*(git config --global --add safe\.directory .*)$", self.said, re.MULTILINE)
        cure = command[1] if command else f"git config --global --add safe.directory {where}"
        return f"{where!r} is owned by another user, so git does not read it; if you trust it, type: {cure}"


class Git:
    """Git, run in one folder."""

    def __init__(self, folder: Path, more: Mapping[str, str] | None = None) -> None:
        self.folder = folder
        self._environment = clean(os.environ) | dict(more or {})

    def run(self, *args: str, input: bytes | None = None) -> bytes:  # noqa: A002  (as in subprocess.run)
        """Run git to its end and return what it printed."""
        ended = self.ended(args, input)
        if ended.returncode:
            raise self._failed(args, ended.returncode, ended.stderr)
        return ended.stdout

    def ask(self, *args: str) -> bytes | None:
        """Run git and return what it printed, or None where it answers "no" with status 1 in silence."""
        ended = self.ended(args)
        if ended.returncode == 1 and not ended.stderr:
            return None
        if ended.returncode:
            raise self._failed(args, ended.returncode, ended.stderr)
        return ended.stdout

    def ended(self, args: Sequence[str], given: bytes | None = None) -> subprocess.CompletedProcess[bytes]:
        """Run git to its end, however it ends."""
        try:
            return subprocess.run(
                ["git", *FIXED, *args],
                check=False,
                cwd=self.folder,
                env=self._environment,
                input=given if given is not None else b"",
                capture_output=True,
            )
        except OSError as error:
            raise self._unstarted(args, error) from error

    @contextmanager
    def stream(self, *args: str, input: bytes = b"") -> Iterator[BufferedReader]:  # noqa: A002
        """Run git and read what it prints while it runs; leaving early ends it."""
        from tempfile import TemporaryFile  # noqa: PLC0415  (4 ms that a short question need not pay)

        with TemporaryFile() as said, self._started(args, said) as process:
            feeder = Thread(target=_feed, args=(process.stdin, input))
            feeder.start()
            whole = False
            try:
                assert isinstance(process.stdout, BufferedReader)  # noqa: S101  (it was asked for)
                yield process.stdout
                whole = not process.stdout.read(1)
            finally:
                if not whole:  # the reader had enough
                    process.kill()
                process.wait()
                feeder.join()
            if whole and process.returncode:
                said.seek(0)
                raise self._failed(args, process.returncode, said.read())

    def _started(self, args: Sequence[str], said: IO[bytes]) -> subprocess.Popen[bytes]:
        try:
            return subprocess.Popen(
                ["git", *FIXED, *args],
                cwd=self.folder,
                env=self._environment,
                stdin=subprocess.PIPE,
                stdout=subprocess.PIPE,
                stderr=said,
            )
        except OSError as error:
            raise self._unstarted(args, error) from error

    def _unstarted(self, args: Sequence[str], error: OSError) -> RegistryError:
        if isinstance(error, FileNotFoundError) and self.folder.is_dir():
            return GitMissing()
        return GitFailed(self.folder, args, -1, str(error))

    def _failed(self, args: Sequence[str], status: int, said: bytes) -> GitFailed:
        text = said.decode("utf-8", "replace")
        kind = ForeignOwner if "dubious ownership" in text else GitFailed
        return kind(self.folder, args, status, text)


def clean(environ: Mapping[str, str]) -> dict[str, str]:
    """Return the environment without what redirects git or makes it talk; its answers are plain."""
    kept = {
        name: value
        for name, value in environ.items()
        if name not in REDIRECTING and not name.startswith(TALKATIVE)
    }
    return kept | ALWAYS


def _feed(pipe: IO[bytes], given: bytes) -> None:
    try:
        with pipe:
            pipe.write(given)
    except BrokenPipeError:  # git has ended; its status says why
        pass
