"""Met, not surely, unmet: a lit print is judged by its chance, and by what nobody measured."""

import json
from pathlib import Path
from typing import Any

import pytest

from registry.find.known import known_of
from registry.find.lit_values import LitValue, judge_lit
from registry.find.wanted import MET, UNKNOWN, UNMET, UNSURE, Bound, Judged, Wanted
from registry.index.readmodel import Value
from registry.light.uncertainty import Input, propagate
from tests.goldens import run
from tests.lit.lighted import BOX, LightedShop, reading

WHITE = known_of("mode", "lit.white_cd_m2")
MEASURED = {"kind": "measured", "method": "read there", "date": "2025-08-30"}
GUESSED = {"": MEASURED, "/box_reflectance_pct": {"kind": "unknown", "note": "from the paint's sheet"}}
FILM: dict[str, Any] = {"sources": {"": MEASURED}}


def white(value: float, share: float, *unmeasured: str) -> LitValue:
    """Return a lit white of which so much is in doubt."""
    known = propagate(lambda a: a, [Input("a", value, share * value)])
    return LitValue(Value(value, f"{value:g}"), known, (("the reading", 1.0),), unmeasured)


def judged(found: LitValue | None, **bounds: float) -> Judged:
    assert WHITE is not None
    ops = {"at_least": ">=", "at_most": "<="}
    return judge_lit(Wanted(WHITE, tuple(Bound(ops[each], value) for each, value in bounds.items())), found)


@pytest.mark.parametrize(
    ("found", "bounds", "answer"),
    [
        (white(892, 0.08), {"at_most": 900.0}, UNSURE),  # 54 %
        (white(892, 0.004), {"at_most": 900.0}, MET),
        (white(892, 0.004, "the box's reflectance"), {"at_most": 900.0}, UNSURE),
        (white(908, 0.08), {"at_most": 900.0}, UNMET),
        (white(908, 0.08, "the box's reflectance"), {"at_most": 900.0}, UNMET),
        (white(700, 0.10), {"at_least": 600.0}, UNSURE),  # 92 %
        (white(720, 0.10), {"at_least": 600.0}, MET),  # 95.2 %
        (white(725, 0.10), {"at_least": 600.0, "at_most": 850.0}, UNSURE),  # each bound 96 %, both 92 %
        (white(600, 0.20), {"at_least": 550.0, "at_most": 650.0}, UNMET),  # within, with 32 %
        (None, {"at_least": 600.0}, UNKNOWN),
    ],
)
def test_a_verdict_heeds_how_well_the_number_is_known(
    found: LitValue | None, bounds: dict[str, float], answer: str
) -> None:
    assert judged(found, **bounds).answer == answer


def test_the_chance_is_told_and_what_nobody_measured() -> None:
    found = judged(white(892, 0.08, "the box's reflectance"), at_most=900.0)
    assert found.worth is not None
    assert found.worth.chance == pytest.approx(0.545, abs=0.005)
    assert found.unmeasured == ("the box's reflectance",)


def test_of_a_number_that_was_not_drawn_what_rests_on_a_guess_is_not_surely_met() -> None:
    value = Value(700.0, "700")
    assert judged(LitValue(value), at_least=600.0).answer == MET
    assert judged(LitValue(value, unmeasured=("the ambient light",)), at_least=600.0).answer == UNSURE
    assert judged(LitValue(value, unmeasured=("the ambient light",)), at_least=800.0).answer == UNMET


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Two boxes, one measured and one guessed, with a film that is well inside and one at the edge."""
    folder = tmp_path_factory.mktemp("surely") / "registry"
    why = "as its neighbours"
    demands = [{"of": "mode", "setting": "lit.white_cd_m2", "at_least": 500, "at_most": 800, "why": why}]
    better = [{"input": "box-reflectance", "u": 2, "source": "our own sphere"}]
    shop = LightedShop(folder, demands=demands, sources={"": MEASURED})
    with shop.series:
        shop.put("display", "harbour-yard/guessed", **BOX, demands=demands, sources=GUESSED)
        edge = {"transmittance_pct": 47, "reflectance_back_pct": 46, "scattering": "diffusing"}
        light = {"transmittance_pct": 38, "reflectance_back_pct": 55, "scattering": "diffusing"}
        shop.lit_film(
            "a/edge", reading(46, seed=12), light=edge, **FILM, confirmed=[("mill-lane", "2025-10-02")]
        )
        shop.lit_film("b/inside", reading(), light=light, **FILM)
        shop.revise("registry", "registry", uncertainties=better)
        shop.registry()
    return folder


def printed(folder: Path, *args: str) -> str:
    return run(folder, *args).stdout


def found(folder: Path, use: str, *args: str) -> dict[str, Any]:
    answer: dict[str, Any] = json.loads(printed(folder, "find", "--for", use, "--format", "json", *args))
    return answer


def test_what_is_not_surely_met_is_offered_behind_what_is_met(folder: Path) -> None:
    finds = found(folder, "harbour-yard/box")["finds"]
    assert [each["mode"] for each in finds] == ["b/inside/mode", "a/edge/mode"]
    (sure,) = (each for each in finds[0]["requirements"] if each["path"] == "lit.white_cd_m2")
    (edge,) = (each for each in finds[1]["requirements"] if each["path"] == "lit.white_cd_m2")
    assert (sure["answer"], edge["answer"]) == ("met", "not surely")
    assert sure["chance"] >= 0.95 > edge["chance"] >= 0.5
    assert edge["low"] < edge["found"][0] < edge["high"]
    assert edge["shares"][0]["share"] >= edge["shares"][1]["share"] > 0
    assert "not surely" in finds[1]["reason"]


def test_a_box_that_nobody_measured_is_named_in_every_format(folder: Path) -> None:
    for each in found(folder, "harbour-yard/guessed")["finds"]:
        (judged,) = (one for one in each["requirements"] if one["path"] == "lit.white_cd_m2")
        assert judged["answer"] == "not surely"
        assert judged["never_measured"] == ["the box's reflectance"]
    text = " ".join(printed(folder, "find", "--for", "harbour-yard/guessed").split())
    assert "not surely lit white" in text
    assert "the box's reflectance was never measured" in text
    rows = printed(folder, "find", "--for", "harbour-yard/guessed", "--format", "csv").splitlines()
    place = rows[0].split(",").index("unsure")
    assert {row.split(",")[place] for row in rows[1:]} == {"1"}


def test_a_card_for_the_place_says_what_it_does_not_surely_meet(folder: Path, tmp_path: Path) -> None:
    args = ("card", "b/inside/mode", "-o", str(tmp_path / "card.pdf"), "--format", "json")
    told = json.loads(printed(folder, *args, "--for", "harbour-yard/guessed"))
    assert any("lit white" in each and "chance" in each for each in told["untold"])
    assert not told["unmet"]
    told = json.loads(printed(folder, *args, "--for", "harbour-yard/box"))
    assert not told["untold"]
