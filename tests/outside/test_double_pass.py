"""How much ink a backlit print needs: the double pass against its own series, and against common practice.

F. C. Williams and F. R. Clapper, J. Opt. Soc. Am. 43 (1953) 595; the internal reflection of a surface of
index 1.5, 0.596, from D. B. Judd, J. Res. Natl. Bur. Stand. 29 (1942) 329. The load factors were computed
from those formulas outside this project, before anything here was.
"""

import numpy as np
import pytest

from registry.light.double_pass import equal_density_load_factor, film_density, transmission_density
from tests.light.bounces import reflection_density

Q = 0.5066
"""r_i·r_g, frozen: 0.596 (Judd, n = 1.5) times a base of 0.85."""

PRACTICE_PCT = (170, 230)
"""Backlit load as the trade prints it: common practice, no source."""


@pytest.mark.parametrize(
    ("film", "factor"),
    [(0.05, 1.4465), (0.2, 1.7437), (0.4, 1.9251), (0.6, 1.978), (0.8, 1.9932), (1.0, 1.9978)],
)
def test_the_load_for_equal_density(film: float, factor: float) -> None:
    front = reflection_density(film, Q)
    assert float(equal_density_load_factor(front, Q)) == pytest.approx(factor, abs=5e-5)


def test_the_load_for_equal_density_has_the_limits_of_the_formula() -> None:
    assert float(equal_density_load_factor(0.0, Q)) == pytest.approx(1.3275, abs=5e-5)
    assert float(equal_density_load_factor(6.0, Q)) == pytest.approx(2, abs=5e-5)
    assert equal_density_load_factor(np.array([0.0, 0.5, 1.5]), 0.0).tolist() == pytest.approx([2, 2, 2])


@pytest.mark.parametrize("film", [0.05, 0.4, 1.0])
def test_the_densities_are_those_of_light_followed_bounce_by_bounce(film: float) -> None:
    passes = 10**-film
    # Seen by reflection: down, up and out; or back down, up and out again. From behind: up and out; or …
    front = sum(passes ** (2 * bounce + 2) * Q**bounce for bounce in range(200))
    lit = sum(passes ** (2 * bounce + 1) * Q**bounce for bounce in range(200))
    bare = sum(Q**bounce for bounce in range(200))
    assert float(film_density(-np.log10(front / bare), Q)) == pytest.approx(film, abs=1e-12)
    assert float(transmission_density(film, Q)) == pytest.approx(-np.log10(lit / bare), abs=1e-12)


def test_the_model_and_common_practice_agree_from_mid_tones_on_up_to_200_percent() -> None:
    front = np.array([0.6, 1.0, 1.4, 1.8, 2.2])
    load = 100 * equal_density_load_factor(front, Q)
    assert load.min() > PRACTICE_PCT[0]
    assert load.max() < 200 < PRACTICE_PCT[1]


def test_the_model_does_not_agree_that_equal_density_takes_more_than_200_percent() -> None:
    # For any base and any surface, not only the frozen ones.
    front, q = np.meshgrid(np.linspace(0, 4, 41), np.linspace(0, 0.99, 34))
    assert 100 * equal_density_load_factor(front, q).max() <= 200 + 1e-9 < PRACTICE_PCT[1]


def test_the_model_does_not_agree_that_pale_solids_take_170_percent() -> None:
    load = 100 * float(equal_density_load_factor(0.18, Q))
    assert load == pytest.approx(145, abs=1)
    assert load < PRACTICE_PCT[0]


def test_more_than_200_percent_buys_a_black_deeper_than_the_front_lit_one() -> None:
    front = 1.4927
    lit = float(transmission_density(PRACTICE_PCT[1] / 100 * film_density(front, Q), Q))
    assert lit == pytest.approx(1.69, abs=0.01)
    assert 10 ** (lit - front) == pytest.approx(1.56, abs=0.01), "the lit solid lets through so much less"
