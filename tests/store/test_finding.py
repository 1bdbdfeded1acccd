from collections.abc import Callable
from pathlib import Path

import pytest

from registry.errors import RegistryError
from registry.store.git import ForeignOwner
from registry.store.repository import NoRegistry, Repository, UnusableRepository, find_registry

Run = Callable[..., str]


def test_the_nearest_registry_above_is_found(registry: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    below = registry / "records" / "substrates"
    below.mkdir()
    monkeypatch.chdir(below)
    assert find_registry(None, {}) == registry


def test_the_folder_asked_for_comes_before_the_variable_and_the_variable_before_the_folder(
    registry: Path, tmp_path: Path, git: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    git(tmp_path, "clone", "--quiet", str(registry), "second")
    git(tmp_path, "clone", "--quiet", str(registry), "third")
    monkeypatch.chdir(registry)
    environ = {"LITSTOCK_REGISTRY": str(tmp_path / "second")}
    assert find_registry(tmp_path / "third", environ) == tmp_path / "third"
    assert find_registry(None, environ) == tmp_path / "second"
    assert find_registry(None, {"LITSTOCK_REGISTRY": ""}) == registry


def test_outside_any_registry_the_answer_says_what_was_looked_for_and_how_to_get_one(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    with pytest.raises(NoRegistry) as caught:
        find_registry(None, {})
    said = str(caught.value)
    assert f"no registry at or above {str(tmp_path)!r}" in said
    assert "records/registry.json" in said
    assert "litstock demo DIR makes one to try" in said
    assert "-C DIR chooses one" in said


def test_a_folder_asked_for_that_is_no_registry_is_named(tmp_path: Path, registry: Path) -> None:
    with pytest.raises(NoRegistry, match=r"no registry in '.*nowhere'"):
        find_registry(tmp_path / "nowhere", {})
    with pytest.raises(NoRegistry, match=r"\(LITSTOCK_REGISTRY\)"):
        find_registry(None, {"LITSTOCK_REGISTRY": str(tmp_path)})
    with pytest.raises(NoRegistry):
        find_registry(registry / "records", {})


def test_a_bare_repository_is_found_by_what_its_head_holds(
    registry: Path, tmp_path: Path, git: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    git(tmp_path, "clone", "--quiet", "--bare", str(registry), "shared.git")
    assert find_registry(tmp_path / "shared.git", {}) == tmp_path / "shared.git"
    monkeypatch.chdir(tmp_path / "shared.git" / "refs")
    assert find_registry(None, {}) == tmp_path / "shared.git"


def test_a_bare_repository_without_the_mark_or_without_commits_is_no_registry(
    tmp_path: Path, git: Run, put: Run
) -> None:
    git(tmp_path, "init", "--quiet", "--bare", "void.git")
    work = tmp_path / "work"
    work.mkdir()
    git(work, "init", "--quiet")
    put(work, {"readme.txt": "no records\n"})
    git(tmp_path, "clone", "--quiet", "--bare", str(work), "other.git")
    for name in ("void.git", "other.git"):
        with pytest.raises(NoRegistry):
            find_registry(tmp_path / name, {})


def test_the_git_folder_of_a_checkout_is_not_taken_for_a_bare_registry(
    registry: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(registry / ".git")
    assert find_registry(None, {}) == registry


def test_a_bare_registry_of_another_user_is_not_called_missing(
    registry: Path, tmp_path: Path, git: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    git(tmp_path, "clone", "--quiet", "--bare", str(registry), "shared.git")
    monkeypatch.setenv("GIT_TEST_ASSUME_DIFFERENT_OWNER", "1")
    with pytest.raises(ForeignOwner, match=r"safe\.directory"):
        find_registry(tmp_path / "shared.git", {})


def test_records_outside_git_are_answered_with_what_to_do(tmp_path: Path) -> None:
    (tmp_path / "records").mkdir()
    (tmp_path / "records" / "registry.json").write_text("{}")
    with pytest.raises(UnusableRepository) as caught:
        Repository(find_registry(tmp_path, {}))
    assert "is in no git repository" in str(caught.value)
    assert "run git init there" in str(caught.value)
    assert isinstance(caught.value, RegistryError)


def test_records_below_the_top_of_a_work_tree_are_refused(tmp_path: Path, git: Run) -> None:
    git(tmp_path, "init", "--quiet")
    inner = tmp_path / "shop" / "records"
    inner.mkdir(parents=True)
    (inner / "registry.json").write_text("{}")
    with pytest.raises(UnusableRepository, match="is not the top of a git work tree") as caught:
        Repository(find_registry(tmp_path / "shop", {}))
    assert "move it out" in str(caught.value)


def test_a_checkout_and_its_git_folders_are_known(registry: Path) -> None:
    repository = Repository(registry)
    assert (repository.root, repository.git_dir, repository.common_dir) == (
        registry,
        registry / ".git",
        registry / ".git",
    )
    assert not repository.bare
    assert not repository.shallow


def test_linked_worktrees_share_one_common_folder(registry: Path, tmp_path: Path, git: Run) -> None:
    git(registry, "worktree", "add", "--quiet", "-b", "trial", str(tmp_path / "linked"))
    linked = Repository(find_registry(tmp_path / "linked", {}))
    assert linked.root == tmp_path / "linked"
    assert linked.git_dir == registry / ".git" / "worktrees" / "linked"
    assert linked.common_dir == registry / ".git"
    assert linked.shared().ref == "refs/heads/trial"


def test_a_bare_repository_opens(registry: Path, tmp_path: Path, git: Run) -> None:
    git(tmp_path, "clone", "--quiet", "--bare", str(registry), "shared.git")
    repository = Repository(tmp_path / "shared.git")
    assert repository.bare
    assert repository.git_dir == tmp_path / "shared.git"
    assert list(repository.tree(repository.head())) == ["records/a.json", "records/registry.json"]
    assert repository.drafts() == []


def test_a_hooks_inherited_git_dir_does_not_change_the_registry(
    registry: Path, tmp_path: Path, git: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    git(tmp_path, "init", "--quiet", "--bare", "other.git")
    monkeypatch.setenv("GIT_DIR", str(tmp_path / "other.git"))
    monkeypatch.chdir(registry)
    repository = Repository(find_registry(None, {"GIT_DIR": str(tmp_path / "other.git")}))
    assert repository.git_dir == registry / ".git"
    assert repository.head() != ""


def test_a_checkout_of_another_user_is_answered_with_the_command_to_type(
    registry: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("GIT_TEST_ASSUME_DIFFERENT_OWNER", "1")
    with pytest.raises(ForeignOwner, match=f"git config --global --add safe.directory {registry}$"):
        Repository(find_registry(registry, {}))


def test_a_folder_above_that_may_not_be_looked_into_holds_no_registry(
    registry: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    below = registry / "closed" / "open"
    below.mkdir(parents=True)
    monkeypatch.chdir(below)
    is_file = Path.is_file

    def closed(path: Path) -> bool:
        if path.is_relative_to(registry / "closed") and not path.is_relative_to(below):
            raise PermissionError(13, "Permission denied")
        return is_file(path)

    monkeypatch.setattr(Path, "is_file", closed)
    assert find_registry(None, {}) == registry
