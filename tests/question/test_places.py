"""Where a registry may lie, and in what state: each works, or says exactly what to do."""

import os
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from registry.errors import RegistryError, RequestError
from registry.question.inforce import in_force
from registry.question.registry import NothingLanded, NotThen, Registry
from registry.question.when import version
from registry.store.git import ForeignOwner
from registry.store.repository import NoRegistry, UnusableRepository
from tests import small
from tests.index.branch import DAY, START, Branch
from tests.index.drawn import as_file, whole

PATH = "records/printers/wide.json"
MODE = small.mode_path(small.MODE)


def revision(number: int) -> dict[str, Any]:
    return whole(PATH, {"title": f"Wide {number}", "revision": number})


@pytest.fixture
def three(branch: Branch) -> Branch:
    """Three revisions of a printer and one of a mode, landed from the second to the fourth of January."""
    branch.land({PATH: revision(1), "records/sites/quay/site.json": {"title": "Quay"}})
    branch.land({PATH: revision(2), MODE: small._START[MODE] | {"revision": 1}})  # noqa: SLF001
    branch.land({PATH: revision(3)})
    return branch


def clone(branch: Branch, folder: Path, *how: str) -> Path:
    subprocess.run(["git", "clone", "-q", *how, f"file://{branch.folder}", str(folder)], check=True)
    return folder


def label(registry: Registry, asked: str = "wide") -> str:
    return version(registry, asked).label


def test_a_checkout_answers_as_of_its_branch(three: Branch) -> None:
    registry = three.registry()
    assert (registry.commit, registry.tip.how) == (three.git("rev-parse", "HEAD"), "branch")
    assert (label(registry), registry.known_since) == ("r3", None)


