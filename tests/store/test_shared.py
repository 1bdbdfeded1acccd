from collections.abc import Callable
from pathlib import Path

import pytest

from registry.store.repository import Repository, UnknownRevision
from registry.store.shared import NoSharedBranch, Tip

Run = Callable[..., str]


@pytest.fixture
def clone(registry: Path, tmp_path: Path, git: Run) -> Path:
    git(tmp_path, "clone", "--quiet", str(registry), "clone")
    return tmp_path / "clone"


def test_with_no_remote_the_checked_out_branch_is_shared(registry: Path, git: Run) -> None:
    git(registry, "switch", "--quiet", "-c", "depot")
    assert Repository(registry).shared() == Tip(
        "refs/heads/depot", git(registry, "rev-parse", "HEAD"), "branch"
    )


def test_with_no_commits_yet_the_branch_is_known_and_nothing_has_landed(empty: Path) -> None:
    repository = Repository(empty)
    assert repository.shared() == Tip("refs/heads/main", "", "branch")
    assert repository.head() == ""
    assert list(repository.landings("")) == []
    assert repository.brought("") == {}
    assert repository.tree("") == {}


def test_with_head_detached_and_no_remote_the_detached_commit_is_shared_and_said_so(
    registry: Path, git: Run
) -> None:
    git(registry, "checkout", "--quiet", "--detach")
    assert Repository(registry).shared() == Tip("", git(registry, "rev-parse", "HEAD"), "detached")


def test_the_remotes_default_branch_is_shared_whatever_is_checked_out(
    clone: Path, git: Run, put: Run
) -> None:
    at = git(clone, "rev-parse", "HEAD")
    expected = Tip("refs/remotes/origin/main", at, "remote")
    put(clone, {"records/b.json": "2\n"})
    assert Repository(clone).shared() == expected
    git(clone, "switch", "--quiet", "-c", "trial", "--track", "origin/main")
    assert Repository(clone).shared() == expected
    git(clone, "checkout", "--quiet", "--detach")
    assert Repository(clone).shared() == expected


def test_without_a_remote_default_the_upstream_of_the_branch_is_shared(
    clone: Path, registry: Path, git: Run
) -> None:
    git(registry, "branch", "--move", "main", "depot")
    git(clone, "fetch", "--quiet", "--prune")
    git(clone, "branch", "--quiet", "--set-upstream-to=origin/depot")
    assert Repository(clone).shared().ref == "refs/remotes/origin/depot"


@pytest.mark.parametrize("name", ["main", "master"])
def test_without_default_and_upstream_main_or_master_of_origin_is_shared(
    clone: Path, registry: Path, git: Run, name: str
) -> None:
    git(registry, "branch", "--move", "main", name)
    git(clone, "fetch", "--quiet", "--prune")
    git(clone, "remote", "set-head", "origin", "--delete")
    git(clone, "switch", "--quiet", "-c", "trial", "--no-track")
    assert Repository(clone).shared().ref == f"refs/remotes/origin/{name}"


def test_where_nothing_tells_the_shared_branch_the_answer_says_how_to_name_it(
    registry: Path, tmp_path: Path, git: Run
) -> None:
    git(tmp_path, "clone", "--quiet", "--no-tags", "--origin", "depot", str(registry), "clone")
    clone = tmp_path / "clone"
    git(clone, "remote", "set-head", "depot", "--delete")
    git(clone, "branch", "--unset-upstream")
    with pytest.raises(NoSharedBranch) as caught:
        Repository(clone).shared()
    assert "refs/remotes/depot/main" in str(caught.value)
    command = str(caught.value).partition("run git ")[2].partition(",")[0]
    git(clone, *command.split())
    assert Repository(clone).shared().ref == "refs/remotes/depot/main"


def test_of_two_remotes_the_one_the_branch_follows_comes_first_then_origin(
    clone: Path, registry: Path, tmp_path: Path, git: Run
) -> None:
    git(tmp_path, "clone", "--quiet", "--bare", str(registry), "second.git")
    git(clone, "remote", "add", "second", str(tmp_path / "second.git"))
    git(clone, "fetch", "--quiet", "second")
    git(clone, "remote", "set-head", "second", "--auto")
    git(clone, "branch", "--quiet", "--set-upstream-to=second/main")
    assert Repository(clone).shared().ref == "refs/remotes/second/main"
    git(clone, "branch", "--unset-upstream")
    assert Repository(clone).shared().ref == "refs/remotes/origin/main"


