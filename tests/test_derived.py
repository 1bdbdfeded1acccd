"""What is computed of a mode with its material: of which trial, of which finishing, in which order."""

from typing import Any

import pytest

from registry.derived import derive

LAYERS = [{"what": "colour", "load_pct": 110}, {"what": "white", "load_pct": 120}]
MODE: dict[str, Any] = {
    "layers": LAYERS[:1],
    "print_side": "first-surface",
    "motion": {"passes": 16, "resolution": "720x720"},
}


def computed(mode: dict[str, Any], **substrate: Any) -> dict[str, Any]:
    return derive({"mode": MODE | mode, "substrate": substrate})


@pytest.mark.parametrize(
    ("side", "laid"),
    [
        ("first-surface", "white 120 %, then colour 110 %"),
        ("second-surface", "colour 110 %, then white 120 %"),
    ],
)
def test_layers_are_told_as_they_are_laid(side: str, laid: str) -> None:
    assert computed({"layers": LAYERS, "print_side": side})["print.laid"] == laid
    assert "print.laid" not in computed({"print_side": side})


@pytest.mark.parametrize(
    ("finishing", "months"),
    [
        (["none"], 24),
        (["film-laminate"], 84),
        (["film-laminate", "acrylic-face"], 90),
        (["liquid-laminate"], None),
        ([], None),
    ],
)
def test_outdoor_life_is_that_of_the_modes_own_finishing(finishing: list[str], months: float | None) -> None:
    lives = {"none": 24, "film-laminate": 84, "acrylic-face": 90}
    outdoor = [{"finishing": finishing, "months": months} for finishing, months in lives.items()]
    assert computed({"finishing": finishing}, outdoor=outdoor).get("print.outdoor_months") == months


def test_a_life_that_assumed_an_unsaid_finishing_is_no_life_of_a_bare_print() -> None:
    assert "print.outdoor_months" not in computed({"finishing": ["none"]}, outdoor_months=84)


def rub(**said: Any) -> dict[str, Any]:
    return {"what": "rub", "date": "2026-01-01", "site": "harbour-yard", "passed": True, **said}


def test_a_rub_is_told_dry_and_wet_apart_and_of_the_face_that_is_touched() -> None:
    trials = [
        rub(standard="iso-105-x12", rubbed="dry", grey_scale=4.5),
        rub(standard="iso-105-x12", rubbed="wet", grey_scale=4),
        rub(standard="iso-105-x12", rubbed="wet", grey_scale=3),
        rub(standard="astm-d5264", rubbed="dry", strokes=400, on="finished-print"),
        rub(standard="astm-d5264", rubbed="dry", strokes=50, on="print"),
    ]
    values = computed({"trials": trials})
    told = [values[f"print.{each}"] for each in ("rub_dry", "rub_wet", "rub_strokes")]
    assert told == [4.5, 3, 400]
    assert not {"print.rub_dry", "print.rub_strokes"} & computed({"trials": trials[1:2]}).keys()


def test_the_hiding_distance_counts_per_lamp_pitch() -> None:
    light = {"hiding_distance_mm": 90, "hiding_pitch_mm": 60}
    assert computed({}, light=light)["light.hiding_ratio"] == 1.5
    assert "light.hiding_ratio" not in computed({}, light={"hiding_distance_mm": 90})
