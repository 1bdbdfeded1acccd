"""Smooth surfaces: limits, refusals, and a correction that can be undone."""

from collections.abc import Callable

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from registry.light.surface import (
    diffuse_external,
    diffuse_internal,
    fresnel,
    saunderson,
    saunderson_inverse,
)

SURFACES = st.floats(0, 0.95)
INDICES = st.floats(1.01, 4)


@given(st.floats(0, 1), SURFACES, SURFACES)
def test_the_correction_can_be_undone(share: float, outside: float, inside: float) -> None:
    measured = saunderson(share, outside, inside)
    assert 0 <= measured <= 1 + 1e-12
    assert float(saunderson_inverse(np.minimum(measured, 1), outside, inside)) == pytest.approx(
        share, abs=1e-9
    )


def test_without_a_surface_nothing_is_corrected() -> None:
    assert float(saunderson(0.37, 0, 0)) == 0.37
    assert float(saunderson_inverse(0.37, 0, 0)) == 0.37


def test_a_surface_makes_a_mid_tone_darker_and_a_black_lighter() -> None:
    black, middle, white = saunderson(np.array([0.0, 0.5, 1.0]), 0.04, 0.596)
    assert (black, white) == (0.04, pytest.approx(1))
    assert middle < 0.5


@given(INDICES, st.floats(0, 89.9))
def test_light_passes_a_surface_as_well_inwards_as_outwards(index: float, angle: float) -> None:
    inside = np.degrees(np.arcsin(np.sin(np.radians(angle)) / index))
    assert float(fresnel(1 / index, inside)) == pytest.approx(float(fresnel(index, angle)), abs=1e-6)


@given(INDICES)
def test_diffuse_light_is_reflected_more_than_perpendicular_light_and_more_still_from_inside(
    index: float,
) -> None:
    assert float(fresnel(index)) < diffuse_external(index) < diffuse_internal(index) < 1


def test_grazing_light_and_light_beyond_the_critical_angle_is_reflected_whole() -> None:
    assert float(fresnel(1.5, 90)) == pytest.approx(1)
    assert fresnel(1 / 1.5, np.array([41.9, 60.0, 90.0])).tolist() == pytest.approx([1, 1, 1])
    assert float(fresnel(1 / 1.5, 41.7)) < 1


@pytest.mark.parametrize(
    ("refused", "said"),
    [
        (lambda: fresnel(0), "a refractive index is above 0, not 0"),
        (lambda: fresnel(1.5, 91), "an angle of incidence is from 0 to 90°, not 91"),
        (lambda: diffuse_external(1.0), "a refractive index over air's is 1.01 or more, not 1.0"),
        (lambda: diffuse_internal(float("nan")), "a refractive index over air's is 1.01 or more, not nan"),
        (lambda: saunderson(50, 0.04, 0.596), "reflectance is a fraction, 0 to 1, not 50"),
        (lambda: saunderson(0.5, 1, 0.6), "a surface's reflectance from outside is from 0 to below 1, not 1"),
        (
            lambda: saunderson(0.5, 0, -0.6),
            "a surface's reflectance from inside is from 0 to below 1, not -0.6",
        ),
        (
            lambda: saunderson_inverse(0.03, 0.04, 0.596),
            "measured reflectance is at least the surface's own 0.04, not 0.03: read without the gloss?",
        ),
    ],
)
def test_what_no_surface_can_do_is_refused(refused: Callable[[], object], said: str) -> None:
    with pytest.raises(ValueError) as refusal:
        refused()
    assert str(refusal.value) == said
