"""Sources: the published ones by name, and a lamp that was measured."""

from typing import get_args

import numpy as np
import pytest

from registry.light.grid import Grid, SpectrumError
from registry.light.sources import SOURCE_NAMES, Source, matching, source
from registry.model.words import Illuminant

GRID = Grid(380, 730, 10)


def test_every_illuminant_that_a_record_may_name_is_known() -> None:
    assert set(SOURCE_NAMES) == set(get_args(Illuminant))
    assert [source(name).name for name in SOURCE_NAMES] == list(SOURCE_NAMES)


def test_an_unknown_name_is_refused_with_the_known_ones() -> None:
    with pytest.raises(KeyError, match="no source 'FL3'; there are A, D50, D65, FL2"):
        source("FL3")


def test_another_observer_is_refused() -> None:
    with pytest.raises(ValueError, match="no standard observer for 4 degrees; there are 2 and 10"):
        matching(4)  # type: ignore[arg-type]


@pytest.mark.parametrize("name", SOURCE_NAMES)
def test_no_power_between_the_points_falls_below_zero(name: str) -> None:
    assert source(name).every_nm().min() >= 0


def test_the_unit_of_power_does_not_matter() -> None:
    power = source("LED-B3").power
    double = Source("twice", source("LED-B3").grid, 2 * power)
    np.testing.assert_allclose(double.white(10), source("LED-B3").white(10), rtol=1e-12)


@pytest.mark.parametrize(
    "name", ["A", "D50", "D65", "LED-B1", "LED-B2", "LED-B3", "LED-B4", "LED-B5", "LED-BH1", "LED-RGB1"]
)
def test_a_smooth_lamp_read_every_10_nm_keeps_its_white(name: str) -> None:
    fine = source(name)
    read = Source("read", GRID, fine.every_nm()[(GRID.wavelengths_nm - 360).astype(int)])
    white, truth = read.white(), fine.white()
    np.testing.assert_allclose(white[:2] / white.sum(), truth[:2] / truth.sum(), rtol=0, atol=0.0002)


def test_a_source_cannot_be_altered() -> None:
    power = np.ones(36)
    lamp = Source("lamp", GRID, power)
    power[0] = 5
    assert lamp.power[0] == 1
    with pytest.raises(ValueError, match="read-only"):
        lamp.power[0] = 5


def test_noise_below_zero_is_set_to_zero() -> None:
    power = np.full(36, 100.0)
    power[0] = -0.4
    assert Source("lamp", GRID, power).power[0] == 0


@pytest.mark.parametrize(
    ("at", "value", "said"),
    [
        (3, -0.6, "box A at 410 nm: -0.6 is no spectral power"),
        (0, np.nan, "box A at 380 nm: nan is no spectral power"),
        (35, np.inf, "box A at 730 nm: inf is no spectral power"),
    ],
)
def test_what_is_no_power_is_refused(at: int, value: float, said: str) -> None:
    power = np.full(36, 100.0)
    power[at] = value
    with pytest.raises(SpectrumError) as caught:
        Source("box A", GRID, power)
    assert str(caught.value) == said


def test_a_dark_lamp_and_one_that_does_not_fit_are_refused() -> None:
    with pytest.raises(SpectrumError, match="box A has no power at any wavelength"):
        Source("box A", GRID, np.zeros(36))
    with pytest.raises(SpectrumError, match=r"power of shape \(35,\) does not fit 36 wavelengths"):
        Source("box A", GRID, np.ones(35))
