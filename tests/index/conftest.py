"""A shared branch with one record of each sort, that goes on."""

import shutil
from pathlib import Path

import pytest

from tests import small
from tests.index.branch import Branch


@pytest.fixture(scope="session")
def _pattern(tmp_path_factory: pytest.TempPathFactory) -> Path:
    branch = Branch(tmp_path_factory.mktemp("pattern") / "registry")
    branch.land({path: document | {"revision": 1} for path, document in small._START.items()})  # noqa: SLF001
    branch.land(
        {
            "records/guidance/heavy-ink.json": {"title": "Heavier", "revision": 2},
            "records/notes.txt": b"words",
        }
    )
    return branch.folder


@pytest.fixture
def branch(_pattern: Path, tmp_path: Path) -> Branch:
    return Branch(Path(shutil.copytree(_pattern, tmp_path / "registry")))
