"""Tristimulus values: laws that hold for every grid, source and observer."""

import numpy as np
import pytest

from registry.light.grid import Grid, SpectrumError
from registry.light.interpolation import to_every_nm
from registry.light.sources import SOURCE_NAMES, Observer, Source, source
from registry.light.tristimulus import weights, xyz

GRIDS = [
    Grid(360, 780, 1),
    Grid(380, 780, 5),
    Grid(380, 730, 10),
    Grid(400, 700, 10),
    Grid(380, 740, 20),
    Grid(340, 830, 10),
    Grid(385, 725, 10),
]


@pytest.mark.parametrize("grid", GRIDS, ids=str)
@pytest.mark.parametrize("observer", [2, 10])
@pytest.mark.parametrize("name", SOURCE_NAMES)
def test_what_is_not_there_shows_the_source_itself(grid: Grid, observer: Observer, name: str) -> None:
    lamp = source(name)
    nothing = xyz(np.ones(grid.size), grid, lamp, observer)
    np.testing.assert_allclose(nothing, lamp.white(observer), rtol=1e-12)
    assert nothing[1] == pytest.approx(100, abs=1e-9)


@pytest.mark.parametrize("grid", GRIDS, ids=str)
def test_a_slope_and_a_bend_are_interpolated_without_error(grid: Grid) -> None:
    matrix = to_every_nm(grid)
    fine = np.arange(360, 781.0)
    inside = (fine >= grid.first_nm) & (fine <= grid.last_nm)
    for power in (1, 2):
        found = matrix @ (grid.wavelengths_nm / 500) ** power
        np.testing.assert_allclose(found[inside], (fine[inside] / 500) ** power, rtol=1e-12)


@pytest.mark.parametrize("grid", GRIDS, ids=str)
def test_beyond_its_ends_a_spectrum_goes_on_as_it_ends(grid: Grid) -> None:
    values = np.linspace(0.2, 0.8, grid.size)
    found = to_every_nm(grid) @ values
    fine = np.arange(360, 781)
    assert np.allclose(found[fine < grid.first_nm], 0.2)
    assert np.allclose(found[fine > grid.last_nm], 0.8)


@pytest.mark.parametrize("name", ["D50", "FL11", "LED-B3", "LED-V1"])
def test_finer_readings_of_a_smooth_sample_say_the_same(name: str) -> None:
    def seen(grid: Grid) -> np.ndarray:
        return xyz(0.5 + 0.3 * np.sin(grid.wavelengths_nm / 60), grid, source(name))

    truth = seen(Grid(360, 780, 1))
    for step, within in ((5, 0.001), (10, 0.01), (20, 0.1)):
        np.testing.assert_allclose(seen(Grid(360, 780, step)), truth, rtol=0, atol=within)


def test_any_number_of_axes_may_stand_before_the_wavelengths() -> None:
    random = np.random.default_rng(2)
    grid, lamp = Grid(380, 730, 10), source("LED-B3")
    spectra = random.uniform(0, 1, (2, 3, 36))
    found = xyz(spectra, grid, lamp)
    assert found.shape == (2, 3, 3)
    np.testing.assert_allclose(found[1, 2], xyz(spectra[1, 2], grid, lamp), rtol=1e-12)


def test_a_measured_lamp_serves_like_a_published_one() -> None:
    grid = Grid(380, 730, 10)
    lamp = Source("box A", grid, np.exp(-(((grid.wavelengths_nm - 560) / 80) ** 2)))
    assert xyz(np.full(36, 0.25), grid, lamp)[1] == pytest.approx(25, abs=1e-9)


def test_a_grid_that_leaves_too_much_out_is_refused() -> None:
    with pytest.raises(SpectrumError) as caught:
        weights(source("D65"), Grid(430, 700, 10))
    assert str(caught.value) == "430 to 700 nm is too short: 7.5% of Z lies beyond an end, allowed is 2%"


def test_spectra_that_do_not_fit_the_grid_are_refused() -> None:
    with pytest.raises(SpectrumError, match=r"spectra of shape \(2, 31\) do not fit 36 wavelengths"):
        xyz(np.ones((2, 31)), Grid(380, 730, 10), source("D50"))
