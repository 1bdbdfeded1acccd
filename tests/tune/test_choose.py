"""The load that a ladder calls for, where the answer is known beforehand."""

import math
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from registry.light.fit import FitError
from registry.tune import asking
from registry.tune.choose import MARGIN_PCT, choose
from registry.tune.criteria import Asked
from registry.tune.drying import dry
from registry.tune.ladder import Ladder
from tests.tune.ladders import LOADS, together, told

_NOTHING = Asked(gain=None, chroma=False, hue_deg=None, mottle=None)
_SAFE = 1 - MARGIN_PCT / 100
_BEER = 0.008  # density a point of load


def linear(load: float) -> float:
    return _BEER * load


def test_a_target_density_under_beers_law_is_found_on_the_line() -> None:
    found = choose(told(linear), replace(_NOTHING, density=1.5))
    assert found.reached
    assert found.load_pct == pytest.approx(1.5 / _BEER, abs=0.1)
    assert found.error_pct == pytest.approx(0, abs=0.01)


@given(st.floats(0.5, 2.1))
def test_density_is_linear_in_load_under_beers_law(wanted: float) -> None:
    found = choose(told(linear), replace(_NOTHING, density=wanted))
    assert found.load_pct == pytest.approx(max(wanted / _BEER, LOADS[0]), abs=0.1)


def test_a_target_that_no_load_reaches_is_said_not_to_be_reached() -> None:
    found = choose(told(linear), replace(_NOTHING, density=3.0))
    assert not found.reached
    assert "not reached" in found.reason
    assert found.load_pct == pytest.approx(_SAFE * LOADS[-1])


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
    assert found.load_pct == pytest.approx(_SAFE * LOADS[-1])
    assert "still pays" in found.reason


@pytest.mark.parametrize("way", [1, -1])
@pytest.mark.parametrize("about", [200.0, 358.0, 2.0, 89.0, 91.0, 269.0, 271.0])
def test_an_ink_stops_where_its_hue_has_turned_also_across_0_degrees(about: float, way: int) -> None:
    def hue(load: float) -> float:
        return (about + way * (load - 100) / 20) % 360

    found = choose(told(linear, hue=hue), replace(_NOTHING, hue_deg=5.0))
    assert found.load_pct == pytest.approx(200, abs=1)


def test_an_ink_stops_where_its_mottle_passes_the_limit() -> None:
    found = choose(told(linear, mottle=lambda load: load / 200), replace(_NOTHING, mottle=1.0))
    assert found.load_pct == pytest.approx(200, abs=1)


def test_black_is_not_stopped_by_a_hue_that_it_does_not_have() -> None:
    ladder = told(linear, hue=lambda load: load, inks=("K", "CMY"))
    assert choose(ladder, replace(_NOTHING, hue_deg=5.0)).load_pct == pytest.approx(_SAFE * LOADS[-1])


def test_nothing_above_what_stayed_dry_is_chosen() -> None:
    found = choose(told(linear, wet_from=220), _NOTHING)
    assert found.load_pct == pytest.approx(_SAFE * 200)
    assert "did not dry" in found.reason


def test_what_re_wet_counts_as_not_dry() -> None:
    found = choose(told(linear, rewet_from=180), _NOTHING)
    assert found.load_pct == pytest.approx(_SAFE * 160)
    assert "re-wet" in found.reason


def test_a_target_above_what_stayed_dry_is_not_reached() -> None:
    found = choose(told(linear, wet_from=180), replace(_NOTHING, density=1.6))
    assert not found.reached
    assert found.load_pct == pytest.approx(_SAFE * 160)


def test_a_load_that_dried_above_one_that_did_not_is_no_setting() -> None:
    """Only what lies below every failure is safe: a lucky heavy rung proves nothing."""
    ladder = told(linear, wet_from=180)
    lucky = tuple(replace(each, dried=True) if each.load_pct == 280 else each for each in ladder.rungs)
    assert dry(Ladder(lucky, ladder.how, 0.38))[0].heaviest_pct == 160


def test_the_fewest_passes_that_allow_the_load_are_chosen() -> None:
    fast = told(linear, passes=(12,), wet_from=160)
    ladder = together(fast, told(linear, passes=(16, 20)))
    assert choose(ladder, replace(_NOTHING, density=1.5)).passes == 16
    assert choose(ladder, replace(_NOTHING, density=1.0)).passes == 12
    assert choose(ladder, replace(_NOTHING, density=1.0, passes=20)).passes == 20


