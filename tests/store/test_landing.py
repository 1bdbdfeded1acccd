from collections.abc import Callable
from datetime import timedelta
from pathlib import Path

import pytest

from registry.errors import RegistryError
from registry.store.landing import ClockBehind, Diverged, NothingToLand, land
from registry.store.repository import Repository
from registry.store.write import Overtaken, Series, Signature

Run = Callable[..., str]


@pytest.fixture
def beside(registry: Path, git: Run, put: Run) -> str:
    """A branch with one commit that main lacks; main is checked out."""
    git(registry, "switch", "--quiet", "-c", "mill-lane")
    commit = put(registry, {"records/b.json": "1\n", "records/a.json": None})
    git(registry, "switch", "--quiet", "main")
    return commit


def test_a_landing_has_the_shared_tip_first_what_it_brings_second_and_the_landing_date(
    registry: Path, git: Run, beside: str, signature: Signature
) -> None:
    repository = Repository(registry)
    tip = repository.head()
    made = land(repository, tip, beside, None, "land the mill's records", committer=signature)
    assert git(registry, "rev-parse", "main", "main^1", "main^2").split() == [made, tip, beside]
    assert git(registry, "rev-parse", "main^{tree}") == git(registry, "rev-parse", f"{beside}^{{tree}}")
    last = list(repository.landings(made))[-1]
    assert last.commit == made
    assert last.landed == int(signature.when.timestamp())
    assert {(change.status, change.path) for change in last.changes} == {
        ("A", "records/b.json"),
        ("D", "records/a.json"),
    }
    assert [each.commit for each in repository.brought(made)[made]] == [beside]
    assert git(registry, "status", "--porcelain") == ""
    assert not (registry / "records/a.json").exists()
    assert git(registry, "fsck", "--strict") == ""


def test_what_was_merged_is_landed_on_the_tree_of_the_shared_tip(
    registry: Path, git: Run, put: Run, beside: str, signature: Signature
) -> None:
    tip = put(registry, {"records/c.json": "theirs\n", "readme.txt": "theirs\n"})
    merged = {"records/b.json": b"1\n", "records/c.json": b"merged\n", "records/a.json": None}
    made = land(Repository(registry), tip, beside, merged, "land", committer=signature)
    listed = {
        path: git(registry, "show", f"{made}:{path}")
        for path in git(registry, "ls-tree", "-r", "--name-only", made).split()
    }
    assert listed == {
        "readme.txt": "theirs",
        "records/b.json": "1",
        "records/c.json": "merged",
        "records/registry.json": "{}",
    }
    assert git(registry, "status", "--porcelain") == ""


def test_what_others_landed_is_never_undone_for_want_of_a_merge(
    registry: Path, git: Run, put: Run, beside: str, signature: Signature
) -> None:
    tip = put(registry, {"records/c.json": "theirs\n"})
    with pytest.raises(
        Diverged, match=f"the shared tip {tip} has 1 commits that {beside} lacks: merge the records first"
    ):
        land(Repository(registry), tip, beside, None, "land", committer=signature)
    assert git(registry, "rev-parse", "main") == tip


def test_what_is_there_already_is_not_landed_again(
    registry: Path, git: Run, put: Run, signature: Signature
) -> None:
    first = git(registry, "rev-parse", "HEAD")
    tip = put(registry, {"records/b.json": "1\n"})
    for brought in (first, tip):
        with pytest.raises(NothingToLand, match=r"holds .* already"):
            land(Repository(registry), tip, brought, None, "land", committer=signature)
    assert git(registry, "rev-parse", "main") == tip


def test_a_clock_behind_the_last_landing_is_refused_with_both_times(
    registry: Path, git: Run, beside: str, signature: Signature
) -> None:
    git(
        registry,
        "commit",
        "--quiet",
        "--amend",
        "--allow-empty",
        "-m",
        "ahead",
        at=1769938200 + 60,
        zone="+0200",
    )
    tip = git(registry, "rev-parse", "HEAD")
    with pytest.raises(ClockBehind) as caught:
        land(Repository(registry), tip, beside, {}, "land", committer=signature)
    assert "it says 2026-02-01T09:30:00+00:00" in str(caught.value)
    assert "the last landing was at 2026-02-01T11:31:00+02:00" in str(caught.value)
    assert git(registry, "rev-parse", "main") == tip
    in_time = signature._replace(when=signature.when + timedelta(minutes=1))
    land(Repository(registry), tip, beside, {}, "land", committer=in_time)


