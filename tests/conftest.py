"""What every test shares: no git settings but ours, and a small registry with a history."""

import os
import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import HealthCheck, settings

from tests import small

# A property holds or does not, however slow the machine is.
settings.register_profile(
    "untimed", settings.default, deadline=None, suppress_health_check=[HealthCheck.too_slow]
)
settings.load_profile("untimed")


@pytest.fixture(autouse=True, scope="session")
def _only_our_git_settings() -> Iterator[None]:
    with pytest.MonkeyPatch.context() as patch:
        for name in list(os.environ):
            if name.startswith(("GIT_", "LITSTOCK_")):
                patch.delenv(name)
        patch.setenv("GIT_CONFIG_GLOBAL", os.devnull)
        patch.setenv("GIT_CONFIG_NOSYSTEM", "1")
        patch.setenv("NO_COLOR", "1")
        yield


@pytest.fixture
def specialist(monkeypatch: pytest.MonkeyPatch) -> None:
    """Whoever commits is a specialist of mill-lane."""
    for role in ("AUTHOR", "COMMITTER"):
        monkeypatch.setenv(f"GIT_{role}_NAME", "colour specialist, mill-lane")
        monkeypatch.setenv(f"GIT_{role}_EMAIL", "colour@mill-lane.invalid")


@pytest.fixture(scope="session")
def small_registry(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A small registry to read from; do not write to it."""
    folder = tmp_path_factory.mktemp("small") / "registry"
    small.build(folder)
    return folder


@pytest.fixture
def own_registry(small_registry: Path, tmp_path: Path) -> Path:
    """A copy of the small registry to write to."""
    folder = tmp_path / "registry"
    shutil.copytree(small_registry, folder)
    return folder


@pytest.fixture(scope="session")
def small_files(small_registry: Path) -> dict[str, bytes]:
    """The small registry's records by path, as its last landing left them."""
    found = (path for path in (small_registry / "records").rglob("*") if path.is_file())
    return {path.relative_to(small_registry).as_posix(): path.read_bytes() for path in found}
