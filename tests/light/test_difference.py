"""ΔE00: laws that hold for every pair, and what many differences come to."""

import numpy as np
import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from registry.light import difference
from registry.light.difference import Summary, ciede2000, summary

AXIS = st.one_of(st.floats(-128, 128), st.sampled_from([0.0, -0.0, 1.0, -1.0, 40.0, -40.0, 1e-12]))
LABS = st.tuples(st.floats(0, 100), AXIS, AXIS)


@given(LABS)
def test_nothing_differs_from_itself(colour: tuple[float, ...]) -> None:
    assert ciede2000(colour, colour) == 0


@given(LABS, LABS)
@example((50, 10, 60), (50, 20, -120))  # the mean hue is 0, and must be so from both sides
def test_either_side_may_be_called_the_first(one: tuple[float, ...], other: tuple[float, ...]) -> None:
    found = float(ciede2000(one, other))
    assert found == float(ciede2000(other, one))
    assert 0 <= found < 500


@given(LABS, LABS)
def test_what_differs_at_all_differs_by_more_than_nothing(
    one: tuple[float, ...], other: tuple[float, ...]
) -> None:
    if np.abs(np.subtract(one, other)).max() > 0.001:
        assert ciede2000(one, other) > 0


@given(st.floats(0, 100), st.floats(0, 100))
def test_between_greys_only_lightness_counts(one: float, other: float) -> None:
    off = ((one + other) / 2 - 50) ** 2
    expected = abs(one - other) / (1 + 0.015 * off / np.sqrt(20 + off))
    assert float(ciede2000([one, 0, 0], [other, 0, 0])) == pytest.approx(expected, abs=1e-12)


@given(LABS, st.floats(1e-6, 1e-3), st.integers(0, 2))
def test_a_small_step_is_a_small_difference(colour: tuple[float, ...], step: float, axis: int) -> None:
    moved = np.array(colour)
    moved[axis] += step
    assert ciede2000(colour, moved) < 5 * step


def test_shapes_are_broadcast_and_blocks_make_no_difference(monkeypatch: pytest.MonkeyPatch) -> None:
    random = np.random.default_rng(4)
    lab1, lab2 = random.uniform(-60, 60, (7, 1, 3)), random.uniform(-60, 60, (5, 3))
    whole = ciede2000(lab1, lab2)
    assert whole.shape == (7, 5)
    assert whole[3, 2] == ciede2000(lab1[3, 0], lab2[2])
    monkeypatch.setattr(difference, "_BLOCK", 12)
    assert np.array_equal(ciede2000(lab1, lab2), whole)


def test_no_pairs_have_no_differences() -> None:
    assert ciede2000(np.empty((0, 3)), np.empty((0, 3))).shape == (0,)


def test_what_is_no_colour_is_refused() -> None:
    with pytest.raises(ValueError, match=r"colours have three values on the last axis, not shape \(2, 4\)"):
        ciede2000(np.zeros((2, 4)), np.zeros((2, 4)))
    with pytest.raises(ValueError, match="broadcast"):
        ciede2000(np.zeros((2, 3)), np.zeros((5, 3)))


def test_an_unknown_colour_stays_unknown() -> None:
    assert np.isnan(ciede2000([50, np.nan, 0], [50, 0, 0]))


def test_a_summary_says_where_the_largest_is() -> None:
    differences = np.arange(101.0)
    assert summary(differences) == Summary(50.0, 95.0, 100.0, 100)
    assert summary(differences[::-1]).at == 0
    assert summary([[1.0, 2.0], [9.0, 4.0]]).at == 2


def test_there_is_nothing_to_sum_up_in_nothing_or_in_no_number() -> None:
    with pytest.raises(ValueError, match="there are no differences to sum up"):
        summary([])
    with pytest.raises(ValueError, match="difference 1 is no number"):
        summary([1.0, np.nan])
