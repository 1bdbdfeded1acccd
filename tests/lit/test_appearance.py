"""What a print looks like lit, against numbers worked out by hand from flat filters."""

import math
from typing import Any

import numpy as np
import pytest

from registry.light.grid import Grid
from registry.light.sources import SOURCE_NAMES, Source, source
from registry.light.stack import Layer
from registry.light.temperature import cct_duv
from registry.light.tristimulus import xyz
from registry.lit.appearance import Appearance, appearance
from registry.lit.printed import NoReadings, print_of
from registry.lit.scene import WhatIf, scene_of
from registry.measurement import read_cgats
from tests.light.bounces import under_ink
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


_BARE, _OF_WHITE = Layer(_WHITE, 0.5, 0.5), Layer(_WHITE, 0.57, 0.57)


def _gain(towards_box: float) -> float:
    """What the box of 80 % gives back of light that falls into it from above, over and over."""
    return 0.8 / (1 - towards_box * 0.8)


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


def test_a_dark_image_whose_ink_looks_into_the_box_takes_light_from_its_white() -> None:
    behind = {**_MODE, "print_side": "second-surface"}
    bright, dark = (
        seen(mode=behind, what_if=WhatIf(dark_pct=share)).values["lit.white_cd_m2"] for share in (0, 60)
    )
    towards_box = 0.4 * 0.5 + 0.6 * under_ink(_BARE, _BLACK / _WHITE, 0)[1]
    assert bright == pytest.approx(1000 * _WHITE / (1 - 0.5 * 0.8), rel=1e-6)
    assert dark == pytest.approx(1000 * _WHITE / (1 - towards_box * 0.8), rel=1e-6)


def test_a_dark_image_on_the_viewers_face_takes_what_its_surface_would_have_thrown_back() -> None:
    bright, dark = (seen(what_if=WhatIf(dark_pct=share)).values["lit.white_cd_m2"] for share in (0, 60))
    towards_box = 0.4 * 0.5 + 0.6 * under_ink(_BARE, _BLACK / _WHITE, 1)[1]
    assert dark == pytest.approx(1000 * _WHITE / (1 - towards_box * 0.8), rel=1e-6)
    assert 0.85 < dark / bright < 0.95


def test_contrast_in_the_dark_is_the_ratio_of_the_transmittances() -> None:
    assert seen().values["lit.contrast_dark"] == pytest.approx(_WHITE / _BLACK, rel=1e-6)


@pytest.mark.parametrize("position", ["front", "both", "behind"])
def test_what_is_told_of_the_dark_is_of_the_very_light_that_is_told(position: str) -> None:
    """A panel in front throws light back onto the print, and pale ink returns more of it than dark ink."""
    panel = {"position": position, "transmittance_pct": 80, "reflectance_pct": 14}
    found, bare = seen(reading(), panel=panel), seen(reading())
    white, black = found.values["lit.white_cd_m2"], found.values["lit.black_cd_m2"]
    assert found.values["lit.contrast_dark"] == pytest.approx(white / black, rel=1e-9)
    if position != "behind":
        assert found.values["lit.contrast_dark"] > 1.04 * bare.values["lit.contrast_dark"]
    assert found.luminance is not None
    lightness = 116 * np.cbrt(found.luminance / white) - 16
    pale = found.luminance / white > 0.01
    assert found.lab[pale, 0] == pytest.approx(lightness[pale], abs=1e-6)
    dark_hall = seen(reading(), panel=panel, ambient_lx=0)
    assert dark_hall.values["lit.kept_pct"] == pytest.approx(100)


def test_a_panel_before_a_print_of_which_nothing_is_known_to_be_thrown_back_is_said_to_be_left_out() -> None:
    panel = {"position": "front", "transmittance_pct": 90}
    found = seen(film={"light": {"scattering": "diffusing"}}, panel=panel)
    assert any("the panel in front is left out of contrast" in each for each in found.assumed)
    assert "lit.contrast_dark" in found.values