def test_with_a_target_the_fewest_passes_win_though_more_would_carry_a_heavier_load() -> None:
    """In more passes the same ink comes out a little thinner, so that its target lies higher."""
    ladder = together(told(linear, passes=(12,)), told(lambda load: 0.95 * linear(load), passes=(16,)))
    found = choose(ladder, replace(_NOTHING, density=1.5))
    assert found.passes == 12
    assert found.load_pct == pytest.approx(187.5, abs=0.1)


def test_why_fewer_passes_do_not_do_is_told() -> None:
    ladder = together(told(linear, passes=(12,), wet_from=160), told(linear, passes=(16,)))
    found = choose(ladder, replace(_NOTHING, density=1.5))
    assert [passes for passes, _ in found.fewer] == [12]
    assert (
        "133 %: 5 % under 140 %, the heaviest that stayed dry (at 160 % C did not dry)" in found.fewer[0][1]
    )


def test_a_target_between_two_loads_is_found_between_them() -> None:
    ladder = told(linear, loads=(60, 100, 140, 180, 220))
    assert choose(ladder, replace(_NOTHING, density=_BEER * 163)).load_pct == pytest.approx(163, abs=0.1)


def test_a_target_that_the_lightest_load_reaches_is_said_so() -> None:
    found = choose(told(linear), replace(_NOTHING, density=0.1))
    assert (found.load_pct, found.reached, found.error_pct) == (LOADS[0], True, None)
    assert "already at the lightest read" in found.reason


def test_a_target_beyond_where_the_darkest_ink_stops_is_not_reached_and_its_own_stop_is_the_reason() -> None:
    black = told(linear, inks=("K",), mottle=lambda load: load / 200)
    others = told(lambda load: 0.5 * linear(load), inks=("Y", "CMY"), mottle=lambda load: load / 260)
    for wanted in (1.9, 9.0):  # within what was read, and far beyond it
        found = choose(together(black, others), replace(_NOTHING, density=wanted, mottle=1.0))
        assert not found.reached
        assert found.load_pct == pytest.approx(200, abs=1)
        assert f"K comes to {linear(200):.2f} where its mottle passes 1" in found.reason


def test_black_alone_is_the_darkest_solid_though_an_overprint_is_darker() -> None:
    overprint = told(lambda load: 2 * linear(load), inks=("CMYK",))
    found = choose(together(told(linear, inks=("K", "C")), overprint), replace(_NOTHING, density=1.5))
    assert found.reason.startswith("K reaches")
    assert found.load_pct == pytest.approx(187.5, abs=0.1)


def test_without_black_an_overprint_is_the_darkest_solid() -> None:
    overprint = told(lambda load: 2 * linear(load), inks=("CMY",))
    found = choose(together(told(linear, inks=("C",)), overprint), replace(_NOTHING, density=1.5))
    assert found.reason.startswith("CMY reaches")


def test_an_ink_that_one_pass_count_lacks_has_no_say_there() -> None:
    ladder = together(told(linear, inks=("C", "K", "CMY"), passes=(16,)), told(linear, passes=(12,)))
    found = choose(ladder, replace(_NOTHING, passes=12))
    assert [each.ink for each in found.inks] == ["C"]
    assert any("K was read at 0 loads in 12 passes" in each for each in found.doubts)


def test_a_pass_count_with_too_few_loads_leaves_the_others_their_say() -> None:
    ladder = together(told(linear, passes=(12,), loads=(100, 200)), told(linear, passes=(16,)))
    assert choose(ladder, Asked()).passes == 16


def test_what_three_loads_cannot_tell_is_said_and_the_rest_is_judged() -> None:
    found = choose(told(linear, loads=(100, 160, 220)), replace(Asked(), density=1.5))
    assert found.load_pct == pytest.approx(187.5, abs=0.1)
    assert any("chroma and hue of C: 3 loads are too few" in each for each in found.doubts)


def test_two_loads_of_every_ink_allow_no_choice() -> None:
    with pytest.raises(FitError, match="3 loads or more"):
        choose(told(linear, loads=(100, 200)), Asked())


def test_hue_without_a_load_from_which_it_could_have_turned_is_said_not_to_be_judged() -> None:
    found = choose(told(linear, loads=(120, 160, 200, 240), hue=lambda load: load), Asked())
    assert found.load_pct == pytest.approx(_SAFE * 240)
    assert any("hue of C: no load at or below 100 %" in each for each in found.doubts)


def test_of_a_hue_that_nobody_asked_for_nothing_is_said() -> None:
    ladder = told(linear, loads=(120, 160, 200, 240), chroma=lambda load: load)
    found = choose(ladder, replace(_NOTHING, chroma=True))
    assert not any("hue" in each for each in found.doubts)


