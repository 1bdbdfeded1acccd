"""What the generators of bad input share: how many to try, and how many were tried in the end.

`tools/hostile` runs them longer and prints what they tried.
"""

import os
from collections import Counter
from collections.abc import Callable

import pytest

from tests.hostile.shop import Shop, build

Tried = Callable[[str, int], None]
_TRIED: Counter[str] = Counter()


@pytest.fixture(scope="session")
def times() -> int:
    """How many times as many cases to generate as the ordinary run of the tests does."""
    return int(os.environ.get("HOSTILE_TIMES", "1"))


@pytest.fixture
def tried() -> Tried:
    """Say what was tried and how often, for the summary."""

    def say(what: str, count: int) -> None:
        _TRIED[what] += count

    return say


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Shop:
    """A registry with a record of every kind."""
    return build(tmp_path_factory.mktemp("shop") / "registry")


@pytest.fixture
def at_harbour_yard(specialist: None, monkeypatch: pytest.MonkeyPatch) -> None:  # noqa: ARG001 (it signs)
    """A specialist writes for harbour-yard."""
    monkeypatch.setenv("LITSTOCK_SITE", "harbour-yard")


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    """Print what was tried, where it was not spread over several processes."""
    for what, count in sorted(_TRIED.items()):
        terminalreporter.write_line(f"tried: {count:,} {what}")
