import os
import subprocess
import sys
from collections.abc import Callable
from datetime import UTC, datetime, timedelta, timezone
from pathlib import Path
from typing import Any

import pytest

from registry.store import worktree
from registry.store.founding import UnusableFolder, create
from registry.store.git import GitFailed, GitMissing
from registry.store.plumbing import Plumbing
from registry.store.repository import NotOnChain, Repository
from registry.store.walk import Change
from registry.store.worktree import IndexBusy, OutOfStep, WouldOverwrite, swept
from registry.store.write import DetachedHead, NoIdentity, Overtaken, Series, Signature, commit, identity

Run = Callable[..., str]


def state(folder: Path, git: Run) -> tuple[object, ...]:
    """Everything a failed commit must leave alone: refs, index, and every file of the checkout."""
    files = {
        str(path.relative_to(folder)): path.read_bytes() if path.is_file() else None
        for path in sorted(folder.rglob("*"))
        if ".git" not in path.relative_to(folder).parts
    }
    kept = sorted(path.name for path in (folder / ".git").iterdir() if path.name not in {"objects", "logs"})
    return git(folder, "for-each-ref"), git(folder, "ls-files", "--stage"), kept, files


def test_a_commit_holds_exactly_its_files_and_says_who_and_when(
    registry: Path, git: Run, signature: Signature
) -> None:
    other = Signature("Harbour Yard", "harbour-yard@saltmarsh.example", datetime(2026, 2, 2, tzinfo=UTC))
    before = git(registry, "rev-parse", "HEAD")
    made = commit(
        Repository(registry),
        {"records/sites/mill-lane/site.json": b"2\n", "records/a.json": None},
        "move a record\n\nto the site that it belongs to\n",
        author=signature,
        committer=other,
    )
    assert git(registry, "rev-parse", "main") == made
    assert git(registry, "rev-parse", "HEAD~1") == before
    assert git(registry, "show", "--name-status", "--format=%an|%ae|%at|%cn|%ct|%B", "HEAD").split("\n") == [
        "Mill Lane|mill-lane@saltmarsh.example|1769938200|Harbour Yard|1769990400|move a record",
        "",
        "to the site that it belongs to",
        "",
        "",
        "D\trecords/a.json",
        "A\trecords/sites/mill-lane/site.json",
    ]
    assert git(registry, "diff-files") == ""  # the index knows the new files by their times too
    assert git(registry, "status", "--porcelain") == ""
    assert (registry / "records/sites/mill-lane/site.json").read_bytes() == b"2\n"
    assert not (registry / "records/a.json").exists()
    assert git(registry, "fsck", "--strict") == ""


def test_what_else_is_staged_or_dirty_stays_as_it_is_and_out_of_the_commit(
    registry: Path, git: Run, put: Run, signature: Signature
) -> None:
    put(registry, {"records/b.json": "1\n", "records/c.json": "1\n"})
    (registry / "records/b.json").write_text("staged\n")
    git(registry, "add", "records/b.json")
    (registry / "records/c.json").write_text("dirty\n")
    (registry / "records/new.json").write_text("untracked\n")
    commit(Repository(registry), {"records/a.json": b"2\n"}, "a", author=signature)
    assert git(registry, "diff-tree", "-r", "--name-only", "HEAD~1", "HEAD") == "records/a.json"
    assert git(registry, "status", "--porcelain").split("\n") == [
        "M  records/b.json",
        " M records/c.json",
        "?? records/new.json",
    ]


def test_the_first_commit_of_a_repository_can_be_made(empty: Path, git: Run, signature: Signature) -> None:
    made = commit(Repository(empty), {"records/registry.json": b"{}\n"}, "first", author=signature)
    assert git(empty, "rev-list", "--parents", "main") == made
    assert git(empty, "status", "--porcelain") == ""


def test_a_record_put_where_the_last_one_of_a_folder_went_leaves_no_empty_folder(
    registry: Path, signature: Signature
) -> None:
    repository = Repository(registry)
    commit(repository, {"records/sites/x/site.json": b"1\n"}, "in", author=signature)
    commit(repository, {"records/sites/x/site.json": None}, "out", author=signature)
    assert not (registry / "records/sites").exists()
    assert (registry / "records").is_dir()