def test_mottle_judged_at_two_loads_is_said_not_to_be_judged() -> None:
    ladder = told(linear, mottle=lambda load: 2.0 if load in {60, 80} else None)
    found = choose(ladder, replace(_NOTHING, mottle=1.0))
    assert found.load_pct == pytest.approx(_SAFE * LOADS[-1])
    assert any("mottle of C: it was judged at 2 loads" in each for each in found.doubts)


def test_a_solid_that_reads_as_black_itself_has_no_density_there() -> None:
    ladder = told(lambda load: linear(load) if load < 240 else math.inf, inks=("K", "CMY"))
    found = choose(ladder, replace(_NOTHING, density=1.5))
    assert found.load_pct == pytest.approx(187.5, abs=0.1)
    assert any("K reads as black itself from 240 % on" in each for each in found.doubts)


def test_readings_of_one_load_twice_count_together() -> None:
    twice = together(told(linear), told(linear))
    assert choose(twice, replace(_NOTHING, density=1.5)).load_pct == pytest.approx(187.5, abs=0.1)


@pytest.mark.parametrize("step", [10, 20])
def test_noise_does_not_move_where_more_ink_stops_paying(step: int) -> None:
    """Of 2·(1 − exp(−L/120)) ten points add 0.05 at about 149 %: the mean of many noisy ladders says so."""
    found = []
    for seed in range(40):
        noise = np.random.default_rng(seed)
        ladder = told(
            lambda load, noise=noise: 2 * (1 - math.exp(-load / 120)) + noise.normal(0, 0.01),  # type: ignore[misc]
            inks=("C",),
            loads=range(60, 281, step),
        )
        found.append(choose(ladder, replace(_NOTHING, gain=0.05)).load_pct)
    assert np.mean(found) == pytest.approx(149, abs=4)


def slip(ladder: Ladder, load: float, **said: Any) -> Ladder:
    """Return a ladder with one line of cyan said otherwise."""
    rungs = [
        replace(each, **said) if (each.ink, each.load_pct) == ("C", load) else each for each in ladder.rungs
    ]
    return replace(ladder, rungs=tuple(rungs))


def test_one_light_solid_said_not_to_be_dry_is_pointed_at() -> None:
    found = choose(slip(told(linear), 80, dried=False), _NOTHING)
    assert found.load_pct == pytest.approx(_SAFE * 60)
    assert any(
        "C did not dry at 80 % in 16 passes, and yet stood at 280 %: look at that line" in each
        for each in found.doubts
    )


def test_the_lightest_solid_said_to_have_re_wet_is_pointed_at_though_no_load_is_left() -> None:
    with pytest.raises(FitError, match="C re-wet at 60 % in 16 passes, and yet stood at 280 %"):
        choose(slip(told(linear), 60, rewet=True), _NOTHING)


def test_a_slip_in_another_pass_count_is_pointed_at_too() -> None:
    ladder = together(told(linear, passes=(12,)), slip(told(linear, passes=(16,)), 80, dried=False))
    assert any("at 80 % in 16 passes" in each for each in choose(ladder, _NOTHING).doubts)


def test_a_ladder_that_dries_and_then_does_not_is_no_contradiction() -> None:
    doubts = choose(told(linear, wet_from=180), _NOTHING).doubts
    assert not any("look at that line" in each for each in doubts)


def test_overprints_tried_less_far_than_the_load_are_said() -> None:
    ladder = together(told(linear, inks=("C",)), told(linear, inks=("CMY",), loads=(60, 100, 140)))
    assert any("overprints were tried up to 140 % only" in each for each in choose(ladder, _NOTHING).doubts)


@pytest.mark.parametrize("wanted", [9, 2, 1.75, 1])
def test_the_heaviest_load_that_dried_is_never_recommended_itself(wanted: float) -> None:
    """5 % in hand for a damp day or another lot: common practice, no source."""
    found = choose(told(linear, wet_from=220), replace(_NOTHING, density=wanted))
    assert found.load_pct <= _SAFE * 200
    assert ("5 % under 200 %, the heaviest that stayed dry" in found.reason) is (
        found.load_pct == _SAFE * 200
    )


def test_a_ladder_that_never_dried_allows_no_setting() -> None:
    with pytest.raises(FitError, match="no setting at all"):
        choose(told(linear, wet_from=0), _NOTHING)


def test_a_pass_count_that_was_not_tried_allows_none() -> None:
    with pytest.raises(FitError, match="8 passes were not tried: the ladder was printed in 16"):
        choose(told(linear), replace(_NOTHING, passes=8))


def test_a_ladder_without_single_inks_is_refused() -> None:
    with pytest.raises(FitError, match="no ink alone"):
        choose(told(linear, inks=("CMY",)), _NOTHING)


