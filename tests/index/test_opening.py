"""The file of the read model: where it lies, when it is made anew, and what may happen to it meanwhile."""

import os
import shutil
import signal
import sqlite3
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from registry.index import opening
from registry.index.opening import IndexUnusable, opened, place_of
from registry.index.progress import silent
from registry.index.reading import DamagedIndex
from registry.index.tables import TABLES
from registry.shipped import shipped
from registry.store.repository import Repository
from tests import small
from tests.index.branch import Branch
from tests.index.held import built_anew, tables

MODE = small.mode_path(small.MODE)
HEAVIER: dict[str, Any] = {"title": "Heavier", "revision": 2}


@pytest.fixture(scope="module")
def _pattern(tmp_path_factory: pytest.TempPathFactory) -> Path:
    branch = Branch(tmp_path_factory.mktemp("pattern") / "registry")
    branch.land({path: document | {"revision": 1} for path, document in small._START.items()})  # noqa: SLF001
    branch.land({"records/guidance/heavy-ink.json": HEAVIER, "records/notes.txt": b"words"})
    return branch.folder


@pytest.fixture
def branch(_pattern: Path, tmp_path: Path) -> Branch:
    return Branch(Path(shutil.copytree(_pattern, tmp_path / "registry")))


def file_of(branch: Branch) -> Path:
    return branch.folder / ".git" / "litstock" / "read-model.sqlite"


def anew(branch: Branch) -> dict[str, list[tuple[Any, ...]]]:
    return built_anew(Repository(branch.folder), branch.git("rev-parse", "HEAD"))


