"""What the read model leaves out is what the judge finds in the way, no more and no less."""

from typing import Any

import pytest

from registry.find.candidate import candidates
from registry.find.demands import demands, use_of
from registry.find.filters import filters
from registry.find.request import Request
from registry.find.wanted import as_test
from registry.index.pairs import Pairs
from registry.question.registry import Registry
from tests.find.shop import SITE, Shop

PENCIL = {"what": "pencil", "date": "2025-09-01", "site": SITE, "passed": True}
DEMANDS: list[dict[str, Any]] = [
    {"of": "substrate", "setting": "light.transmittance_pct", "at_least": 30, "at_most": 50},
    {"of": "substrate", "setting": "fire.en-13501-1.rating", "grade": "C"},
    {"of": "substrate", "setting": "widths_mm", "at_least": 1000, "at_most": 1200},
    {"of": "mode", "setting": "print.scratch", "grade": "fair"},
    {"of": "mode", "setting": "finishing", "one_of": ["acrylic-face"]},
    {"of": "mode", "setting": "no.such.setting", "at_least": 1},
    {"of": "substrate", "setting": "thickness_um"},
]
CONDITIONS = (
    "thickness_um>=200",
    "thickness_um!=200",
    "finishing!=none",
    "finishing=none",
    "print.pencil>=HB",
    "print.pencil!=HB",
    "fire.en-13501-1.rating!=B",
    "layers.*.load_pct>150",
    "layers.white.load_pct>150",
    "printer:max_width_mm<=1625",
    "printer:ink_chemistry~resin",
    "status=known-good",
    "status!=known-good",
    "recorded.date<2030-01-01",
    "title~film",
    "coating=none",
)


def fire(rating: str) -> list[dict[str, str]]:
    return [{"standard": "en-13501-1", "rating": rating}]


@pytest.fixture
def varied(shop: Shop) -> Registry:
    """Films of which each setting is known and unknown, fitting and not."""
    shop.put("printer", "narrow", max_width_mm=1100, ink_chemistry="solvent")
    shop.put("printer", "unlimited", max_width_mm=None)
    shop.put("unit", f"{SITE}/one", printer="narrow")
    shop.put(
        "application",
        "light-box",
        demands=[{**demand, "why": "asked"} for demand in DEMANDS],
        lamp_distance_mm=60,
    )
    shop.film("a/bare")
    shop.film(
        "b/full",
        thickness_um=200,
        widths_mm=[900, 1067, 1524],
        light={"transmittance_pct": 38},
        fire=fire("B-s1,d0"),
        mode_finishing=["acrylic-face"],
        mode_trials=[{**PENCIL, "pencil": "HB"}],
    )
    shop.film(
        "c/poor",
        thickness_um=100,
        widths_mm=[900],
        coating="none",
        light={"transmittance_pct": 60, "hiding_distance_mm": 90},
        fire=fire("E"),
        mode_printer="narrow",
        mode_trials=[{**PENCIL, "pencil": "6B"}],
    )
    shop.film(
        "d/odd",
        widths_mm=[1600],
        light={"hiding_distance_mm": 30},
        fire=fire("class 2"),
        mode_lighting="dual",
        mode_finishing=["none"],
        mode_printer="unlimited",
    )
    shop.film(
        "e/layered",
        widths_mm=[1524],
        mode_lighting="frontlit",
        mode_printer="nowhere",
        mode_layers=[{"what": "colour", "load_pct": 100}, {"what": "white", "load_pct": 160}],
    )
    shop.film("i/wide", widths_mm=[2000])
    gone = {"date": "2025-09-01", "reason": "re-wets"}
    shop.film("f/gone", withdrawn=gone, mode_status="withdrawn", mode_withdrawn=gone)
    shop.film("g/trial", mode_status="trial", confirmed=[])
    shop.put("print-mode", "h/lost/mode", substrate="h/lost")
    return shop.registry()


REQUESTS: list[dict[str, Any]] = [
    *({"where": (condition,), "status": ("known-good", "trial")} for condition in CONDITIONS),
    {"min_width_mm": 1000.0},
    {"min_width_mm": 1500.0},
    {"words": ("film", "re")},
    {"words": ("bare",)},
    {"site": SITE},
    {"lighting": "dual"},
    {"status": ("withdrawn",)},
    {"use": "light-box"},
]


@pytest.mark.parametrize("asked", REQUESTS, ids=str)
def test_the_read_model_and_the_judge_are_of_one_mind(varied: Registry, asked: dict[str, Any]) -> None:
    request, pairs = Request(**asked), Pairs(varied.model)
    use = use_of(varied, request.use) if request.use else None
    wanted = [*filters(varied, request), *(demands(use) if use else ())]
    tests = [as_test(pairs, each) for each in wanted]
    every = pairs.failing(tests, len(tests))
    assert len(every) == 9
    for candidate in candidates(varied.model, pairs, use, wanted, every):
        in_the_way = tuple(each.in_the_way for each in candidate.judged)
        assert (candidate.pair.mode.rid, candidate.pair.passed) == (
            candidate.pair.mode.rid,
            tuple(not each for each in in_the_way),
        )
    fitting = {pair.mode.rid for pair in every if all(pair.passed)}
    assert {pair.mode.rid for pair in pairs.passing(tests)} == fitting
    assert {pair.mode.rid for pair in pairs.failing(tests, 1)} == {
        pair.mode.rid for pair in every if sum(not passed for passed in pair.passed) <= 1
    }
    counted = [sum(pair.passed[number] for pair in every) for number in range(len(tests))]
    assert (pairs.total(), pairs.counts(tests)) == (9, counted)
