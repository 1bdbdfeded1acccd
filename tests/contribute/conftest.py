"""A tree in memory, as contributions are prepared upon one."""

from collections.abc import Iterable
from typing import Any

import pytest

from registry import canonical


class Files:
    """A tree held in memory."""

    def __init__(self, files: dict[str, bytes]) -> None:
        self.files = files

    def read(self, path: str) -> bytes | None:
        return self.files.get(path)

    def paths(self) -> Iterable[str]:
        return self.files

    def document(self, path: str) -> dict[str, Any]:
        return canonical.read(self.files[path])


@pytest.fixture
def tree(small_files: dict[str, bytes]) -> Files:
    return Files(dict(small_files))
