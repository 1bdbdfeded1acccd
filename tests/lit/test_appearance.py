"""What a print looks like lit, against numbers worked out by hand from flat filters."""

import math
from typing import Any

import numpy as np
import pytest

from registry.lit.appearance import Appearance, appearance
from registry.lit.printed import NoReadings, print_of
from registry.lit.scene import WhatIf, scene_of
from registry.measurement import read_cgats
from tests.lit.lighted import BOX, FLAT, flat_reading, reading

_WHITE, _BLACK = 0.4, 0.004
_PATCHES = {"paper": ((0, 0, 0, 0), _WHITE), "K100": ((0, 0, 0, 100), _BLACK), "K50": ((0, 0, 0, 50), 0.1)}
_MODE = {"layers": [{"what": "colour", "load_pct": 200}], "print_side": "first-surface"}
_FILM = {"light": {"reflectance_back_pct": 50, "reflectance_face_pct": 50, "scattering": "diffusing"}}
_NO_SPECTRA = """CGATS.17
MEASUREMENT_GEOMETRY "transmission"
NUMBER_OF_FIELDS 2
BEGIN_DATA_FORMAT
CMYK_C LAB_L
END_DATA_FORMAT
NUMBER_OF_SETS 1
BEGIN_DATA
0 50
END_DATA
"""
_OPEN: dict[str, Any] = {
    "luminance": {"points_cd_m2": [1000] * 9, "through": "nothing"},
    "panel": {"position": "none"},
    "box_reflectance_pct": 80,
    "lamp": {"illuminant": "LED-B3"},
    "ambient_lx": 500,
}


def seen(
    text: str | None = None,
    *,
    mode: dict[str, Any] | None = None,
    film: dict[str, Any] | None = None,
    what_if: WhatIf | None = None,
    **place: Any,
) -> Appearance:
    document = {"title": "Box", "lighting": "backlit", "place": "indoor", **_OPEN, **place}
    document = {name: value for name, value in document.items() if value is not None}
    scene = scene_of("display", "harbour-yard/box", document, {}, what_if=what_if)
    readings = read_cgats((text or flat_reading(_PATCHES)).encode())
    return appearance(scene, print_of(mode or _MODE, film or _FILM, readings, "read.txt"))


def test_the_lit_white_is_the_open_face_through_the_film_with_the_boxs_own_gain() -> None:
    assert seen().values["lit.white_cd_m2"] == pytest.approx(1000 * _WHITE / (1 - 0.5 * 0.8), rel=1e-6)


def test_the_black_stands_in_the_same_box_as_the_white() -> None:
    assert seen().values["lit.black_cd_m2"] == pytest.approx(1000 * _BLACK / (1 - 0.5 * 0.8), rel=1e-6)


def test_contrast_in_the_dark_is_the_ratio_of_the_transmittances() -> None:
    assert seen().values["lit.contrast_dark"] == pytest.approx(_WHITE / _BLACK, rel=1e-6)


def test_contrast_in_the_hall_counts_what_film_ink_and_box_throw_back() -> None:
    gain = 1 / (1 - 0.5 * 0.8)

    def reflectance(ink: float) -> float:
        return 0.04 + 0.46 * ink**2 + (_WHITE * ink) ** 2 * 0.8 * gain

    ink = _BLACK / _WHITE
    white = 1000 * _WHITE * gain + reflectance(1) * 500 / math.pi
    black = 1000 * _BLACK * gain + reflectance(ink) * 500 / math.pi
    values = seen().values
    assert values["lit.contrast"] == pytest.approx(white / black, rel=1e-6)
    assert values["lit.hall_cd_m2"] == pytest.approx(black, rel=1e-6)
    assert values["lit.contrast_unlit"] == pytest.approx(reflectance(1) / reflectance(ink), rel=1e-6)


def test_a_dark_hall_leaves_the_whole_density_range() -> None:
    values = seen(ambient_lx=0).values
    assert values["lit.kept_pct"] == pytest.approx(100)
    assert "lit.contrast_unlit" not in values


def test_more_light_in_the_hall_leaves_less_contrast_and_less_gamut() -> None:
    found = [seen(reading(), ambient_lx=lux).values for lux in (0, 300, 3000)]
    for path in ("lit.contrast", "lit.gamut_volume", "lit.kept_pct"):
        assert found[0][path] > found[1][path] > found[2][path]


def test_the_white_has_the_lamps_own_colour_through_a_grey_film() -> None:
    values = seen().values
    assert values["lit.cct_k"] == pytest.approx(4102.5, abs=1)  # LED-B3, CIE 15:2018
    assert values["lit.duv"] == pytest.approx(-0.000663, abs=1e-4)


def test_a_halved_luminance_has_the_lightness_that_cie_1976_gives_it() -> None:
    half = {"paper": ((0, 0, 0, 0), 0.4), "K50": ((0, 0, 0, 50), 0.2), "K100": ((0, 0, 0, 100), 0.04)}
    found = {each.name: each.lab for each in seen(flat_reading(half)).patches}
    assert found["black"] == pytest.approx((37.8424, 0, 0), abs=1e-3)  # L* of Y = 0.1


