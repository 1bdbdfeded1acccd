import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from registry.store.git import ForeignOwner, Git, GitFailed, GitMissing, clean

Run = Callable[..., str]


def test_what_git_prints_is_returned_as_bytes(registry: Path) -> None:
    assert Git(registry).run("cat-file", "blob", "HEAD:records/a.json") == b"1\n"


def test_what_is_given_is_read_by_git(registry: Path) -> None:
    # the id of a blob holding "1\n", as `printf '1\n' | git hash-object --stdin` prints it
    assert (
        Git(registry).run("hash-object", "--stdin", input=b"1\n")
        == b"d00491fd7e5bb6fa28c517a0bb32b8b506539d4d\n"
    )


def test_a_failure_says_what_was_asked_where_and_what_git_said(registry: Path) -> None:
    with pytest.raises(GitFailed) as caught:
        Git(registry).run("cat-file", "blob", "HEAD:records/none.json")
    said = str(caught.value)
    assert "git cat-file blob HEAD:records/none.json failed" in said
    assert repr(str(registry)) in said
    assert "does not exist in 'HEAD'" in said
    assert f"git -C {str(registry)!r} fsck" in said
    assert caught.value.status == 128
    assert caught.value.exit_code == 3


def test_a_silent_no_is_an_answer_and_a_fault_is_not(registry: Path) -> None:
    assert Git(registry).ask("config", "--get", "no.such") is None
    assert Git(registry).ask("config", "--get", "core.bare") == b"false\n"
    with pytest.raises(GitFailed, match="not-a-command"):
        Git(registry).ask("not-a-command")


