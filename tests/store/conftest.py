"""Real git repositories, shielded from the settings of whoever runs the tests."""

import os
import subprocess
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

import pytest

from registry.store.write import Signature

Run = Callable[..., str]
Put = Callable[..., str]


@pytest.fixture(autouse=True)
def _shielded(monkeypatch: pytest.MonkeyPatch) -> None:
    for name in list(os.environ):
        if name.startswith("GIT_"):
            monkeypatch.delenv(name)
    monkeypatch.delenv("EMAIL", raising=False)
    monkeypatch.delenv("LITSTOCK_REGISTRY", raising=False)
    monkeypatch.setenv("GIT_CONFIG_GLOBAL", os.devnull)
    monkeypatch.setenv("GIT_CONFIG_NOSYSTEM", "1")


@pytest.fixture
def git() -> Run:
    """Git itself, as a person would run it: `git(folder, "log", at=1767225600)`."""

    def run(
        folder: Path, *args: str, at: int | None = None, zone: str = "+0000", given: str | None = None
    ) -> str:
        names = {
            "GIT_AUTHOR_NAME": "Mill Lane",
            "GIT_AUTHOR_EMAIL": "mill-lane@saltmarsh.example",
            "GIT_COMMITTER_NAME": "Harbour Yard",
            "GIT_COMMITTER_EMAIL": "harbour-yard@saltmarsh.example",
        }
        dates = (
            {f"GIT_{role}_DATE": f"@{at} {zone}" for role in ("AUTHOR", "COMMITTER")}
            if at is not None
            else {}
        )
        ended = subprocess.run(
            ["git", "-c", "init.defaultBranch=main", "-c", "core.quotepath=false", *args],
            cwd=folder,
            env=os.environ | names | dates,
            input=given,
            check=False,
            capture_output=True,
            text=True,
            encoding="utf-8",
            errors="surrogateescape",
        )
        if ended.returncode:
            raise RuntimeError(f"git {' '.join(args)}: {ended.stderr}")
        return ended.stdout.removesuffix("\n")

    return run


@pytest.fixture
def put(git: Run) -> Put:
    """Write files and commit them: `put(folder, {"records/a.json": "1"}, at=…)`; None removes a file."""

    def commit(
        folder: Path, files: dict[str, str | None], message: str = "a step", at: int = 1767225600
    ) -> str:
        for path, text in files.items():
            if text is None:
                (folder / path).unlink()
            else:
                (folder / path).parent.mkdir(parents=True, exist_ok=True)
                (folder / path).write_text(text, encoding="utf-8")
        git(folder, "add", "--all", ".")
        git(folder, "commit", "--quiet", "--allow-empty", "-m", message, at=at)
        return git(folder, "rev-parse", "HEAD")

    return commit


@pytest.fixture
def empty(tmp_path: Path, git: Run) -> Path:
    """A registry's folder with a mark and no commit yet."""
    folder = tmp_path / "registry"
    (folder / "records").mkdir(parents=True)
    (folder / "records" / "registry.json").write_text("{}\n", encoding="utf-8")
    git(folder, "init", "--quiet")
    return folder


@pytest.fixture
def registry(empty: Path, put: Put) -> Path:
    """A registry with one landing."""
    put(empty, {"records/a.json": "1\n"}, "the first records")
    return empty


@pytest.fixture
def signature() -> Signature:
    return Signature("Mill Lane", "mill-lane@saltmarsh.example", datetime(2026, 2, 1, 9, 30, tzinfo=UTC))
