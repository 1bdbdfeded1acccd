"""How well the colour of a lit white and a gamut are known: against plain draws written anew here."""

import numpy as np
import pytest
from scipy.spatial import ConvexHull

from registry.light.grid import Array
from registry.light.lab import lab, xyz_of
from registry.light.temperature import cct_duv
from registry.lit.colour_certainty import gamut_known, temperature_known
from registry.model.usual import usuals
from tools.reference import colour_science

_USUAL = usuals({})
_SOLIDS = np.array(
    [
        [100, 0, 0],
        [65, -42, -50],
        [63, 71, -17],
        [97, -8, 102],
        [15, 1, 2],
        [26, 38, -74],
        [60, -72, 45],
        [62, 62, 75],
    ],
    dtype=np.float64,
)


@pytest.mark.parametrize("white", [[0.40, 0.41, 0.30], [0.39, 0.41, 0.36]])
def test_a_temperature_is_known_as_a_million_plain_draws_know_it(white: list[float]) -> None:
    """A million draws; temperature by McCamy's polynomial (colour-science), its slope is what counts here."""
    u = _USUAL["reading-colour"].of(1.0, 0.01)
    rng = np.random.default_rng(6)
    drawn = np.array(white) * (1 + rng.normal(0, u, (1_000_000, 3)))
    cct = colour_science().temperature.xy_to_CCT_McCamy1992(colour_science().XYZ_to_xy(drawn))
    low, high = np.quantile(cct, (0.025, 0.975))
    known = temperature_known(np.array(white), _USUAL)["lit.cct_k"]
    assert known.value == pytest.approx(cct_duv(white)[0])
    assert known.high - known.low == pytest.approx(high - low, rel=0.05)
    assert known.low < known.value < known.high


def test_duv_is_known_by_its_slopes() -> None:
    white, u = np.array([0.40, 0.41, 0.30]), _USUAL["reading-colour"].of(1.0, 0.01)
    steps = [white * (1 + 1e-4 * np.eye(3)[axis]) for axis in range(3)]
    slopes = [(cct_duv(each)[1] - cct_duv(white)[1]) / 1e-4 for each in steps]
    expected = u * float(np.hypot.reduce(slopes))
    known = temperature_known(white, _USUAL)["lit.duv"]
    assert (known.high - known.low) / (2 * 1.96) == pytest.approx(expected, rel=0.05)


def test_what_has_no_temperature_has_none_to_be_known() -> None:
    assert temperature_known(np.array([0.1, 0.9, 0.1]), _USUAL) == {}


def test_a_gamut_is_known_as_far_as_its_hull_moves_when_it_is_read_again() -> None:
    light, apart = (_USUAL[name].of(1.0, 0.01) for name in ("reading-repeatability", "reading-colour"))
    rng, true = np.random.default_rng(9), xyz_of(_SOLIDS, np.ones(3))

    def again() -> Array:
        off = 1 + rng.normal(0, light, (8, 1)) + rng.normal(0, apart, (8, 3))
        return lab(true * off, true[0] * off[0])

    volumes = np.array([ConvexHull(again()).volume for _ in range(4000)])
    value = ConvexHull(_SOLIDS).volume
    known = gamut_known(_SOLIDS, 0, _USUAL)
    assert known is not None
    assert known.value == pytest.approx(value)
    assert known.u == pytest.approx(float(np.sqrt(np.mean((volumes - value) ** 2))), rel=0.1)
    assert value - known.low == pytest.approx(known.high - value, rel=0.05)
    assert known.low < value < known.high
    assert sum(share for _, share in known.shares) == pytest.approx(1)


def test_a_gamut_without_a_body_is_not_known() -> None:
    assert gamut_known(_SOLIDS[:3], 0, _USUAL) is None
