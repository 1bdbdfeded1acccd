"""Tristimulus weights and whites against ASTM E308, ASTM E2022 and colour-science."""

from typing import Any

import numpy as np
import pytest

from registry.light.grid import Array, Grid
from registry.light.interpolation import FINE
from registry.light.sources import SOURCE_NAMES, Observer, source
from registry.light.tristimulus import weights, xyz
from tests.outside.published import published
from tools.reference import colour_science

OBSERVERS: dict[Observer, str] = {
    2: "CIE 1931 2 Degree Standard Observer",
    10: "CIE 1964 10 Degree Standard Observer",
}


@pytest.mark.parametrize(
    "table", published("astm_weights")["tables"], ids=["A-10-nm", "A-20-nm", "D65-20-nm"]
)
def test_the_tables_of_astm_to_a_unit_of_their_last_place(table: dict[str, Any]) -> None:
    found = weights(source(table["source"]), Grid(360, 780, table["step_nm"]), table["observer"])
    np.testing.assert_allclose(found, table["weights"], rtol=0, atol=0.001)


@pytest.mark.parametrize(("name", "expected"), published("white_points")["xyz"].items())
def test_the_published_white_points(name: str, expected: list[float]) -> None:
    np.testing.assert_allclose(source(name).white(), expected, rtol=0, atol=0.01)


@pytest.mark.parametrize("name", SOURCE_NAMES)
@pytest.mark.parametrize("observer", OBSERVERS)
@pytest.mark.parametrize("step", [10, 20])
def test_weights_are_those_of_colour_science(name: str, observer: Observer, step: int) -> None:
    np.testing.assert_allclose(
        weights(source(name), Grid(360, 780, step), observer), _theirs(name, observer, step), atol=1e-9
    )


def test_the_ends_of_a_short_grid_take_what_lies_beyond() -> None:
    """ASTM E308 adds the weights beyond the measured range to those of its ends."""
    theirs = _theirs("D50", 2, 10)
    folded = theirs[2:38].copy()
    folded[0] += theirs[:2].sum(axis=0)
    folded[-1] += theirs[38:].sum(axis=0)
    np.testing.assert_allclose(weights(source("D50"), Grid(380, 730, 10)), folded, atol=1e-9)


@pytest.mark.parametrize("name", SOURCE_NAMES)
def test_samples_every_nanometre_are_summed_as_colour_science_integrates_them(name: str) -> None:
    colour = colour_science()
    spectrum = 0.5 + 0.4 * np.sin(FINE.wavelengths_nm / 31)
    theirs = colour.sd_to_XYZ(
        _distribution(spectrum), _observer(2), _distribution(source(name).every_nm()), method="Integration"
    )
    np.testing.assert_allclose(xyz(spectrum, FINE, source(name)), theirs, atol=1e-9)


def _theirs(name: str, observer: Observer, step: int) -> Array:
    colour = colour_science()
    found: Array = colour.colorimetry.tristimulus_weighting_factors_ASTME2022(
        _observer(observer),
        _distribution(source(name).every_nm()),
        colour.SpectralShape(FINE.first_nm, FINE.last_nm, step),
    )
    return found


def _distribution(values: Array) -> Any:
    return colour_science().SpectralDistribution(values, FINE.wavelengths_nm)


def _observer(observer: Observer) -> Any:
    colour = colour_science()
    shape = colour.SpectralShape(FINE.first_nm, FINE.last_nm, 1)
    return colour.MSDS_CMFS[OBSERVERS[observer]].copy().align(shape)
