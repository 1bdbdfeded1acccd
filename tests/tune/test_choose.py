"""The load that a ladder calls for, where the answer is known beforehand."""

import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from registry.light.fit import FitError
from registry.tune.choose import Asked, choose, dry
from registry.tune.ladder import Ladder
from tests.tune.ladders import LOADS, told

_NOTHING = Asked(gain=None, chroma=False, hue_deg=None, mottle=None)
_BEER = 0.008  # density a point of load


def linear(load: float) -> float:
    return _BEER * load


def test_a_target_density_under_beers_law_is_found_on_the_line() -> None:
    found = choose(told(linear), replace(_NOTHING, density=1.5))
    assert found.reached
    assert found.load_pct == pytest.approx(1.5 / _BEER, abs=0.1)
    assert found.error_pct == pytest.approx(0, abs=0.01)


@given(st.floats(0.5, 2.2))
def test_density_is_linear_in_load_under_beers_law(wanted: float) -> None:
    found = choose(told(linear), replace(_NOTHING, density=wanted))
    assert found.load_pct == pytest.approx(max(wanted / _BEER, LOADS[0]), abs=0.1)


def test_a_target_that_no_load_reaches_is_said_not_to_be_reached() -> None:
    found = choose(told(linear), replace(_NOTHING, density=3.0))
    assert not found.reached
    assert "not reached" in found.reason
    assert found.load_pct == LOADS[-1]


def test_more_ink_stops_paying_where_ten_points_add_less_than_the_gain() -> None:
    """1 − exp(−L/100): ten points add 0.02 at L = 100·ln((1 − exp(−0.1))/0.02)."""
    found = choose(told(lambda load: 1 - math.exp(-load / 100)), replace(_NOTHING, gain=0.02))
    expected = 100 * math.log((1 - math.exp(-0.1)) / 0.02) + 10
    assert found.inks[0].stops[0].criterion == "gain"
    assert found.load_pct == pytest.approx(expected, abs=4)


def test_an_ink_stops_where_its_chroma_peaks() -> None:
    found = choose(
        told(linear, chroma=lambda load: 70 - ((load - 190) / 40) ** 2), replace(_NOTHING, chroma=True)
    )
    assert found.load_pct == pytest.approx(190, abs=1)
    assert "chroma peaks" in found.reason


def test_chroma_that_still_rises_stops_nothing() -> None:
    found = choose(told(linear), replace(_NOTHING, chroma=True))
    assert found.load_pct == LOADS[-1]
    assert "still pays" in found.reason


@pytest.mark.parametrize("about", [200.0, 358.0, 2.0])
def test_an_ink_stops_where_its_hue_has_turned_also_across_0_degrees(about: float) -> None:
    found = choose(told(linear, hue=lambda load: about + (load - 100) / 20), replace(_NOTHING, hue_deg=5.0))
    assert found.load_pct == pytest.approx(200, abs=1)


def test_an_ink_stops_where_its_mottle_passes_the_limit() -> None:
    found = choose(told(linear, mottle=lambda load: load / 200), replace(_NOTHING, mottle=1.0))
    assert found.load_pct == pytest.approx(200, abs=1)


def test_black_is_not_stopped_by_a_hue_that_it_does_not_have() -> None:
    ladder = told(linear, hue=lambda load: load, inks=("K", "CMY"))
    assert choose(ladder, replace(_NOTHING, hue_deg=5.0)).load_pct == LOADS[-1]


def test_nothing_above_what_stayed_dry_is_chosen() -> None:
    found = choose(told(linear, wet_from=220), _NOTHING)
    assert found.load_pct == 200
    assert "did not dry" in found.reason


def test_what_re_wet_counts_as_not_dry() -> None:
    found = choose(told(linear, rewet_from=180), _NOTHING)
    assert found.load_pct == 160
    assert "re-wet" in found.reason


def test_a_target_above_what_stayed_dry_is_not_reached() -> None:
    found = choose(told(linear, wet_from=180), replace(_NOTHING, density=1.6))
    assert (found.reached, found.load_pct) == (False, 160)


def test_a_load_that_dried_above_one_that_did_not_is_no_setting() -> None:
    """Only what lies below every failure is safe: a lucky heavy rung proves nothing."""
    ladder = told(linear, wet_from=180)
    lucky = tuple(replace(each, dried=True) if each.load_pct == 280 else each for each in ladder.rungs)
    assert dry(Ladder(lucky, ladder.how, 0.38))[0].heaviest_pct == 160


def test_the_fewest_passes_that_allow_the_load_are_chosen() -> None:
    slow = told(linear, passes=(20,))
    fast = told(linear, passes=(12,), wet_from=160)
    middle = told(linear, passes=(16,))
    ladder = Ladder((*fast.rungs, *middle.rungs, *slow.rungs), slow.how, 0.38)
    assert choose(ladder, replace(_NOTHING, density=1.5)).passes == 16
    assert choose(ladder, replace(_NOTHING, density=1.0)).passes == 12
    assert choose(ladder, replace(_NOTHING, density=1.0, passes=20)).passes == 20


def test_a_ladder_that_never_dried_allows_no_setting() -> None:
    with pytest.raises(FitError, match="no setting at all"):
        choose(told(linear, wet_from=0), _NOTHING)


def test_a_pass_count_that_was_not_tried_allows_none() -> None:
    with pytest.raises(FitError, match="no load in 8 passes"):
        choose(told(linear), replace(_NOTHING, passes=8))


def test_a_ladder_without_single_inks_is_refused() -> None:
    with pytest.raises(FitError, match="no ink alone"):
        choose(told(linear, inks=("CMY",)), _NOTHING)


def test_the_layer_takes_the_largest_load_and_the_others_are_held_back() -> None:
    heavy, light = told(linear, inks=("K", "CMY")), told(linear, inks=("C",), mottle=lambda load: load / 140)
    found = choose(Ladder((*heavy.rungs, *light.rungs), heavy.how, 0.38), replace(_NOTHING, mottle=1.0))
    by_ink = {each.ink: each.load_pct for each in found.inks}
    assert by_ink["C"] == pytest.approx(140, abs=1)
    assert found.load_pct == by_ink["K"] == LOADS[-1]


def test_what_was_not_tried_is_doubted() -> None:
    untried = told(linear, inks=("C",))
    rungs = tuple(replace(each, rewet=None) for each in untried.rungs)
    doubts = choose(Ladder(rungs, untried.how, 0.38), _NOTHING).doubts
    assert any("never tried against re-wetting" in each for each in doubts)
    assert any("no overprint was tried" in each for each in doubts)
