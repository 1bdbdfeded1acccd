"""How near two materials are: what decides first, and what makes them no relatives."""

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from registry.nearest.kinship import MATTERS, kinship

_FILM: dict[str, Any] = {
    "coating": "aqueous",
    "ink_chemistries": ["water-based-resin", "aqueous"],
    "construction": "film",
    "light": {"scattering": "diffusing", "transmittance_pct": 40},
    "base": "polyester",
    "thickness_um": 200,
    "finish": "matte",
}


def test_a_material_is_its_own_nearest_relative() -> None:
    near = kinship(_FILM, _FILM)
    assert not near.refused
    assert {each.answer for each in near.likenesses} == {"same"}
    assert set(near.rank) == {0.0}


def test_the_coating_decides_before_all_else() -> None:
    other_coating = kinship(_FILM, {**_FILM, "coating": "multi"})
    other_in_all_else = kinship(
        _FILM, {**_FILM, "base": "pvc", "construction": "banner", "thickness_um": 500, "finish": "gloss"}
    )
    assert other_in_all_else.rank < other_coating.rank


def test_the_base_decides_before_transmittance() -> None:
    base = kinship(_FILM, {**_FILM, "base": "pvc"})
    light = kinship(_FILM, {**_FILM, "light": {"scattering": "diffusing", "transmittance_pct": 20}})
    assert light.rank < base.rank


@pytest.mark.parametrize("coating", ["solvent", "uv-curable", "none"])
def test_another_coating_is_no_relative(coating: str) -> None:
    assert "its coating" in kinship(_FILM, {**_FILM, "coating": coating}).refused


def test_a_coating_for_several_inks_is_near_and_no_coating_is_not() -> None:
    several = {**_FILM, "coating": "multi"}
    assert kinship(_FILM, several).likenesses[0].answer == "near"
    assert kinship({**_FILM, "coating": "none"}, several).refused


def test_a_clear_material_is_no_relative_of_one_that_spreads_light() -> None:
    clear = {**_FILM, "light": {"scattering": "clear", "transmittance_pct": 40}}
    assert kinship(_FILM, clear).refused == "it is clear, not diffusing"


def test_what_is_not_known_counts_between_same_and_different() -> None:
    unknown = kinship(_FILM, {name: value for name, value in _FILM.items() if name != "base"})
    assert kinship(_FILM, _FILM).rank < unknown.rank < kinship(_FILM, {**_FILM, "base": "pvc"}).rank


@given(st.floats(1, 99), st.floats(1, 99))
def test_brightness_is_compared_as_density_and_the_same_both_ways(one: float, other: float) -> None:
    def likeness(asked: float, found: float) -> float:
        sides = (
            {**_FILM, "light": {"scattering": "diffusing", "transmittance_pct": each}}
            for each in (asked, found)
        )
        place = [path for path, _, _ in MATTERS].index("light.transmittance_pct")
        return kinship(*sides).rank[place]

    assert likeness(one, other) == pytest.approx(likeness(other, one))
    assert likeness(one, one) == 0


def test_finishes_rank_by_their_steps() -> None:
    place = [path for path, _, _ in MATTERS].index("finish")
    costs = [kinship(_FILM, {**_FILM, "finish": each}).rank[place] for each in ("matte", "lustre", "gloss")]
    assert costs == [0, 1, 2]


def brightness(transmittance_pct: float) -> dict[str, Any]:
    return {**_FILM, "light": {"scattering": "diffusing", "transmittance_pct": transmittance_pct}}


def test_a_brightness_as_near_as_matters_does_not_outweigh_thickness_and_finish() -> None:
    thick = kinship(_FILM, {**brightness(40), "thickness_um": 400, "finish": "gloss"})
    assert kinship(_FILM, brightness(41)).rank < thick.rank


def test_of_relatives_that_are_alike_in_everything_the_nearest_in_brightness_comes_first() -> None:
    assert kinship(_FILM, brightness(41)).rank < kinship(_FILM, brightness(43)).rank


def test_what_is_unknown_counts_between_near_and_a_step_apart() -> None:
    unknown = kinship(_FILM, {**_FILM, "light": {"scattering": "diffusing"}})
    assert kinship(_FILM, brightness(45)).rank < unknown.rank < kinship(_FILM, brightness(60)).rank


def test_inks_that_both_take_decide_and_what_else_they_take_does_not() -> None:
    place = [path for path, _, _ in MATTERS].index("ink_chemistries")
    told = {
        inks: kinship(_FILM, {**_FILM, "ink_chemistries": inks.split()}).likenesses[place]
        for inks in ("aqueous water-based-resin", "water-based-resin", "solvent")
    }
    assert [each.answer for each in told.values()] == ["same", "near", "differs"]
    assert [each.cost for each in told.values()] == [0, 0, 2]