def test_contrast_in_the_hall_counts_what_film_ink_and_box_throw_back() -> None:
    gain = 1 / (1 - 0.5 * 0.8)

    def reflectance(ink: float) -> float:
        face, towards_box = under_ink(_BARE, ink, 1)
        return face + (_WHITE * ink) ** 2 * _gain(towards_box)

    ink = _BLACK / _WHITE
    white = 1000 * _WHITE * gain + reflectance(1) * 500 / math.pi
    black = 1000 * _BLACK * gain + reflectance(ink) * 500 / math.pi
    values = seen().values
    assert values["lit.contrast"] == pytest.approx(white / black, rel=1e-6)
    assert values["lit.black_ambient_cd_m2"] == pytest.approx(black, rel=1e-6)
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


_CLEAR = {"light": {"transmittance_pct": 88, "reflectance_back_pct": 9, "scattering": "clear"}}
_TWO_FACES = [
    {"what": "colour", "load_pct": 150},
    {"what": "white", "load_pct": 60},
    {"what": "colour", "load_pct": 50},
]


def test_an_opal_panel_behind_spreads_the_light_for_a_clear_print() -> None:
    opal = {"position": "behind", "transmittance_pct": 47, "reflectance_pct": 44, "scattering": "diffusing"}
    assert not seen(film=_CLEAR, panel=opal).see_through


def test_white_throws_back_what_it_lets_not_through_but_for_what_the_material_swallows() -> None:
    found = seen(film=_CLEAR, mode={**_MODE, "layers": _TWO_FACES[:2]})
    assert not found.see_through
    back = 1 - _WHITE - 0.03
    assert found.values["lit.white_cd_m2"] == pytest.approx(1000 * _WHITE / (1 - back * 0.8), rel=1e-6)
    assert any("throws 57 % back" in each for each in found.assumed)


@pytest.mark.parametrize("side", ["first-surface", "second-surface"])
def test_ink_before_the_white_is_seen_by_day_on_whichever_side_of_a_clear_sheet_both_lie(side: str) -> None:
    found = seen(film=_CLEAR, lighting="dual", mode={"print_side": side, "layers": _TWO_FACES[:2]})
    black, towards_box = under_ink(_OF_WHITE, 0.01, 1)
    ratio = (black + (_WHITE * 0.01) ** 2 * _gain(towards_box)) / (0.57 + _WHITE**2 * _gain(0.57))
    assert found.values["lit.contrast_unlit"] == pytest.approx(1 / ratio, rel=1e-6)
    by_day = {each.name: each.lab_unlit for each in found.patches}["black"]
    assert by_day is not None
    assert by_day[0] == pytest.approx(116 * ratio ** (1 / 3) - 16, abs=1e-3)


def test_by_day_light_passes_only_the_ink_before_the_white() -> None:
    found = seen(film=_CLEAR, lighting="dual", mode={**_MODE, "layers": _TWO_FACES})
    black, towards_box = under_ink(_OF_WHITE, 0.01, 0.75)
    seen_black = black + (_WHITE * 0.01) ** 2 * _gain(towards_box)
    seen_white = 0.57 + _WHITE**2 * _gain(0.57)
    assert found.values["lit.contrast_unlit"] == pytest.approx(seen_white / seen_black, rel=1e-6)
    assert any("holds 75 % of the density" in each for each in found.assumed)


def test_white_before_all_ink_hides_it_by_day() -> None:
    layers = [_TWO_FACES[1], _TWO_FACES[0]]
    found = seen(film=_CLEAR, lighting="dual", mode={**_MODE, "layers": layers})
    assert all(each.lab_unlit is None for each in found.patches)
    assert "lit.gamut_volume_unlit" not in found.values


