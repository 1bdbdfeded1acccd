"""What uncertainty comes to: worked examples of JCGM 100 and 101, and plain draws of a hand of their own."""

from collections.abc import Callable

import numpy as np
import pytest

from registry.light.fraction import Array
from registry.light.uncertainty import Input, propagate

_MANY = 1_000_000


def _added(**each: Array) -> Array:
    answer: Array = np.sum(list(each.values()), axis=0)
    return answer


def test_four_normal_inputs_added() -> None:
    # JCGM 101:2008, 9.2.2: u 2.0, interval -3.92 to 3.92, and first order is validated (from memory).
    found = propagate(_added, [Input(name, 0.0, 1.0) for name in "abcd"], draws=200_000)
    assert found.method == "first order"
    assert (found.value, found.u) == pytest.approx((0.0, 2.0))
    assert (found.low, found.high) == pytest.approx((-3.92, 3.92), abs=0.005)
    assert [share for _, share in found.shares] == pytest.approx([0.25] * 4, abs=0.03)


def test_four_rectangular_inputs_added() -> None:
    # JCGM 101:2008, 9.2.3: u 2.0, interval -3.88 to 3.88 (from memory).
    found = propagate(_added, [Input(name, 0.0, 1.0, "rectangular") for name in "abcd"])
    assert found.u == pytest.approx(2.0, rel=0.02)
    assert np.quantile(found.drawn, (0.025, 0.975)) == pytest.approx((-3.88, 3.88), rel=0.02)


def test_one_rectangular_input_that_outweighs_the_others_is_not_of_first_order() -> None:
    # JCGM 101:2008, 9.2.4: u 10.1, interval -17.0 to 17.0, where first order says 19.9 (from memory).
    sizes = {"a": 1.0, "b": 1.0, "c": 1.0, "d": 10.0}
    found = propagate(
        _added, [Input(name, 0.0, size, "rectangular") for name, size in sizes.items()], draws=20_000
    )
    assert found.method == "Monte Carlo"
    assert found.u == pytest.approx(10.1, rel=0.01)
    assert (found.low, found.high) == pytest.approx((-17.0, 17.0), rel=0.01)
    assert dict(found.shares)["d"] == pytest.approx(100 / 103, abs=0.01)


def _mass(mass: Array, extra: Array, air: Array, weight: Array, reference: Array) -> Array:
    return (mass + extra) * (1 + (air - 1.2) * (1 / weight - 1 / reference)) - 100_000


def test_calibration_of_a_mass() -> None:
    # JCGM 101:2008, 9.3, table 6: 1.234 mg, u 0.0754, 1.083 to 1.383; first order says 0.0539 (from memory).
    inputs = [
        Input("mass", 100_000.000, 0.050),
        Input("extra", 1.234, 0.020),
        Input("air", 1.20, 0.10 / np.sqrt(3), "rectangular"),
        Input("weight", 8000.0, 1000 / np.sqrt(3), "rectangular"),
        Input("reference", 8000.0, 50 / np.sqrt(3), "rectangular"),
    ]
    found = propagate(_mass, inputs)
    assert found.method == "Monte Carlo"
    assert found.value == pytest.approx(1.234, abs=1e-4)
    assert found.u == pytest.approx(0.0754, rel=0.02)
    assert (found.low, found.high) == pytest.approx((1.083, 1.383), abs=0.01)


def test_calibration_of_an_end_gauge() -> None:
    # JCGM 100:2008, H.1: u 32 nm of first order, 34 nm with the second order counted in (from memory).
    inputs = [
        Input("standard", 50_000_623.0, 25.0),
        Input("apart", 215.0, 9.7),
        Input("swells", 11.5e-6, 2e-6 / np.sqrt(3), "rectangular"),
        Input("swells_apart", 0.0, 1e-6 / np.sqrt(3), "rectangular"),
        Input("warmth", -0.1, 0.41),
        Input("warmth_apart", 0.0, 0.05 / np.sqrt(3), "rectangular"),
    ]

    def length(**of: Array) -> Array:
        grown = of["swells_apart"] * of["warmth"] + of["swells"] * of["warmth_apart"]
        return of["standard"] + of["apart"] - of["standard"] * grown

    found = propagate(length, inputs)
    assert found.value == pytest.approx(50_000_838.0)
    assert found.drawn.std() == pytest.approx(34.0, rel=0.03)


@pytest.mark.parametrize(
    ("model", "spread"),
    [
        (lambda a, b: a / b, {"a": (1000.0, 50.0), "b": (1.0, 0.18)}),  # a ratio of 18 % below
        (lambda a, b: (a**2 + b**2) ** 0.5, {"a": (0.2, 0.3), "b": (0.1, 0.3)}),  # a colour distance near 0
        (lambda a, b: a * 0.4 / (1 - 0.55 * b), {"a": (1000.0, 40.0), "b": (0.85, 0.08)}),  # a lit box
    ],
)
def test_an_independent_run_of_many_draws_agrees_within_5_percent(
    model: Callable[..., Array], spread: dict[str, tuple[float, float]]
) -> None:
    found = propagate(model, [Input(name, *each) for name, each in spread.items()])
    rng = np.random.default_rng(7)
    drawn = model(*(rng.normal(value, u, _MANY) for value, u in spread.values()))
    low, high = np.quantile(drawn, (0.025, 0.975))
    assert found.method == "Monte Carlo"
    assert found.half_width == pytest.approx((high - low) / 2, rel=0.05)
    assert (found.low, found.high) == pytest.approx((low, high), abs=0.05 * (high - low) / 2)


def test_a_first_order_result_is_not_told_of_a_ratio_that_is_17_percent_off() -> None:
    ratio = propagate(lambda a, b: a / b, [Input("a", 1000.0, 0.0), Input("b", 1.0, 0.18)])
    assert ratio.method == "Monte Carlo"
    assert ratio.high - ratio.value > 1.17 * 1.96 * 180


def test_the_same_is_drawn_every_time_and_of_one_name_whatever_else_is_drawn() -> None:
    one, other = Input("a", 0.0, 1.0), Input("b", 0.0, 1.0)
    first, again = (propagate(lambda a: a, [one]) for _ in range(2))
    beside = propagate(lambda a, b: a + 0 * b, [one, other])
    assert (first.drawn == again.drawn).all()
    assert (first.drawn == beside.drawn).all()
    assert abs(np.corrcoef(first.drawn, propagate(lambda b: b, [other]).drawn)[0, 1]) < 0.1


def test_draws_stop_where_nothing_can_be() -> None:
    share = propagate(lambda a: a, [Input("a", 0.95, 0.1, least=0.0, most=0.999)])
    assert share.drawn.max() == 0.999
    assert share.method == "Monte Carlo"


def test_what_is_known_for_sure_has_no_interval() -> None:
    sure = propagate(lambda a: a * 2, [Input("a", 3.0, 0.0)])
    assert (sure.value, sure.u, sure.low, sure.high) == (6.0, 0.0, 6.0, 6.0)
    assert sure.shares == (("a", 0.0),)


def test_a_chance_is_told_of_all_bounds_together() -> None:
    value = propagate(lambda a: a, [Input("a", 892.0, 0.08 * 892)])
    assert value.chance(lambda a: a <= 900) == pytest.approx(0.5447, abs=0.005)
    assert value.chance(lambda a: (a <= 900) & (a >= 850)) == pytest.approx(0.2663, abs=0.005)
