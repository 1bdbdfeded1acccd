"""A command run in a child process that kills itself, for real, at the nth thing it does."""

import mmap
import os
import signal
from pathlib import Path
from typing import Any

from registry.cli import main
from registry.store.git import Git
from registry.store.plumbing import Plumbing

WATCHED: dict[Any, tuple[str, ...]] = {
    Git: ("ended",),
    Plumbing: ("run",),
    Path: ("mkdir", "replace", "rmdir", "touch", "unlink", "write_bytes"),
    os: ("fsync", "ftruncate", "link", "pwrite"),
}
"""What asks git or changes the disk; a kill comes just before or just after one of these."""


_NEVER = 10**9


def killed(at: int, *arguments: str, since: str = "") -> bool:
    """Run a command until its step `at`, where it is killed; tell whether it was, or had ended before.

    Steps count from the end of the first writing git command called `since`, if one is named.
    """
    return _forked(_Counted(at, since), arguments)


def steps_of(*arguments: str) -> int:
    """Return how many steps a command takes to its end."""
    with mmap.mmap(-1, 8) as shared:
        counted = _Counted(_NEVER, "", shared)
        assert not _forked(counted, arguments)
        return int.from_bytes(shared[:])


def _forked(counted: "_Counted", arguments: tuple[str, ...]) -> bool:
    child = os.fork()
    if not child:
        _run(counted, arguments)
    _, status = os.waitpid(child, 0)
    if os.WIFSIGNALED(status):
        assert os.WTERMSIG(status) == signal.SIGKILL
        return True
    assert os.WEXITSTATUS(status) == 0
    return False


def _run(counted: "_Counted", arguments: tuple[str, ...]) -> None:
    code = 1
    try:
        silent = os.open(os.devnull, os.O_RDWR)
        for stream in (0, 1, 2):
            os.dup2(silent, stream)
        counted.watch()
        main(arguments)
    except SystemExit as ended:
        code = int(ended.code or 0)
    finally:
        os._exit(code)


class _Counted:
    def __init__(self, at: int, since: str, shared: mmap.mmap | None = None) -> None:
        self._at = at
        self._since = since
        self._shared = shared
        self._done = 0

    def watch(self) -> None:
        for owner, names in WATCHED.items():
            for name in names:
                self._watch(owner, name)

    def _watch(self, owner: Any, name: str) -> None:
        plain = getattr(owner, name)

        def counted(*arguments: Any, **named: Any) -> Any:
            self._count()
            made = plain(*arguments, **named)
            if owner is Plumbing and arguments[1] == self._since:
                self._since = ""
            self._count()
            return made

        setattr(owner, name, counted)

    def _count(self) -> None:
        if self._since:
            return
        if self._done == self._at:
            os.kill(os.getpid(), signal.SIGKILL)
        self._done += 1
        if self._shared:
            self._shared[:] = self._done.to_bytes(8)
