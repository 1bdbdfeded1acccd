"""The error that is told with a load is a standard error: about 68 of 100 truths lie within one of it."""

from tests.tune.simulated import coverage


def test_the_true_load_lies_within_the_errors_told() -> None:
    """Of 120 ladders; of 1,000 (see `simulated`) 62 to 75 % within one, 93 % and more within two."""
    found = coverage(truths=40, ladders=3, seed=2026)
    assert found.keys() == {"gain", "chroma", "hue", "mottle"}
    for criterion, of in found.items():
        assert len(of.errors) > 60, criterion
        assert 0.5 < of.within(1) < 0.88, criterion
        assert of.within(2) > 0.88, criterion
        assert abs(of.bias) < 2, criterion
        assert of.cannot_tell < 0.1, criterion
