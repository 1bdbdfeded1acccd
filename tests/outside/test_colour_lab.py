"""CIELAB of lit samples against their own white, and CAT16 between two displays."""

import numpy as np
import pytest

from registry.light.adaptation import adapted
from registry.light.grid import Array, Grid
from registry.light.interpolation import FINE
from registry.light.lab import lab, xyz_of
from registry.light.sources import source
from registry.light.tristimulus import xyz
from tests.outside.published import published
from tools.reference import colour_science

LIT = published("lit")
CYAN_GRID = Grid(380, 780, 5)


def cyan() -> Array:
    """N. Ohta's cyan (1997, 380 to 780 nm every 5 nm, from colour-science), taken as a filter."""
    patches = next(
        held for name, held in colour_science().SDS_COLOURCHECKERS.items() if name.endswith("Ohta")
    )
    values: Array = patches["cyan"].values
    return values


@pytest.mark.parametrize("name", ["D50", "LED-B3", "FL11"])
def test_a_flat_half_has_the_same_lightness_in_every_display(name: str) -> None:
    """L* of Y = 50 is 116·0.5^(1/3) - 16."""
    half = xyz(np.full(36, 0.5), Grid(380, 730, 10), source(name))
    np.testing.assert_allclose(lab(half, source(name).white()), LIT["flat_half"], rtol=0, atol=1e-4)


def test_a_tenth_of_the_white_has_lightness_38() -> None:
    """L* of Y = 10 is 116·0.1^(1/3) - 16 = 37.8424."""
    assert lab([10, 10, 10], [100, 100, 100])[0] == pytest.approx(37.8424, abs=1e-4)


@pytest.mark.parametrize(
    ("name", "block"), [("D50", "cyan_d50"), ("LED-B3", "cyan_led_b3"), ("LED-RGB1", "cyan_led_rgb1")]
)
def test_a_cyan_filter_against_the_displays_own_white(name: str, block: str) -> None:
    """They come from a plain sum over 5 nm, under lamps drawn straight between 5 nm values: hence 0.1."""
    found = lab(xyz(cyan(), CYAN_GRID, source(name)), source(name).white())
    np.testing.assert_allclose(found, LIT[block]["lab"], rtol=0, atol=0.1)


# It warns that 380 to 780 nm is less than 360 to 780 nm, twice in different words.
@pytest.mark.filterwarnings("ignore:Trimming", "ignore:.*could not be honoured")
@pytest.mark.parametrize("name", ["D50", "LED-B3", "LED-RGB1", "FL11"])
def test_under_the_same_lamp_colour_science_finds_the_same(name: str) -> None:
    colour = colour_science()
    theirs = colour.sd_to_XYZ(
        colour.SpectralDistribution(cyan(), CYAN_GRID.wavelengths_nm),
        colour.MSDS_CMFS["CIE 1931 2 Degree Standard Observer"]
        .copy()
        .align(colour.SpectralShape(360, 780, 1)),
        colour.SpectralDistribution(source(name).every_nm(), FINE.wavelengths_nm),
        method="ASTM E308",
        mi_5nm_omission_method=False,
    )
    np.testing.assert_allclose(xyz(cyan(), CYAN_GRID, source(name)), theirs, atol=1e-9)


def test_from_tristimulus_values_the_printed_colours_come_out() -> None:
    printed, d50 = LIT["cyan_led_b3"], source("D50").white()
    np.testing.assert_allclose(lab(printed["xyz"], printed["white"]), printed["lab"], rtol=0, atol=0.0005)
    carried = lab(adapted(printed["xyz"], printed["white"], d50), d50)
    np.testing.assert_allclose(carried, printed["lab_cat16_d50"], rtol=0, atol=0.001)


def test_lab_adaptation_and_back_agree_with_colour_science() -> None:
    colour = colour_science()
    random = np.random.default_rng(3)
    values = random.uniform(0, 110, (1000, 3))
    before, after = source("LED-B3").white(), source("D65").white()
    found = lab(values, before)
    theirs = colour.XYZ_to_Lab(values / 100, colour.XYZ_to_xy(before))
    np.testing.assert_allclose(found, theirs, atol=1e-9)
    np.testing.assert_allclose(xyz_of(found, before), values, atol=1e-9)
    carried = colour.adaptation.chromatic_adaptation_VonKries(values, before, after, transform="CAT16")
    np.testing.assert_allclose(adapted(values, before, after), carried, atol=1e-9)
