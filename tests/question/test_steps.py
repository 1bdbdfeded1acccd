"""What lies between a base and what is checked."""

from pathlib import Path

import pytest

from registry.question.snapshots import CommitSnapshot
from registry.question.steps import Since, since
from registry.question.working import WorkingSnapshot
from registry.store.repository import Repository
from tests.index.branch import Branch

A, B = "records/printers/a.json", "records/printers/b.json"


@pytest.fixture
def landed(branch: Branch) -> Branch:
    """Three landings: a, b, and b again with the link that takes a's place."""
    branch.land({A: b"1"})
    branch.land({B: b"1"})
    branch.land({B: b"2"})
    return branch


def asked(folder: Path, base: str, head: str = "HEAD", *, lying: bool = True) -> Since:
    repository = Repository(folder)
    at = repository.resolve(head)
    now = WorkingSnapshot(repository) if lying else CommitSnapshot(repository, at)
    return since(repository, repository.resolve(base), at, now)


def test_each_landing_is_a_step_and_what_lies_there_is_the_last(landed: Branch) -> None:
    (landed.folder / A).write_bytes(b"loose")
    found = asked(landed.folder, "HEAD~2")
    assert [(dict(step.files), bool(step.landing)) for step in found.steps] == [
        ({B: b"1"}, True),
        ({B: b"2"}, True),
        ({A: b"loose"}, False),
    ]
    assert (found.files[A], B in found.files, found.landings, found.parted) == (b"1", False, 2, False)


def test_nothing_changed_is_no_step(landed: Branch) -> None:
    assert asked(landed.folder, "HEAD").steps == []


def test_an_earlier_commit_is_reached_by_the_landings_that_it_holds(landed: Branch) -> None:
    found = asked(landed.folder, "HEAD~2", "HEAD~1", lying=False)
    assert [dict(step.files) for step in found.steps] == [{B: b"1"}]


def test_a_removed_file_and_a_link_in_its_place_are_told_as_gone(landed: Branch) -> None:
    (landed.folder / A).unlink()
    (landed.folder / A).symlink_to("b.json")
    landed.git("add", "--all")
    landed.git("commit", "-q", "-m", "a link")
    (landed.folder / B).unlink()
    assert [dict(step.files) for step in asked(landed.folder, "HEAD~1").steps] == [{A: None}, {B: None}]


def test_what_lies_before_the_base_brings_nothing_new(landed: Branch) -> None:
    found = asked(landed.folder, "HEAD", "HEAD~1", lying=False)
    assert (found.behind, found.steps) == (True, [])
    assert not asked(landed.folder, "HEAD~1").behind


def test_commits_that_have_not_landed_are_one_step(landed: Branch, tmp_path: Path) -> None:
    landed.git("clone", "-q", str(landed.folder), str(tmp_path / "clone"))
    ours = tmp_path / "clone"
    for data in (b"3", b"4"):
        (ours / B).write_bytes(data)
        landed.git("-C", str(ours), "commit", "-q", "-a", "-m", "draft")
    found = asked(ours, "HEAD~4")
    assert [dict(step.files) for step in found.steps] == [{B: b"1"}, {B: b"2"}, {B: b"4"}]
    assert [bool(step.landing) for step in found.steps] == [True, True, False]


def test_a_base_that_has_gone_on_alone_is_judged_from_where_the_two_parted(landed: Branch) -> None:
    landed.git("switch", "-q", "-c", "ours", "HEAD~1")
    (landed.folder / A).write_bytes(b"2")
    landed.git("commit", "-q", "-a", "-m", "ours")
    found = asked(landed.folder, "main")
    assert found.parted
    assert [dict(step.files) for step in found.steps] == [{A: b"2"}]


def test_with_nothing_to_tell_landings_by_all_is_one_step(landed: Branch) -> None:
    landed.git("switch", "-q", "--detach")
    found = asked(landed.folder, "HEAD~2")
    assert [(dict(step.files), step.landing) for step in found.steps] == [({B: b"2"}, "")]


def test_a_base_that_nothing_joins_is_compared_as_it_is(landed: Branch) -> None:
    landed.git("switch", "-q", "--orphan", "other")
    landed.git("commit", "-q", "--allow-empty", "-m", "other")
    found = asked(landed.folder, "main", lying=False)
    assert not found.parted
    assert found.steps[0].files == {A: None, B: None, "records/registry.json": None}
