"""What is met by copied values, or by what is computed from them: behind what is met by its own."""

from typing import Any

import pytest

from registry.derived import DERIVED, from_copied
from registry.find.answer import FindAnswer
from registry.model.kinds import KINDS
from registry.model.shape import shape_of
from tests.find.shop import SITE, Shop, offer

COPIED = {"kind": "copied", "date": "2025-10-01", "note": "copied from another"}
MEASURED = {"kind": "measured", "method": "sphere", "date": "2025-10-01"}
DEMANDS = [
    {"of": "substrate", "setting": "light.transmittance_pct", "at_least": 30, "why": "weak lamps"},
    {"of": "mode", "setting": "ink.solid_ml_m2", "at_most": 100, "why": "it has to dry"},
]


def places(answer: FindAnswer) -> dict[str, int]:
    return {each.candidate.pair.substrate_title: each.place for each in answer.offers}


def asked(shop: Shop) -> FindAnswer:
    shop.put("application", "light-box", demands=DEMANDS)
    return shop.find(use="light-box")


def test_what_was_measured_comes_before_what_was_copied_though_more_sites_confirmed_that(shop: Shop) -> None:
    light = {"transmittance_pct": 40}
    twice = [(SITE, "2025-10-01"), ("mill-lane", "2025-10-02")]
    shop.film("a/copied", light=light, sources={"/light": COPIED}, confirmed=twice)
    shop.film("b/measured", light=light, sources={"/light": MEASURED})
    answer = asked(shop)
    assert places(answer) == {"b/measured": 1, "a/copied": 2}
    assert offer(answer, "a/copied/mode").reason == (
        "behind place 1, which meets none by copied values; this meets 1 demand by copied values"
    )


def test_what_is_computed_from_a_copied_value_counts_as_copied(shop: Shop) -> None:
    light = {"transmittance_pct": 40}
    shop.film("a/copied", light=light, mode_sources={"/layers": COPIED})
    shop.film("b/own", light=light, mode_sources={"/layers": MEASURED})
    shop.film("c/other", light=light, mode_sources={"/motion/passes": COPIED})
    answer = asked(shop)
    assert places(answer) == {"b/own": 1, "c/other": 1, "a/copied": 3}
    told = {
        each.wanted.known.path: offer(answer, "a/copied/mode").is_copied(each)
        for each in offer(answer, "a/copied/mode").candidate.judged
    }
    assert told["ink.solid_ml_m2"] is True
    assert told["light.transmittance_pct"] is False


@pytest.mark.parametrize(
    ("word", "pointer", "expected"),
    [
        ("printer", "/drop_volume_pl", {"ink.solid_ml_m2", "ink.volume_ml_m2", "ink.limit_ml_m2"}),
        ("mode", "/ink/profile_max_pct", {"ink.volume_ml_m2"}),
        ("mode", "/ink/coverage_limit_pct", {"ink.limit_ml_m2"}),
        ("mode", "/layers/0/passes", set()),
        ("substrate", "/light/hiding_distance_mm", {"light.hiding_ratio"}),
        ("substrate", "/outdoor", {"print.outdoor_months"}),
        ("mode", "/finishing", {"print.outdoor_months"}),
    ],
)
def test_a_computed_value_rests_on_what_it_is_computed_from(
    word: str, pointer: str, expected: set[str]
) -> None:
    case: dict[str, dict[str, Any]] = {
        "mode": {
            "layers": [{"what": "colour", "load_pct": 200, "passes": 16}],
            "ink": {"profile_max_pct": 230, "coverage_limit_pct": 500},
            "motion": {"resolution": "720x720"},
            "finishing": ["film-laminate"],
        },
        "printer": {"drop_volume_pl": 7},
        "substrate": {
            "light": {"hiding_distance_mm": 60, "hiding_pitch_mm": 60},
            "outdoor": [{"finishing": "film-laminate", "months": 60}],
        },
    }
    assert from_copied(case) == []
    case[word]["sources"] = {pointer: COPIED}
    assert {*from_copied(case)} - {"print.laid"} == expected


def test_every_setting_that_a_computed_value_rests_on_exists() -> None:
    kinds = {"mode": "print-mode"}
    for derived in DERIVED:
        for pattern in derived.rests_on:
            word, _, path = pattern.partition("/")
            kind = kinds.get(word, word)
            assert kind in KINDS
            settings = shape_of(kind).settings
            assert any(each == path or each.startswith(path.removesuffix("*")) for each in settings), pattern