def test_a_shared_branch_that_moved_on_is_not_landed_on(
    registry: Path, git: Run, put: Run, beside: str, signature: Signature
) -> None:
    tip = git(registry, "rev-parse", "HEAD")
    moved = put(registry, {"records/c.json": "1\n"})
    with pytest.raises(Overtaken, match=f"refs/heads/main is no longer at {tip} .it is at {moved}."):
        land(Repository(registry), tip, beside, None, "land", committer=signature)
    assert git(registry, "rev-parse", "main") == moved


def test_with_a_remote_the_landing_is_made_for_pushing_and_nothing_moves(
    registry: Path, tmp_path: Path, git: Run, put: Run, signature: Signature
) -> None:
    git(tmp_path, "clone", "--quiet", "--bare", str(registry), "shared.git")
    git(tmp_path, "clone", "--quiet", "shared.git", "mill")
    mill = tmp_path / "mill"
    brought = put(mill, {"records/b.json": "1\n"})
    before = git(mill, "for-each-ref")
    repository = Repository(mill)
    tip = repository.shared().commit
    made = land(repository, tip, brought, None, "land", committer=signature)
    assert git(mill, "for-each-ref") == before
    git(mill, "push", "--quiet", "origin", f"{made}:main")
    assert repository.shared().commit == made
    assert repository.is_on_first_parent_chain(tip, made)
    assert git(mill, "status", "--porcelain") == ""


def test_with_a_remote_that_moved_on_nothing_is_made(
    registry: Path, tmp_path: Path, git: Run, put: Run, signature: Signature
) -> None:
    git(tmp_path, "clone", "--quiet", str(registry), "mill")
    mill = tmp_path / "mill"
    tip = git(mill, "rev-parse", "HEAD")
    brought = put(mill, {"records/b.json": "1\n"})
    put(registry, {"records/c.json": "1\n"})
    git(mill, "fetch", "--quiet")
    with pytest.raises(Overtaken, match="refs/remotes/origin/main is no longer at"):
        land(Repository(mill), tip, brought, None, "land", committer=signature)


def test_a_series_of_landings_keeps_one_chain_whose_dates_do_not_fall(
    registry: Path, git: Run, signature: Signature
) -> None:
    with Series(Repository(registry)) as series:
        tip = series.start
        for number in range(5):
            who = signature._replace(when=signature.when + timedelta(days=number))
            brought = series.commit({f"records/{number}.json": b"1\n"}, f"step {number}", author=who)
            tip = land(series, tip, brought, None, f"land {number}", committer=who)
        with pytest.raises(ClockBehind):
            land(
                series,
                tip,
                series.commit({"records/x.json": b"1\n"}, "x", author=who),
                None,
                "x",
                committer=signature,
            )
        series.record(series.tree(tip), [tip], "the end", author=who)
        series.finish()
    repository = Repository(registry)
    landings = list(repository.landings(repository.head()))[1:-1]
    assert [landing.subject for landing in landings] == [f"land {number}" for number in range(5)]
    assert [[change.path for change in landing.changes] for landing in landings] == [
        [f"records/{number}.json"] for number in range(5)
    ]
    assert git(registry, "status", "--porcelain") == ""


def test_two_sites_that_both_worked_from_one_tip_are_landed_one_after_the_other(
    registry: Path, git: Run, signature: Signature
) -> None:
    with Series(Repository(registry)) as series:
        start = series.start
        mill = series.commit({"records/a.json": b"mill\n"}, "mill", author=signature)
        quay = series.commit({"records/b.json": b"quay\n"}, "quay", author=signature, onto=start)
        first = land(series, start, mill, None, "land the mill", committer=signature)
        second = land(
            series, first, quay, {"records/b.json": b"quay\n"}, "land the quay", committer=signature
        )
        series.finish()
    assert git(registry, "rev-parse", "main") == second
    assert git(registry, "show", "main:records/a.json", "main:records/b.json") == "mill\nquay"
    assert git(registry, "rev-list", "--first-parent", "main").split() == [second, first, start]
    assert git(registry, "status", "--porcelain") == ""


def test_a_landing_that_brings_a_symbolic_link_does_not_reach_the_checkout(
    registry: Path, git: Run, put: Run, signature: Signature
) -> None:
    git(registry, "switch", "--quiet", "-c", "side")
    (registry / "records/link.json").symlink_to("a.json")
    brought = put(registry, {})
    git(registry, "switch", "--quiet", "main")
    tip = git(registry, "rev-parse", "HEAD")
    with pytest.raises(RegistryError, match=r"'records/link\.json': a symbolic link or a submodule"):
        land(Repository(registry), tip, brought, None, "land", committer=signature)
    assert git(registry, "rev-parse", "main") == tip