def test_contents_reach_repository_and_disk_byte_for_byte(
    registry: Path, git: Run, signature: Signature
) -> None:
    (registry / ".gitattributes").write_text("*.json text eol=lf\nrecords/**/*.txt -text\n")
    git(registry, "add", ".gitattributes")
    git(registry, "commit", "--quiet", "-m", "attributes", at=1767225600)
    git(registry, "config", "core.autocrlf", "true")
    files = {
        "records/a.json": b"{\n}\n",
        "records/m/patches.txt": b"CGATS.17\r\n",
        "records/m/profile.icc": b"\0\r\n\xff\n",
        ":(odd) [1]*.txt": b"1\n",
        "records/sites/mill lane é.json": b"",
    }
    made = commit(Repository(registry), files, "bytes", author=signature)
    repository = Repository(registry)
    held = repository.tree(made, "")
    for path, data in files.items():
        assert repository.blob(held[path].blob) == data
        assert (registry / path).read_bytes() == data
    assert git(registry, "status", "--porcelain") == ""


@pytest.mark.parametrize("staged", [False, True])
def test_an_uncommitted_change_is_never_overwritten(
    registry: Path, git: Run, signature: Signature, staged: bool
) -> None:
    (registry / "records/a.json").write_text("by hand\n")
    (registry / "records/new.json").write_text("by hand\n")
    if staged:
        git(registry, "add", "records")
    before = state(registry, git)
    files = {"records/a.json": b"2\n", "records/new.json": b"2\n", "records/other.json": b"2\n"}
    with pytest.raises(WouldOverwrite) as caught:
        commit(Repository(registry), files, "over it", author=signature)
    assert caught.value.paths == ("records/a.json", "records/new.json")
    assert "'records/a.json', 'records/new.json': changed here and not committed" in str(caught.value)
    assert state(registry, git) == before


def test_an_uncommitted_removal_and_an_ignored_file_are_not_overwritten(
    registry: Path, git: Run, put: Run, signature: Signature
) -> None:
    put(registry, {".gitignore": "*.tmp\nkept/\n"})
    (registry / "records/a.json").unlink()
    (registry / "records/x.tmp").write_text("by hand\n")
    (registry / "kept").mkdir()
    (registry / "kept/x.json").write_text("by hand\n")
    for path in ("records/a.json", "records/x.tmp", "kept/x.json"):
        with pytest.raises(WouldOverwrite, match=path):
            commit(Repository(registry), {path: b"2\n"}, "over it", author=signature)
    made = commit(Repository(registry), {"kept/y.json": b"2\n"}, "beside it", author=signature)
    assert git(registry, "rev-parse", "HEAD") == made


def test_a_change_made_by_hand_that_equals_the_commit_is_committed(
    registry: Path, git: Run, put: Run, signature: Signature
) -> None:
    put(registry, {"records/b.json": "1\n"})
    (registry / "records/a.json").write_text("2\n")
    (registry / "records/b.json").unlink()
    (registry / "records/new.json").write_text("3\n")
    files = {"records/a.json": b"2\n", "records/b.json": None, "records/new.json": b"3\n"}
    commit(Repository(registry), files, "as by hand", author=signature)
    assert git(registry, "status", "--porcelain") == ""


def test_nothing_is_written_through_a_link_or_over_a_folder(
    registry: Path, tmp_path: Path, signature: Signature
) -> None:
    outside = tmp_path / "outside"
    outside.mkdir()
    (registry / "records/sites").symlink_to(outside)
    (registry / "records/b.json").mkdir()
    (registry / "records/file").write_text("1\n")
    for path in ("records/sites/site.json", "records/b.json", "records/file/site.json"):
        with pytest.raises(WouldOverwrite, match=path):
            commit(Repository(registry), {path: b"1\n"}, "through", author=signature)
    assert list(outside.iterdir()) == []


@pytest.mark.parametrize("data", [b"2\n", None])
def test_a_link_to_nowhere_is_in_the_way_too(
    registry: Path, signature: Signature, data: bytes | None
) -> None:
    link = registry / "records/a.json"
    link.unlink()
    link.symlink_to(registry / "nowhere")
    with pytest.raises(WouldOverwrite, match=r"records/a\.json"):
        commit(Repository(registry), {"records/a.json": data}, "over it", author=signature)
    assert link.is_symlink()


