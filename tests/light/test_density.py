"""Density: what may be compared, what cannot be, and what a grid has to hold."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from registry.light.density import PRODUCTS_NOTE, RESPONSES, Density, Mode, Response, UnlikeDensities, density
from registry.light.grid import Grid, SpectrumError

GRID = Grid(380, 730, 10)
ONE = Density(np.array([1.0]), "visual", "absolute", "transmission")
HALF_TONE = np.linspace(0.1, 0.7, 36)


@given(st.floats(0.0001, 1), st.sampled_from(RESPONSES))
def test_a_flat_filter_has_one_density_in_every_response(share: float, response: Response) -> None:
    found = density(np.full(36, share), GRID, response).values
    assert float(found) == pytest.approx(-np.log10(share), abs=1e-9)


@given(st.floats(0.001, 1), st.sampled_from(RESPONSES))
def test_a_flat_filter_adds_its_density_to_any_other(share: float, response: Response) -> None:
    bare = density(HALF_TONE, GRID, response)
    covered = density(HALF_TONE * share, GRID, response)
    assert float(covered - bare) == pytest.approx(-np.log10(share), abs=1e-9)
    relative = density(HALF_TONE * share, GRID, response, relative_to=HALF_TONE)
    assert float(relative.values) == pytest.approx(-np.log10(share), abs=1e-9)


@pytest.mark.parametrize("response", RESPONSES)
@pytest.mark.parametrize("step", [1, 5])
def test_finer_grids_are_read_at_whole_tens(response: Response, step: int) -> None:
    fine = Grid(380, 730, step)
    spectrum = 0.4 + 0.3 * np.sin(fine.wavelengths_nm / 40)
    moved = density(spectrum, fine, response) - density(spectrum[:: 10 // step], GRID, response)
    assert float(moved) == pytest.approx(0, abs=1e-12)


@pytest.mark.parametrize(
    ("other", "said"),
    [
        (replace(ONE, response="status-a-red"), "visual is never compared with status-a-red"),
        (replace(ONE, mode="reflection"), "transmission is never compared with reflection"),
        (
            replace(ONE, zero="substrate"),
            "an absolute density is never compared with one relative to the substrate",
        ),
    ],
)
def test_unlike_densities_are_never_compared(other: Density, said: str) -> None:
    for mine, theirs in ((ONE, other), (other, ONE)):
        with pytest.raises(UnlikeDensities):
            _ = mine - theirs
    with pytest.raises(UnlikeDensities) as caught:
        _ = ONE - other
    assert str(caught.value) == said
    with pytest.raises(TypeError):
        _ = other > ONE  # type: ignore[operator]


def test_densities_of_one_kind_are_subtracted() -> None:
    assert (replace(ONE, values=np.array([1.5])) - ONE).tolist() == [0.5]


@pytest.mark.parametrize(
    ("response", "asked", "mode"),
    [
        ("status-a-red", None, "transmission"),
        ("status-t-red", None, "reflection"),
        ("visual", None, "transmission"),
        ("visual", "reflection", "reflection"),
    ],
)
def test_a_response_says_how_the_spectra_were_read(
    response: Response, asked: Mode | None, mode: Mode
) -> None:
    found = density(HALF_TONE, GRID, response, mode=asked)
    assert found.said == f"{response}, {mode}, absolute; {PRODUCTS_NOTE}"


@pytest.mark.parametrize(
    ("response", "mode"), [("status-a-red", "reflection"), ("status-t-blue", "transmission")]
)
def test_a_response_is_not_put_to_the_other_mode(response: Response, mode: Mode) -> None:
    with pytest.raises(ValueError, match=f"{response} is a density in .*, not in {mode}"):
        density(HALF_TONE, GRID, response, mode=mode)


def test_no_light_at_all_is_infinitely_dense() -> None:
    found = density(np.stack([HALF_TONE, np.zeros(36)]), GRID, "visual")
    assert np.isfinite(found.values[0])
    assert found.values[1] == np.inf


def test_no_density_is_relative_to_black() -> None:
    with pytest.raises(SpectrumError, match="no density is relative to a substrate that is black to visual"):
        density(HALF_TONE, GRID, "visual", relative_to=np.zeros(36))


def test_a_grid_that_cuts_a_response_off_is_refused() -> None:
    with pytest.raises(SpectrumError) as caught:
        density(np.ones(28), Grid(430, 700, 10), "status-a-blue")
    assert str(caught.value) == (
        "430 to 700 nm is too short: 1.3% of status-a-blue lies beyond an end, allowed is 1%"
    )


def test_what_is_no_response_or_does_not_fit_is_refused() -> None:
    with pytest.raises(ValueError, match="no response 'status-m-red'; there are visual, status-a-red"):
        density(HALF_TONE, GRID, "status-m-red")  # type: ignore[arg-type]
    with pytest.raises(SpectrumError, match=r"spectra of shape \(31,\) do not fit 36 wavelengths"):
        density(np.ones(31), GRID, "visual")