def test_the_nearest_registry_above_is_the_one_asked(three: Branch, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(three.folder / "records" / "printers")
    assert label(Registry(None, {})) == "r3"


def test_the_variable_names_a_registry_and_an_option_overrides_it(
    three: Branch, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    other = Branch(tmp_path / "other")
    monkeypatch.chdir(tmp_path)
    environ = {"LITSTOCK_REGISTRY": str(three.folder)}
    assert Registry(None, environ).repository.root == three.folder
    assert Registry(other.folder, environ).repository.root == other.folder


def test_a_bare_repository_answers(three: Branch, tmp_path: Path) -> None:
    registry = Registry(clone(three, tmp_path / "bare.git", "--bare"), {})
    assert (label(registry), label(registry, "wide@2026-01-03")) == ("r3", "r2")
    assert (tmp_path / "bare.git" / "litstock" / "read-model.sqlite").is_file()


def test_a_detached_head_answers_as_of_its_commit(three: Branch) -> None:
    three.git("checkout", "-q", "--detach", "HEAD~1")
    registry = three.registry()
    assert (registry.tip.how, registry.commit) == ("detached", three.git("rev-parse", "HEAD"))
    assert label(registry) == "r2"


def test_a_linked_worktree_answers_as_of_its_own_branch(three: Branch, tmp_path: Path) -> None:
    three.git("worktree", "add", "-q", "-b", "trial", str(tmp_path / "linked"), "HEAD~1")
    linked = Registry(tmp_path / "linked", {})
    assert (label(linked), label(three.registry()), label(linked)) == ("r2", "r3", "r2")
    assert not (tmp_path / "linked" / ".git" / "litstock").exists()


def test_a_dirty_tree_changes_no_answer(three: Branch) -> None:
    (three.folder / PATH).write_bytes(as_file(revision(9)))
    (three.folder / "records" / "printers" / "new.json").write_bytes(as_file(revision(1)))
    (three.folder / "records" / "registry.json").write_text("not even a document")
    three.git("add", "records/printers/new.json")
    registry = three.registry()
    assert label(registry) == "r3"
    assert registry.settings["time_zone"] == "+01:00"
    assert registry.model.named("new") == []


def test_before_the_first_commit_the_answer_says_what_to_do(tmp_path: Path) -> None:
    subprocess.run(["git", "init", "-q", str(tmp_path)], check=True)
    (tmp_path / "records").mkdir()
    (tmp_path / "records" / "registry.json").write_text("{}")
    registry = Registry(tmp_path, {})
    assert (registry.commit, registry.known_since) == ("", None)
    with pytest.raises(NothingLanded) as caught:
        version(registry, "wide")
    assert str(caught.value) == (
        f"nothing has landed in {str(tmp_path)!r} yet: commit its records with git, then ask again"
    )
    assert caught.value.exit_code == 3


def test_with_a_remote_that_has_nothing_yet_what_is_committed_here_answers(tmp_path: Path) -> None:
    subprocess.run(["git", "init", "-q", "--bare", str(tmp_path / "empty.git")], check=True)
    branch = Branch(tmp_path / "registry")
    branch.git("remote", "add", "origin", str(tmp_path / "empty.git"))
    branch.land({PATH: revision(1)})
    assert label(branch.registry()) == "r1"


def test_outside_any_registry_the_answer_names_how_to_get_one(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    with pytest.raises(NoRegistry, match="litstock start DIR founds your own, -C DIR chooses one"):
        Registry(None, {})
    with pytest.raises(NoRegistry, match=f"no registry in '{tmp_path}/no' \\(LITSTOCK_REGISTRY\\)"):
        Registry(None, {"LITSTOCK_REGISTRY": f"{tmp_path}/no"})
    (tmp_path / "records").mkdir()
    (tmp_path / "records" / "registry.json").write_text("{}")
    with pytest.raises(UnusableRepository, match="run git init there and commit its records"):
        Registry(None, {})


def test_a_repository_of_another_user_is_answered_with_the_command_to_type(
    three: Branch, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    label(three.registry())
    monkeypatch.setenv("GIT_TEST_ASSUME_DIFFERENT_OWNER", "1")
    with pytest.raises(ForeignOwner) as caught:
        three.registry()
    command = str(caught.value).rpartition("type: ")[2]
    assert command == f"git config --global --add safe.directory {three.folder}"
    monkeypatch.setenv("GIT_CONFIG_GLOBAL", str(tmp_path / "gitconfig"))
    subprocess.run(command.split(), check=True)
    assert label(three.registry()) == "r3"


def test_who_may_only_read_has_answers_all_the_same(
    three: Branch, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    may = os.access

    def only_elsewhere(path: Any, mode: int) -> bool:
        return not (mode & os.W_OK and Path(path).is_relative_to(three.folder)) and may(path, mode)

    monkeypatch.setattr(os, "access", only_elsewhere)
    environ = {"XDG_CACHE_HOME": str(tmp_path / "cache")}
    for _ in range(2):
        assert label(Registry(three.folder, environ)) == "r3"
    assert len(list((tmp_path / "cache" / "litstock").iterdir())) == 1
    assert not (three.folder / ".git" / "litstock").exists()


def test_what_a_hook_inherits_leads_nowhere_else(
    three: Branch, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    other = Branch(tmp_path / "other")
    monkeypatch.setenv("GIT_DIR", str(other.folder / ".git"))
    monkeypatch.setenv("GIT_WORK_TREE", str(other.folder))
    monkeypatch.setenv("GIT_INDEX_FILE", str(other.folder / ".git" / "index"))
    monkeypatch.setenv("GIT_OBJECT_DIRECTORY", str(other.folder / ".git" / "objects"))
    registry = Registry(three.folder, os.environ)
    assert label(registry) == "r3"
    assert (three.folder / ".git" / "litstock").is_dir()
    assert not (other.folder / ".git" / "litstock").exists()


def test_a_hook_of_the_registry_itself_is_answered(three: Branch) -> None:
    asks = "import sys; from pathlib import Path; from registry.question.registry import Registry\n"
    asks += "print(Registry(Path('.'), {}).model.named('wide')[0].seq)\n"
    (three.folder / "ask.py").write_text(asks)
    hook = three.folder / ".git" / "hooks" / "post-commit"
    hook.parent.mkdir(exist_ok=True)
    python = f"PYTHONPATH={Path.cwd()} {sys.executable}"
    hook.write_text(f"#!/bin/sh\n{python} ask.py > said\n")
    hook.chmod(0o755)
    (three.folder / PATH).write_bytes(as_file(revision(4)))
    three.git("commit", "-q", "-a", "-m", "land")
    assert (three.folder / "said").read_text() == "4\n"


# -- a shallow clone -----------------------------------------------------------------------------------------


@pytest.fixture
def shallow(three: Branch, tmp_path: Path) -> Registry:
    """A clone that knows the third of January and what came after."""
    return Registry(clone(three, tmp_path / "clone", "--depth=2"), {})


def test_a_shallow_clone_knows_since_when_it_knows(shallow: Registry) -> None:
    assert shallow.known_since == START + 2 * DAY
    assert label(shallow, "wide@2026-01-03") == "r2"


def test_a_day_before_a_shallow_clone_knows_anything_is_refused_with_what_to_do(shallow: Registry) -> None:
    with pytest.raises(NotThen) as caught:
        version(shallow, "wide@2026-01-02")
    assert str(caught.value) == (
        "this clone knows nothing before 2026-01-03: run git fetch --unshallow and ask again"
    )
    mode = shallow.model.named(small.MODE)[0]
    with pytest.raises(NotThen, match="this clone knows nothing before 2026-01-03"):
        in_force(shallow, mode, "quay", START)
    subprocess.run(["git", "fetch", "-q", "--unshallow"], cwd=shallow.repository.root, check=True)
    whole = Registry(shallow.repository.root, {})
    assert (label(whole, "wide@2026-01-02"), whole.known_since) == ("r1", None)


def test_in_a_shallow_clone_revisions_keep_their_numbers(shallow: Registry) -> None:
    assert [(each.label, each.status) for each in shallow.model.revisions(PATH)] == [("r2", "A"), ("r3", "M")]
    assert label(shallow) == "r3"
    with pytest.raises(NotThen) as caught:
        version(shallow, "wide@r1")
    assert str(caught.value) == (
        "wide has no r1: it has r2 to r3, and this clone none before: run git fetch --unshallow and ask again"
    )


def test_what_a_shallow_clone_lacks_may_have_been_there_before(three: Branch, tmp_path: Path) -> None:
    three.land({PATH: None})
    three.land({PATH: revision(4)})
    cut = Registry(clone(three, tmp_path / "cut", "--depth=2"), {})
    with pytest.raises(NotThen, match=r"^this clone knows nothing before 2026-01-05: run git fetch --unsh"):
        version(cut, "wide@2026-01-05")
    assert label(cut, "wide@2026-01-06") == "r4"
    with pytest.raises(
        NotThen, match=r"^wide has no r9: it has only r4, and this clone none before: run git"
    ):
        version(cut, "wide@r9")
    with pytest.raises(
        NotThen, match=r"^wide has no settings 0{12}: this clone is cut off, and they may lie"
    ):
        version(cut, f"wide@{'0' * 12}")
    three.land({PATH: None})
    three.land({"records/printers/other.json": {"title": "Other", "revision": 1}})
    gone = Registry(clone(three, tmp_path / "gone", "--depth=1"), {})
    with pytest.raises(RequestError) as caught:
        version(gone, "wide@r1")
    assert str(caught.value) == (
        "there is no record 'wide' among what has landed, as far as this clone knows, which is cut off; "
        "there are lumenfold/dayfilm-210/backlit-16, other, registry, quay"
    )


def test_a_shallow_clone_that_gets_new_landings_goes_on_counting(three: Branch, shallow: Registry) -> None:
    assert label(shallow) == "r3"
    three.land({PATH: revision(4)})
    subprocess.run(["git", "fetch", "-q"], cwd=shallow.repository.root, check=True)
    registry = Registry(shallow.repository.root, {})
    assert [each.label for each in registry.model.revisions(PATH)] == ["r2", "r3", "r4"]
    assert (label(registry), registry.known_since) == ("r4", shallow.known_since)


def test_a_clone_as_deep_as_the_whole_history_is_not_cut_off(three: Branch, tmp_path: Path) -> None:
    registry = Registry(clone(three, tmp_path / "clone", "--depth=99"), {})
    assert (registry.known_since, label(registry, "wide@r1")) == (None, "r1")


def test_a_clone_without_the_files_fetches_those_it_needs(three: Branch, tmp_path: Path) -> None:
    three.git("config", "uploadpack.allowFilter", "true")
    registry = Registry(clone(three, tmp_path / "clone", "--filter=blob:none", "--no-checkout", "--bare"), {})
    assert label(registry) == "r3"


def test_a_file_that_is_missing_from_the_repository_is_said(three: Branch) -> None:
    blob = three.git("rev-parse", f"HEAD:{PATH}")
    (three.folder / ".git" / "objects" / blob[:2] / blob[2:]).unlink()
    with pytest.raises(RegistryError, match=f"object {blob} is missing in this clone: .* git fsck"):
        three.registry().model  # noqa: B018
