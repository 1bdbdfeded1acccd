"""Densities that the spectra of the same patches contradict."""

from collections.abc import Callable, Sequence

import numpy as np
import pytest

from registry.light.density import Mode, Response, density
from registry.light.grid import grid_of
from registry.measurement import Measurement, Table
from registry.measurement.patches import Array, patches
from registry.measurement.report import report
from tests.measurement.made import PRINTED, TRANSMISSION, film

ABSOLUTE = TRANSMISSION | {"COMPUTATIONAL_PARAMETER": "DENSITY, ZERO, absolute"}
RELATIVE = TRANSMISSION | {"COMPUTATIONAL_PARAMETER": "DENSITY, ZERO, unprinted film"}
REFLECTION = {
    **ABSOLUTE,
    "MEASUREMENT_GEOMETRY": "reflection, 45:0",
    "WEIGHTING_FUNCTION": "DENSITY, Status T; ILLUMINANT, D50; OBSERVER, 2 degree",
}
BLACK = PRINTED.index((0, 0, 0, 100))
TRUE: Callable[[Array], Array] = lambda values: values  # noqa: E731


def doubts(
    header: dict[str, str],
    column: str,
    response: Response,
    as_said: Callable[[Array], Array] = TRUE,
    *,
    relative: bool = False,
    printed: Sequence[tuple[int, int, int, int]] = PRINTED,
    white: float = 0.6,
) -> tuple[str, ...]:
    """Return what is doubtful of a film whose file says its own densities, changed as `as_said` says."""
    (table,) = film(printed, header, white=white).tables
    held = patches(table)
    assert held.spectra is not None
    assert held.wavelengths_nm is not None
    mode: Mode = "reflection" if "reflection" in header["MEASUREMENT_GEOMETRY"] else "transmission"
    values = density(
        held.spectra,
        grid_of(held.wavelengths_nm),
        response,
        relative_to=held.spectra[0] if relative else None,
        mode=mode,
    ).values
    said = as_said(values).tolist()
    sets = tuple({**each, column: value} for each, value in zip(table.sets, said, strict=True))
    (found,) = report(Measurement("CGATS.17", (Table(table.header, (*table.fields, column), sets),)))
    return found.doubts


def wrong_black(values: Array) -> Array:
    values = values.copy()
    values[BLACK] = 0.10
    return values


@pytest.mark.parametrize(
    ("header", "column", "response"),
    [
        (ABSOLUTE, "D_VIS", "visual"),
        (ABSOLUTE, "D_RED", "status-a-red"),
        (ABSOLUTE, "D_GREEN", "status-a-green"),
        (REFLECTION, "D_VIS", "visual"),
        (REFLECTION, "D_BLUE", "status-t-blue"),
    ],
)
def test_densities_of_the_spectra_agree_and_another_one_is_doubtful(
    header: dict[str, str], column: str, response: Response
) -> None:
    assert doubts(header, column, response) == ()
    (doubt,) = doubts(header, column, response, wrong_black)
    assert doubt.startswith(
        f"{column} does not agree with the spectra: 0-0-0-100 has 0.10, its spectrum comes"
    )
    assert "10 nm spectral product, not ISO 5-3 conforming" in doubt


@pytest.mark.parametrize("away", [-0.09, 0.09])
def test_other_weights_than_ours_are_no_contradiction(away: float) -> None:
    assert doubts(ABSOLUTE, "D_VIS", "visual", lambda values: values * (1 + away / 2) + away / 2) == ()


def test_a_column_that_is_wrong_throughout_says_of_how_many_patches() -> None:
    (doubt,) = doubts(ABSOLUTE, "D_VIS", "visual", lambda values: values + 0.5)
    assert f"so it is with {len(PRINTED)} of {len(PRINTED)} patches" in doubt


def test_noise_in_deep_solids_is_no_contradiction() -> None:
    deep = [(0, 0, 0, 0), (100, 100, 100, 100)]

    def read_by_another(values: Array) -> Array:
        return np.array([values[0], values[1] + 0.6])

    assert doubts(ABSOLUTE, "D_VIS", "visual", read_by_another, printed=deep, white=0.3) == ()


def test_densities_over_the_film_are_held_against_the_film() -> None:
    assert doubts(RELATIVE, "D_VIS", "visual", relative=True) == ()
    assert len(doubts(RELATIVE, "D_VIS", "visual")) == 1
    assert len(doubts(ABSOLUTE, "D_VIS", "visual", relative=True)) == 1


def test_where_the_zero_is_not_said_either_will_do() -> None:
    for relative in (False, True):
        assert doubts(TRANSMISSION, "D_VIS", "visual", relative=relative) == ()
    assert len(doubts(TRANSMISSION, "D_VIS", "visual", wrong_black)) == 1


@pytest.mark.parametrize("said", ["DENSITY, Status T", "DENSITY, Status E", "ILLUMINANT, D50; OBSERVER, 2"])
def test_a_response_that_is_not_known_here_is_left_alone(said: str) -> None:
    header = ABSOLUTE | {"WEIGHTING_FUNCTION": said}
    assert doubts(header, "D_RED", "status-a-red", wrong_black) == ()
