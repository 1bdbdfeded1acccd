"""A litstock killed at any of its steps: nothing is lost, and the next command leaves all as it should be."""

import json
import random
import shutil
from collections.abc import Callable
from pathlib import Path
from subprocess import run

import pytest
from click.testing import CliRunner, Result

from registry.cli import main
from tests import small
from tests.hostile.conftest import Tried
from tests.hostile.killing import killed, steps_of

PATH = small.mode_path(small.MODE)
REVISE = ("revise", small.MODE, "--set", "heat.cure_c=99", "--reason", "Cooler")
WRITES = {
    "revise": REVISE,
    "withdraw": ("withdraw", small.MODE, "--with-all", "--reason", "No longer made"),
    "run": (
        "run",
        f"{small.MODE}@r3",
        "--job",
        "J-1",
        "--unit",
        small.OTHER_UNIT,
        "--at",
        "2026-01-05T10:00",
    ),
}
FOUND = {"start": ("--site", "our-shop", "--time-zone", "UTC"), "demo": ()}


def git(folder: Path, *arguments: str) -> str:
    ended = run(["git", *arguments], cwd=folder, capture_output=True, text=True, check=False)
    assert ended.returncode == 0, ended.stderr
    return ended.stdout.strip()


def litstock(*arguments: str, code: int = 0) -> Result:
    result = CliRunner().invoke(main, arguments)
    assert result.exit_code == code, result.output
    return result


@pytest.fixture(autouse=True)
def _writer(monkeypatch: pytest.MonkeyPatch) -> None:
    for role in ("AUTHOR", "COMMITTER"):
        monkeypatch.setenv(f"GIT_{role}_NAME", "colour specialist, mill-lane")
        monkeypatch.setenv(f"GIT_{role}_EMAIL", "colour@mill-lane.invalid")
    monkeypatch.setenv("LITSTOCK_SITE", "mill-lane")


