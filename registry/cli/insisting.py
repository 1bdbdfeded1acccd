"""A command that writes begins anew where somebody else was first, upon what is there then.

The second time it holds the turn, so no other litstock comes in between; git itself still may, a few times.
"""

import os
import time
from collections.abc import Callable, Iterable
from pathlib import Path

from registry.errors import RegistryError
from registry.store.repository import Repository
from registry.store.turn import turn

__all__ = ["Behind", "FirstWas", "insisted", "refuse_met"]

_TRIES = 8


class Behind(RegistryError):
    """The branch has moved since a contribution was worked out."""

    def __init__(self, git_dir: Path, ref: str) -> None:
        super().__init__(git_dir, ref)
        self.git_dir = git_dir
        self.ref = ref

    def __str__(self) -> str:
        return (
            f"others kept committing to {self.ref} while this was written, {_TRIES} times: nothing was "
            "changed; run the same command again when they have ended"
        )


class FirstWas(RegistryError):
    """Somebody else has changed the same record in between."""

    def __init__(self, path: str, who: str, commit: str, subject: str) -> None:
        super().__init__(path, who, commit, subject)
        self.path = path
        self.who = who
        self.commit = commit
        self.subject = subject

    def __str__(self) -> str:
        return (
            f"{self.path}: {self.who} was first, with commit {self.commit[:12]} ({self.subject!r}): nothing "
            "was written; look at what changed there, then run the command again if it still holds"
        )


def insisted(make: Callable[[], None]) -> None:
    """Make a contribution; where the branch has moved meanwhile, from its beginning, and in its turn."""
    try:
        make()
    except Behind as behind:
        again = behind
    else:
        return
    with turn(again.git_dir):
        for _ in range(_TRIES - 1):
            try:
                make()
            except Behind as behind:
                again = behind
                time.sleep(os.urandom(1)[0] / 1000)
            else:
                return
    raise again


def refuse_met(repository: Repository, paths: Iterable[str], old: str) -> None:
    """Refuse to write over what somebody else has changed since a commit: a new file meets nobody."""
    head = repository.head()
    before, now = repository.tree(old), repository.tree(head)
    for path in paths:
        if path in before and before[path] != now.get(path):
            raise FirstWas(path, *repository.last_change(path, head))
