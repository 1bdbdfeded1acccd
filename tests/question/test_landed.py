"""How files have landed, as far as what is checked out rests on it."""

import subprocess
from pathlib import Path

import pytest

from registry.question.landed import LandedFile, LandedFiles
from registry.store.repository import Repository
from tests.index.branch import Branch
from tests.index.drawn import as_file, whole

WIDE, NARROW = "records/printers/wide.json", "records/printers/narrow.json"


def printer(number: int) -> dict[str, object]:
    return {"title": f"Printer {number}", "revision": number}


def files(branch: Branch) -> LandedFiles:
    return LandedFiles(branch.registry().repository)


def of(branch: Branch, path: str = WIDE) -> LandedFile:
    found = files(branch).of(path)
    assert found is not None
    return found


@pytest.fixture
def clone(branch: Branch, tmp_path: Path) -> Branch:
    """A clone of a registry in which two printers have landed."""
    branch.land({WIDE: printer(1), NARROW: printer(1)})
    branch.land({WIDE: printer(2)})
    folder = tmp_path / "clone"
    subprocess.run(["git", "clone", "-q", str(branch.folder), str(folder)], check=True)
    return Branch(folder)


def commit(branch: Branch, path: str, number: int) -> None:
    (branch.folder / path).write_bytes(as_file(printer(number)))
    branch.git("commit", "-qam", f"{path} {number}")


def test_each_landing_that_changed_a_file_counts_and_the_last_contents_are_known(branch: Branch) -> None:
    for number in range(1, 5):
        branch.land({WIDE: printer(number), NARROW: printer(1)})
    found, history = of(branch), files(branch)
    assert (found.times, len(found.contents), of(branch, NARROW).times) == (4, 3, 1)
    assert [history.read(found.contents)[name] for name in found.contents] == [
        as_file(whole(WIDE, printer(number))) for number in (4, 3, 2)
    ]
    assert history.is_called(as_file(whole(WIDE, printer(4))), found.contents[0])
    assert not history.is_called(as_file(whole(WIDE, printer(3))), found.contents[0])


def test_a_file_that_was_removed_begins_anew(branch: Branch) -> None:
    branch.land({WIDE: printer(1)})
    branch.land({WIDE: None})
    assert files(branch).of(WIDE) is None
    branch.land({WIDE: printer(1)})
    assert of(branch).times == 1


def test_what_a_clone_has_not_merged_does_not_count(branch: Branch, clone: Branch) -> None:
    commit(clone, NARROW, 2)
    branch.land({WIDE: printer(3)})
    clone.git("fetch", "-q")
    assert (of(clone).times, files(clone).merging) == (2, False)
    clone.git("merge", "-q", "--no-edit", "origin/main")
    assert (of(clone).times, files(clone).merging) == (3, True)
    assert of(clone, NARROW).times == 1


def test_a_merge_that_stopped_counts_as_one(branch: Branch, clone: Branch) -> None:
    commit(clone, WIDE, 33)
    branch.land({WIDE: printer(3)})
    with pytest.raises(AssertionError):
        clone.git("pull", "-q", "--no-rebase")
    assert (of(clone).times, files(clone).merging) == (3, True)


def test_a_merge_is_told_from_a_plain_landing(branch: Branch) -> None:
    branch.land({WIDE: printer(1), NARROW: printer(1)})
    branch.git("checkout", "-qb", "side")
    commit(branch, WIDE, 2)
    branch.git("checkout", "-q", "main")
    commit(branch, NARROW, 2)
    branch.git("merge", "-q", "--no-edit", "side")
    assert (of(branch).merged, of(branch, NARROW).merged) == (True, False)
    assert (of(branch).times, files(branch).merging) == (2, False)


def test_where_nothing_has_landed_or_is_shared_nothing_is_known(branch: Branch, tmp_path: Path) -> None:
    branch.land({WIDE: printer(1)})
    branch.git("checkout", "-q", "--detach")
    assert files(branch).of(WIDE) is None
    subprocess.run(["git", "init", "-q", str(tmp_path / "empty")], check=True)
    (tmp_path / "empty/records").mkdir()
    (tmp_path / "empty/records/registry.json").write_text("{}")
    empty = LandedFiles(Repository(tmp_path / "empty"))
    assert (empty.of(WIDE), empty.merging) == (None, False)
