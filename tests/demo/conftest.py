"""The story as it is told, once for all tests of it."""

from typing import Any

import pytest

from registry import canonical
from registry.demo.replay import Told, replay, tell
from registry.model.kinds import place_at
from registry.store.repository import Repository
from tests.demo.telling import Landed, Records


@pytest.fixture(scope="session")
def story() -> tuple[Told, ...]:
    """Every landing, oldest first."""
    return tuple(tell())


@pytest.fixture(scope="session")
def history(story: tuple[Told, ...]) -> tuple[Landed, ...]:
    """Every revision of every record, in the order in which they landed."""
    found: list[Landed] = []
    known: dict[str, dict[str, Any]] = {}
    state: dict[str, bytes] = {}
    for told in story:
        for path, data in told.state.items():
            place = place_at(path)
            assert place is not None, path
            if place.attachment or state.get(path) == data:
                continue
            document = canonical.read(data)
            found.append(Landed(told, path, place.kind, place.id, document, known.get(path)))
            known[path] = document
        state = told.state
    return tuple(found)


@pytest.fixture(scope="session")
def present(history: tuple[Landed, ...]) -> Records:
    """The records at the end of the story, by kind and id."""
    records: Records = {}
    for landed in history:
        records.setdefault(landed.kind, {})[landed.id] = landed.document
    return records


@pytest.fixture(scope="session")
def replayed(tmp_path_factory: pytest.TempPathFactory) -> Repository:
    """The story as a git repository; do not write to it."""
    return replay(tmp_path_factory.mktemp("demo") / "registry")
