"""The small registry with a second complaint."""

import os
import shutil
from pathlib import Path

import pytest

from registry.audit.answer import AuditAnswer
from registry.audit.audit import audit
from registry.audit.request import of_complaint
from registry.question.registry import Registry
from tests.audit.story import COMPLAINT, continue_story


@pytest.fixture(scope="session")
def audited(small_registry: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The small registry with what happened in December; do not write to it."""
    folder = tmp_path_factory.mktemp("audited") / "registry"
    shutil.copytree(small_registry, folder)
    continue_story(folder)
    return folder


@pytest.fixture(scope="session")
def december(audited: Path) -> Registry:
    """The same, to ask."""
    return Registry(audited, os.environ)


@pytest.fixture(scope="session")
def answer(december: Registry) -> AuditAnswer:
    return audit(december, of_complaint(december, COMPLAINT))
