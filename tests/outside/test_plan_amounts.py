"""Ink, time and units of a plan against pint, a general-purpose library, and against arithmetic by hand."""

import json
from pathlib import Path
from typing import Any

import pint
import pytest

from registry.plan.answer import plan
from tests import small
from tests.goldens import run
from tests.plan.jobs import case, job

UREG: "pint.UnitRegistry[float]" = pint.UnitRegistry()


def ml(area_m2: float, laid_pct: float) -> float:
    """Return the volume of 7 pL drops at 720 × 720 dpi on an area, by pint."""
    drops = (720 / UREG.Quantity(1, "inch")) ** 2 * laid_pct / 100
    volume = UREG.Quantity(7, "picoliter") * drops * UREG.Quantity(area_m2, "meter**2")
    return float(volume.to("milliliter").magnitude)


def test_one_solid_of_7_pl_at_720_dpi_takes_5_62_ml_on_a_square_metre() -> None:
    mode = {"layers": [{"what": "colour", "load_pct": 100}]}
    (ink,) = plan(case(mode=mode), job("1000x1000", coverage="K=100")).inks
    assert ink.ml == pytest.approx(ml(1, 100), rel=1e-12)
    assert ink.ml == pytest.approx(5.62, abs=0.005)


def test_a_backlit_poster_by_hand() -> None:
    # 6 pieces of 1.2 × 1.8 m: 12.96 m². 200 % of 60 %: 5.6247 × 1.2 × 12.96 = 87.47 mL.
    # One across on 1270 mm with 10 mm margins and 10 mm gaps: 6 × 1.8 + 5 × 0.01 = 10.85 m.
    # At 5 m²/h: 1.2 × 10.85 / 5 = 2.604 h; without gaps 12.96 / 5 = 2.592 h.
    made = plan(
        case(substrate={"widths_mm": [1270]}),
        job("1200x1800x6", coverage="60", gap_mm=10, margin_mm=10),
    )
    figures = {figure.key: figure.value for figure in made.figures}
    assert made.inks[0].ml == pytest.approx(87.47, abs=0.01)
    assert figures["metres"] == pytest.approx(10.85)
    assert figures["hours"] == pytest.approx(2.604)
    assert figures["least_h"] == pytest.approx(2.592)
    assert figures["waste_pct"] == pytest.approx(100 * (1 - 12.96 / (1.27 * 10.85)))


def test_us_units_of_a_plan_agree_with_pint(small_registry: Path) -> None:
    metric = _answer(small_registry, "--piece", "1219.2x609.6x4", "--gap", "25.4", "--lead-in", "0.6096")
    us = _answer(small_registry, "--piece", "48x24x4", "--gap", "1", "--lead-in", "2", "--units", "us")
    assert len(us["places"]) == len(metric["places"]) == 4
    for one, other in zip(metric["places"], us["places"], strict=True):
        for key in ("y", "across", "along"):
            assert other[key] == pytest.approx(_to(one[key], "mm", "inch"), abs=1e-5)
    for name, (from_unit, into) in {
        "metres": ("meter", "foot"),
        "material_m2": ("meter**2", "foot**2"),
        "printed_m2": ("meter**2", "foot**2"),
        "hours": ("hour", "hour"),
    }.items():
        expected = _to(metric["figures"][name]["value"], from_unit, into)
        assert us["figures"][name]["value"] == pytest.approx(expected, rel=1e-5)
    expected = _to(metric["inks"][0]["value"], "milliliter", "fluid_ounce")
    assert us["inks"][0]["value"] == pytest.approx(expected, rel=1e-5)


def _to(value: float, unit: str, into: str) -> float:
    return float(UREG.Quantity(value, unit).to(into).magnitude)


def _answer(folder: Path, *args: str) -> dict[str, Any]:
    result = run(folder, "plan", small.MODE, *args, "--coverage", "60", "--format", "json")
    assert result.exit_code == 0, result.output
    answer: dict[str, Any] = json.loads(result.stdout)
    return answer