def test_the_only_remote_need_not_be_called_origin(registry: Path, tmp_path: Path, git: Run) -> None:
    git(tmp_path, "clone", "--quiet", "--origin", "depot", str(registry), "clone")
    git(tmp_path / "clone", "checkout", "--quiet", "--detach")
    assert Repository(tmp_path / "clone").shared().ref == "refs/remotes/depot/main"


def test_a_branch_that_follows_a_local_branch_is_not_a_remote_one(registry: Path, git: Run) -> None:
    git(registry, "switch", "--quiet", "-c", "trial", "--track", "main")
    assert Repository(registry).shared().ref == "refs/heads/trial"


def test_a_revision_is_read_as_git_reads_it(registry: Path, git: Run, put: Run) -> None:
    first = git(registry, "rev-parse", "HEAD")
    git(registry, "tag", "-a", "-m", "the first", "spring", at=1767225600)
    second = put(registry, {"records/b.json": "2\n"})
    repository = Repository(registry)
    assert repository.resolve("HEAD") == second
    assert repository.resolve("main~1") == first
    assert repository.resolve("spring") == first
    assert repository.resolve(second[:12]) == second


@pytest.mark.parametrize(
    "rev",
    [
        "",
        "none",
        "HEAD~9",
        "--all",
        "-1",
        "--git-dir",
        "--since=yesterday",
        "^HEAD",
        "HEAD..HEAD",
        "HEAD:records",
        "a\0b",
        "@{-1}",
        " ",
    ],
)
def test_what_names_no_commit_is_refused_by_name_and_never_read_as_an_option(
    registry: Path, rev: str
) -> None:
    with pytest.raises(UnknownRevision) as caught:
        Repository(registry).resolve(rev)
    assert repr(rev) in str(caught.value)
    assert caught.value.exit_code == 2


def test_a_short_id_of_two_commits_is_called_ambiguous(registry: Path, git: Run) -> None:
    # commits are made until two of them begin alike; four digits are the least that git takes
    tree = git(registry, "rev-parse", "HEAD^{tree}")
    seen: dict[str, str] = {}
    for second in range(2000):
        commit = git(registry, "hash-object", "-t", "commit", "--stdin", "-w", given=_commit(tree, second))
        if commit[:4] in seen:
            break
        seen[commit[:4]] = commit
    with pytest.raises(UnknownRevision, match="is ambiguous: give more of the commit id"):
        Repository(registry).resolve(commit[:4])


def test_a_name_of_both_a_tag_and_a_branch_is_called_ambiguous(registry: Path, git: Run, put: Run) -> None:
    git(registry, "config", "core.warnAmbiguousRefs", "false")
    git(registry, "tag", "spring")
    put(registry, {"records/b.json": "2\n"})
    git(registry, "branch", "spring")
    with pytest.raises(UnknownRevision, match="is ambiguous"):
        Repository(registry).resolve("spring")


def _commit(tree: str, second: int) -> str:
    who = f"Mill Lane <mill-lane@saltmarsh.example> {1767225600 + second} +0000"
    return f"tree {tree}\nauthor {who}\ncommitter {who}\n\na step\n"


def test_only_the_upstream_of_what_is_checked_out_says_which_remote_is_meant(
    clone: Path, registry: Path, tmp_path: Path, git: Run
) -> None:
    git(tmp_path, "clone", "--quiet", str(registry), "fork")
    git(clone, "remote", "add", "fork", str(tmp_path / "fork"))
    git(clone, "fetch", "--quiet", "fork")
    git(clone, "remote", "set-head", "fork", "--auto")
    git(clone, "branch", "--quiet", "--track", "aside", "fork/main")
    assert Repository(clone).shared().ref == "refs/remotes/origin/main"
    git(clone, "switch", "--quiet", "aside")
    assert Repository(clone).shared().ref == "refs/remotes/fork/main"