def test_only_the_registrys_own_folders_are_swept(registry: Path) -> None:
    beside, inside = registry.parent / ".litstock-else", registry / "records/sites/.litstock-left"
    inside.parent.mkdir(parents=True)
    for file in (beside, inside):
        file.touch()
    swept(Repository(registry), [Change("A", "records/sites/site.json", "100644", "0" * 40)])
    assert (beside.exists(), inside.parent.exists(), registry.exists()) == (True, False, True)


@pytest.mark.parametrize(
    "path", ["../out.json", "/out.json", ".git/config", "records//a.json", "records/../a.json"]
)
def test_a_path_that_is_no_path_of_a_tree_is_refused_and_leaves_all_as_it_was(
    registry: Path, git: Run, signature: Signature, path: str
) -> None:
    before = state(registry, git)
    with pytest.raises(GitFailed, match=r"Ignoring path .*name a path that lies inside the repository"):
        commit(Repository(registry), {path: b"1\n", "records/b.json": b"1\n"}, "out", author=signature)
    assert state(registry, git) == before
    assert not (registry.parent / "out.json").exists()


def test_on_a_detached_head_a_commit_is_refused_with_what_to_do(
    registry: Path, git: Run, signature: Signature
) -> None:
    git(registry, "checkout", "--quiet", "--detach")
    before = state(registry, git)
    with pytest.raises(DetachedHead, match="run git switch BRANCH first"):
        commit(Repository(registry), {"records/b.json": b"1\n"}, "lost", author=signature)
    assert state(registry, git) == before


def test_a_commit_worked_out_from_an_older_one_is_refused(
    registry: Path, git: Run, put: Run, signature: Signature
) -> None:
    old = git(registry, "rev-parse", "HEAD")
    new = put(registry, {"records/a.json": "2\n"})
    before = state(registry, git)
    with pytest.raises(Overtaken) as caught:
        commit(Repository(registry), {"records/a.json": b"3\n"}, "late", author=signature, onto=old)
    assert f"refs/heads/main is no longer at {old} (it is at {new})" in str(caught.value)
    assert state(registry, git) == before
    commit(Repository(registry), {"records/a.json": b"3\n"}, "in time", author=signature, onto=new)


def test_a_branch_that_moves_during_the_commit_is_noticed_and_nothing_is_lost(
    registry: Path, git: Run, put: Run, signature: Signature
) -> None:
    with Series(Repository(registry)) as series:
        series.commit({"records/b.json": b"1\n"}, "ours", author=signature)
        theirs = put(registry, {"records/c.json": "1\n"}, "theirs")
        before = state(registry, git)
        with pytest.raises(Overtaken):
            series.finish()
    assert state(registry, git) == before
    assert git(registry, "rev-parse", "HEAD") == theirs


def test_another_branch_checked_out_during_the_commit_is_noticed(
    registry: Path, git: Run, signature: Signature
) -> None:
    with Series(Repository(registry)) as series:
        series.commit({"records/b.json": b"1\n"}, "ours", author=signature)
        git(registry, "switch", "--quiet", "-c", "trial")
        before = state(registry, git)
        with pytest.raises(Overtaken, match="another branch was checked out"):
            series.finish()
    assert state(registry, git) == before


@pytest.mark.parametrize(
    "command", ["hash-object", "read-tree", "update-index", "write-tree", "commit-tree", "update-ref"]
)
def test_a_commit_that_fails_half_way_leaves_everything_as_it_was(
    registry: Path, git: Run, signature: Signature, monkeypatch: pytest.MonkeyPatch, command: str
) -> None:
    (registry / "records/dirty.json").write_text("dirty\n")
    before = state(registry, git)
    run = Plumbing.run

    def failing(self: Plumbing, *args: str, **more: Any) -> str:
        if args[0] == command:
            raise GitFailed(self.root, args, 128, "fatal: the disk is full")
        return run(self, *args, **more)

    monkeypatch.setattr(Plumbing, "run", failing)
    files = {"records/a.json": b"2\n", "records/deep/down/b.json": b"1\n"}
    with pytest.raises(GitFailed, match="the disk is full"):
        commit(Repository(registry), files, "half", author=signature)
    assert state(registry, git) == before


def test_a_disk_that_fails_before_the_branch_moves_leaves_everything_as_it_was(
    registry: Path, git: Run, signature: Signature, monkeypatch: pytest.MonkeyPatch
) -> None:
    before = state(registry, git)

    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(worktree, "copyfile", full)
    with pytest.raises(OSError, match="No space left"):
        commit(Repository(registry), {"records/deep/b.json": b"1\n"}, "half", author=signature)
    assert state(registry, git) == before


