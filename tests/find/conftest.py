"""A new shop for each test."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.find.shop import Shop


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Shop]:
    """A registry with three sites and a printer, to put records in."""
    made = Shop(tmp_path / "registry")
    with made.series:
        yield made
