"""A quick shared branch, and a registry with a story, open for questions."""

from pathlib import Path

import pytest

from registry.question.registry import Registry
from tests.index.branch import Branch


@pytest.fixture
def branch(tmp_path: Path) -> Branch:
    """A repository on which files land quickly."""
    return Branch(tmp_path / "registry")


@pytest.fixture
def story(small_registry: Path) -> Registry:
    """The small registry, to ask only."""
    return Registry(small_registry, {})