@pytest.mark.parametrize(
    ("film", "layers", "says"),
    [
        ({"light": {"scattering": "clear", "reflectance_back_pct": 9}}, "white", "light.transmittance_pct"),
        ({"light": {"scattering": "clear", "transmittance_pct": 88}}, "white", "reflectance_back_pct"),
        (_CLEAR, "block-out", "block-out layer throws back"),
        (
            {"light": {"transmittance_pct": 30, "reflectance_back_pct": 60, "scattering": "diffusing"}},
            "white",
            "the bare material 30 %: was its white layer there",
        ),
    ],
)
def test_white_or_block_out_of_which_too_little_is_known_leaves_luminances_untold(
    film: dict[str, Any], layers: str, says: str
) -> None:
    laid = [{"what": "colour", "load_pct": 160}, {"what": layers, "load_pct": 60}]
    found = seen(film=film, mode={**_MODE, "layers": laid})
    assert "lit.white_cd_m2" not in found.values
    assert any(says in each.why for each in found.unknown)


def test_ink_towards_the_lamps_makes_no_front_of_its_own() -> None:
    behind = seen(mode={**_MODE, "print_side": "second-surface"})
    assert all(each.lab_unlit is None for each in behind.patches)


def test_dual_work_is_told_by_day_with_the_lamps_off_too() -> None:
    found = seen(reading(), lighting="dual")
    assert 0 < found.values["lit.gamut_volume_unlit"] < found.values["lit.gamut_volume_dark"]
    assert "lit.gamut_volume_unlit" not in seen(reading()).values


def test_by_day_light_passes_the_ink_twice_and_panel_and_box_throw_back_too() -> None:
    panel = {"position": "front", "transmittance_pct": 90}
    found = {each.name: each.lab_unlit for each in seen(lighting="dual", panel=panel).patches}
    face, towards_box = under_ink(_BARE, 0.01, 1)
    white, black = 0.5 + _WHITE**2 * _gain(0.5), face + (_WHITE * 0.01) ** 2 * _gain(towards_box)
    white, black = (0.1 + 0.9**2 * each / (1 - 0.1 * each) for each in (white, black))
    assert found["black"] is not None
    assert found["black"][0] == pytest.approx(116 * (black / white) ** (1 / 3) - 16, abs=1e-3)


def test_in_a_hall_far_brighter_than_the_box_a_print_has_the_colours_that_it_throws_back() -> None:
    dim = WhatIf(lamp="D65", luminance_cd_m2=1e-6, ambient_lx=1e5)
    found = seen(reading(), lighting="dual", what_if=dim)
    assert found.values["lit.gamut_volume"] == pytest.approx(found.values["lit.gamut_volume_unlit"], rel=1e-6)
    for each in found.patches:
        assert each.lab_in_ambient == pytest.approx(each.lab_unlit, abs=1e-4)


def test_a_face_that_throws_nothing_back_has_no_colours_by_day() -> None:
    black = {"light": {"reflectance_back_pct": 0, "scattering": "diffusing"}}
    found = seen(film=black, lighting="dual", box_reflectance_pct=0)
    assert all(each.lab_unlit is None for each in found.patches)
    assert found.values["lit.white_cd_m2"] == pytest.approx(400)


def test_without_a_darker_patch_there_is_no_contrast() -> None:
    found = seen(flat_reading({"paper": ((0, 0, 0, 0), 0.4)}))
    assert not {"lit.black_cd_m2", "lit.contrast", "lit.contrast_dark"} & set(found.values)
    assert any("no patch darker than the unprinted" in each.why for each in found.unknown)


@pytest.mark.parametrize("read", [0.0, -0.002])
def test_a_black_that_reads_nothing_has_no_contrast_in_the_dark(read: float) -> None:
    found = seen(flat_reading({"paper": ((0, 0, 0, 0), 0.4), "K100": ((0, 0, 0, 100), read)}))
    assert not {"lit.kept_pct", "lit.contrast_dark"} & set(found.values)
    assert 0 < found.values["lit.contrast"] < 1000
    assert any("reads 0, blacker than was read" in each.why for each in found.unknown)


def test_a_black_below_what_instruments_tell_is_doubted() -> None:
    deep = {"paper": ((0, 0, 0, 0), 0.4), "K100": ((0, 0, 0, 100), 0.00005)}
    assert any("below 0.01 %" in each for each in seen(flat_reading(deep)).assumed)
    assert not any("below 0.01 %" in each for each in seen().assumed)