def test_a_checkout_that_cannot_follow_is_told_with_the_command_that_mends_it(
    registry: Path, git: Run, signature: Signature, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refusing(*_: object) -> None:
        raise PermissionError(13, "Permission denied")

    with monkeypatch.context() as patched:
        patched.setattr("pathlib.Path.replace", refusing)
        with pytest.raises(OutOfStep) as caught:
            commit(Repository(registry), {"records/a.json": b"2\n"}, "half", author=signature)
    assert git(registry, "rev-parse", "HEAD") == caught.value.commit
    assert f"commit {caught.value.commit} stands" in str(caught.value)
    git(registry, *str(caught.value).partition("in step: git ")[2].split())
    assert git(registry, "status", "--porcelain") == ""
    assert (registry / "records/a.json").read_bytes() == b"2\n"


def test_another_git_at_work_is_waited_for_and_then_named(
    registry: Path, git: Run, signature: Signature, monkeypatch: pytest.MonkeyPatch
) -> None:
    lock = registry / ".git/index.lock"
    lock.touch()
    monkeypatch.setattr(worktree, "PATIENCE_S", 0.1)
    before = state(registry, git)
    with pytest.raises(IndexBusy, match=r"index\.lock' exists"):
        commit(Repository(registry), {"records/a.json": b"2\n"}, "wait", author=signature)
    assert state(registry, git) == before
    assert lock.exists()


def test_what_a_hook_inherits_does_not_lead_a_commit_astray(
    registry: Path, tmp_path: Path, git: Run, signature: Signature, monkeypatch: pytest.MonkeyPatch
) -> None:
    git(tmp_path, "init", "--quiet", "--bare", "other.git")
    with monkeypatch.context() as hook:
        hook.setenv("GIT_DIR", str(tmp_path / "other.git"))
        hook.setenv("GIT_WORK_TREE", str(tmp_path))
        hook.setenv("GIT_INDEX_FILE", str(tmp_path / "index"))
        hook.setenv("GIT_OBJECT_DIRECTORY", str(tmp_path / "objects"))
        hook.setenv("GIT_ALTERNATE_OBJECT_DIRECTORIES", str(tmp_path / "other.git/objects"))
        hook.setenv("GIT_COMMON_DIR", str(tmp_path / "other.git"))
        hook.setenv("GIT_NAMESPACE", "elsewhere")
        hook.setenv("GIT_PREFIX", "records/")
        made = commit(Repository(registry), {"records/b.json": b"1\n"}, "hooked", author=signature)
        fresh = create(tmp_path / "fresh")
    assert git(registry, "rev-parse", "refs/heads/main") == made
    assert git(registry, "status", "--porcelain") == ""
    assert fresh.git_dir == tmp_path / "fresh/.git"
    assert not (tmp_path / "objects").exists()
    assert git(tmp_path / "other.git", "for-each-ref") == ""


def test_a_linked_worktree_commits_to_its_own_branch(
    registry: Path, tmp_path: Path, git: Run, signature: Signature
) -> None:
    linked = tmp_path / "linked"
    git(registry, "worktree", "add", "--quiet", "-b", "trial", str(linked))
    made = commit(Repository(linked), {"records/b.json": b"1\n"}, "there", author=signature)
    assert git(registry, "rev-parse", "trial") == made
    assert git(linked, "status", "--porcelain") == ""
    assert git(registry, "status", "--porcelain") == ""
    assert git(registry, "rev-parse", "main") != made


def test_a_bare_repository_takes_a_commit(
    registry: Path, tmp_path: Path, git: Run, signature: Signature
) -> None:
    git(tmp_path, "clone", "--quiet", "--bare", str(registry), "shared.git")
    made = commit(Repository(tmp_path / "shared.git"), {"records/b.json": b"1\n"}, "bare", author=signature)
    assert git(tmp_path / "shared.git", "show", f"{made}:records/b.json") == "1"
    assert git(tmp_path / "shared.git", "rev-parse", "main") == made


def test_the_checkout_can_be_left_behind(registry: Path, git: Run, signature: Signature) -> None:
    made = commit(
        Repository(registry), {"records/a.json": b"2\n"}, "ref", author=signature, update_worktree=False
    )
    assert git(registry, "rev-parse", "HEAD") == made
    assert (registry / "records/a.json").read_bytes() == b"1\n"


def test_the_user_is_known_by_gits_own_settings(
    registry: Path, git: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    git(registry, "config", "user.name", "North Quay")
    git(registry, "config", "user.email", "north-quay@saltmarsh.example")
    monkeypatch.setenv("GIT_AUTHOR_DATE", "2026-03-01T12:00:00 +0530")
    expected = datetime(2026, 3, 1, 12, tzinfo=timezone(timedelta(hours=5, minutes=30)))
    assert identity(Repository(registry)) == Signature("North Quay", "north-quay@saltmarsh.example", expected)
    assert identity(Repository(registry)).when.utcoffset() == timedelta(hours=5, minutes=30)


@pytest.mark.parametrize("known", [[], ["user.name"], ["user.email"]])
def test_a_user_unknown_to_git_is_told_the_two_commands(registry: Path, git: Run, known: list[str]) -> None:
    for name in known:
        git(registry, "config", name, "north-quay@saltmarsh.example")
    with pytest.raises(NoIdentity) as caught:
        identity(Repository(registry))
    assert "git config --global user.name 'YOUR NAME'" in str(caught.value)
    assert "git config --global user.email YOU@EXAMPLE.ORG" in str(caught.value)


def test_a_broken_date_is_not_taken_for_an_unknown_user(
    registry: Path, git: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    git(registry, "config", "user.name", "North Quay")
    git(registry, "config", "user.email", "north-quay@saltmarsh.example")
    monkeypatch.setenv("GIT_AUTHOR_DATE", "one fine day in spring")
    with pytest.raises(GitFailed, match="invalid date format"):
        identity(Repository(registry))


def test_a_date_without_a_zone_is_refused(registry: Path, signature: Signature) -> None:
    naive = signature._replace(when=datetime(2026, 2, 1))  # noqa: DTZ001
    with pytest.raises(ValueError, match="with its time zone"):
        commit(Repository(registry), {"records/b.json": b"1\n"}, "when", author=naive)


@pytest.mark.parametrize("minutes", [-690, -210, 0, 345, 840])
def test_every_zone_survives_the_way_to_git_and_back(
    registry: Path, signature: Signature, minutes: int
) -> None:
    when = datetime(2026, 2, 1, 9, 30, tzinfo=timezone(timedelta(minutes=minutes)))
    made = commit(
        Repository(registry), {"records/b.json": b"1\n"}, "when", author=signature._replace(when=when)
    )
    assert Repository(registry).time_of(made) == (int(when.timestamp()), minutes)


def test_a_commit_is_signed_as_the_users_settings_say_unless_told_otherwise(
    registry: Path, tmp_path: Path, git: Run, signature: Signature
) -> None:
    signer = tmp_path / "signer"
    signer.write_text('#!/bin/sh\ncat >/dev/null\nprintf "[GNUPG:] SIG_CREATED " >&2\necho "a signature"\n')
    signer.chmod(0o755)
    git(registry, "config", "gpg.program", str(signer))
    git(registry, "config", "user.signingKey", "the-key")

    def signed(text: bytes, *, sign: bool | None = None) -> bool:
        made = commit(Repository(registry), {"records/a.json": text}, "sign", author=signature, sign=sign)
        return "a signature" in git(registry, "cat-file", "commit", made)

    assert not signed(b"2\n")
    assert signed(b"3\n", sign=True)
    git(registry, "config", "commit.gpgsign", "true")
    assert signed(b"4\n")
    assert not signed(b"5\n", sign=False)


def test_a_signature_that_fails_leaves_everything_as_it_was(
    registry: Path, git: Run, signature: Signature
) -> None:
    git(registry, "config", "gpg.program", "false")
    git(registry, "config", "commit.gpgsign", "true")
    before = state(registry, git)
    with pytest.raises(
        GitFailed, match=r"failed to sign.*turn signing off with git config commit\.gpgsign false"
    ):
        commit(Repository(registry), {"records/a.json": b"2\n"}, "sign", author=signature)
    assert state(registry, git) == before


def test_a_fresh_repository_is_empty_and_on_the_branch_asked_for(tmp_path: Path) -> None:
    repository = create(tmp_path / "new" / "registry", "depot")
    assert repository.shared().ref == "refs/heads/depot"
    assert repository.head() == ""
    assert not (repository.git_dir / "hooks").exists()
    assert create(tmp_path / "new" / "second").shared().ref == "refs/heads/main"
    (tmp_path / "third").mkdir()
    assert create(tmp_path / "third").root == tmp_path / "third"


def test_a_folder_that_is_not_empty_is_refused_by_name(registry: Path, tmp_path: Path) -> None:
    with pytest.raises(UnusableFolder, match=r"is not empty, it holds '.git': name a new or an empty folder"):
        create(registry)
    (tmp_path / "file").write_text("1\n")
    with pytest.raises(UnusableFolder, match="is a file"):
        create(tmp_path / "file")


def test_without_git_nothing_is_written_and_the_answer_says_so(tmp_path: Path) -> None:
    program = (
        "import pathlib, sys\nfrom registry.store.founding import create\n"
        "try:\n    create(pathlib.Path(sys.argv[1]))\n"
        "except Exception as error:\n    print(type(error).__name__)\n"
    )
    command = [sys.executable, "-c", program, str(tmp_path / "new")]
    said = subprocess.run(
        command, env=os.environ | {"PATH": str(tmp_path)}, capture_output=True, text=True, check=True
    )
    assert said.stdout == f"{GitMissing.__name__}\n"


def test_a_series_moves_the_branch_and_the_checkout_only_when_it_is_finished(
    registry: Path, git: Run, signature: Signature
) -> None:
    before = state(registry, git)
    with Series(Repository(registry)) as series:
        first = series.commit({"records/b.json": b"1\n", "records/c.json": b"1\n"}, "one", author=signature)
        second = series.commit({"records/b.json": None, "records/a.json": b"2\n"}, "two", author=signature)
        assert state(registry, git) == before
        assert series.finish() == second
        third = series.commit({"records/d.json": b"1\n"}, "three", author=signature)
        series.finish()
    assert git(registry, "rev-list", "--reverse", "HEAD").split()[1:] == [first, second, third]
    assert git(registry, "ls-tree", "-r", "--name-only", "HEAD", "records/").split() == [
        "records/a.json",
        "records/c.json",
        "records/d.json",
        "records/registry.json",
    ]
    assert git(registry, "status", "--porcelain") == ""
    assert git(registry, "fsck", "--strict") == ""


def test_a_series_that_is_given_up_leaves_everything_as_it_was(
    registry: Path, git: Run, signature: Signature
) -> None:
    before = state(registry, git)
    with Series(Repository(registry)) as series:
        series.commit({"records/b.json": b"1\n"}, "one", author=signature)
    assert state(registry, git) == before


def test_a_commit_upon_another_than_the_last_starts_from_that_ones_files(
    registry: Path, git: Run, signature: Signature
) -> None:
    start = git(registry, "rev-parse", "HEAD")
    with Series(Repository(registry)) as series:
        series.commit({"records/b.json": b"1\n"}, "one", author=signature)
        beside = series.commit({"records/c.json": b"1\n"}, "beside", author=signature, onto=start)
        assert git(registry, "diff-tree", "-r", "--name-only", start, beside) == "records/c.json"
        assert git(registry, "rev-parse", f"{beside}^") == start


def test_a_series_never_moves_the_branch_off_its_first_parent_chain(
    registry: Path, git: Run, put: Run, signature: Signature
) -> None:
    start = git(registry, "rev-parse", "HEAD")
    put(registry, {"records/b.json": "1\n"})
    before = state(registry, git)
    with Series(Repository(registry)) as series:
        series.commit({"records/c.json": b"1\n"}, "beside", author=signature, onto=start)
        with pytest.raises(NotOnChain):
            series.finish()
    assert state(registry, git) == before


def test_a_long_series_takes_few_processes_a_commit(
    registry: Path, signature: Signature, monkeypatch: pytest.MonkeyPatch
) -> None:
    ran: list[str] = []
    run = Plumbing.run

    def counted(self: Plumbing, *args: str, **more: Any) -> str:
        ran.append(args[0])
        return run(self, *args, **more)

    monkeypatch.setattr(Plumbing, "run", counted)
    with Series(Repository(registry), sign=False) as series:
        series.commit({"records/a.json": b"0\n"}, "first", author=signature)
        ran.clear()
        for number in range(10):
            series.commit({"records/a.json": b"%d\n" % number}, "step", author=signature)
        assert ran == ["hash-object", "update-index", "write-tree", "commit-tree"] * 10
        series.finish()


def test_a_series_without_commits_moves_nothing(registry: Path, git: Run) -> None:
    before = state(registry, git)
    with Series(Repository(registry)) as series:
        assert series.finish() == series.start
    assert state(registry, git) == before


def test_taking_out_the_last_files_leaves_the_registrys_own_folder(
    registry: Path, git: Run, signature: Signature
) -> None:
    files = {"records/a.json": None, "records/registry.json": None}
    commit(Repository(registry), files, "all out", author=signature)
    assert git(registry, "ls-tree", "-r", "HEAD") == ""
    assert [path.name for path in registry.iterdir()] == [".git"]


def test_taking_out_what_was_never_there_changes_no_file(empty: Path, git: Run, signature: Signature) -> None:
    files = {"records/registry.json": b"{}\n", "records/none.json": None}
    made = commit(Repository(empty), files, "first", author=signature)
    assert git(empty, "ls-tree", "-r", "--name-only", made) == "records/registry.json"
    again = commit(Repository(empty), {"records/none.json": None}, "second", author=signature)
    assert git(empty, "diff-tree", "-r", made, again) == ""


def test_what_a_killed_commit_left_behind_is_of_no_effect(
    empty: Path, git: Run, signature: Signature
) -> None:
    (empty / ".git/litstock-index").write_bytes(b"half an index")
    (empty / "records/.litstock-0").write_bytes(b"half a record")
    commit(Repository(empty), {"records/registry.json": b"{}\n"}, "after", author=signature)
    commit(Repository(empty), {"records/a.json": b"2\n"}, "after that", author=signature)
    assert (empty / "records/a.json").read_bytes() == b"2\n"
    assert {path.name for path in (empty / "records").iterdir()} == {"registry.json", "a.json"}
    assert git(empty, "status", "--porcelain") == ""


def test_a_repository_of_the_longer_hash_is_read_and_written(
    tmp_path: Path, git: Run, signature: Signature
) -> None:
    git(tmp_path, "init", "--quiet", "--object-format=sha256", "long")
    repository = Repository(tmp_path / "long")
    first = commit(repository, {"records/registry.json": b"{}\n", "x": b"1\n"}, "first", author=signature)
    second = commit(repository, {"records/a.json": b"1\n", "x": None}, "second", author=signature)
    assert len(second) == 64
    assert repository.shared().commit == second
    assert [landing.commit for landing in repository.landings(second)] == [first, second]
    assert repository.blob(repository.tree(second)["records/a.json"].blob) == b"1\n"
    assert git(tmp_path / "long", "status", "--porcelain") == ""


def test_a_real_hook_of_one_registry_can_commit_to_another(
    registry: Path, tmp_path: Path, git: Run, put: Run
) -> None:
    other = create(tmp_path / "other")
    program = tmp_path / "program.py"
    program.write_text(
        "import sys\nfrom datetime import UTC, datetime\nfrom pathlib import Path\n"
        f"sys.path.insert(0, {str(Path(__file__).parents[2])!r})\n"
        "from registry.store.repository import Repository\n"
        "from registry.store.write import Signature, commit\n"
        "who = Signature('Hook', 'hook@saltmarsh.example', datetime(2026, 2, 1, tzinfo=UTC))\n"
        f"commit(Repository(Path({str(other.root)!r})), {{'records/a.json': b'1'}}, 'hooked', author=who)\n"
    )
    linked = tmp_path / "linked"
    git(registry, "worktree", "add", "--quiet", "-b", "trial", str(linked))
    hooks = registry / ".git/hooks"
    hooks.mkdir(exist_ok=True)
    (hooks / "post-commit").write_text(
        f"#!/bin/sh\nenv > {tmp_path}/inherited\nexec {sys.executable} {program}\n"
    )
    (hooks / "post-commit").chmod(0o755)
    made = put(linked, {"records/b.json": "1\n"})
    assert "GIT_DIR=" in (tmp_path / "inherited").read_text()  # else the hook proves nothing
    assert git(other.root, "log", "--format=%s") == "hooked"
    assert git(other.root, "status", "--porcelain") == ""
    assert git(registry, "rev-parse", "trial") == made
    assert git(linked, "status", "--porcelain") == ""
