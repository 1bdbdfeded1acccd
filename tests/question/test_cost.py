"""What a question costs while the read model is up to date: a few git processes, and no heavy import."""

import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from registry.question.registry import Registry
from registry.question.when import version
from tests import small
from tests.index.branch import Branch

ASKS = """
import sys
from pathlib import Path
from registry.question.registry import Registry
from registry.question.when import version
asked = Registry(Path(sys.argv[1]), {})
print(version(asked, sys.argv[2], offered=True).label)
print(*sorted(sys.modules))
"""
HEAVY = {
    "pydantic",
    "jsonschema",
    "jsonschema_rs",
    "git",
    "numpy",
    "click",
    "hashlib",
    "zoneinfo",
}
BUILDERS = {f"registry.index.{name}" for name in ("build", "refresh", "present", "subjects", "verdicts")}


@pytest.fixture
def processes(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """The git processes that were started from now on."""
    started: list[str] = []
    popen = subprocess.Popen

    def counted(args: list[str], *more: Any, **named: Any) -> Any:
        started.append(next(each for each in args[1:] if each[0] != "-" and "=" not in each))
        return popen(args, *more, **named)

    monkeypatch.setattr(subprocess, "Popen", counted)
    return started


def test_a_warm_question_starts_three_git_processes(small_registry: Path, processes: list[str]) -> None:
    version(Registry(small_registry, {}), small.MODE)
    processes.clear()
    registry = Registry(small_registry, {})
    assert version(registry, small.MODE).label == "r4"
    assert processes == ["rev-parse", "for-each-ref", "cat-file"]
    registry.model.subjects("print-mode")
    registry.model.landings()
    assert len(processes) == 3


def test_to_be_brought_up_to_date_takes_four_more_however_much_there_is(
    own_registry: Path, processes: list[str]
) -> None:
    branch = Branch(own_registry)
    branch.model()
    path = small.mode_path(small.FRONT)
    branch.land({path: small._START[path] | {"title": "Other", "revision": 2}})  # noqa: SLF001
    registry = branch.registry()
    processes.clear()
    assert registry.model.revisions(path)[-1].seq == 2
    assert processes == ["log", "log", "cat-file", "cat-file"]  # who merged what, what landed, what it says


def test_a_warm_question_imports_nothing_heavy(small_registry: Path) -> None:
    version(Registry(small_registry, {}), small.MODE)
    asked = [sys.executable, "-c", ASKS, str(small_registry), small.MODE]
    said = subprocess.run(asked, check=True, capture_output=True, text=True).stdout.splitlines()
    assert said[0] == "r3"
    assert (HEAVY | BUILDERS) & set(said[1].split()) == set()