@pytest.fixture
def builds(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """What was built from now on: "anew" or "copied"."""
    done: list[str] = []
    built = opening._built  # noqa: SLF001

    def counted(*args: Any, copied: bool) -> sqlite3.Connection:
        done.append("copied" if copied else "anew")
        return built(*args, copied=copied)

    monkeypatch.setattr(opening, "_built", counted)
    return done


def test_it_is_built_once_and_then_only_brought_up_to_date(branch: Branch, builds: list[str]) -> None:
    branch.model()
    branch.model()
    assert builds == ["anew"]
    branch.land({"records/notes.txt": b"other words"})
    branch.model()
    assert builds == ["anew", "copied"]
    assert [path.name for path in file_of(branch).parent.iterdir()] == ["read-model.sqlite"]


def test_a_branch_that_was_forced_back_is_read_anew(branch: Branch, builds: list[str]) -> None:
    branch.model()
    branch.git("reset", "--quiet", "--hard", "HEAD~1")
    assert tables(branch.model().db) == anew(branch)
    branch.land({MODE: HEAVIER})
    assert tables(branch.model().db) == anew(branch)
    assert builds == ["anew", "copied", "anew", "copied"]


def test_deleting_the_cache_at_any_time_loses_nothing(branch: Branch) -> None:
    held = tables(branch.model().db)
    model = branch.model()
    file_of(branch).unlink()
    assert tables(model.db) == held  # whoever reads keeps what it has
    file_of(branch).parent.rmdir()
    assert tables(branch.model().db) == held


@pytest.mark.parametrize("change", ["version", "schema", "tables"])
def test_another_program_or_schema_or_form_builds_anew(
    branch: Branch, builds: list[str], monkeypatch: pytest.MonkeyPatch, tmp_path: Path, change: str
) -> None:
    branch.model()
    if change == "version":
        monkeypatch.setattr(opening, "__version__", "99.0")
    elif change == "tables":
        monkeypatch.setattr(opening, "TABLES", f"{TABLES} -- other")
    else:
        (tmp_path / "schema").mkdir()
        for file in shipped("schema").glob("*.json"):
            (tmp_path / "schema" / file.name).write_bytes(file.read_bytes().replace(b"Beside", b"By"))
        (tmp_path / "schema" / "printer.json").write_bytes(b"{}")
        monkeypatch.setattr(opening, "shipped", lambda name: tmp_path / name)
    branch.model()
    branch.model()
    assert builds == ["anew", "anew"]


def _foreign(file: Path, *statements: str) -> None:
    file.unlink()
    with sqlite3.connect(file) as db:
        for statement in statements:
            db.execute(statement)
    db.close()


def _cut(file: Path) -> None:
    file.write_bytes(file.read_bytes()[: file.stat().st_size // 2])


def _scribbled(file: Path, table: str) -> None:
    """Spoil the first page of one table."""
    with sqlite3.connect(file) as db:
        root = db.execute("SELECT rootpage FROM sqlite_schema WHERE name = ?", (table,)).fetchone()[0]
        size = db.execute("PRAGMA page_size").fetchone()[0]
    db.close()
    data = bytearray(file.read_bytes())
    data[(root - 1) * size : root * size] = b"\x7f" * size
    file.write_bytes(data)


DAMAGE: dict[str, Callable[[Path], object]] = {
    "empty": lambda file: file.write_bytes(b""),
    "text": lambda file: file.write_text("not a database at all\n" * 400),
    "cut short": _cut,
    "a header and nothing": lambda file: file.write_bytes(file.read_bytes()[:100]),
    "another's": lambda file: _foreign(file, "CREATE TABLE made (key)", "INSERT INTO made VALUES ('x')"),
    "without tables": lambda file: _foreign(file, "CREATE TABLE other (a)"),
    "a journal beside it": lambda file: file.with_name(f"{file.name}-journal").write_bytes(os.urandom(5000)),
    "a log beside it": lambda file: file.with_name(f"{file.name}-wal").write_bytes(os.urandom(5000)),
}


@pytest.mark.parametrize("damage", list(DAMAGE))
def test_a_damaged_or_foreign_file_is_built_anew(branch: Branch, damage: str) -> None:
    held = tables(branch.model().db)
    DAMAGE[damage](file_of(branch))
    assert tables(branch.model().db) == held
    branch.land({MODE: HEAVIER})
    assert tables(branch.model().db) == anew(branch)


def test_damage_that_shows_only_while_reading_is_said_and_mended_by_asking_again(branch: Branch) -> None:
    held = tables(branch.model().db)
    _scribbled(file_of(branch), "facet")
    model = branch.model()
    with pytest.raises(DamagedIndex, match=r"was damaged .* and is removed: ask again") as caught:
        model.holding("print-mode", {"lighting": "backlit"})
    assert str(file_of(branch)) in str(caught.value)
    assert caught.value.exit_code == 3
    assert not file_of(branch).exists()
    assert tables(branch.model().db) == held


def test_damage_further_on_is_said_too_and_a_wrong_query_is_no_damage(branch: Branch) -> None:
    numbers = {f"records/printers/p-{number}.json": {"title": "x" * 300} for number in range(60)}
    branch.land(numbers)
    branch.model()
    data = bytearray(file_of(branch).read_bytes())
    found = [place for place in range(0, len(data), 4096) if b"p-59" in data[place : place + 4096]]
    for place in found:
        data[place : place + 4096] = b"\x7f" * 4096
    file_of(branch).write_bytes(data)
    model = branch.model()
    with pytest.raises(DamagedIndex):
        tables(model.db)
    with pytest.raises(sqlite3.OperationalError, match="no such table"):
        model.db.execute("SELECT * FROM elsewhere")


def test_a_damaged_file_is_not_built_upon(branch: Branch) -> None:
    branch.model()
    _scribbled(file_of(branch), "revision")
    branch.land({MODE: HEAVIER})
    assert tables(branch.model().db) == anew(branch)


def test_what_cannot_be_written_is_said_with_what_to_do(branch: Branch) -> None:
    folder = file_of(branch).parent
    folder.write_text("a file where the folder should be")
    with pytest.raises(
        IndexUnusable, match=r"cannot be built .* make room, or see that you may write"
    ) as caught:
        branch.model()
    assert str(file_of(branch)) in str(caught.value)
    assert caught.value.exit_code == 3


def test_who_may_not_write_in_the_repository_has_it_in_the_cache_folder(
    branch: Branch, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    may = os.access

    def no_writing_in_the_repository(path: Any, mode: int) -> bool:
        return not (mode & os.W_OK and Path(path).is_relative_to(branch.folder)) and may(path, mode)

    monkeypatch.setattr(os, "access", no_writing_in_the_repository)
    repository = Repository(branch.folder)
    environ = {"XDG_CACHE_HOME": str(tmp_path / "cache")}
    model = opened(repository, repository.head(), environ, silent)
    assert place_of(repository, environ).parent == tmp_path / "cache" / "litstock"
    assert tables(model.db) == anew(branch)
    assert not file_of(branch).exists()
    other = Branch(tmp_path / "other")
    monkeypatch.setattr(os, "access", lambda *_: False)
    assert place_of(Repository(other.folder), environ).name != place_of(repository, environ).name


@pytest.mark.parametrize("named", ["", "relative/cache"])
def test_a_cache_folder_that_is_not_absolute_is_ignored(
    branch: Branch, monkeypatch: pytest.MonkeyPatch, named: str
) -> None:
    # XDG Base Directory Specification 0.8, "Basics": "consider the path invalid and ignore it"
    monkeypatch.setattr(os, "access", lambda *_: False)
    monkeypatch.setenv("HOME", "/home/quay")
    place = place_of(Repository(branch.folder), {"XDG_CACHE_HOME": named})
    assert place.parent == Path("/home/quay/.cache/litstock")


def test_who_has_no_home_either_is_told_to_name_a_folder(
    branch: Branch, monkeypatch: pytest.MonkeyPatch
) -> None:
    def homeless(_: type[Path]) -> Path:
        raise RuntimeError("Could not determine home directory.")  # what pathlib says

    monkeypatch.setattr(os, "access", lambda *_: False)
    monkeypatch.setattr(Path, "home", classmethod(homeless))
    with pytest.raises(IndexUnusable, match=r"home directory.*XDG_CACHE_HOME names another folder"):
        branch.model()


# -- two at once -------------------------------------------------------------------------------------------

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


def test_a_file_that_another_program_put_there_meanwhile_is_not_built_upon(
    branch: Branch, monkeypatch: pytest.MonkeyPatch
) -> None:
    branch.model()
    branch.land({MODE: HEAVIER})
    built = opening._built  # noqa: SLF001

    def overtaken(path: Path, *args: Any, copied: bool) -> sqlite3.Connection:
        if copied:
            _foreign(path, *TABLES.split(";\n")[:2], "INSERT INTO made VALUES ('other', 'other')")
        return built(path, *args, copied=copied)

    monkeypatch.setattr(opening, "_built", overtaken)
    assert tables(branch.model().db) == anew(branch)


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


# -- what a clone has ----------------------------------------------------------------------------------------


def test_fetching_more_of_the_history_builds_anew_at_the_same_tip(branch: Branch, tmp_path: Path) -> None:
    subprocess.run(
        ["git", "clone", "-q", "--depth=1", f"file://{branch.folder}", str(tmp_path / "clone")], check=True
    )
    repository = Repository(tmp_path / "clone")
    tip = repository.shared().commit
    assert len(opened(repository, tip, {}, silent).landings()) == 1
    subprocess.run(["git", "fetch", "-q", "--unshallow"], cwd=tmp_path / "clone", check=True)
    repository = Repository(tmp_path / "clone")
    assert len(opened(repository, tip, {}, silent).landings()) == 3


def test_what_is_being_done_is_told(branch: Branch) -> None:
    said: list[tuple[str, int]] = []
    repository = Repository(branch.folder)
    opened(repository, repository.head(), {}, lambda doing, done: said.append((doing, done)))
    assert [doing for doing, _ in said] == ["reading revisions", "reading records", "indexing"]
    assert said[-1][1] == len(small._START)  # noqa: SLF001
