"""Colours that illustrate a reading, against colour-science."""

import numpy as np
import pytest

from registry.light.screen import srgb
from tools.reference import colour_science

_LAB = [[98.7, -1.2, -6.6], [66.8, -1.5, -5.9], [50, 40, 20], [60, -30, 25], [90, 0, 0], [20, 5, -10]]


@pytest.mark.parametrize("lab", _LAB)
def test_a_colour_is_shown_as_colour_science_shows_it(lab: list[float]) -> None:
    """sRGB by IEC 61966-2-1, D50 adapted to D65 by CAT16, as colour-science computes both."""
    d50 = colour_science().XYZ_to_xy([0.9642, 1.0, 0.8249])
    expected = colour_science().XYZ_to_sRGB(
        colour_science().Lab_to_XYZ(lab, d50), illuminant=d50, chromatic_adaptation_transform="CAT16"
    )
    assert srgb(lab) == pytest.approx(np.clip(expected, 0, 1), abs=0.002)


def test_what_no_screen_shows_is_cut_off() -> None:
    shown = srgb([[50, -120, 20], [120, 0, 0], [0, 0, -90]])
    assert shown.min() >= 0
    assert shown.max() <= 1
