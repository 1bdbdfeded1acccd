"""An ink film: density linear in load, and every case in which it is not is refused in words."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from registry.light.film import READABLE, FilmError, Patch, load_factor_for_density, scaled

BARE = np.array([0.38, 0.4, 0.41, 0.4])
CYAN = np.array([0.3, 0.36, 0.12, 0.03])
BLACK = np.array([0.004, 0.004, 0.004, 0.004])
EVEN = np.ones(4)
NO_FILM = "this ink does not scale with its load"

FILMS = arrays(np.float64, 4, elements=st.floats(0.01, 1))
LOADS = st.floats(0.1, 4)


def density(printed: np.ndarray, weights: np.ndarray = EVEN) -> float:
    return float(-np.log10((weights * printed).sum() / (weights * BARE).sum()))


@given(FILMS, LOADS, LOADS)
def test_density_is_linear_in_load(ink: np.ndarray, load: float, more: float) -> None:
    def dense(factor: float) -> np.ndarray:
        return np.asarray(-np.log10(scaled(BARE * ink, BARE, factor) / BARE))

    assert dense(load + more) == pytest.approx(dense(load) + dense(more), abs=1e-9)
    assert dense(load) == pytest.approx(load * dense(1), abs=1e-9)


@given(FILMS, st.floats(0.1, 3), st.floats(0.1, 3))
def test_to_scale_twice_is_to_scale_once_by_both(ink: np.ndarray, first: float, second: float) -> None:
    once = scaled(BARE * ink, BARE, first, floor=0)
    assert scaled(once, BARE, second, floor=0) == pytest.approx(
        scaled(BARE * ink, BARE, first * second, floor=0)
    )


def test_the_measured_load_is_the_measured_solid_and_no_load_the_bare_substrate() -> None:
    assert scaled(CYAN, BARE, 1).tolist() == pytest.approx(CYAN.tolist())
    assert scaled(CYAN, BARE, 0).tolist() == BARE.tolist()


def test_many_loads_and_many_patches_are_scaled_at_once() -> None:
    assert scaled(CYAN, BARE, [0.5, 1, 2]).shape == (3, 4)
    both = scaled([CYAN, BLACK], BARE, [2, 0.5])
    assert both[0].tolist() == scaled(CYAN, BARE, 2).tolist()
    assert both[1].tolist() == scaled(BLACK, BARE, 0.5).tolist()


@given(FILMS, st.floats(0.05, 2.5))
def test_at_the_load_that_is_found_the_wanted_density_is_reached(ink: np.ndarray, wanted: float) -> None:
    try:
        factor = load_factor_for_density(BARE * ink, BARE, wanted, EVEN)
    except FilmError:
        heaviest = density(scaled(BARE * ink, BARE, 10))
        assert heaviest < wanted or (BARE * ink).mean() <= READABLE
        return
    assert density(scaled(BARE * ink, BARE, factor)) == pytest.approx(wanted, abs=1e-9)


def test_in_one_wavelength_the_load_is_the_quotient_of_densities() -> None:
    assert load_factor_for_density([0.04], [0.4], 2, [1]) == pytest.approx(2)
    assert load_factor_for_density(CYAN, BARE, 2, [0, 0, 0, 7.0]) == pytest.approx(2 / -np.log10(0.03 / 0.4))


def test_in_a_band_it_takes_more_than_the_quotient_because_the_paler_wavelengths_pass() -> None:
    assert load_factor_for_density(CYAN, BARE, 2 * density(CYAN), EVEN) > 2


def test_a_solid_that_reads_as_nothing_counts_as_the_least_that_can_be_read() -> None:
    dark = np.array([0.3, 0.3, 0.3, 0.0])
    assert scaled(dark, BARE, 2)[3] == pytest.approx(READABLE**2 / 0.4)
    assert scaled(dark, BARE, 2, floor=0.001)[3] == pytest.approx(0.001**2 / 0.4)


def test_where_the_substrate_passes_nothing_ink_changes_nothing() -> None:
    assert scaled([0.0, 0.1], [0.0, 0.4], 2)[0] == 0
    assert scaled([0.00002, 0.1], [0.00005, 0.4], 2)[0] == 0.00005


def test_noise_above_the_bare_substrate_is_taken_for_the_bare_substrate() -> None:
    assert scaled([0.403], [0.4], 2).tolist() == [0.4]


@pytest.mark.parametrize(
    ("patch", "reason"),
    [
        (Patch(layers=("colour", "white")), "a white layer scatters light"),
        (Patch(layers=("colour", "block-out")), "a block-out layer scatters light"),
        (Patch(layers=("foil",)), "what a layer of 'foil' does to light is not known"),
        (Patch(tones_pct=(100, 30, 0)), "a halftone of 30 % passes light between its dots"),
        (
            Patch(open_weave=True),
            "light passes between the threads of an open weave, however much ink is on them",
        ),
        (Patch(scattering_ink=True), "ink that scatters light adds to it as well as taking it away"),
    ],
)
def test_what_is_no_film_is_refused_with_the_reason(patch: Patch, reason: str) -> None:
    for ask in (
        lambda: scaled(CYAN, BARE, 2, patch=patch),
        lambda: load_factor_for_density(CYAN, BARE, 1, EVEN, patch=patch),
    ):
        with pytest.raises(FilmError) as refusal:
            ask()
        assert str(refusal.value) == f"{NO_FILM}: {reason}"


def test_every_reason_is_given() -> None:
    patch = Patch(layers=("white", "colour", "white"), tones_pct=(50,), open_weave=True, scattering_ink=True)
    with pytest.raises(FilmError) as refusal:
        scaled(np.array([0.5]), np.array([0.4]), 2, patch=patch)
    assert str(refusal.value).count(";") == 5
    assert "the print is 0.1000 brighter than the bare substrate" in str(refusal.value)


def test_overprints_of_solids_and_clear_layers_scale() -> None:
    assert Patch(layers=("colour", "clear"), tones_pct=(100, 100, 0, 0)).refusals == ()


@pytest.mark.parametrize(
    ("printed", "wanted", "floor", "said"),
    [
        (BLACK, 3.7, READABLE, "density 3.7 over this substrate is blacker than can be read: at most 3.599"),
        (BLACK, 3, 0.005, "the solid reads as black, below 0.005: its density is not known, so no load is"),
        (BLACK, 3, 0.5, "the bare substrate reads as black: no density can be told over it"),
        (0.9 * BARE, 1, READABLE, "no load reaches density 1: 10 times the load gives 0.458"),
        (BARE, 1, READABLE, "no load reaches density 1: 10 times the load gives 0.000"),
        (
            0 * BARE,
            1,
            0.0,
            f"{NO_FILM}: the solid passes no light at all where its substrate does: its density is not known",
        ),
    ],
    ids=["too black", "black solid", "black base", "pale ink", "no ink", "no light"],
)
def test_densities_that_cannot_be_told_are_refused(
    printed: np.ndarray, wanted: float, floor: float, said: str
) -> None:
    with pytest.raises(FilmError) as refusal:
        load_factor_for_density(printed, BARE, wanted, EVEN, floor=floor)
    assert str(refusal.value) == said


@pytest.mark.parametrize(
    ("factor", "printed", "said"),
    [
        (-1, CYAN, "a load factor is from 0 to 10, not -1"),
        (float("nan"), CYAN, "a load factor is from 0 to 10, not nan"),
        (1, 100 * CYAN, "the solid reads as fractions, 0 to 1, not 30"),
        (1, 0.3, "the solid has one reading a wavelength, on the last axis, not a single number"),
    ],
)
def test_values_out_of_range_are_refused(factor: float, printed: np.ndarray, said: str) -> None:
    with pytest.raises(ValueError) as refusal:
        scaled(printed, BARE, factor)
    assert str(refusal.value) == said


@pytest.mark.parametrize("weights", [[1, 1], [1, 1, 1, -1], [0, 0, 0, 0], [1, 1, 1, np.inf]])
def test_weights_that_weigh_nothing_are_refused(weights: list[float]) -> None:
    with pytest.raises(ValueError, match=r"weights are 0 or more, one for each of \(4,\) readings"):
        load_factor_for_density(CYAN, BARE, 1, weights)


@pytest.mark.parametrize("wanted", [0, -1, np.nan, np.inf])
def test_a_wanted_density_is_a_density(wanted: float) -> None:
    with pytest.raises(ValueError, match="a wanted density is above 0"):
        load_factor_for_density(CYAN, BARE, wanted, EVEN)
    with pytest.raises(ValueError, match="from 0 to below 1, not 1"):
        load_factor_for_density(CYAN, BARE, 1, EVEN, floor=1)
