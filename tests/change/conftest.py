"""The small registry, open for questions, and a hand that lands files in a copy of it."""

import datetime
import os
import subprocess
from collections.abc import Callable
from pathlib import Path

import pytest

from registry.question.registry import Registry
from registry.store.repository import Repository
from registry.store.write import Series, Signature


@pytest.fixture(scope="session")
def small_open(small_registry: Path) -> Registry:
    """The small registry, to ask."""
    return Registry(small_registry, os.environ)


@pytest.fixture(scope="session")
def cut_off(small_registry: Path, tmp_path_factory: pytest.TempPathFactory) -> Registry:
    """A shallow clone of the small registry: its last four landings."""
    folder = tmp_path_factory.mktemp("cut") / "registry"
    command = ["git", "clone", "--quiet", "--depth", "4", small_registry.as_uri(), str(folder)]
    subprocess.run(command, check=True, capture_output=True)
    return Registry(folder, os.environ)


@pytest.fixture
def land(own_registry: Path) -> Callable[..., Registry]:
    """Land files in the copy of the small registry, a day after another, and return it open."""
    day = datetime.datetime.fromisoformat("2025-12-01T12:00:00+01:00")

    def landed(files: dict[str, bytes | None], message: str = "Land") -> Registry:
        nonlocal day
        repository = Repository(own_registry)
        author = Signature("specialist, mill-lane", "specialist@mill-lane.invalid", day)
        with Series(repository, sign=False) as series:
            series.commit(files, message, author=author)
            series.finish()
        day += datetime.timedelta(days=1)
        return Registry(own_registry, os.environ)

    return landed