def test_patches_against_their_own_white_do_not_depend_on_how_bright_the_box_is() -> None:
    bright = seen(reading(), luminance={"points_cd_m2": [4000] * 9, "through": "nothing"})
    assert np.allclose(bright.lab, seen(reading()).lab)


def test_the_darkest_of_nine_points_is_as_much_darker_lit() -> None:
    points = {"points_cd_m2": [800, *[1000] * 7, 1200], "through": "nothing"}
    values = seen(luminance=points).values
    assert values["lit.least_white_cd_m2"] / values["lit.white_cd_m2"] == pytest.approx(0.8)


def test_a_clear_print_with_nothing_behind_that_spreads_light_is_seen_through() -> None:
    clear = {"light": {"reflectance_back_pct": 9, "scattering": "clear"}}
    found = seen(film=clear)
    assert found.see_through
    assert "lit.white_cd_m2" not in found.values
    assert "one sees through it" in found.unknown[0].why


def test_a_white_layer_or_an_opal_panel_behind_spreads_the_light() -> None:
    clear = {"light": {"reflectance_back_pct": 9, "scattering": "clear"}}
    layers = [{"what": "colour", "load_pct": 160}, {"what": "white", "load_pct": 60}]
    behind_white = seen(film=clear, mode={**_MODE, "layers": layers})
    assert not behind_white.see_through
    assert any("white or block-out" in each for each in behind_white.assumed)
    opal = {"position": "behind", "transmittance_pct": 47, "reflectance_pct": 44, "scattering": "diffusing"}
    assert not seen(film=clear, panel=opal).see_through


def test_ink_towards_the_lamps_makes_no_front_of_its_own() -> None:
    behind = seen(mode={**_MODE, "print_side": "second-surface"})
    assert all(each.lab_unlit is None for each in behind.patches)


def test_dual_work_is_told_by_day_with_the_lamps_off_too() -> None:
    found = seen(reading(), lighting="dual")
    assert 0 < found.values["lit.gamut_volume_unlit"] < found.values["lit.gamut_volume_dark"]
    assert "lit.gamut_volume_unlit" not in seen(reading()).values


def test_by_day_light_passes_the_ink_twice() -> None:
    found = {each.name: each.lab_unlit for each in seen(flat_reading(_PATCHES), lighting="dual").patches}
    ratio = (0.04 + 0.46 * 0.01**2) / 0.5
    assert found["black"] is not None
    assert found["black"][0] == pytest.approx(116 * ratio ** (1 / 3) - 16, abs=1e-3)


def test_without_the_lamp_nothing_is_told_and_it_is_said_what_to_record() -> None:
    found = seen(lamp=None)
    assert found.values == {}
    assert any("lamp.illuminant" in each.why for each in found.unknown)


def test_without_luminance_colours_are_told_and_luminances_are_not() -> None:
    found = seen(reading(), luminance=None)
    assert found.values["lit.gamut_volume_dark"] > 0
    assert "lit.white_cd_m2" not in found.values
    assert any("luminance.points_cd_m2" in each.why for each in found.unknown)


def test_a_back_of_unknown_reflectance_leaves_luminances_untold() -> None:
    found = seen(film={"light": {"scattering": "diffusing"}})
    assert "lit.white_cd_m2" not in found.values
    assert any("reflectance_back_pct" in each.why for each in found.unknown)


def test_transmittance_and_reflectance_above_all_light_leave_luminances_untold() -> None:
    found = seen(film={"light": {"reflectance_back_pct": 80, "scattering": "diffusing"}})
    assert "lit.white_cd_m2" not in found.values
    assert any("add up to 1.20" in each.why for each in found.unknown)


def test_a_white_far_from_every_black_body_has_no_colour_temperature() -> None:
    narrow = {f"SPECTRAL_NM{nm}": "0.4" if 510 < nm < 550 else "0.001" for nm in FLAT}
    lines = flat_reading(_PATCHES).splitlines()
    row = next(number for number, line in enumerate(lines) if line.startswith("1 paper"))
    lines[row] = " ".join([*lines[row].split()[:6], *narrow.values()])
    assert "lit.cct_k" not in seen("\n".join(lines)).values


def test_a_print_lighter_than_its_film_is_doubted() -> None:
    patches = {"paper": ((0, 0, 0, 0), 0.3), "K100": ((0, 0, 0, 100), 0.004), "C100": ((100, 0, 0, 0), 0.35)}
    assert any("lighter than the unprinted" in each for each in seen(flat_reading(patches)).assumed)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        (flat_reading(_PATCHES, "reflection, 45:0"), "not made in transmission"),
        (flat_reading({"K100": ((0, 0, 0, 100), 0.1)}), "no unprinted patch"),
        (_NO_SPECTRA, "no spectra"),
    ],
)
def test_readings_that_tell_nothing_of_a_lit_print_are_refused_with_the_reason(text: str, says: str) -> None:
    with pytest.raises(NoReadings, match=says):
        seen(text)


def test_a_mode_without_readings_is_refused() -> None:
    with pytest.raises(NoReadings, match="no measurement"):
        print_of(_MODE, _FILM, None, "")


def test_the_recorded_box_of_the_shop_is_told_whole() -> None:
    found = seen(reading(), **BOX)
    assert not found.unknown
    assert {"lit.white_cd_m2", "lit.contrast", "lit.gamut_volume"} <= set(found.values)
