"""Densities of flat filters and of measured solids; the visual product against the CIE's own functions."""

from typing import Any

import numpy as np
import pytest

from registry.light.density import RESPONSES, Response, density
from registry.light.grid import Grid
from registry.light.sources import source
from registry.light.tables import table
from tests.outside.published import published
from tools.reference import colour_science

GRID = Grid(380, 730, 10)
SOLIDS: dict[str, Any] = published("measured_solids")["patches"]


@pytest.mark.parametrize("response", RESPONSES)
def test_a_flat_filter_of_a_tenth_has_density_one(response: Response) -> None:
    """ISO 5-1: density is the negative decimal logarithm of transmittance."""
    assert density(np.full(36, 0.1), GRID, response).values == pytest.approx(1.0, abs=1e-9)


@pytest.mark.parametrize("response", RESPONSES)
@pytest.mark.parametrize("name", SOLIDS)
def test_densities_of_measured_solids(name: str, response: Response) -> None:
    found = density(np.array(SOLIDS[name]["reflectance"]), GRID, response)
    assert found.values == pytest.approx(SOLIDS[name]["density"][response], abs=0.0002)


@pytest.mark.parametrize("response", RESPONSES)
@pytest.mark.parametrize("first", [0, 1])
def test_a_20_nm_grid_moves_a_density_by_at_most_seven_thousandths(response: Response, first: int) -> None:
    solids = np.array([solid["reflectance"] for solid in SOLIDS.values()])
    coarse = Grid(380 + 10 * first, 720 + 10 * first, 20)
    moved = density(solids[:, first::2], coarse, response) - density(solids, GRID, response)
    assert abs(moved).max() <= 0.007


def test_the_visual_product_is_v_of_lambda_times_illuminant_a() -> None:
    """ISO 5-3 defines visual density so; V(λ) by colour-science, the peak put at 100."""
    colour = colour_science()
    products = table("density-products")
    nm = products.grid.wavelengths_nm
    inside = (nm >= 380) & (nm <= 780)
    eye = colour.SDS_LEFS["CIE 1924 Photopic Standard Observer"][nm[inside]]
    seen = eye * source("A").power[(nm[inside] - 360).astype(int)]
    np.testing.assert_allclose(products.column("visual")[inside], 100 * seen / seen.max(), rtol=0, atol=0.25)


@pytest.mark.parametrize(
    ("response", "peak"),
    [
        ("visual", 570),
        ("status-a-blue", 440),
        ("status-a-green", 530),
        ("status-a-red", 620),
        ("status-t-blue", 460),
        ("status-t-green", 530),
        ("status-t-red", 600),
    ],
)
def test_each_product_peaks_where_iso_5_3_has_it(response: Response, peak: int) -> None:
    """ISO 5-3:1995 (A and visual: 440, 530, 620, 570 nm); of Status T from colormath 3.0.0."""
    products = table("density-products")
    assert products.grid.wavelengths_nm[products.column(response).argmax()] == peak
