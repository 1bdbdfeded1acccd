"""A display's record as numbers: nothing counts twice, and what is unknown is said."""

from typing import Any

import pytest

from registry.light.sources import source
from registry.lit.scene import Panel, Scene, WhatIf, scene_of
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


def test_panels_on_both_sides_count_once_each() -> None:
    found = scene(panel={"position": "both", "transmittance_pct": 92})
    assert found.box is not None
    assert found.front is not None
    assert found.box.reflectance != 0.85


@pytest.mark.parametrize(
    ("without", "says"),
    [
        ({"luminance": None}, "luminance.points_cd_m2"),
        ({"luminance": {**BOX["luminance"], "through": None}}, "luminance.through"),
        ({"box_reflectance_pct": None}, "box_reflectance_pct"),
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
    assert found.hall_lx == 250


def test_a_measured_lamp_goes_before_the_illuminant() -> None:
    measured = source("FL11")
    document = {**_PLACE, **BOX, "lamp": {"illuminant": "LED-B3", "spectrum": "tubes.txt"}}
    found = scene_of("display", "harbour-yard/box", document, {}, measured_lamp=measured)
    assert found.lamp is measured
    assert found.lamp_words == "measured: tubes.txt"


def test_a_measured_lamp_that_is_not_at_hand_is_said() -> None:
    found = scene(lamp={"illuminant": "LED-B3", "spectrum": "tubes.txt"})
    assert any("tubes.txt could not be read" in each for each in found.assumed)


def test_what_is_tried_stands_in_for_what_is_recorded() -> None:
    tried = WhatIf(lamp="A", ambient_lx=0, luminance_cd_m2=500, panel=Panel("none"))
    found = scene(what_if=tried)
    assert found.lamp is not None
    assert (found.lamp.name, found.hall_lx, found.front) == ("A", 0, None)
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
