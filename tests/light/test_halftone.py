"""Halftones: the ends are the bare substrate and the solid, whatever the model between them."""

from collections.abc import Callable

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from registry.light.halftone import clapper_yule, murray_davies, yule_nielsen

SHARES = st.floats(0, 1)


@given(SHARES, SHARES, st.floats(1, 4))
def test_no_ink_is_the_bare_substrate_and_all_ink_the_solid(bare: float, solid: float, n: float) -> None:
    assert yule_nielsen(np.array([0.0, 1.0]), bare, solid, n).tolist() == pytest.approx(
        [bare, solid], abs=1e-9
    )


@given(SHARES, SHARES, SHARES)
def test_n_of_1_is_murray_and_davies(area: float, bare: float, solid: float) -> None:
    assert float(yule_nielsen(area, bare, solid, 1)) == float(murray_davies(area, bare, solid))


@given(SHARES, SHARES, SHARES, st.floats(1, 3), st.floats(0, 2))
def test_the_more_light_spreads_the_darker_a_tint(
    area: float, bare: float, solid: float, n: float, more: float
) -> None:
    assert (
        float(yule_nielsen(area, bare, solid, n + more)) <= float(yule_nielsen(area, bare, solid, n)) + 1e-12
    )


@given(SHARES, SHARES, SHARES)
def test_without_a_surface_it_is_yule_and_nielsen_with_n_of_2(area: float, ink: float, base: float) -> None:
    seen = clapper_yule(area, ink, base, inside=0, entering=1, leaving=1)
    assert float(seen) == pytest.approx(float(yule_nielsen(area, base, base * ink**2, 2)), abs=1e-12)


@given(SHARES, SHARES, SHARES)
def test_a_tint_is_no_brighter_than_a_thinner_one(ink: float, area: float, less: float) -> None:
    def seen(covered: float) -> float:
        return float(clapper_yule(covered, ink, 0.85, inside=0.596, entering=0.95, leaving=0.43))

    assert seen(area) <= seen(area * less) + 1e-12


@pytest.mark.parametrize(
    ("refused", "said"),
    [
        (lambda: murray_davies(50, 0.8, 0.1), "coverage is a fraction, 0 to 1, not 50"),
        (lambda: murray_davies(0.5, 80, 0.1), "the bare substrate is a fraction, 0 to 1, not 80"),
        (lambda: yule_nielsen(0.5, 0.8, -0.1, 2), "the solid is a fraction, 0 to 1, not -0.1"),
        (lambda: yule_nielsen(0.5, 0.8, 0.1, 0.9), "Yule and Nielsen's n is 1 or more, not 0.9"),
        (
            lambda: clapper_yule(0.5, 0.3, 0.85, inside=1, entering=1, leaving=1),
            "a surface's reflectance from inside is from 0 to below 1, not 1",
        ),
    ],
)
def test_what_can_be_no_halftone_is_refused(refused: Callable[[], object], said: str) -> None:
    with pytest.raises(ValueError) as refusal:
        refused()
    assert str(refusal.value) == said
