"""What can hurt someone is cautioned of wherever it may be met, by the guidance that comes along."""

import json
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner

from registry.cli import main
from registry.contribute.start import guidance
from registry.index.advice import MODE_SIDE, PLACE_SIDE, Judge

LIT = {"lighting": "backlit", "place": "indoor", "lamp": {"illuminant": "LED-B3", "description": "LED bars"}}
HAZARDS: list[tuple[str, dict[str, Any], dict[str, Any], tuple[str, ...]]] = [
    ("electricity", {"application": LIT}, {"application": LIT | {"lighting": "frontlit"}}, ("lock it off",)),
    ("stored charge", {"application": LIT}, {"application": LIT | {"lamp": {}}}, ("lost their charge",)),
    (
        "a panel that falls",
        {"application": LIT | {"panel": {"position": "front", "material": "clear acrylic"}}},
        {"application": LIT | {"panel": {"position": "none"}}},
        ("slip and fall", "goggles"),
    ),
    (
        "laminator rollers",
        {"mode": {"finishing": ["film-laminate"]}},
        {"mode": {"finishing": ["acrylic-face"]}},
        ("rollers are hot", "nip"),
    ),
    (
        "ink and fixing fluid",
        {"printer": {"ink_chemistry": "water-based-resin"}},
        {"printer": {"ink_chemistry": "solvent"}},
        ("skin and eyes", "rinse eyes", "Air the room"),
    ),
    (
        "fumes",
        {"substrate": {"base": "pvc"}},
        {"substrate": {"base": "polyester"}},
        ("Never cut PVC with a laser",),
    ),
    (
        "mercury",
        {"application": LIT | {"lamp": {"illuminant": "FL11"}}},
        {"application": LIT},
        ("hold mercury",),
    ),
    ("glare", {"application": LIT | {"place": "outdoor"}}, {"application": LIT}, ("dazzles at night",)),
]


@pytest.mark.parametrize(("hazard", "met", "not_met", "words"), HAZARDS, ids=[each[0] for each in HAZARDS])
def test_a_hazard_is_cautioned_of_where_it_is_met_and_nowhere_else(
    hazard: str, met: dict[str, Any], not_met: dict[str, Any], words: tuple[str, ...]
) -> None:
    saying = [rule for rule in guidance().items() if all(word in rule[1]["text"] for word in words)]
    assert len(saying) == 1, hazard
    judge = Judge(*saying[0])
    assert judge.source == "common practice, no source"
    assert [_applies(judge, case) for case in (met, not_met)] == [True, False]


def test_cautions_of_lamp_and_hanging_are_the_fitters_and_all_others_the_printers() -> None:
    fitters = {name for name, rule in guidance().items() if rule.get("stage") == "fitting"}
    assert fitters == {
        "awnings-in-wind",
        "falling-panels",
        "glare-beside-traffic",
        "light-box-electricity",
        "mercury-in-old-lamps",
        "replace-lamps-together",
        "work-at-height",
    }


def _applies(judge: Judge, case: dict[str, Any]) -> bool:
    sides = [side for side in (MODE_SIDE, PLACE_SIDE) if judge.looks_at(side)]
    return all(judge.holds(side, case) is True for side in sides)


def test_a_marked_rule_is_on_the_fitters_sheet_and_not_on_the_printers_card() -> None:
    top, place = Path(__file__).parents[2], "harbour-yard/concourse-a"
    given = ["-C", str(top), "card", "lumenfold/dayfilm-210/gullmark-backlit", "--for", place]
    card, sheet = (
        json.loads(CliRunner().invoke(main, [*given, *more, "--format", "json"]).stdout)
        for more in ([], ["--for-fitter"])
    )
    text = guidance()["light-box-electricity"]["text"]
    assert text not in [each["text"] for each in card["cautions"]]
    assert text in [each["text"] for each in sheet["cautions"]]
