"""What tests of several commands share."""

from pathlib import Path

import pytest

from tests.cli import counter as counter_registry


@pytest.fixture(scope="session")
def counter(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A registry in which finds differ in everything that an answer tells; do not write to it."""
    folder = tmp_path_factory.mktemp("counter") / "registry"
    counter_registry.build(folder)
    return folder
