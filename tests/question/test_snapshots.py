import os
import subprocess
from pathlib import Path

import pytest

from registry.errors import RegistryError
from registry.question.snapshots import CommitSnapshot, FolderSnapshot
from registry.store.repository import Repository
from tests.index.branch import Branch

FILES = {"records/printers/wide.json": b"{}", "records/notes.txt": b"words", "readme.txt": b"outside"}


@pytest.fixture
def mixed(branch: Branch) -> Branch:
    """Files, a link to a file, a link to a folder, and a repository within; all committed."""
    branch.land(FILES)
    below = branch.folder / "records"
    (below / "link.json").symlink_to("registry.json")
    (below / "folder").symlink_to("printers")
    inner = below / "inner"
    subprocess.run(["git", "init", "-q", str(inner)], check=True)
    (inner / "hidden.json").write_text("{}")
    subprocess.run(["git", "add", "."], cwd=inner, check=True)
    who = ("-c", "user.name=quay", "-c", "user.email=quay@saltmarsh.invalid")
    subprocess.run(["git", *who, "commit", "-q", "-m", "inner"], cwd=inner, check=True)
    branch.git("-c", "advice.addEmbeddedRepo=false", "add", "--all")
    branch.git("commit", "-q", "-m", "mixed")
    return branch


def snapshots(branch: Branch) -> tuple[CommitSnapshot, FolderSnapshot]:
    repository = Repository(branch.folder)
    return CommitSnapshot(repository, repository.head()), FolderSnapshot(branch.folder)


def test_a_commit_and_its_working_tree_hold_the_same_files(mixed: Branch) -> None:
    committed, lying = snapshots(mixed)
    expected = ["records/notes.txt", "records/printers/wide.json", "records/registry.json"]
    assert sorted(committed.paths()) == sorted(lying.paths()) == expected
    assert (
        committed.refused()
        == lying.refused()
        == {
            "records/folder": "symlink",
            "records/inner": "submodule",
            "records/link.json": "symlink",
        }
    )
    assert {path: committed.read(path) for path in expected} == {path: lying.read(path) for path in expected}


def test_a_link_in_the_place_of_the_folder_is_refused(mixed: Branch) -> None:
    (mixed.folder / "records").rename(mixed.folder / "elsewhere")
    (mixed.folder / "records").symlink_to("elsewhere")
    mixed.git("add", "--all")
    mixed.git("commit", "-q", "-m", "a link")
    for snapshot in snapshots(mixed):
        assert (list(snapshot.paths()), snapshot.refused()) == ([], {"records": "symlink"})


def test_what_was_loaded_is_not_read_again(mixed: Branch, monkeypatch: pytest.MonkeyPatch) -> None:
    committed, _ = snapshots(mixed)
    committed.load()
    monkeypatch.setattr(Repository, "blobs", None)
    assert committed.read("records/notes.txt") == b"words"


def test_what_a_commit_does_not_hold_as_a_file_is_none(mixed: Branch) -> None:
    committed, _ = snapshots(mixed)
    assert committed.get("records/notes.txt") == b"words"
    for path in ("records/none.json", "records/link.json", "records/inner", "readme.txt"):
        assert committed.get(path) is None
        with pytest.raises(KeyError):
            committed.read(path)


def test_before_the_first_commit_there_is_nothing(branch: Branch) -> None:
    nothing = CommitSnapshot(Repository(branch.folder), "")
    assert (list(nothing.paths()), nothing.refused(), nothing.get("records/registry.json")) == ([], {}, None)
    nothing.load()


def test_a_pipe_is_named_and_not_read(branch: Branch) -> None:
    os.mkfifo(branch.folder / "records" / "pipe.json")
    _, lying = snapshots(branch)
    assert (list(lying.paths()), lying.refused()) == (
        ["records/registry.json"],
        {"records/pipe.json": "device or pipe"},
    )


def test_what_may_not_be_read_is_said_and_not_left_out(
    branch: Branch, monkeypatch: pytest.MonkeyPatch
) -> None:
    (branch.folder / "records" / "printers").mkdir()
    scandir = os.scandir

    def refusing(path: str) -> object:
        if str(path).endswith("printers"):
            raise PermissionError(13, "Permission denied", str(path))
        return scandir(path)

    monkeypatch.setattr(os, "scandir", refusing)
    with pytest.raises(
        RegistryError, match=r"records/printers' cannot be read \(Permission denied\): make it"
    ):
        FolderSnapshot(branch.folder).paths()
    with pytest.raises(RegistryError, match=r"none\.json' cannot be read \(No such file or directory\)"):
        FolderSnapshot(branch.folder).read("records/none.json")


def test_a_plain_copy_needs_no_git(tmp_path: Path) -> None:
    (tmp_path / "records").mkdir()
    (tmp_path / "records" / "registry.json").write_bytes(b"{}")
    assert list(FolderSnapshot(tmp_path).paths()) == ["records/registry.json"]
