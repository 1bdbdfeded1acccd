import subprocess
import sys
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from threading import Barrier
from typing import Any

import pytest

from registry.store.plumbing import Plumbing
from registry.store.repository import Repository
from registry.store.write import Overtaken, Series, Signature, commit

Run = Callable[..., str]

WRITER = """
import sys
from datetime import UTC, datetime
from pathlib import Path
from registry.store.plumbing import Plumbing
from registry.store.repository import Repository
from registry.store.write import Overtaken, Signature, commit

folder, name = Path(sys.argv[1]), sys.argv[2]
who = Signature(name, f"{name}@saltmarsh.example", datetime(2026, 2, 1, tzinfo=UTC))
overtaken = 0
for number in range(8):
    while True:
        repository = Repository(folder)
        try:
            files = {f"records/{name}-{number}.json": b"1\\n", f"records/{name}.json": b"%d\\n" % number}
            commit(repository, files, f"{name} {number}", author=who, onto=repository.head())
            break
        except Overtaken:
            overtaken += 1
print(overtaken)
"""


def just_before_the_branch_moves(monkeypatch: pytest.MonkeyPatch, act: Callable[[], None]) -> None:
    run = Plumbing.run

    def watched(self: Plumbing, *args: str, **more: Any) -> str:
        if args[0] == "update-ref":
            act()
        return run(self, *args, **more)

    monkeypatch.setattr(Plumbing, "run", watched)


def test_two_processes_that_write_at_once_lose_nothing(registry: Path, git: Run) -> None:
    names = ("mill-lane", "north-quay")
    writers = [
        subprocess.Popen(
            [sys.executable, "-c", WRITER, str(registry), name],
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            text=True,
        )
        for name in names
    ]
    ended = [writer.communicate() for writer in writers]
    assert [writer.returncode for writer in writers] == [0, 0], ended
    subjects = git(registry, "log", "--reverse", "--format=%s").split("\n")[1:]
    for name in names:
        assert [subject for subject in subjects if subject.startswith(name)] == [
            f"{name} {n}" for n in range(8)
        ]
    assert git(registry, "rev-list", "--count", "--first-parent", "HEAD") == "17"
    held = git(registry, "ls-tree", "-r", "--name-only", "HEAD").split("\n")
    assert {f"records/{name}-{number}.json" for name in names for number in range(8)} <= set(held)
    assert git(registry, "status", "--porcelain") == ""
    assert git(registry, "fsck", "--strict", "--no-dangling") == ""
    assert not list(registry.rglob(".litstock*"))
    assert not list((registry / ".git").glob("*.lock"))


@pytest.mark.parametrize("update_worktree", [True, False])
def test_of_two_that_finish_at_the_same_moment_one_is_overtaken_and_one_stands(
    registry: Path, git: Run, signature: Signature, update_worktree: bool
) -> None:
    start = git(registry, "rev-parse", "HEAD")
    together = Barrier(2)

    def write(name: str) -> str:
        with Series(Repository(registry)) as series:
            made = series.commit({f"records/{name}.json": b"1\n"}, name, author=signature)
            together.wait()
            try:
                return series.finish(update_worktree=update_worktree)
            except Overtaken as overtaken:
                return f"{made} overtaken on {overtaken.expected}"

    with ThreadPoolExecutor() as pool:
        ended = list(pool.map(write, ["b", "c"]))
    stands = [each for each in ended if "overtaken" not in each]
    assert len(stands) == 1
    assert sum(each.endswith(f" overtaken on {start}") for each in ended) == 1
    assert git(registry, "rev-parse", "HEAD") == stands[0]
    assert git(registry, "rev-parse", "HEAD^") == start
    if update_worktree:
        assert git(registry, "status", "--porcelain") == ""


def test_git_itself_committing_at_the_same_time_loses_nothing(
    registry: Path, git: Run, signature: Signature, monkeypatch: pytest.MonkeyPatch
) -> None:
    theirs: list[str] = []

    def late() -> None:
        # the index is held, so a porcelain commit cannot come in; a plumbing one can
        tree = git(registry, "rev-parse", "HEAD^{tree}")
        theirs.append(git(registry, "commit-tree", "-p", "HEAD", "-m", "theirs", tree, at=1767225600))
        git(registry, "update-ref", "refs/heads/main", theirs[0])

    just_before_the_branch_moves(monkeypatch, late)
    with pytest.raises(Overtaken, match="but expected"):
        commit(Repository(registry), {"records/deep/b.json": b"1\n"}, "ours", author=signature)
    assert git(registry, "rev-parse", "HEAD") == theirs[0]
    assert git(registry, "status", "--porcelain") == ""
    assert not (registry / "records/deep").exists()


def test_a_person_cannot_change_the_index_while_a_commit_is_under_way(
    registry: Path, git: Run, signature: Signature, monkeypatch: pytest.MonkeyPatch
) -> None:
    refused = []

    def meanwhile() -> None:
        with pytest.raises(RuntimeError, match=r"index\.lock"):
            git(registry, "rm", "--cached", "--quiet", "records/a.json")
        refused.append(True)

    just_before_the_branch_moves(monkeypatch, meanwhile)
    commit(Repository(registry), {"records/b.json": b"1\n"}, "ours", author=signature)
    assert refused == [True]
    assert git(registry, "status", "--porcelain") == ""
