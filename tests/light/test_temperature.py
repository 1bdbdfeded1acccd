"""Colour temperature: what is set down beside the Planckian locus is found there again."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from registry.light.sources import matching, source
from registry.light.temperature import NoTemperature, cct_duv

METRES = np.arange(360, 781) * 1e-9


def black_body(kelvin: float) -> np.ndarray:
    """Return u and v of a black body, by Planck's law."""
    x, y, z = (METRES**-5 / np.expm1(1.4388e-2 / (METRES * kelvin))) @ matching(2)
    total = x + 15 * y + 3 * z
    return np.array([4 * x / total, 6 * y / total])


def beside(kelvin: float, duv: float) -> list[float]:
    """Return XYZ of the colour at a distance from the locus, at right angles to it."""
    along = black_body(kelvin * 1.0001) - black_body(kelvin / 1.0001)
    across = np.array([-along[1], along[0]]) / np.hypot(*along)
    u, v = black_body(kelvin) + duv * across * np.sign(across[1])
    scale = 2 * u - 8 * v + 4
    x, y = 3 * u / scale, 2 * v / scale
    return [x / y, 1.0, (1 - x - y) / y]


@given(st.floats(1050, 90_000), st.floats(-0.045, 0.045))
def test_what_is_set_down_is_found_again(kelvin: float, duv: float) -> None:
    found = cct_duv(beside(kelvin, duv))
    assert found[0] == pytest.approx(kelvin, rel=3e-5)
    assert found[1] == pytest.approx(duv, abs=1e-6)


def test_illuminant_a_is_a_black_body_of_2856_kelvin() -> None:
    """2848 K of 1931 with c2 = 1.435e-2 m·K are 2848 × 1.4388 / 1.435 = 2855.54 K."""
    cct, duv = cct_duv(source("A").white())
    assert cct == pytest.approx(2848 * 1.4388 / 1.435, abs=0.05)
    assert duv == pytest.approx(0, abs=1e-6)


def test_luminance_does_not_matter() -> None:
    white = source("LED-B5").white()
    assert cct_duv(white * 7) == pytest.approx(cct_duv(white), rel=1e-12)


@pytest.mark.parametrize(
    ("xyz", "said"),
    [
        ([20, 60, 10], r"lies 0\.\d+ from the Planckian locus: beyond 0.05 no temperature correlates"),
        ([90, 40, 1], "lies beyond 1000 to 100000 K"),
        ([60, 50, 300], "lies beyond 1000 to 100000 K"),
        ([0, 0, 0], "X 0, Y 0, Z 0 is no light"),
        ([np.nan, 1, 1], "X nan, Y 1, Z 1 is no light"),
    ],
)
def test_a_colour_has_no_temperature(xyz: list[float], said: str) -> None:
    with pytest.raises(NoTemperature, match=said):
        cct_duv(xyz)
