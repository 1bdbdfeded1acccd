"""A display's record as numbers: nothing counts twice, and what is unknown is said."""

from typing import Any

import pytest

from registry.light.sources import source
from registry.lit.panel import Panel
from registry.lit.scene import Scene, WhatIf, scene_of
from tests.lit.lighted import BOX

_PLACE = {"title": "Box", "lighting": "backlit", "place": "indoor"}


def scene(*, what_if: WhatIf | None = None, application: dict[str, Any] | None = None, **said: Any) -> Scene:
    document = {name: value for name, value in {**_PLACE, **BOX, **said}.items() if value is not None}
    return scene_of("display", "harbour-yard/box", document, application or {}, what_if=what_if)


def test_a_face_read_through_its_panel_shows_the_same_once_the_panel_hangs_again() -> None:
    found = scene()
    assert found.box is not None
    assert found.front is not None
    assert float(found.box.lit(found.front)) == pytest.approx(8800 / 9)


def test_a_face_read_with_nothing_before_it_is_the_open_box() -> None:
    luminance = {**BOX["luminance"], "through": "nothing"}
    found = scene(luminance=luminance)
    assert found.box is not None
    assert float(found.box.luminance_cd_m2) == pytest.approx(8800 / 9)


def test_a_panel_behind_the_print_is_part_of_the_box() -> None:
    panel = {"position": "behind", "transmittance_pct": 47, "reflectance_pct": 44, "scattering": "diffusing"}
    found = scene(panel=panel)
    assert found.box is not None
    assert found.front is None
    assert found.diffuse
    assert float(found.box.luminance_cd_m2) == pytest.approx(8800 / 9)
    assert found.box.reflectance == pytest.approx(0.44 + 0.47**2 * 0.85 / (1 - 0.44 * 0.85))


def test_a_panel_behind_of_unknown_transmittance_stays_as_it_was_read() -> None:
    found = scene(panel={"position": "behind"})
    assert found.box is not None
    assert (float(found.box.luminance_cd_m2), found.box.reflectance) == pytest.approx((8800 / 9, 0.85))
    assert any("as one" in each for each in found.assumed)


def test_panels_on_both_sides_that_a_face_was_read_through_count_once_each() -> None:
    found = scene(panel={"position": "both", "transmittance_pct": 92})
    assert found.box is not None
    assert found.front is not None
    assert float(found.box.lit(found.front)) == pytest.approx(8800 / 9)
    assert found.box.reflectance == pytest.approx(0.08 + 0.92**2 * 0.85 / (1 - 0.08 * 0.85))


@pytest.mark.parametrize("through", ["nothing", "panel"])
@pytest.mark.parametrize(
    ("panel", "says"),
    [
        ({"position": "front"}, "which is not recorded"),
        ({"position": "front", "transmittance_pct": 0}, "recorded as 0 %"),
        ({"position": "both"}, "which is not recorded"),
        ({"position": "front", "transmittance_pct": 70, "reflectance_pct": 60}, "add up to 130 %"),
    ],
)
def test_a_panel_that_is_not_known_leaves_the_luminance_unknown(
    panel: dict[str, Any], says: str, through: str
) -> None:
    found = scene(panel=panel, luminance={**BOX["luminance"], "through": through})
    assert found.box is None
    assert any(says in each for each in found.unknown)


def test_a_panel_behind_that_lets_nothing_through_is_no_box() -> None:
    luminance = {**BOX["luminance"], "through": "nothing"}
    found = scene(panel={"position": "behind", "transmittance_pct": 0}, luminance=luminance)
    assert found.box is None
    assert any("recorded as 0 %" in each for each in found.unknown)


@pytest.mark.parametrize("panel", [None, {"position": "none"}])
def test_a_face_read_through_a_panel_that_nobody_recorded_is_unknown(panel: dict[str, Any] | None) -> None:
    found = scene(panel=panel)
    assert found.box is None
    assert any("none is recorded (panel)" in each for each in found.unknown)


def test_a_face_without_a_panel_was_read_through_none_whatever_is_tried() -> None:
    luminance = {name: value for name, value in BOX["luminance"].items() if name != "through"}
    tried = WhatIf(panel=Panel("front", 0.9))
    found = scene(panel={"position": "none"}, luminance=luminance, what_if=tried)
    assert found.box is not None
    assert float(found.box.luminance_cd_m2) == pytest.approx(8800 / 9)


def test_an_applications_luminance_was_read_through_its_own_panel() -> None:
    own = {"position": "front", "transmittance_pct": 50, "reflectance_pct": 10}
    inherited = {"luminance": BOX["luminance"], "panel": {"position": "front", "transmittance_pct": 92}}
    found = scene(luminance=None, panel=own, application=inherited)
    assert found.box is not None
    assert float(found.box.luminance_cd_m2) == pytest.approx(8800 / 9 * (1 - 0.08 * 0.85) / 0.92)
    assert found.front is not None
    assert float(found.front.transmittance) == 0.5


