"""Drafts: records as they stand in one checkout and not yet on the shared branch."""

from typing import NamedTuple

from registry.store.git import Git
from registry.store.walk import RECORDS, path_text, raw_changes

__all__ = ["STATUS", "Draft", "find_drafts", "read_status"]

STATUS = (
    *("status", "--porcelain=v2", "-z", "--no-renames", "--ignore-submodules=none"),
    "--untracked-files=all",
)
DIFF = ("diff-tree", "-r", "--raw", "-z", "--no-renames", "--no-abbrev", "--ignore-submodules=none")
STATES = {"A": "added", "D": "missing"}


class Draft(NamedTuple):
    """One record that differs from what has landed."""

    path: str
    state: str
    """added, changed, missing."""
    where: str
    """working tree; committed, not landed."""


def find_drafts(git: Git, shared: str, head: str) -> list[Draft]:
    """List what HEAD holds beyond the shared commit, and what the working tree holds beyond HEAD."""
    committed = _unlanded(git, shared, head) if head not in {"", shared} else {}
    loose = read_status(git.run(*STATUS, "--", RECORDS))
    return [
        *(Draft(path, state, "committed, not landed") for path, state in sorted(committed.items())),
        *(Draft(path, state, "working tree") for path, state in sorted(loose)),
    ]


def _unlanded(git: Git, shared: str, head: str) -> dict[str, str]:
    """Tell what the commits beyond the fork changed, unless the shared commit came to hold just the same."""
    base = git.ask("merge-base", shared, head)
    differs = _diff(git, shared, head)
    ours = _diff(git, base.decode().strip(), head) if base else differs
    return {path: state for path, state in differs.items() if path in ours}


def _diff(git: Git, old: str, new: str) -> dict[str, str]:
    raw = git.run(*DIFF, old, new, "--", RECORDS).split(b"\0")[:-1]
    return {change.path: STATES.get(change.status, "changed") for change in raw_changes(raw)}


def read_status(porcelain: bytes) -> list[tuple[str, str]]:
    r"""Read the output of STATUS: paths with their state against HEAD; of ignored ones "ignored".

    >>> read_status(b"? records/new.json\0! build/\0")
    [('records/new.json', 'added'), ('build/', 'ignored')]
    """
    states: dict[str, str] = {}
    for line in porcelain.split(b"\0")[:-1]:
        path, state = _entry(line)
        # taken out of the index, yet still on disk: both are said of one path
        states[path] = "changed" if path in states else state
    return list(states.items())


def _entry(line: bytes) -> tuple[str, str]:
    kind = line[:1]
    if kind in b"?!":
        return path_text(line[2:]), "added" if kind == b"?" else "ignored"
    if kind == b"u":
        return path_text(line.split(b" ", 10)[10]), "changed"
    _, _, _, at_head, _, on_disk, _, _, path = line.split(b" ", 8)
    if on_disk == b"000000":
        return path_text(path), "missing"
    return path_text(path), "added" if at_head == b"000000" else "changed"