def test_the_layer_takes_the_largest_load_and_the_others_are_held_back() -> None:
    heavy, light = told(linear, inks=("K", "CMY")), told(linear, inks=("C",), mottle=lambda load: load / 140)
    found = choose(together(heavy, light), replace(_NOTHING, mottle=1.0))
    by_ink = {each.ink: each.load_pct for each in found.inks}
    assert by_ink["C"] == pytest.approx(140, abs=1)
    assert found.load_pct == pytest.approx(_SAFE * LOADS[-1])
    assert by_ink["K"] == LOADS[-1]


def test_what_was_not_tried_is_doubted() -> None:
    untried = told(linear, inks=("C",))
    rungs = tuple(replace(each, rewet=None) for each in untried.rungs)
    doubts = choose(Ladder(rungs, untried.how, 0.38), _NOTHING).doubts
    assert any("never tried against re-wetting" in each for each in doubts)
    assert any("no overprint was tried" in each for each in doubts)


def test_a_target_is_as_uncertain_as_the_readings_are_noisy() -> None:
    """σ of density over a slope of 0.008 a point: 0.02 comes to about 2.5 points."""
    drawn = iter(np.random.default_rng(9).normal(0, 1, 1000))
    noisy = {float(load): linear(load) + 0.02 * next(drawn) for load in LOADS}
    found = choose(told(lambda load: noisy[load], inks=("C",)), replace(_NOTHING, density=1.5))
    assert found.error_pct is not None
    assert 1.2 < found.error_pct < 6


@pytest.mark.parametrize("noise", [0.003, 0.02])
def test_the_error_of_a_target_is_what_repeating_the_ladder_shows(noise: float) -> None:
    found, errors = [], []
    for seed in range(60):
        drawn = np.random.default_rng(seed).normal(0, noise, len(LOADS))
        noisy = {float(load): linear(load) + each for load, each in zip(LOADS, drawn, strict=True)}
        choice = choose(told(lambda load, by=noisy: by[load], inks=("C",)), replace(_NOTHING, density=1.5))  # type: ignore[misc]
        assert choice.error_pct is not None
        found.append(choice.load_pct)
        errors.append(choice.error_pct)
    assert np.median(errors) == pytest.approx(np.std(found), rel=0.5)
    assert np.quantile(errors, 0.1) > 0.5 * np.std(found), "no lucky ladder looks certain"


def test_a_solid_is_read_at_as_many_loads_as_there_are_however_alike_its_densities() -> None:
    found = choose(told(lambda load: 0.8 if load < 150 else 1.6), replace(_NOTHING, density=1.5))
    assert found.reached
    assert 140 < found.load_pct <= 160
    assert not [doubt for doubt in found.doubts if "loads" in doubt and "too few" in doubt]


def test_without_a_target_the_heaviest_load_wins_whatever_its_passes() -> None:
    ladder = together(told(linear, passes=(12,), wet_from=160), told(linear, passes=(16,), wet_from=240))
    found = choose(ladder, _NOTHING)
    assert found.passes == 16
    assert [passes for passes, _ in found.fewer] == [12]


def test_the_ink_of_a_load_is_drops_a_square_metre_to_the_hundredth() -> None:
    """7 pL × (720 / 25.4 mm)² × 2.03 = 11.4188 mL/m²."""
    assert asking._volume({"drop_volume_pl": 7}, "720x720", 203) == 11.42  # noqa: SLF001


def test_passes_that_the_printer_offers_go_before_fewer_that_it_does_not() -> None:
    ladder = told(linear, passes=(12, 16, 20))
    wanted = replace(_NOTHING, density=1.0)
    assert choose(ladder, wanted).passes == 12
    assert choose(ladder, wanted, offered=(16, 20)).passes == 16
    assert choose(ladder, wanted, offered=(8,)).passes == 12


def test_an_ink_is_held_back_only_where_something_stops_it_below_the_load() -> None:
    cyan = told(linear, inks=("C",), mottle=lambda load: load / 150)
    others = told(linear, inks=("Y", "CMY"), mottle=lambda load: load / 200)
    found = choose(together(cyan, others), replace(_NOTHING, mottle=1.0))
    held = {each.ink: round(each.held_back_pct(found.load_pct)) for each in found.inks}
    assert held == {"C": 75, "Y": 100}
    free = choose(told(linear), _NOTHING).inks[0]
    assert free.held_back_pct(1000) == 100


def test_mottle_that_passes_its_limit_only_at_the_heaviest_load_stops_nothing() -> None:
    ladder = told(linear, mottle=lambda load: 0.2 if load < LOADS[-1] else 1.0)
    found = choose(ladder, replace(_NOTHING, mottle=1.0))
    assert found.inks[0].stops == ()
    assert found.load_pct == pytest.approx(_SAFE * LOADS[-1])
