"""Which branch is shared: told from the refs of one repository, without asking any remote."""

from collections.abc import Iterable, Sequence
from typing import NamedTuple

from registry.errors import RegistryError

__all__ = ["REFS", "REMOTES", "NoSharedBranch", "Ref", "Tip", "read_refs", "remote_tip"]

REMOTES = "refs/remotes/"
REFS = (
    "for-each-ref",
    "--format=%(refname)%00%(objectname)%00%(symref)%00%(HEAD)%00%(upstream)",
    "refs/heads",
    "refs/remotes",
)


class NoSharedBranch(RegistryError):
    """There is a remote, but nothing says which of its branches is the shared one."""

    def __init__(self, branches: Sequence[str]) -> None:
        super().__init__(branches)
        self.branches = tuple(branches)

    def __str__(self) -> str:
        remote = self.branches[0].removeprefix(REMOTES).partition("/")[0]
        return (
            f"cannot tell which remote branch is shared among {', '.join(self.branches)}: "
            f"run git remote set-head {remote} --auto, or name it: git remote set-head {remote} BRANCH"
        )


class Tip(NamedTuple):
    """The commit that is shared, and how it was told."""

    ref: str
    """Full name of the ref; empty when HEAD is detached."""
    commit: str
    """Empty when there are no commits yet."""
    how: str
    """remote (the remote's default branch), branch (checked out, there is no remote), detached."""


class Ref(NamedTuple):
    """One line of REFS."""

    name: str
    commit: str
    target: str
    checked_out: str
    upstream: str


def read_refs(lines: Iterable[str]) -> list[Ref]:
    """Read the output of REFS."""
    return [Ref(*line.split("\0")) for line in lines]


def remote_tip(refs: Sequence[Ref]) -> Tip | None:
    """Tell the remote's default branch; None when there is no remote branch at all."""
    remote = {ref.name: ref for ref in refs if ref.name.startswith(REMOTES)}
    if not remote:
        return None
    upstream = next((ref.upstream for ref in refs if ref.checked_out == "*"), "")
    defaults = {name.removesuffix("HEAD"): ref.target for name, ref in remote.items() if ref.target}
    for name in (
        *(target for remote_name, target in defaults.items() if upstream.startswith(remote_name)),
        defaults.get(f"{REMOTES}origin/", ""),
        *(defaults.values() if len(defaults) == 1 else ()),
        upstream,
        f"{REMOTES}origin/main",
        f"{REMOTES}origin/master",
    ):
        if name in remote:
            return Tip(name, remote[name].commit, "remote")
    raise NoSharedBranch(sorted(remote))
