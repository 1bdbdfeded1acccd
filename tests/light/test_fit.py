import math
from collections.abc import Callable

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from registry.light.fit import (
    Array,
    Curve,
    FitError,
    first_reaching,
    jackknife,
    peak,
    rising,
    slowing,
    turning,
)

_LOADS = np.arange(0, 301, 25.0)


@given(st.lists(st.floats(-1, 3), min_size=5, max_size=13))
def test_a_rising_curve_never_falls(readings: list[float]) -> None:
    load = np.arange(len(readings), dtype=np.float64) * 20
    curve = rising(load, np.array(readings))
    assert np.all(np.diff(curve.at(curve.loads)) >= -1e-9)


@pytest.mark.parametrize("fit", [rising, slowing, turning])
@given(
    st.lists(st.sampled_from([0.0, -0.0, 5e-324, 1e-306, 1e-300, 1e-12, 0.5, 0.5 + 1e-16, 3]), min_size=4),
    st.sampled_from([1.0, -1.0, 1e-9, 1e3]),
)
def test_readings_that_hardly_differ_make_a_curve(
    fit: Callable[[Array, Array], Curve], readings: list[float], unit: float
) -> None:
    curve = fit(np.arange(len(readings), dtype=np.float64) * 20, np.array(readings) * unit)
    reached = curve.at(curve.loads)
    assert np.all(np.isfinite(reached))
    assert math.isfinite(curve.residual)


def test_readings_that_rise_are_met_exactly() -> None:
    curve = rising(_LOADS, np.sqrt(_LOADS))
    assert curve.at(_LOADS).tolist() == pytest.approx(np.sqrt(_LOADS).tolist())
    assert curve.residual == pytest.approx(0)


def test_a_load_read_several_times_counts_so_often() -> None:
    curve = rising(np.array([0, 100, 100, 100, 200.0]), np.array([0, 1.0, 1.3, 1.0, 2.0]))
    assert float(curve.at(100)) == pytest.approx(1.1)


def test_a_peak_is_found_through_noise() -> None:
    noise = np.random.default_rng(7).normal(0, 0.15, len(_LOADS))
    where, falls = peak(turning(_LOADS, 70 - ((_LOADS - 190) / 30) ** 2 + noise))
    assert falls
    assert where == pytest.approx(190, abs=5)


def test_a_curve_that_still_rises_at_its_end_has_no_peak_there() -> None:
    assert peak(turning(_LOADS, _LOADS / 10)) == (300.0, False)


def test_a_straight_line_is_taken_for_one() -> None:
    curve = turning(_LOADS, 3 - 0.01 * _LOADS)
    assert curve.at(_LOADS).tolist() == pytest.approx((3 - 0.01 * _LOADS).tolist())


def test_a_value_that_is_never_reached_has_no_load() -> None:
    assert first_reaching(rising(_LOADS, _LOADS / 100), 3.5) is None


def test_a_value_reached_from_the_start_has_the_first_load() -> None:
    assert first_reaching(rising(_LOADS, _LOADS / 100), -1) == 0.0


def test_a_curve_says_nothing_beyond_what_was_read() -> None:
    with pytest.raises(ValueError, match="beyond the loads that were read, 0 to 300"):
        rising(_LOADS, _LOADS).at(301)


@pytest.mark.parametrize(
    ("load", "reading", "says"),
    [
        ([0, 100], [0, 1], "2 different loads are too few"),
        ([0, 100, 100], [0, 1, 1], "2 different loads are too few"),
        ([0, 100, 200], [0, float("nan"), 1], "no number"),
        ([0, 100, 200], [0, 1], "belong together"),
    ],
)
def test_readings_that_make_no_curve_are_refused(load: list[float], reading: list[float], says: str) -> None:
    with pytest.raises(FitError, match=says):
        rising(np.array(load, dtype=float), np.array(reading, dtype=float))


def test_three_loads_are_too_few_for_a_turning_curve() -> None:
    with pytest.raises(FitError, match="at least 4"):
        turning(np.array([0, 1, 2.0]), np.array([0, 1, 0.0]))


def test_leaving_loads_out_finds_no_error_where_there_is_no_noise() -> None:
    line = _LOADS / 100
    error = jackknife(_LOADS, lambda keep: first_reaching(rising(_LOADS[keep], line[keep]), 1.55))
    assert error == pytest.approx(0, abs=1e-6)


def test_leaving_loads_out_finds_a_larger_error_for_noisier_readings() -> None:
    drawn = np.random.default_rng(3).normal(0, 1, len(_LOADS))

    def error(noise: float) -> float:
        read = _LOADS / 100 + noise * drawn
        found = jackknife(_LOADS, lambda keep: first_reaching(rising(_LOADS[keep], read[keep]), 1.5))
        assert found is not None
        return found

    assert error(0.05) > error(0.005) > 0


@pytest.mark.parametrize(
    ("loads", "silent", "told"),
    [(3, 0, True), (3, 1, False), (4, 1, True), (5, 2, True), (5, 3, False), (10, 2, True), (10, 3, False)],
)
def test_an_error_needs_three_answers_and_all_but_two(loads: int, silent: int, told: bool) -> None:
    places = np.arange(loads, dtype=np.float64)

    def found(keep: np.ndarray) -> float | None:
        out = float(places[~keep][0])
        return out if out >= silent else None

    answers = np.arange(silent, loads)
    error = np.sqrt((len(answers) - 1) * np.var(answers))  # Tukey's, by the variance of the answers
    assert jackknife(places, found) == (pytest.approx(error) if told else None)


def test_a_slowing_curve_never_falls_and_never_steepens() -> None:
    noise = np.random.default_rng(5).normal(0, 0.05, len(_LOADS))
    steps = np.diff(slowing(_LOADS, 2 * (1 - np.exp(-_LOADS / 120)) + noise).at(_LOADS))
    assert np.all(steps >= -1e-9)
    assert np.all(np.diff(steps) <= 1e-9)


def test_readings_that_rise_ever_less_are_met_exactly() -> None:
    assert slowing(_LOADS, np.sqrt(_LOADS)).at(_LOADS).tolist() == pytest.approx(np.sqrt(_LOADS).tolist())


def test_a_fall_within_the_noise_is_no_peak() -> None:
    rng = np.random.default_rng(2)
    level = [
        peak(turning(_LOADS, 70 * (1 - np.exp(-_LOADS / 70)) + rng.normal(0, 0.3, 13))) for _ in range(40)
    ]
    assert sum(falls for _, falls in level) <= 2


@pytest.mark.parametrize("step", [10, 20])
def test_the_error_is_honest_and_the_load_unbiased_where_noise_is_known(step: int) -> None:
    """A target density: what leaving loads out says against what repeating the ladder shows."""
    rng, loads = np.random.default_rng(4), np.arange(60, 281, float(step))
    found: list[float] = []
    errors: list[float] = []
    for _ in range(60):
        read = 0.008 * loads + rng.normal(0, 0.01, len(loads))

        def reached(keep: np.ndarray, read: np.ndarray = read) -> float | None:
            return first_reaching(rising(loads[keep], read[keep]), 1.5)

        found.append(reached(np.ones(len(loads), dtype=bool)) or math.nan)
        errors.append(jackknife(loads, reached) or math.nan)
    assert np.mean(found) == pytest.approx(187.5, abs=0.5)
    assert np.sqrt(np.mean(np.square(errors))) == pytest.approx(np.std(found), rel=0.6)
