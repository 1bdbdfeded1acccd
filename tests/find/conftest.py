"""A new shop for each test, and the demo for all."""

import datetime
import os
from collections.abc import Iterator
from pathlib import Path

import pytest

from registry.demo.replay import present
from registry.question.registry import Registry
from registry.store.founding import create as create_repository
from registry.store.write import Series, Signature
from tests.find.shop import Shop


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Shop]:
    """A registry with three sites and a printer, to put records in."""
    made = Shop(tmp_path / "registry")
    with made.series:
        yield made


@pytest.fixture(scope="session")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Registry:
    """The demo's present state, landed at once."""
    folder = tmp_path_factory.mktemp("present") / "registry"
    when = datetime.datetime.fromisoformat("2026-12-01T12:00:00+01:00")
    with Series(create_repository(folder), sign=False) as series:
        author = Signature("registry desk", "desk@saltmarsh.invalid", when)
        series.commit(dict(present()), "The present state", author=author)
        series.finish()
    return Registry(folder, os.environ)
