"""What writes is held to one repository, whatever the environment says."""

from collections.abc import Callable
from pathlib import Path

import pytest

from registry.store.git import ALWAYS, GitFailed
from registry.store.plumbing import Plumbing

Run = Callable[..., str]
ELSEWHERE = b"held elsewhere\n"


@pytest.fixture
def other(tmp_path: Path, git: Run) -> Path:
    """Another repository, with one object of its own."""
    folder = tmp_path / "other"
    folder.mkdir()
    git(folder, "init", "--quiet")
    git(folder, "hash-object", "-w", "--stdin", given=ELSEWHERE.decode())
    return folder


@pytest.fixture
def plumbing(registry: Path) -> Plumbing:
    return Plumbing(registry, registry / ".git", registry / ".git")


def misled(monkeypatch: pytest.MonkeyPatch, name: str, value: object) -> None:
    monkeypatch.setenv(name, str(value))


def test_the_repository_is_the_one_named(
    registry: Path, plumbing: Plumbing, other: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    misled(monkeypatch, "GIT_DIR", other / ".git")
    assert plumbing.run("rev-parse", "--absolute-git-dir") == str(registry / ".git")


def test_the_folder_is_the_one_named(
    registry: Path, plumbing: Plumbing, other: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    misled(monkeypatch, "GIT_WORK_TREE", other)
    assert plumbing.run("rev-parse", "--show-toplevel") == str(registry)


def test_what_linked_folders_share_is_the_one_named(
    registry: Path, plumbing: Plumbing, other: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    misled(monkeypatch, "GIT_COMMON_DIR", other / ".git")
    shared = plumbing.run("rev-parse", "--git-common-dir")
    assert (registry / shared).resolve() == (registry / ".git").resolve()


def test_the_index_is_the_repositorys_own(
    plumbing: Plumbing, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    plain = plumbing.run("ls-files")
    misled(monkeypatch, "GIT_INDEX_FILE", tmp_path / "none")
    assert plumbing.run("ls-files") == plain != ""


def test_objects_are_written_where_they_belong(
    registry: Path, plumbing: Plumbing, other: Path, git: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    with monkeypatch.context() as patch:
        misled(patch, "GIT_OBJECT_DIRECTORY", other / ".git/objects")
        written = plumbing.run("hash-object", "-w", "--stdin", input=b"written\n")
    assert git(registry, "cat-file", "blob", written) == "written"


def test_objects_of_another_repository_are_not_taken_for_its_own(
    plumbing: Plumbing, other: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    name = plumbing.run("hash-object", "--stdin", input=ELSEWHERE)
    misled(monkeypatch, "GIT_ALTERNATE_OBJECT_DIRECTORIES", other / ".git/objects")
    with pytest.raises(GitFailed):
        plumbing.run("cat-file", "-e", name)


def test_branches_are_not_looked_for_in_a_namespace(
    plumbing: Plumbing, monkeypatch: pytest.MonkeyPatch
) -> None:
    plain = plumbing.run("ls-remote", ".")
    misled(monkeypatch, "GIT_NAMESPACE", "elsewhere")
    assert plumbing.run("ls-remote", ".") == plain != ""


def test_a_replacement_of_an_object_changes_nothing(registry: Path, plumbing: Plumbing, git: Run) -> None:
    new = git(registry, "hash-object", "-w", "--stdin", given="2\n")
    git(registry, "replace", git(registry, "rev-parse", "HEAD:records/a.json"), new)
    assert plumbing.run("cat-file", "blob", "HEAD:records/a.json") == "1"


@pytest.mark.parametrize("name", ALWAYS)
def test_what_keeps_answers_plain_is_set_for_writing_too(
    plumbing: Plumbing, name: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    misled(monkeypatch, name, "de_DE")
    shown = plumbing.run("-c", f"alias.shown=!printenv {name}", "shown")
    assert shown == ALWAYS[name]
