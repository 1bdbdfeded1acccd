"""The error that is told with a load is a standard error: about 68 of 100 truths lie within one of it."""

import pytest

from tests.tune.simulated import Found, coverage


@pytest.fixture(scope="module")
def found() -> dict[str, Found]:
    return coverage(truths=40, ladders=3, seed=2026)


@pytest.mark.parametrize("criterion", ["gain", "chroma", "hue", "mottle"])
def test_the_true_load_lies_within_the_errors_told(found: dict[str, Found], criterion: str) -> None:
    """Of 120 ladders; of 1,000 (see `simulated`) 62 to 75 % within one, 93 % and more within two."""
    of = found[criterion]
    assert len(of.errors) > 60
    assert 0.5 < of.within(1) < 0.88
    assert of.within(2) > 0.88
    assert abs(of.bias) < 2
    assert of.cannot_tell < 0.1
