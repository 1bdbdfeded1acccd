import os
from collections.abc import Callable
from pathlib import Path

import pytest

from registry.store.drafts import Draft
from registry.store.repository import Repository

Run = Callable[..., str]

COMMITTED = "committed, not landed"
LOOSE = "working tree"


@pytest.fixture
def clone(registry: Path, tmp_path: Path, git: Run) -> Path:
    git(tmp_path, "clone", "--quiet", str(registry), "clone")
    return tmp_path / "clone"


def test_a_clean_checkout_has_no_drafts(registry: Path, clone: Path) -> None:
    assert Repository(registry).drafts() == []
    assert Repository(clone).drafts() == []


def test_what_is_changed_added_or_gone_in_the_working_tree_is_listed(
    registry: Path, git: Run, put: Run
) -> None:
    put(registry, {"records/b.json": "1\n", "records/c.json": "1\n", "records/d.json": "1\n"})
    (registry / "records" / "a.json").write_text("2\n")
    (registry / "records" / "b.json").unlink()
    git(registry, "rm", "--quiet", "records/c.json")
    git(registry, "rm", "--quiet", "--cached", "records/d.json")
    (registry / "records" / "new é.json").write_text("1\n")
    (registry / "records" / "staged.json").write_text("1\n")
    git(registry, "add", "records/staged.json")
    (registry / "notes.txt").write_text("not a record\n")
    assert Repository(registry).drafts() == [
        Draft("records/a.json", "changed", LOOSE),
        Draft("records/b.json", "missing", LOOSE),
        Draft("records/c.json", "missing", LOOSE),
        Draft("records/d.json", "changed", LOOSE),  # out of the index, still on disk
        Draft("records/new é.json", "added", LOOSE),
        Draft("records/staged.json", "added", LOOSE),
    ]


def test_every_file_of_a_new_folder_is_listed(registry: Path) -> None:
    (registry / "records" / "sites").mkdir()
    for name in ("one.json", "two.json"):
        (registry / "records" / "sites" / name).write_text("1\n")
    assert [draft.path for draft in Repository(registry).drafts()] == [
        "records/sites/one.json",
        "records/sites/two.json",
    ]


def test_a_renamed_record_is_one_gone_and_one_added(registry: Path, git: Run) -> None:
    git(registry, "mv", "records/a.json", "records/z.json")
    assert Repository(registry).drafts() == [
        Draft("records/a.json", "missing", LOOSE),
        Draft("records/z.json", "added", LOOSE),
    ]


def test_before_the_first_commit_every_record_is_a_draft(empty: Path) -> None:
    assert Repository(empty).drafts() == [Draft("records/registry.json", "added", LOOSE)]


def test_commits_that_the_shared_branch_lacks_are_drafts(clone: Path, put: Run) -> None:
    put(clone, {"records/b.json": "1\n", "records/a.json": None, "notes.txt": "words\n"})
    (clone / "records" / "b.json").write_text("2\n")
    assert Repository(clone).drafts() == [
        Draft("records/a.json", "missing", COMMITTED),
        Draft("records/b.json", "added", COMMITTED),
        Draft("records/b.json", "changed", LOOSE),
    ]


def test_what_others_landed_meanwhile_is_no_draft(clone: Path, registry: Path, git: Run, put: Run) -> None:
    put(registry, {"records/theirs.json": "1\n", "records/a.json": "9\n"})
    git(clone, "fetch", "--quiet")
    assert Repository(clone).drafts() == []
    put(clone, {"records/ours.json": "1\n"})
    assert Repository(clone).drafts() == [Draft("records/ours.json", "added", COMMITTED)]


def test_what_landed_as_a_squash_is_no_longer_a_draft(
    clone: Path, registry: Path, git: Run, put: Run
) -> None:
    put(clone, {"records/b.json": "1\n"})
    put(clone, {"records/c.json": "1\n"})
    put(registry, {"records/b.json": "1\n"}, "squash of the first alone")
    git(clone, "fetch", "--quiet")
    assert Repository(clone).drafts() == [Draft("records/c.json", "added", COMMITTED)]


def test_a_checkout_with_a_history_of_its_own_is_compared_as_a_whole(clone: Path, git: Run, put: Run) -> None:
    git(clone, "switch", "--quiet", "--orphan", "fresh")
    put(clone, {"records/other.json": "1\n"})
    assert Repository(clone).drafts() == [
        Draft("records/a.json", "missing", COMMITTED),
        Draft("records/other.json", "added", COMMITTED),
        Draft("records/registry.json", "missing", COMMITTED),
    ]


def test_an_unborn_branch_in_a_clone_compares_as_nothing_committed(clone: Path, git: Run) -> None:
    git(clone, "switch", "--quiet", "--orphan", "fresh")
    (clone / "records").mkdir(exist_ok=True)
    (clone / "records" / "b.json").write_text("1\n")
    assert Repository(clone).drafts() == [Draft("records/b.json", "added", LOOSE)]


def test_a_merge_left_unfinished_counts_as_changed(registry: Path, git: Run, put: Run) -> None:
    git(registry, "switch", "--quiet", "-c", "side")
    put(registry, {"records/a.json": "2\n"})
    git(registry, "switch", "--quiet", "main")
    put(registry, {"records/a.json": "3\n"})
    with pytest.raises(RuntimeError, match="merge"):
        git(registry, "merge", "--quiet", "side")
    assert Repository(registry).drafts() == [Draft("records/a.json", "changed", LOOSE)]


def test_a_linked_worktree_has_drafts_of_its_own(registry: Path, tmp_path: Path, git: Run) -> None:
    git(registry, "worktree", "add", "--quiet", "-b", "trial", str(tmp_path / "linked"))
    (tmp_path / "linked" / "records" / "b.json").write_text("1\n")
    assert [draft.path for draft in Repository(tmp_path / "linked").drafts()] == ["records/b.json"]
    assert Repository(registry).drafts() == []


def test_listing_drafts_writes_nothing(registry: Path) -> None:
    # same bytes at another time: a plain git status would write the index anew
    os.utime(registry / "records" / "a.json", (1767225600, 1767225600))
    before = (registry / ".git" / "index").read_bytes()
    assert Repository(registry).drafts() == []
    assert (registry / ".git" / "index").read_bytes() == before
