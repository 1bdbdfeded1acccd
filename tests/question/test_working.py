"""A working tree as git would keep it."""

import os
import re
from pathlib import Path

import pytest

from registry.errors import RegistryError
from registry.question.snapshots import CommitSnapshot, FolderSnapshot
from registry.question.working import WorkingSnapshot
from registry.store.bounded import read_file
from registry.store.repository import Repository
from tests.index.branch import Branch

A, B, REGISTRY = "records/printers/a.json", "records/printers/b.json", "records/registry.json"


@pytest.fixture
def landed(branch: Branch) -> Branch:
    branch.land({A: b"1\n", B: b"2\n", ".gitattributes": b"*.txt -text\n", "docs/notes.md": b"words\n"})
    return branch


def working(branch: Branch) -> WorkingSnapshot:
    return WorkingSnapshot(Repository(branch.folder))


def told(branch: Branch) -> tuple[list[str], dict[str, str]]:
    snapshot = working(branch)
    return sorted(snapshot.paths()), dict(snapshot.refused())


def test_an_untouched_working_tree_is_the_commit(landed: Branch) -> None:
    repository = Repository(landed.folder)
    committed, lying = CommitSnapshot(repository, repository.head()), working(landed)
    assert sorted(lying.paths()) == sorted(committed.paths()) == [A, B, REGISTRY]
    assert {path: lying.read(path) for path in lying.paths()} == {
        path: committed.read(path) for path in committed.paths()
    }
    assert lying.checkout()[:2] == committed.checkout()[:2]
    assert lying.checkout().top == {".gitattributes": "", "docs": "folder", "records": "folder"}
    assert not lying.differs_from(repository.head())
    with pytest.raises(KeyError):
        lying.read("records/none.json")


def test_what_is_as_git_holds_it_is_not_read_from_git(
    landed: Branch, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(Repository, "blobs", None)
    snapshot = working(landed)
    assert [snapshot.read(path) for path in (A, B)] == [b"1\n", b"2\n"]
    assert {*snapshot.held.values()} >= {b"1\n", b"2\n"}


def test_what_is_changed_new_or_gone_is_told(landed: Branch) -> None:
    (landed.folder / A).write_bytes(b"3\n")
    (landed.folder / B).unlink()
    new = 'records/printers/new\n"one" \\.json'
    (landed.folder / new).write_bytes(b"4\n")
    snapshot = working(landed)
    assert sorted(snapshot.paths()) == [A, new, REGISTRY]
    assert (snapshot.read(A), snapshot.read(new)) == (b"3\n", b"4\n")
    assert snapshot.differs_from(landed.git("rev-parse", "HEAD"))


def test_what_is_staged_counts_as_it_lies_there(landed: Branch) -> None:
    (landed.folder / A).write_bytes(b"3\n")
    landed.git("add", "-A")
    assert working(landed).read(A) == b"3\n"
    (landed.folder / A).write_bytes(b"1\n")
    assert working(landed).read(A) == b"1\n"
    landed.git("rm", "-q", "--cached", B)
    assert sorted(working(landed).paths()) == [A, B, REGISTRY]
    landed.git("commit", "-q", "-m", "staged")
    assert working(landed).differs_from("HEAD~1")


def test_an_index_that_is_not_the_commit_differs_though_git_sees_no_change(landed: Branch) -> None:
    blob = landed.git("hash-object", "-w", "--stdin", given=b"9\n")
    landed.git("update-index", "--cacheinfo", f"100644,{blob},docs/notes.md")
    assert working(landed).differs_from("HEAD")


@pytest.mark.parametrize("path", [A, "records/printers/new.json"])
def test_what_is_no_file_is_refused_where_a_file_was_and_where_none_was(landed: Branch, path: str) -> None:
    place = landed.folder / path
    place.unlink(missing_ok=True)
    place.symlink_to("b.json")
    assert told(landed)[1] == {path: "symlink"}
    place.unlink()
    landed.git("init", "-q", str(place))
    assert path not in told(landed)[0]  # nothing is committed in it, so nothing of it could land
    landed.git("-C", str(place), "commit", "-q", "--allow-empty", "-m", "inner")
    assert told(landed)[1] == {path: "submodule"}


def test_a_pipe_in_the_place_of_a_file_is_named_and_not_read(landed: Branch) -> None:
    (landed.folder / A).unlink()
    os.mkfifo(landed.folder / A)
    assert told(landed) == ([B, REGISTRY], {A: "device or pipe"})


def test_a_folder_in_the_place_of_a_file_and_the_other_way_round(landed: Branch) -> None:
    (landed.folder / A).unlink()
    (landed.folder / A).mkdir()
    (landed.folder / A / "c.json").write_bytes(b"3\n")
    assert told(landed) == ([f"{A}/c.json", B, REGISTRY], {})
    landed.git("add", "-A")
    landed.git("commit", "-q", "-m", "a folder")
    landed.git("rm", "-q", "-r", A)
    (landed.folder / A).write_bytes(b"1\n")
    assert told(landed) == ([A, B, REGISTRY], {})


def test_a_link_in_the_place_of_the_records_is_refused(landed: Branch) -> None:
    (landed.folder / "records").rename(landed.folder / "elsewhere")
    (landed.folder / "records").symlink_to("elsewhere")
    assert told(landed) == ([], {"records": "symlink"})


@pytest.mark.parametrize("what", ["symlink", "submodule", "gone"])
def test_attributes_that_are_no_file_say_nothing(landed: Branch, what: str) -> None:
    place = landed.folder / ".gitattributes"
    place.unlink()
    if what == "symlink":
        place.symlink_to("docs/notes.md")
    if what == "submodule":
        landed.git("init", "-q", str(place))
        landed.git("-C", str(place), "commit", "-q", "--allow-empty", "-m", "inner")
    checkout = working(landed).checkout()
    assert (checkout.attributes, checkout.top.get(".gitattributes", "gone")) == (b"", what)
    assert told(landed)[1] == {}


def test_before_the_first_commit_what_lies_there_is_all(tmp_path: Path) -> None:
    branch = Branch.__new__(Branch)
    branch.folder = tmp_path
    branch.git("init", "-q", "--template=")
    (tmp_path / "records").mkdir()
    (tmp_path / REGISTRY).write_bytes(b"{}\n")
    assert working(branch).read(REGISTRY) == b"{}\n"


def test_what_may_not_be_read_is_said(landed: Branch, monkeypatch: pytest.MonkeyPatch) -> None:
    snapshot = working(landed)

    def refusing(path: Path, limit: int) -> bytes:
        if path.name == "a.json":
            raise PermissionError(13, "Permission denied", str(path))
        return read_file(path, limit)

    monkeypatch.setattr("registry.question.working.read_file", refusing)
    assert snapshot.read(B) == b"2\n"
    with pytest.raises(RegistryError, match=re.escape("a.json' cannot be read (Permission denied)")):
        snapshot.read(A)


def test_a_plain_folder_has_nothing_to_do_with_a_checkout(landed: Branch) -> None:
    checkout = FolderSnapshot(landed.folder).checkout()
    assert (checkout.top, checkout.attributes, checkout.altered(A)) == ({}, b"", None)
