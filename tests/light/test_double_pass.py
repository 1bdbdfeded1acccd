"""The double pass: what adds up, what can be undone, and between which limits the load factor lies."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from registry.light.double_pass import (
    equal_density_load_factor,
    film_density,
    recirculation,
    transmission_density,
)
from registry.light.surface import diffuse_internal
from tests.light.bounces import reflection_density

FILMS = st.floats(0, 4)
Q = st.floats(0, 0.95)


@given(FILMS, Q)
def test_a_films_density_is_found_again_from_its_reflection(film: float, q: float) -> None:
    assert float(film_density(reflection_density(film, q), q)) == pytest.approx(film, abs=1e-9)


@given(st.floats(1e-3, 4), Q)
def test_at_the_load_factor_both_prints_have_one_density(film: float, q: float) -> None:
    front = reflection_density(film, q)
    lit = transmission_density(equal_density_load_factor(front, q) * film, q)
    assert float(lit) == pytest.approx(float(front), rel=1e-9)


@given(st.floats(0, 8), Q)
def test_the_load_factor_lies_between_its_limits(front: float, q: float) -> None:
    factor = float(equal_density_load_factor(front, q))
    assert 2 / (1 + q) - 1e-6 <= factor <= 2 + 1e-12


@given(st.floats(0, 6), st.floats(0, 1), Q)
def test_denser_solids_ask_for_no_smaller_factor(front: float, more: float, q: float) -> None:
    factor = equal_density_load_factor(np.array([front, front + more]), q)
    assert factor[0] <= factor[1] + 1e-6


@given(FILMS, FILMS)
def test_without_a_surface_density_is_linear_in_load(film: float, more: float) -> None:
    both = float(transmission_density(film)) + float(transmission_density(more))
    assert float(transmission_density(film + more)) == pytest.approx(both, abs=1e-12)


@given(st.floats(0.01, 4), st.floats(0.05, 0.95))
def test_a_surface_makes_the_same_ink_look_denser(film: float, q: float) -> None:
    assert float(transmission_density(film, q)) > float(transmission_density(film))


def test_the_limits_are_those_of_the_formula() -> None:
    assert equal_density_load_factor(np.array([0.0, 400.0]), 0.5066).tolist() == pytest.approx(
        [2 / 1.5066, 2]
    )
    assert equal_density_load_factor(np.array([0.0, 0.3, 400.0])).tolist() == pytest.approx([2, 2, 2])


def test_no_ink_has_no_density() -> None:
    for q in (0.0, 0.5066):
        assert [float(seen(0, q)) for seen in (transmission_density, film_density)] == [0, 0]


def test_a_black_base_throws_nothing_back() -> None:
    assert recirculation(np.array([0.0, 1.0])).tolist() == [0, diffuse_internal(1.5)]


@pytest.mark.parametrize(
    ("density", "q", "said"),
    [
        (-0.1, 0.5, "is 0 or more, not -0.1"),
        (float("inf"), 0.5, "is 0 or more, not inf"),
        (1.0, 1.0, "recirculation is below 1: a surface and a base that keep all light show none"),
        (1.0, -0.2, "recirculation is a fraction, 0 to 1, not -0.2"),
    ],
)
def test_what_is_no_density_and_no_recirculation_is_refused(density: float, q: float, said: str) -> None:
    for function in (transmission_density, film_density, equal_density_load_factor):
        with pytest.raises(ValueError) as refusal:
            function(density, q)
        assert str(refusal.value).endswith(said)
