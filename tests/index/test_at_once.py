"""Two who read and build the read model at once, and builds that are broken off."""

import os
import signal
import sqlite3
import subprocess
import sys
import time
from pathlib import Path
from typing import Any

import pytest

from registry.index import opening
from registry.index.opening import IndexUnusable, opened, place_of
from registry.index.progress import silent
from registry.store.repository import Repository
from tests import small
from tests.index.branch import Branch
from tests.index.held import anew, built_anew, file_of, tables

MODE = small.mode_path(small.MODE)
HEAVIER: dict[str, Any] = {"title": "Heavier", "revision": 2}

OPEN = """
import sys
from pathlib import Path
from registry.question.registry import Registry
from tests.index.held import tables

import registry.index.build
print("ready", flush=True)
for line in sys.stdin:
    asked = Registry(Path(sys.argv[1]), {})
    print(asked.commit, hash(repr(tables(asked.model.db))), flush=True)
"""


class Other:
    """Another process that opens the registry each time it is told to."""

    def __init__(self, folder: Path) -> None:
        self.process = subprocess.Popen(
            [sys.executable, "-c", OPEN, str(folder)],
            env=os.environ | {"PYTHONHASHSEED": "1", "PYTHONPATH": "."},
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            text=True,
        )
        assert self.process.stdout is not None
        assert self.process.stdin is not None
        self.says, self.told = self.process.stdout, self.process.stdin
        assert self.says.readline() == "ready\n"

    def open(self) -> None:
        self.told.write("open\n")
        self.told.flush()

    def end(self) -> None:
        self.told.close()
        assert self.process.wait() == 0
        self.says.close()


def test_two_that_build_and_bring_up_to_date_at_once_hold_the_same(branch: Branch) -> None:
    others = [Other(branch.folder), Other(branch.folder)]
    for number in range(6):
        if number in (2, 3):
            file_of(branch).unlink()
        branch.land({MODE: {"title": f"Step {number}", "revision": number + 2}})
        for other in others:
            other.open()
        said = [other.says.readline() for other in others]
        assert said[0] == said[1]
        assert said[0].startswith(branch.git("rev-parse", "HEAD"))
    for other in others:
        other.end()
    assert tables(branch.model().db) == anew(branch)
    assert [path.name for path in file_of(branch).parent.iterdir()] == ["read-model.sqlite"]


def test_whoever_reads_keeps_one_state_while_another_brings_it_up_to_date(branch: Branch) -> None:
    reading = branch.model()
    before = tables(reading.db)
    other = Other(branch.folder)
    for number in range(3):
        branch.land({MODE: {"title": f"Step {number}", "revision": number + 2}})
        other.open()
        assert other.says.readline().startswith(branch.git("rev-parse", "HEAD"))
        assert tables(reading.db) == before
    other.end()
    assert tables(branch.model().db) == anew(branch)


def test_linked_worktrees_share_one_file_and_each_gets_its_own_answer(branch: Branch, tmp_path: Path) -> None:
    branch.git("worktree", "add", "-q", "-b", "trial", str(tmp_path / "linked"))
    branch.land({MODE: HEAVIER})
    here, there = Repository(branch.folder), Repository(tmp_path / "linked")
    assert place_of(here, {}) == place_of(there, {}) == file_of(branch)
    for _ in range(2):
        for repository in (here, there):
            tip = repository.shared().commit
            assert tables(opened(repository, tip, {}, silent).db) == built_anew(repository, tip)


# -- builds that are broken off ----------------------------------------------------------------------------

KILLED = """
import importlib, os, signal, sys
from pathlib import Path
from registry.question.registry import Registry

folder, owner, name, when = sys.argv[1:]
module, _, inner = owner.partition(":")
owner = importlib.import_module(module)
owner = getattr(owner, inner) if inner else owner
whole, calls = getattr(owner, name), 0

def once(*args, **more):
    global calls
    calls += 1
    if when == "before" and calls == 2 or when == "first":
        os.kill(os.getpid(), signal.SIGKILL)
    done = whole(*args, **more)
    if when == "after":
        os.kill(os.getpid(), signal.SIGKILL)
    return done

setattr(owner, name, once)
Registry(Path(folder), {}).model
"""

POINTS = [
    ("registry.index.build", "_row", "before"),
    ("registry.index.build", "_read_facts", "after"),
    ("registry.index.subjects:Subjects", "add", "before"),
    ("registry.index.build", "refresh", "after"),
    ("pathlib:Path", "replace", "first"),
    ("pathlib:Path", "replace", "after"),
]


@pytest.mark.parametrize("upon", ["nothing", "an earlier one"])
@pytest.mark.parametrize("point", POINTS, ids=[f"{name}, {when}" for _, name, when in POINTS])
def test_a_build_killed_half_way_leaves_the_next_one_right(
    branch: Branch, point: tuple[str, str, str], upon: str
) -> None:
    if upon == "an earlier one":
        branch.model()
    changed = {path: document | {"revision": 2} for path, document in small._START.items()}  # noqa: SLF001
    branch.land(changed | {"records/second.txt": b"x"})
    before = file_of(branch).read_bytes() if file_of(branch).exists() else None
    killed = subprocess.run(
        [sys.executable, "-c", KILLED, str(branch.folder), *point],
        env=os.environ | {"PYTHONPATH": "."},
        check=False,
        capture_output=True,
    )
    assert killed.returncode == -signal.SIGKILL, killed.stderr.decode()
    moved = point[1:] == ("replace", "after")
    if not moved:
        assert (file_of(branch).read_bytes() if file_of(branch).exists() else None) == before
    assert len(list(file_of(branch).parent.glob("*.building"))) == (0 if moved else 1)
    assert tables(branch.model().db) == anew(branch)


def test_what_a_broken_build_left_is_swept_away_once_it_is_a_day_old(branch: Branch) -> None:
    file_of(branch).parent.mkdir()
    old, young, others = (
        file_of(branch).with_name(name)
        for name in ("read-model.sqlite.0a.building", "read-model.sqlite.0b.building", "else.building")
    )
    for file in (old, young, others):
        file.write_bytes(b"half")
        os.utime(file, (0, time.time() - (opening._STALE_S + 60 if file != young else 0)))  # noqa: SLF001
    assert tables(branch.model().db) == anew(branch)
    assert [old.exists(), young.exists(), others.exists()] == [False, True, True]


def test_a_build_that_fails_leaves_no_file(branch: Branch, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(*_: Any) -> None:
        raise sqlite3.OperationalError("database or disk is full")

    monkeypatch.setattr("registry.index.build.refresh", full)
    with pytest.raises(IndexUnusable, match="disk is full"):
        branch.model()
    assert list(file_of(branch).parent.iterdir()) == []