@pytest.fixture
def fresh(small_registry: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Callable[[], Path]:
    folder = tmp_path / "registry"
    monkeypatch.setenv("LITSTOCK_REGISTRY", str(folder))

    def copied() -> Path:
        shutil.rmtree(folder, ignore_errors=True)
        return Path(shutil.copytree(small_registry, folder))

    return copied


def drawn(count: int, of: int) -> list[int]:
    """Draw steps at which to kill a command, spread over all that it takes."""
    return sorted(random.Random(7).sample(range(of), min(count, of)))


def numbers(folder: Path) -> list[int]:
    """Return the revisions that a mode has had, newest first."""
    commits = git(folder, "log", "--first-parent", "--format=%H", "--diff-filter=AM", "--", PATH).split()
    return [json.loads(git(folder, "show", f"{each}:{PATH}"))["revision"] for each in commits]


def assert_whole(folder: Path, tip: str) -> None:
    assert git(folder, "merge-base", tip, "HEAD") == tip
    assert git(folder, "status", "--porcelain", "--ignored") == ""
    assert not list(folder.glob("records/**/.litstock*"))
    assert not list((folder / ".git").glob("*.lock"))
    assert not (folder / ".git/litstock-index").exists()
    held = numbers(folder)
    assert held == sorted(set(held), reverse=True)


@pytest.mark.parametrize("what", list(WRITES))
def test_killed_anywhere_in_a_write_the_next_command_finds_all_in_step(
    fresh: Callable[[], Path], what: str, times: int, tried: Tried
) -> None:
    fresh()
    points = drawn(5 * times, steps_of(*WRITES[what]))
    for at in points:
        folder = fresh()
        tip = git(folder, "rev-parse", "HEAD")
        assert killed(at, *WRITES[what])
        litstock("history", small.MODE)
        assert_whole(folder, tip)
        litstock("revise", small.MODE, "--set", "heat.cure_c=96", "--reason", "Next")
        assert_whole(folder, tip)
        assert not list((folder / ".git").glob("litstock-*"))
        litstock("check")
    tried(f"kills within {what}", len(points))


def test_a_writer_that_comes_next_mends_as_well_as_a_reader(fresh: Callable[[], Path], tried: Tried) -> None:
    for at in range(0, 40, 2):
        folder = fresh()
        tip = git(folder, "rev-parse", "HEAD")
        if not killed(at, *REVISE, since="update-ref"):
            break
        litstock("revise", small.MODE, "--set", "heat.cure_c=96", "--reason", "Next")
        assert_whole(folder, tip)
        assert numbers(folder)[:3] == [6, 5, 4]
    assert at > 4
    tried("kills between the branch and the checkout, and a writer next", at // 2)


def left_behind(fresh: Callable[[], Path]) -> Path:
    """Return a registry whose branch has moved, and nothing else."""
    folder = fresh()
    assert killed(0, *REVISE, since="update-ref")
    assert git(folder, "diff", "--cached", "--name-only") == PATH
    return folder


def test_what_a_person_changed_since_the_kill_is_left_and_told(fresh: Callable[[], Path]) -> None:
    folder = left_behind(fresh)
    mine = (folder / PATH).read_bytes().replace(b'"Dayfilm', b'"My Dayfilm')
    (folder / PATH).write_bytes(mine)
    result = litstock("history", small.MODE)
    assert (folder / PATH).read_bytes() == mine
    assert f"changed here since, so left as it is: '{PATH}'" in result.stderr
    assert git(folder, "diff", "--cached", "--name-only") == ""
    assert "changed here since" not in litstock("history", small.MODE).stderr


def test_a_person_cannot_commit_over_it_and_who_forces_it_is_told_how_to_have_it_again(
    fresh: Callable[[], Path],
) -> None:
    folder = left_behind(fresh)
    brought = git(folder, "rev-parse", "HEAD")
    refused = run(["git", "commit", "-am", "x"], cwd=folder, capture_output=True, text=True, check=False)
    assert "index.lock': File exists" in refused.stderr
    (folder / ".git/index.lock").unlink()
    git(folder, "commit", "--quiet", "-am", "forced")
    for command in (("history", small.MODE), REVISE):
        told = litstock(*command, code=3).stderr
        assert f"a later commit has put the older state back: '{PATH}'" in told
    run(told.partition("type: ")[2], shell=True, cwd=folder, check=True, capture_output=True)  # noqa: S602
    litstock("history", small.MODE)
    assert git(folder, "rev-parse", f"HEAD:{PATH}") == git(folder, "rev-parse", f"{brought}:{PATH}")
    assert not list((folder / ".git").glob("litstock-*"))


@pytest.mark.parametrize("what", list(FOUND))
def test_a_registry_that_was_left_half_made_can_be_made_again(
    tmp_path: Path, what: str, times: int, tried: Tried
) -> None:
    folder = tmp_path / "new"

    # Of the demo, which is long, only its beginning; its end is that of any other write.
    points = (
        drawn(4 * times, steps_of(what, str(folder), *FOUND[what])) if what == "start" else drawn(times, 200)
    )
    for at in points:
        shutil.rmtree(folder, ignore_errors=True)
        assert killed(at, what, str(folder), *FOUND[what])
        if not (folder / ".git/refs/heads/main").exists() or (folder / ".git/litstock-writing").exists():
            litstock(what, str(folder), *FOUND[what])
        litstock("-C", str(folder), "check")
        assert git(folder, "status", "--porcelain", "--ignored") == ""
    tried(f"kills within {what}", len(points))


def test_what_is_not_ours_is_not_taken_for_a_registry_half_made(tmp_path: Path) -> None:
    (tmp_path / "README.md").write_text("mine")
    assert "it holds 'README.md'" in litstock("demo", str(tmp_path), code=3).stderr
    (tmp_path / ".git").mkdir()
    assert "is not empty" in litstock("demo", str(tmp_path), code=3).stderr
    assert (tmp_path / "README.md").read_text() == "mine"