def test_what_is_not_recorded_of_the_material_is_said_to_be_assumed() -> None:
    found = seen(film={"light": {"reflectance_back_pct": 50}, "fabric": {"open_area_pct": 6}})
    assert any("light.scattering is not recorded" in each for each in found.assumed)
    assert any("6 % of it is holes" in each for each in found.assumed)


@pytest.mark.parametrize(("panel", "said"), [({}, True), ({"scattering": "diffusing"}, False)])
def test_that_a_clear_panel_in_front_mirrors_an_even_hall_is_said(
    panel: dict[str, str], *, said: bool
) -> None:
    found = seen(panel={"position": "front", "transmittance_pct": 92, **panel})
    assert any("the surroundings are evenly bright" in each for each in found.assumed) is said


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


def test_a_print_that_reads_lighter_than_its_film_is_taken_to_let_through_what_the_film_does() -> None:
    film = {"paper": ((0, 0, 0, 0), 0.3), "K100": ((0, 0, 0, 100), 0.004)}
    texts = (flat_reading(film | {"C100": ((100, 0, 0, 0), read)}) for read in (0.35, 0.3))
    lighter, same = (seen(text).luminance for text in texts)
    assert lighter is not None
    assert lighter == pytest.approx(same, rel=1e-9)


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


@pytest.mark.parametrize("geometry", ["transmission, 0:0", "transmission, 0°:0°", "regular transmission"])
def test_a_reading_straight_through_a_film_that_spreads_light_is_doubted(geometry: str) -> None:
    told = seen(flat_reading(_PATCHES, geometry)).assumed
    assert any("it was read straight through" in each for each in told)
    clear = {"light": {**_CLEAR["light"]}}
    behind = {"position": "behind", "transmittance_pct": 47, "reflectance_pct": 44, "scattering": "diffusing"}
    through_clear = seen(flat_reading(_PATCHES, geometry), film=clear, panel=behind)
    assert not any("straight through" in each for each in through_clear.assumed)


@pytest.mark.parametrize(
    "geometry", ["transmission, 0:d", "transmission, d:0", "transmission", "transmission, 10:0x"]
)
def test_a_reading_of_all_light_is_not_doubted(geometry: str) -> None:
    assert not any("straight" in each for each in seen(flat_reading(_PATCHES, geometry)).assumed)


def every(step_nm: int, name: str, first_nm: int) -> Source:
    """A published lamp as an instrument would hold it that reads at a few wavelengths only."""
    whole = source(name)
    grid = Grid(first_nm, first_nm + (780 - first_nm) // step_nm * step_nm, step_nm)
    return Source(name, grid, np.interp(grid.wavelengths_nm, whole.grid.wavelengths_nm, whole.power))


def test_a_lamp_read_every_20_nm_is_said_to_say_little_of_its_colour_temperature() -> None:
    """The bounds that are told hold for the CIE's lamps (CIE 15:2018) at every phase of 20 nm."""

    def off(name: str) -> float:
        def kelvin(lamp: Source) -> float:
            return cct_duv(xyz(np.ones((1, 41)), Grid(380, 780, 10), lamp)[0])[0]

        true = kelvin(source(name))
        return max(abs(kelvin(every(20, name, first)) / true - 1) for first in (380, 385, 390, 395))

    leds = [off(name) for name in SOURCE_NAMES if name.startswith("LED")]
    assert 0.055 < max(leds) < 0.065
    assert off("FL2") > 0.1
    document = {"title": "Box", "lighting": "backlit", "place": "indoor", **_OPEN}
    document["lamp"] = {"spectrum": "lamps.txt"}
    readings = print_of(_MODE, _FILM, read_cgats(flat_reading(_PATCHES).encode()), "read.txt")
    told = {
        step: appearance(
            scene_of("display", "a/b", document, {}, measured_lamp=every(step, "LED-B5", 380)), readings
        ).assumed
        for step in (10, 20)
    }
    assert any(
        "read every 20 nm: the colour temperature of an LED may be 6 % off" in each for each in told[20]
    )
    assert not any("colour temperature" in each for each in told[10])
