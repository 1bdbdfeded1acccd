"""What a spectrum is, and in which words one that cannot be is refused."""

import numpy as np
import pytest

from registry.light.grid import STEPS_NM, Grid, SpectrumError, checked, grid_of

GRID = Grid(400, 440, 10)
PERCENT = "; percent must be divided by 100 first"


@pytest.mark.parametrize("step", STEPS_NM)
def test_a_grid_is_found_from_its_own_wavelengths(step: int) -> None:
    grid = Grid(380, 380 + 5 * step, step)
    assert grid_of(grid.wavelengths_nm) == grid
    assert len(grid.wavelengths_nm) == grid.size


@pytest.mark.parametrize(
    ("wavelengths", "said"),
    [
        ([], "a spectrum needs three wavelengths at the least, not shape (0,)"),
        ([380, 390], "a spectrum needs three wavelengths at the least, not shape (2,)"),
        ([[380, 390, 400]], "a spectrum needs three wavelengths at the least, not shape (1, 3)"),
        ([380, 390, 401], "401 nm follows 390 nm, but 390 nm followed 380 nm: the steps differ"),
        ([380, 390.5, 401], "wavelengths are whole nanometres, not 390.5 nm"),
        ([380, np.nan, 400], "wavelengths are whole nanometres, not nan nm"),
        ([380, 382, 384], "wavelengths 2 nm apart; allowed are 1, 5, 10 or 20 nm"),
        ([400, 390, 380], "wavelengths -10 nm apart; allowed are 1, 5, 10 or 20 nm"),
        ([380, 380, 380], "wavelengths 0 nm apart; allowed are 1, 5, 10 or 20 nm"),
    ],
)
def test_other_wavelengths_are_refused(wavelengths: list[float], said: str) -> None:
    with pytest.raises(SpectrumError) as caught:
        grid_of(wavelengths)
    assert str(caught.value) == said


@pytest.mark.parametrize(("first", "last"), [(380, 390), (380, 395), (400, 380)])
def test_a_grid_ends_on_a_step(first: int, last: int) -> None:
    with pytest.raises(SpectrumError) as caught:
        Grid(first, last, 10)
    assert str(caught.value) == f"{first} to {last} nm is no whole number of 10 nm steps, two at the least"


def test_good_values_are_passed_as_they_are() -> None:
    values = np.array([[0.0, 0.2, 0.4, 0.6, 1.0], [1.0, 1.0, 1.0, 1.004, 1.0]])
    assert np.array_equal(checked(values, GRID, kind="transmittance"), values)


def test_noise_below_zero_is_set_to_zero_and_nothing_else_is_altered() -> None:
    values = np.array([-0.005, -0.0001, 0.2, 1.004, 0.3])
    found = checked(values, GRID, kind="transmittance")
    assert found.tolist() == [0, 0, 0.2, 1.004, 0.3]
    assert values[0] == -0.005


def test_paper_may_fluoresce_but_no_film_does() -> None:
    white = [0.9, 1.0, 1.4, 1.1, 1.0]
    assert checked(white, GRID, kind="reflectance").tolist() == white
    with pytest.raises(SpectrumError):
        checked(white, GRID, kind="transmittance")


@pytest.mark.parametrize(
    ("values", "said"),
    [
        ([0.1, 0.2, 0.3, 1.2, 0.1], "430 nm: transmittance 1.2 is above 1.005"),
        (
            [[0.1] * 5, [0.1, 0.2, -0.02, 0.2, 0.1]],
            "spectrum 1 at 420 nm: transmittance -0.02 is below -0.005",
        ),
        (
            [[0.1, np.nan, 0.1, 0.1, np.inf]],
            "spectrum 0 at 410 nm: transmittance nan is no number (and 1 more such values)",
        ),
        (
            [[[0.1] * 5, [38.0, 39.0, 40.0, 0.5, 0.2]]],
            f"spectrum 0, 1 at 400 nm: transmittance 38 is above 1.005 (and 2 more such values){PERCENT}",
        ),
        ([0.1, 0.2, 0.3], "values of shape (3,) do not fit 5 wavelengths from 400 to 440 nm"),
        (0.3, "values of shape () do not fit 5 wavelengths from 400 to 440 nm"),
    ],
)
def test_a_refusal_says_where_and_what(values: object, said: str) -> None:
    with pytest.raises(SpectrumError) as caught:
        checked(values, GRID, kind="transmittance")  # type: ignore[arg-type]
    assert str(caught.value) == said


def test_no_spectra_at_all_are_no_fault() -> None:
    assert checked(np.empty((0, 5)), GRID, kind="reflectance").shape == (0, 5)