def test_what_a_hook_inherits_does_not_lead_git_astray(
    registry: Path, tmp_path: Path, git: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    other = tmp_path / "other"
    other.mkdir()
    git(other, "init", "--quiet", "--bare")
    monkeypatch.setenv("GIT_DIR", str(other))
    monkeypatch.setenv("GIT_WORK_TREE", str(tmp_path))
    monkeypatch.setenv("GIT_INDEX_FILE", str(tmp_path / "nothing"))
    monkeypatch.setenv("GIT_OBJECT_DIRECTORY", str(other / "objects"))
    monkeypatch.setenv("GIT_NAMESPACE", "elsewhere")
    monkeypatch.setenv("GIT_CEILING_DIRECTORIES", str(registry))
    below = registry / "records"
    assert Path(os.fsdecode(Git(below).run("rev-parse", "--show-toplevel").strip())) == registry
    assert Git(below).run("show", "HEAD:records/a.json") == b"1\n"


def test_identity_and_settings_from_the_environment_are_kept(
    registry: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("GIT_AUTHOR_NAME", "North Quay")
    monkeypatch.setenv("GIT_AUTHOR_EMAIL", "north-quay@saltmarsh.example")
    monkeypatch.setenv("GIT_CONFIG_COUNT", "1")
    monkeypatch.setenv("GIT_CONFIG_KEY_0", "trial.setting")
    monkeypatch.setenv("GIT_CONFIG_VALUE_0", "kept")
    git = Git(registry)
    assert git.run("var", "GIT_AUTHOR_IDENT").startswith(b"North Quay <north-quay@saltmarsh.example> ")
    assert git.run("config", "trial.setting") == b"kept\n"


def test_a_replacement_of_an_object_changes_nothing_that_is_read(registry: Path, git: Run) -> None:
    other = git(registry, "hash-object", "-w", "--stdin", given="2\n")
    git(registry, "replace", git(registry, "rev-parse", "HEAD:records/a.json"), other)
    assert git(registry, "show", "HEAD:records/a.json") == "2"
    assert Git(registry).run("show", "HEAD:records/a.json") == b"1\n"


def test_without_git_the_answer_says_so(
    registry: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("PATH", str(tmp_path))
    with pytest.raises(GitMissing, match="git is not on the PATH: install git"):
        Git(registry).run("version")
    with pytest.raises(GitMissing), Git(registry).stream("version"):
        pass


def test_a_folder_that_is_gone_is_not_taken_for_a_missing_git(tmp_path: Path) -> None:
    with pytest.raises(GitFailed, match="No such file or directory"):
        Git(tmp_path / "gone").run("version")


def test_a_repository_of_another_user_is_answered_with_the_command_to_type(
    registry: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    # the knob of git's own tests; chown would need root
    monkeypatch.setenv("GIT_TEST_ASSUME_DIFFERENT_OWNER", "1")
    with pytest.raises(ForeignOwner) as caught:
        Git(registry).run("rev-parse", "HEAD")
    assert str(caught.value).endswith(f"type: git config --global --add safe.directory {registry}")
    assert "owned by another user" in str(caught.value)


def test_the_command_to_type_works_even_with_spaces_in_the_path(
    tmp_path: Path, git: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = tmp_path / "print room's records"
    folder.mkdir()
    git(folder, "init", "--quiet")
    settings = tmp_path / "gitconfig"
    monkeypatch.setenv("GIT_CONFIG_GLOBAL", str(settings))
    monkeypatch.setenv("GIT_TEST_ASSUME_DIFFERENT_OWNER", "1")
    with pytest.raises(ForeignOwner) as caught:
        Git(folder).run("rev-parse", "--git-dir")
    subprocess.run(str(caught.value).partition("type: ")[2], shell=True, check=True)  # noqa: S602
    assert Git(folder).run("rev-parse", "--git-dir") == b".git\n"


def test_a_stream_can_be_left_early(registry: Path) -> None:
    git = Git(registry)
    asked = b"HEAD:records/a.json\n" * 200_000
    with git.stream("cat-file", "--batch", input=asked) as out:
        assert out.readline().endswith(b" blob 2\n")


def test_a_stream_that_breaks_off_fails_when_it_is_left(registry: Path) -> None:
    with (
        pytest.raises(GitFailed, match=r"bad revision|unknown revision"),
        Git(registry).stream("log", "no-such") as out,
    ):
        assert out.read() == b""


def test_a_readers_own_fault_in_a_stream_is_not_hidden(registry: Path) -> None:
    with (
        pytest.raises(ZeroDivisionError),
        Git(registry).stream("cat-file", "--batch", input=b"HEAD\n" * 100_000) as out,
    ):
        out.fileno() // 0


def test_reading_imports_neither_gitpython_nor_what_it_costs() -> None:
    asked = "import sys, registry.store.repository; print(sorted(sys.modules))"
    loaded = subprocess.run([sys.executable, "-c", asked], check=True, capture_output=True, text=True).stdout
    assert "'registry.store.walk'" in loaded
    for costly in ("git", "pydantic", "tempfile", "dataclasses", "datetime", "registry.store.write"):
        assert f"'{costly}'" not in loaded


def by_git() -> list[str]:
    """Return the variables that git itself calls a repository's own, without its configuration."""
    said = subprocess.run(
        ["git", "rev-parse", "--local-env-vars"], check=True, capture_output=True, text=True
    )
    return [name for name in said.stdout.split() if not name.startswith("GIT_CONFIG")]


def test_what_git_calls_a_repositorys_own_is_never_handed_on() -> None:
    left = clean(dict.fromkeys(by_git(), "elsewhere"))
    assert "elsewhere" not in left.values()
    assert len(by_git()) > 10


# Those that git's list leaves out, each with a question that it changes.
MISLEADING = {
    "GIT_ATTR_SOURCE": ("no-such-tree", ("check-attr", "text", "records/a.json")),
    "GIT_DIFF_OPTS": ("--unified=0", ("diff", "HEAD")),
    "GIT_EXTERNAL_DIFF": ("false", ("diff", "HEAD")),
    "GIT_GLOB_PATHSPECS": ("1", ("ls-files", "*.json")),
    "GIT_ICASE_PATHSPECS": ("1", ("ls-files", "RECORDS")),
    "GIT_LITERAL_PATHSPECS": ("1", ("ls-files", "*.json")),
    "GIT_NAMESPACE": ("elsewhere", ("ls-remote", ".")),
    "GIT_NOGLOB_PATHSPECS": ("1", ("ls-files", "*.json")),
}


@pytest.mark.parametrize("name", MISLEADING)
def test_no_variable_of_the_environment_changes_an_answer(
    registry: Path, name: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    value, asked = MISLEADING[name]
    (registry / "records/a.json").write_text("1\n2\n")
    plain = Git(registry).run(*asked)
    monkeypatch.setenv(name, value)
    assert Git(registry).run(*asked) == plain
    if name != "GIT_ATTR_SOURCE":  # which git knows from 2.43 on
        misled = subprocess.run(["git", *asked], cwd=registry, check=False, capture_output=True)
        assert misled.stdout != plain, "the question shows nothing"


@pytest.mark.parametrize(
    "name",
    [
        "GIT_ATTR_SOURCE",
        "GIT_CEILING_DIRECTORIES",
        "GIT_DISCOVERY_ACROSS_FILESYSTEM",
        "GIT_INTERNAL_SUPER_PREFIX",
    ],
)
def test_what_only_some_gits_or_machines_heed_is_not_handed_on(name: str) -> None:
    assert name not in clean({name: "1"})
