"""How well a colour difference is known: against plain draws of a hand of their own."""

import numpy as np
import pytest

from registry.light.difference import ciede2000
from registry.light.distance import Repeats, drawn_differences, interval
from registry.light.grid import Array
from registry.light.lab import lab, xyz_of

_COLOURS = np.array([[52.0, 40.0, 20.0], [30.0, -20.0, 5.0], [60.0, 10.0, -40.0], [20.0, 1.0, 2.0]])

_REPEATS = Repeats(0.005, 0.001)


def by_chance(rng: np.random.Generator) -> Array:
    """Return by how much a million readings of X, Y and Z are off."""
    answer: Array = 1 + rng.normal(0, 0.005, (1_000_000, 1)) + rng.normal(0, 0.001, (1_000_000, 3))
    return answer


@pytest.mark.parametrize("away", [0.0, 0.3, 4.0])
def test_a_million_plain_draws_agree_within_5_percent(away: float) -> None:
    other = _COLOURS + np.array((away, away / 2, -away / 3))
    rng = np.random.default_rng(3)
    for place, (one, two) in enumerate(zip(_COLOURS, other, strict=True)):
        shaken = []
        for side in (one, two):
            xyz = xyz_of(side, np.ones(3)) * by_chance(rng)
            shaken.append(lab(xyz / by_chance(rng), np.ones(3)))
        low, high = np.quantile(ciede2000(*shaken), (0.025, 0.975))
        found = interval(float(ciede2000(one, two)), drawn_differences(_COLOURS, other, _REPEATS)[:, place])
        assert (found.low, found.high) == pytest.approx((low, high), abs=0.05 * (high - low))
        assert found.u == pytest.approx(ciede2000(*shaken).std(), rel=0.05)


def test_of_colours_that_are_the_same_the_interval_begins_above_0() -> None:
    drawn = drawn_differences(_COLOURS, _COLOURS, _REPEATS)
    assert (np.quantile(drawn, 0.025, axis=0) > 0).all()
    assert (drawn_differences(_COLOURS, _COLOURS, Repeats(0.0, 0.0)) == 0).all()


def test_of_a_large_chart_fewer_are_drawn_and_the_same_every_time() -> None:
    many = np.tile(_COLOURS, (500, 1))
    first, again = (drawn_differences(many, many + 1, _REPEATS) for _ in range(2))
    assert first.shape == (200, 2000)
    assert (first == again).all()


def test_the_white_that_both_are_judged_against_is_never_off() -> None:
    white = np.array([[100.0, 0.0, 0.0]])
    assert (drawn_differences(white, white, _REPEATS) == 0).all()


def test_two_instruments_are_told_apart_from_one() -> None:
    """Against the same source's white, a million plain draws: what one instrument reads too much of all."""
    colours = np.array([[40.0, 30.0, 10.0]])
    rng, true = np.random.default_rng(4), xyz_of(colours[0], np.ones(3))
    shaken = [
        lab(true * by_chance(rng) * (1 + rng.normal(0, 0.02, (1_000_000, 1))), np.ones(3)) for _ in range(2)
    ]
    low, high = np.quantile(ciede2000(*shaken), (0.025, 0.975))
    drawn = drawn_differences(colours, colours, _REPEATS, own_whites=False, calibration=0.02)
    found = interval(0.0, drawn[:, 0])
    assert (found.low, found.high) == pytest.approx((low, high), abs=0.05 * (high - low))
    one = drawn_differences(colours, colours, _REPEATS, own_whites=False)
    assert one.mean() < 0.5 * drawn.mean()


def test_a_calibration_falls_out_where_each_stands_against_its_own_white() -> None:
    assert drawn_differences(_COLOURS, _COLOURS, Repeats(0.0, 0.0), calibration=0.05).max() == 0
