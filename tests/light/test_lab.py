"""CIELAB there and back, and adaptation from one white to another."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from registry.light.adaptation import adapted
from registry.light.lab import lab, xyz_of
from registry.light.sources import SOURCE_NAMES, source

COLOURS = st.tuples(*[st.floats(0, 120)] * 3)
LABS = st.tuples(st.floats(0, 100), st.floats(-120, 120), st.floats(-120, 120))
WHITES = st.sampled_from(SOURCE_NAMES).map(lambda name: source(name).white())


@given(COLOURS, WHITES)
def test_lab_and_back(colour: tuple[float, ...], white: np.ndarray) -> None:
    np.testing.assert_allclose(xyz_of(lab(colour, white), white), colour, rtol=0, atol=1e-9)


@given(WHITES)
def test_a_white_is_white_against_itself(white: np.ndarray) -> None:
    np.testing.assert_allclose(lab(white, white), [100, 0, 0], rtol=0, atol=1e-9)


@given(COLOURS, WHITES, st.floats(0.01, 1000))
def test_only_the_ratio_to_the_white_counts(
    colour: tuple[float, ...], white: np.ndarray, unit: float
) -> None:
    found = lab(np.array(colour) * unit, white * unit)
    np.testing.assert_allclose(found, lab(colour, white), rtol=0, atol=1e-9)


def test_each_patch_may_have_its_own_white() -> None:
    whites = np.array([[96.4, 100, 82.5], [48.2, 50, 41.25]])
    np.testing.assert_allclose(lab(whites, whites), [[100, 0, 0]] * 2, atol=1e-9)


def test_what_is_no_white_is_refused() -> None:
    with pytest.raises(ValueError, match=r"a white has X, Y and Z above 0, not \[96.4, 0.0, 82.5\]"):
        lab([1, 1, 1], [96.4, 0, 82.5])
    with pytest.raises(ValueError, match=r"nothing adapts to \[0.0, 0.0, 1.0\]: it is no white"):
        adapted([1, 1, 1], [96.4, 100, 82.5], [0, 0, 1])


@given(COLOURS, WHITES, WHITES)
def test_adapting_there_and_back_restores(
    colour: tuple[float, ...], white_from: np.ndarray, white_to: np.ndarray
) -> None:
    there = adapted(colour, white_from, white_to)
    np.testing.assert_allclose(adapted(there, white_to, white_from), colour, rtol=0, atol=1e-9)


@given(WHITES, WHITES, st.floats(0.01, 1))
def test_a_grey_stays_grey(white_from: np.ndarray, white_to: np.ndarray, share: float) -> None:
    found = adapted(white_from * share, white_from, white_to)
    np.testing.assert_allclose(found, white_to * share, rtol=1e-9)
