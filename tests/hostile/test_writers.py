"""Several litstocks that write at once: each is taken, once; of one record whoever is late is told."""

import json
import random
import sys
from pathlib import Path
from subprocess import PIPE, Popen, run
from typing import Any

import pytest
from click.testing import CliRunner

from registry.cli import main
from registry.store import write
from registry.store.repository import Repository
from tests import small
from tests.hostile.conftest import Tried

WRITER = """
import json, sys
from click.testing import CliRunner
from registry.cli import main
for arguments in json.loads(sys.argv[1]):
    ended = CliRunner().invoke(main, arguments)
    print(json.dumps([ended.exit_code, ended.stderr]))
"""
RUN = ("run", f"{small.MODE}@r3", "--unit", small.OTHER_UNIT, "--at", "2026-01-05T10:00", "--job")
PATH = small.mode_path(small.MODE)


@pytest.fixture
def registry(own_registry: Path, specialist: None, monkeypatch: pytest.MonkeyPatch) -> Path:  # noqa: ARG001
    monkeypatch.setenv("LITSTOCK_REGISTRY", str(own_registry))
    monkeypatch.setenv("LITSTOCK_SITE", "mill-lane")
    return own_registry


def git(folder: Path, *arguments: str) -> str:
    return run(["git", *arguments], cwd=folder, capture_output=True, text=True, check=True).stdout.strip()


def written(draw: random.Random, writer: int, number: int) -> list[str]:
    """Return a command that meets no other: a run, what happened, or how a mode went."""
    mark = f"W{writer}-{number}"
    return draw.choice(
        [
            [
                "run",
                f"{small.MODE}@r3",
                "--job",
                mark,
                "--unit",
                small.OTHER_UNIT,
                "--at",
                "2026-01-05T10:00",
            ],
            [
                "log-event",
                "alignment",
                "--unit",
                small.OTHER_UNIT,
                "--what",
                mark,
                "--at",
                "2026-01-06T10:00",
            ],
            [
                "confirm",
                f"{small.MODE}@r3",
                "--unit",
                small.OTHER_UNIT,
                "--outcome",
                "good",
                "--hours",
                "24",
                "--seen",
                "on-light-table",
                "--note",
                mark,
            ],
        ]
    )


def test_writers_that_do_not_meet_are_all_taken_once(registry: Path, times: int, tried: Tried) -> None:
    writers, each = (3, 3) if times == 1 else (8, 20)
    draw = random.Random(11)
    told = [[written(draw, writer, number) for number in range(each)] for writer in range(writers)]
    start = int(git(registry, "rev-list", "--count", "HEAD"))
    running = [Popen([sys.executable, "-c", WRITER, json.dumps(each)], stdout=PIPE) for each in told]
    ended = [json.loads(line) for each in running for line in each.communicate()[0].splitlines()]
    assert [stderr for code, stderr in ended if code] == []
    assert len(ended) == writers * each
    assert int(git(registry, "rev-list", "--count", "HEAD")) == start + len(ended)
    held = [path.read_text() for path in (registry / "records/sites").rglob("*.json")]
    for writer in range(writers):
        for number in range(each):
            assert sum(f'"W{writer}-{number}"' in text for text in held) == 1
    assert git(registry, "status", "--porcelain", "--ignored") == ""
    assert not list((registry / ".git").glob("litstock-*"))
    assert CliRunner().invoke(main, ["check"]).exit_code == 0
    tried("writes at once", len(ended))


def preceded(monkeypatch: pytest.MonkeyPatch, registry: Path, files: list[dict[str, bytes | None]]) -> None:
    """Let somebody else commit these just before the next commits, one after another."""
    plain = write.commit

    def late(repository: Repository, *arguments: Any, **named: Any) -> str:
        if files:
            other = write.identity(repository)._replace(name="specialist, harbour-yard")
            plain(Repository(registry), files.pop(0), "Theirs", author=other)
        return plain(repository, *arguments, **named)

    monkeypatch.setattr(write, "commit", late)


def theirs(registry: Path, path: str) -> dict[str, bytes | None]:
    """Return a record's next revision, as somebody else may have written it."""
    data = (registry / path).read_bytes()
    revision = json.loads(data)["revision"]
    return {path: data.replace(b'"revision": %d,' % revision, b'"revision": %d,' % (revision + 1))}


def test_what_a_command_says_is_worked_out_anew_upon_what_landed_meanwhile(
    registry: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    other = next(path.relative_to(registry).as_posix() for path in registry.glob("records/**/units/one.json"))
    preceded(monkeypatch, registry, [theirs(registry, other)])
    arguments = ["revise", small.MODE, "--patch", "-", "--reason", "Cooler"]
    result = CliRunner().invoke(main, arguments, input='{"heat": {"cure_c": 99}}')
    assert result.exit_code == 0, result.output
    assert result.stderr.count("beware: the source of heat") <= 1
    assert git(registry, "log", "-2", "--format=%an").split("\n")[1] == "specialist, harbour-yard"
    assert json.loads((registry / PATH).read_bytes())["heat"]["cure_c"] == 99


def test_who_is_late_with_the_same_record_is_told_who_was_first(
    registry: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    preceded(monkeypatch, registry, [theirs(registry, PATH)])
    result = CliRunner().invoke(main, ["revise", small.MODE, "--set", "heat.cure_c=99", "--reason", "Cooler"])
    assert result.exit_code == 3
    first = git(registry, "rev-parse", "HEAD")
    assert f"{PATH}: specialist, harbour-yard was first, with commit {first[:12]} ('Theirs')" in result.stderr
    assert git(registry, "status", "--porcelain") == ""
    assert json.loads((registry / PATH).read_bytes())["revision"] == 5


def test_a_rule_that_what_landed_meanwhile_breaks_is_asked_again(
    registry: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    run_of = [
        "run",
        f"{small.MODE}@r3",
        "--job",
        "J-9",
        "--unit",
        small.OTHER_UNIT,
        "--at",
        "2026-01-05T10:00",
    ]
    assert CliRunner().invoke(main, run_of).exit_code == 0
    (path,) = git(registry, "show", "--name-only", "--format=").split("\n")
    same = (registry / path).read_bytes()
    git(registry, "reset", "--hard", "--quiet", "HEAD^")
    preceded(monkeypatch, registry, [{path: same}])
    result = CliRunner().invoke(main, run_of)
    assert (result.exit_code, "job J-9 is on record" in result.stderr) == (2, True)


def test_where_git_keeps_coming_in_between_it_ends_with_what_to_do(
    registry: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    preceded(monkeypatch, registry, [{"notes.txt": b"%d\n" % number} for number in range(50)])
    monkeypatch.setattr("time.sleep", lambda _: None)
    result = CliRunner().invoke(main, written(random.Random(1), 0, 0))
    assert result.exit_code == 3
    assert "others kept committing to refs/heads/main while this was written, 8 times" in result.stderr
    assert "run the same command again" in result.stderr
    assert git(registry, "log", "-9", "--format=%s").split("\n").count("Theirs") == 8
