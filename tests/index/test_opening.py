"""The file of the read model: where it lies, when it is made anew, and what may happen to it meanwhile."""

import os
import shutil
import sqlite3
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from registry.index import opening, seal
from registry.index.opening import IndexUnusable, opened, place_of
from registry.index.progress import silent
from registry.index.reading import DamagedIndex
from registry.index.seal import is_sealed
from registry.index.tables import TABLES
from registry.shipped import shipped
from registry.store.repository import Repository
from tests import small
from tests.index.branch import Branch
from tests.index.held import anew, file_of, tables

MODE = small.mode_path(small.MODE)
HEAVIER: dict[str, Any] = {"title": "Heavier", "revision": 2}


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


def test_a_folder_may_be_called_anything(tmp_path: Path, builds: list[str]) -> None:
    odd = Branch(tmp_path / "a ?b=c&d#e %41 µ;")
    odd.model()
    assert odd.model().named("registry")[0].title == "Branch"
    assert builds == ["anew"]


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


@pytest.mark.parametrize("change", ["version", "schema", "derived.py", "index/facets.py", "index/tables.py"])
def test_another_program_or_schema_or_form_builds_anew(
    branch: Branch, builds: list[str], monkeypatch: pytest.MonkeyPatch, tmp_path: Path, change: str
) -> None:
    branch.model()
    if change == "version":
        monkeypatch.setattr(opening, "__version__", "99.0")
    elif change.endswith(".py"):
        package = tmp_path / "package"
        shutil.copytree(opening._PACKAGE, package)  # noqa: SLF001
        (package / change).write_bytes((package / change).read_bytes() + b"# other\n")
        monkeypatch.setattr(opening, "_PACKAGE", package)
    else:
        (tmp_path / "schema").mkdir()
        for file in shipped("schema").glob("*.json"):
            (tmp_path / "schema" / file.name).write_bytes(file.read_bytes().replace(b"Beside", b"By"))
        (tmp_path / "schema" / "printer.json").write_bytes(b"{}")
        monkeypatch.setattr(opening, "shipped", lambda name: tmp_path / name)
    branch.model()
    branch.model()
    assert builds == ["anew", "anew"]


def test_everything_that_makes_the_read_model_is_looked_at() -> None:
    program = "import sys, registry.index.build; print(*sys.modules)"
    asked = [sys.executable, "-c", program]
    loaded = subprocess.run(asked, capture_output=True, text=True, check=True).stdout.split()
    package = opening._PACKAGE  # noqa: SLF001
    ours = [name.removeprefix("registry.").replace(".", "/") for name in loaded if name[:9] == "registry."]
    used = {f"{name}.py" for name in ours if (package / f"{name}.py").is_file()}
    # The same bytes are the same document whoever reads them, so how they are read and kept is left out.
    makers = {name for name in used if not name.startswith(("canonical/", "store/", "errors.", "shipped."))}
    looked_at = {path.relative_to(package).as_posix() for path in opening._makers()}  # noqa: SLF001
    assert ("derived.py" in makers, makers - looked_at) == (True, set())


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


def test_what_is_done_to_a_small_file_while_it_is_asked_changes_no_answer(branch: Branch) -> None:
    held = tables(branch.model().db)
    model = branch.model()
    _scribbled(file_of(branch), "facet")
    assert tables(model.db) == held
    assert tables(branch.model().db) == held


def test_damage_that_shows_only_while_reading_is_said_and_mended_by_asking_again(
    branch: Branch, monkeypatch: pytest.MonkeyPatch
) -> None:
    held = tables(branch.model().db)
    monkeypatch.setattr(seal, "_SMALL", 0)  # a large file is read where it lies
    model = branch.model()
    _scribbled(file_of(branch), "facet")
    with pytest.raises(DamagedIndex, match=r"was damaged .* and is removed: ask again") as caught:
        model.holding("print-mode", {"lighting": "backlit"})
    assert str(file_of(branch)) in str(caught.value)
    assert caught.value.exit_code == 3
    assert not file_of(branch).exists()
    assert tables(branch.model().db) == held


def test_damage_further_on_is_said_too_and_a_wrong_query_is_no_damage(branch: Branch) -> None:
    numbers = {f"records/printers/p-{number}.json": {"title": "x" * 300} for number in range(60)}
    branch.land(numbers)
    model = branch.model()
    data = bytearray(file_of(branch).read_bytes())
    found = [place for place in range(0, len(data), 4096) if b"p-59" in data[place : place + 4096]]
    for place in found:
        data[place : place + 4096] = b"\x7f" * 4096
    file_of(branch).write_bytes(data)
    with pytest.raises(DamagedIndex):
        tables(model.db)
    with pytest.raises(sqlite3.OperationalError, match="no such table"):
        model.db.execute("SELECT * FROM elsewhere")


def test_a_text_that_became_none_while_it_was_read_is_said_as_damage(branch: Branch) -> None:
    model = branch.model()
    data = file_of(branch).read_bytes()
    file_of(branch).write_bytes(data.replace(b"mill-lane", b"mill\xff\xfeane"))
    with pytest.raises(DamagedIndex, match="UTF-8"):
        tables(model.db)


@pytest.mark.parametrize("small", [1 << 30, 0], ids=["as a small file", "as a large one"])
def test_a_single_flipped_bit_anywhere_is_seen(
    branch: Branch, monkeypatch: pytest.MonkeyPatch, small: int
) -> None:
    monkeypatch.setattr("registry.index.seal._SMALL", small)
    branch.model().close()
    whole = file_of(branch).read_bytes()
    assert is_sealed(file_of(branch))
    for bit in (0, 8 * 60 + 1, 8 * 100, 4 * len(whole), 8 * len(whole) - 1):
        data = bytearray(whole)
        data[bit // 8] ^= 1 << bit % 8
        file_of(branch).write_bytes(data)
        assert not is_sealed(file_of(branch)), bit
    file_of(branch).write_bytes(whole)
    assert is_sealed(file_of(branch))


def test_a_large_file_that_nobody_touched_is_not_summed_up_again(
    branch: Branch, monkeypatch: pytest.MonkeyPatch
) -> None:
    summed: list[int] = []
    plain = seal._sum  # noqa: SLF001
    monkeypatch.setattr(seal, "_SMALL", 0)

    def watched(file: int) -> int:
        summed.append(file)
        return plain(file)

    monkeypatch.setattr(seal, "_sum", watched)
    branch.model().close()
    summed.clear()
    branch.model().close()
    assert summed == []
    file_of(branch).touch()
    branch.model().close()
    assert len(summed) == 1
    branch.model().close()
    assert len(summed) == 1


@pytest.mark.parametrize("kind", ["folder", "pipe"])
def test_what_is_no_file_gives_way_to_the_read_model(branch: Branch, kind: str) -> None:
    held = tables(branch.model().db)
    file_of(branch).unlink()
    file_of(branch).mkdir() if kind == "folder" else os.mkfifo(file_of(branch))
    assert tables(branch.model().db) == held
    assert file_of(branch).is_file()


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
