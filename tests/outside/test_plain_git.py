"""History and diff against plain git, asked by its own commands."""

import itertools
import json
import subprocess
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner

from registry.cli import main
from registry.demo.replay import replay

MODE = "lumenfold/dayfilm-210/marshwing-backlit"
PATH = "records/substrates/lumenfold/dayfilm-210/modes/marshwing-backlit.json"


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    target = tmp_path_factory.mktemp("plain-git") / "registry"
    replay(target)
    return target


def git(folder: Path, *arguments: str) -> str:
    return subprocess.run(
        ["git", "-C", str(folder), *arguments], capture_output=True, text=True, check=True
    ).stdout


def litstock(folder: Path, *arguments: str) -> Any:
    result = CliRunner().invoke(main, ["-C", str(folder), *arguments, "--format", "json"])
    assert result.exit_code in (0, 1), result.output
    return json.loads(result.stdout)


def landings(folder: Path, path: str) -> list[tuple[str, str]]:
    """Return commit and committer date of every first-parent commit that changed a file, oldest first."""
    said = git(folder, "log", "--first-parent", "-s", "--format=%H %cI", "--", path)
    return [tuple(line.split(" ")) for line in reversed(said.splitlines())]  # type: ignore[misc]


def leaves(value: Any, path: str = "") -> dict[str, Any]:
    """Return every scalar of a JSON value by JSON pointer: a way of comparing that knows no settings."""
    if isinstance(value, dict):
        return {k: v for name, each in value.items() for k, v in leaves(each, f"{path}/{name}").items()}
    if isinstance(value, list):
        return {k: v for n, each in enumerate(value) for k, v in leaves(each, f"{path}/{n}").items()}
    return {path: value}


def test_history_lists_the_commits_that_git_log_lists(folder: Path) -> None:
    answer = litstock(folder, "history", MODE)
    told = [(each["landed"]["commit"], each["landed"]["at"]) for each in answer["revisions"]]
    assert told == landings(folder, PATH)
    assert len(told) >= 5


@pytest.mark.parametrize("pair", [("r1", "r2"), ("r2", "r4"), ("r6", "r8"), ("r8", "r10")])
def test_diff_finds_the_values_that_git_show_holds(folder: Path, pair: tuple[str, str]) -> None:
    commits = [commit for commit, _ in landings(folder, PATH)]
    before, after = (json.loads(git(folder, "show", f"{commits[int(name[1:]) - 1]}:{PATH}")) for name in pair)
    answer = litstock(folder, "diff", f"{MODE}@{pair[0]}", f"{MODE}@{pair[1]}")
    told = {
        each["path"]: (each["before"], each["after"]) for each in answer["changes"] if not each["computed"]
    }
    groups = ("ink", "motion", "heat", "web", "colour")
    old, new = (leaves({group: each.get(group, {}) for group in groups}) for each in (before, after))
    expected = {
        pointer.removeprefix("/").replace("/", "."): (old.get(pointer), new.get(pointer))
        for pointer in old.keys() | new.keys()
        if old.get(pointer) != new.get(pointer)
    }
    assert {path: values for path, values in told.items() if path.split(".")[0] in groups} == expected


def test_a_record_on_a_day_is_what_git_had_by_then(folder: Path) -> None:
    commits = landings(folder, PATH)
    for (commit, when), (_, following) in itertools.pairwise(commits):
        day = when[:10]
        if following[:10] == day:
            continue
        shown = litstock(folder, "diff", f"{MODE}@{day}", f"{MODE}@git:{commit}")
        assert shown["verdict"] == "nothing", day


def test_the_last_state_is_what_git_checks_out(folder: Path) -> None:
    assert git(folder, "status", "--porcelain") == ""
    tip = git(folder, "rev-parse", "HEAD").strip()
    assert litstock(folder, "show", MODE)["commit"] == tip
