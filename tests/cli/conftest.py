"""Registries to read from and to write to, and the command, run as one of its writers."""

import subprocess
from collections.abc import Callable
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from registry.cli import main
from tests.cli import counter as counter_registry

Litstock = Callable[..., Result]


@pytest.fixture(scope="session")
def counter(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A registry in which finds differ in everything that an answer tells; do not write to it."""
    folder = tmp_path_factory.mktemp("counter") / "registry"
    counter_registry.build(folder)
    return folder


@pytest.fixture
def registry(own_registry: Path, specialist: None, monkeypatch: pytest.MonkeyPatch) -> Path:  # noqa: ARG001
    """The small registry, to be written to by a specialist of mill-lane."""
    monkeypatch.setenv("LITSTOCK_REGISTRY", str(own_registry))
    monkeypatch.setenv("LITSTOCK_SITE", "mill-lane")
    return own_registry


@pytest.fixture
def litstock(registry: Path) -> Litstock:  # noqa: ARG001 (the commands find it through the environment)
    """Run a command, and expect its exit code."""

    def run(*arguments: str, code: int = 0, given: str | None = None) -> Result:
        result = CliRunner().invoke(main, arguments, input=given)
        assert result.exit_code == code, result.output
        return result

    return run


@pytest.fixture
def clone(registry: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A clone of the registry, which the commands work in: what they write waits there for its landing."""
    folder = tmp_path / "clone"
    subprocess.run(["git", "clone", "-q", str(registry), str(folder)], check=True)
    monkeypatch.setenv("LITSTOCK_REGISTRY", str(folder))
    return folder
