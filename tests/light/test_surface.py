"""Smooth surfaces: limits and refusals."""

from collections.abc import Callable

import pytest
from hypothesis import given
from hypothesis import strategies as st

from registry.light.surface import diffuse_external, diffuse_internal

INDICES = st.floats(1.01, 4)


@given(INDICES)
def test_diffuse_light_is_reflected_more_than_perpendicular_light_and_more_still_from_inside(
    index: float,
) -> None:
    perpendicular = ((index - 1) / (index + 1)) ** 2
    assert perpendicular < diffuse_external(index) < diffuse_internal(index) < 1


@pytest.mark.parametrize(
    ("refused", "said"),
    [
        (lambda: diffuse_external(1.0), "a refractive index over air's is 1.01 or more, not 1.0"),
        (lambda: diffuse_internal(float("nan")), "a refractive index over air's is 1.01 or more, not nan"),
    ],
)
def test_what_no_surface_can_do_is_refused(refused: Callable[[], object], said: str) -> None:
    with pytest.raises(ValueError) as refusal:
        refused()
    assert str(refusal.value) == said