@pytest.mark.parametrize(
    ("panel", "spreads"),
    [
        ({"transmittance_pct": 47, "scattering": "diffusing"}, True),
        ({"transmittance_pct": 47, "reflectance_pct": 40}, True),
        ({"transmittance_pct": 47, "reflectance_pct": 40, "scattering": "clear"}, False),
        ({"transmittance_pct": 47, "reflectance_pct": 10}, False),
        ({"transmittance_pct": 92}, False),
    ],
)
def test_a_panel_that_throws_back_more_than_clear_surfaces_do_spreads_light(
    panel: dict[str, Any], *, spreads: bool
) -> None:
    assert scene(panel={"position": "behind", **panel}).diffuse is spreads


@pytest.mark.parametrize(("transmittance_pct", "said"), [(92, False), (60, True)])
def test_that_a_dark_panel_absorbs_nothing_is_said(transmittance_pct: float, *, said: bool) -> None:
    found = scene(panel={"position": "front", "transmittance_pct": transmittance_pct})
    tried = scene(what_if=WhatIf(panel=Panel("behind", transmittance_pct / 100)))
    for each in (found, tried):
        assert any("absorbs nothing, so it throws" in words for words in each.assumed) is said


def test_a_box_that_throws_all_back_is_taken_as_nearly_so() -> None:
    found = scene(box_reflectance_pct=100)
    assert found.box is not None
    assert found.box.reflectance == pytest.approx(0.999)
    assert any("taken as 99.9" in each for each in found.assumed)


@pytest.mark.parametrize(
    ("without", "says"),
    [
        ({"luminance": None}, "luminance.points_cd_m2"),
        ({"luminance": {**BOX["luminance"], "through": None}}, "luminance.through"),
        ({"lamp": None}, "lamp.illuminant"),
        ({"ambient_lx": None}, "ambient_lx"),
        ({"panel": {"position": "front"}}, "panel.transmittance_pct"),
    ],
)
def test_what_is_not_recorded_is_said_with_what_to_record(without: dict[str, Any], says: str) -> None:
    luminance = without.get("luminance")
    if luminance:
        without = {"luminance": {name: value for name, value in luminance.items() if value is not None}}
    assert any(says in each for each in scene(**without).unknown)


def test_a_display_takes_from_its_application_what_it_does_not_say_itself() -> None:
    found = scene(ambient_lx=None, application={"ambient_lx": 250})
    assert found.ambient_lx == 250


def test_a_measured_lamp_goes_before_the_illuminant() -> None:
    measured = source("FL11")
    document = {**_PLACE, **BOX, "lamp": {"illuminant": "LED-B3", "spectrum": "tubes.txt"}}
    found = scene_of("display", "harbour-yard/box", document, {}, measured_lamp=measured)
    assert found.lamp is measured
    assert found.lamp_words == "measured: tubes.txt"


def test_a_measured_lamp_that_is_not_at_hand_is_said() -> None:
    found = scene(lamp={"illuminant": "LED-B3", "spectrum": "tubes.txt"})
    assert any("tubes.txt could not be read" in each for each in found.assumed)


def test_a_measured_lamp_that_is_not_at_hand_and_no_illuminant_leave_the_lamp_unknown() -> None:
    found = scene(lamp={"spectrum": "tubes.txt"})
    assert found.lamp is None
    assert any(each.startswith("the measured lamp tubes.txt could not be read") for each in found.unknown)


def test_what_is_tried_stands_in_for_what_is_recorded() -> None:
    tried = WhatIf(lamp="A", ambient_lx=0, luminance_cd_m2=500, panel=Panel("none"))
    found = scene(what_if=tried)
    assert found.lamp is not None
    assert (found.lamp.name, found.ambient_lx, found.front) == ("A", 0, None)
    assert found.box is not None
    assert float(found.box.luminance_cd_m2) == 500


def test_another_panel_takes_the_place_of_the_one_that_was_read_through() -> None:
    found = scene(what_if=WhatIf(panel=Panel("none")))
    as_recorded = scene()
    assert found.box is not None
    assert as_recorded.box is not None
    assert found.box.luminance_cd_m2 == as_recorded.box.luminance_cd_m2
    assert found.front is None


def test_a_window_with_a_tried_luminance_throws_nothing_back() -> None:
    found = scene(box_reflectance_pct=None, luminance=None, what_if=WhatIf(luminance_cd_m2=2000))
    assert found.box is not None
    assert found.box.reflectance == 0
    assert any("throws nothing back" in each for each in found.assumed)
