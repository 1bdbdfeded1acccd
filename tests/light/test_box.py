import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from registry.light.box import Box, clear_panel, kept_in_ambient, unevenness
from registry.light.inked import inked
from registry.light.stack import Layer

_FILM = Layer(0.38, 0.5, 0.55)
_PANEL = Layer(0.92, 0.06, 0.06)
_shares = st.floats(0.02, 0.95)


def test_a_face_read_through_its_panel_looks_the_same_with_that_panel_before_it() -> None:
    box = Box.measured(900.0, 0.85, _PANEL)
    assert float(box.lit(_PANEL)) == pytest.approx(900.0)


def test_a_panel_behind_the_print_becomes_part_of_the_box() -> None:
    box = Box(1000.0, 0.8)
    once = float(box.lit(_FILM.over(_PANEL)))
    assert float(box.behind(_PANEL).lit(_FILM)) == pytest.approx(once)


def test_a_box_that_throws_nothing_back_lights_by_the_product_of_the_transmittances() -> None:
    box = Box(1000.0, 0.0)
    assert float(box.lit(_FILM)) == pytest.approx(380.0)


def test_the_whole_face_decides_how_bright_the_box_is_inside() -> None:
    box = Box(1000.0, 0.8)
    alone = float(box.lit(_FILM))
    in_a_dark_image = float(box.lit(_FILM, mean_back_reflectance=0.1))
    assert in_a_dark_image == pytest.approx(alone * (1 - 0.55 * 0.8) / (1 - 0.1 * 0.8))


@given(_shares, st.floats(0.0, 0.9), st.floats(1, 5000), st.floats(1, 5000))
def test_contrast_falls_as_the_halls_light_rises(
    transmittance: float, box_share: float, first: float, second: float
) -> None:
    less, more = sorted((first, second))
    film = Layer(transmittance, (1 - transmittance) * 0.9, (1 - transmittance) * 0.9)
    print_layer = inked(film, np.array([1.0, 0.01]))
    box = Box(1000.0, box_share)
    white, black = box.lit(print_layer, float(film.back_reflectance))

    def ratio(illuminance: float) -> float:
        veil = box.thrown_back(print_layer, illuminance)
        return float((white + veil[0]) / (black + veil[1]))

    assert ratio(more) <= ratio(less) * (1 + 1e-12)
    assert ratio(less) <= white / black * (1 + 1e-12)


@given(_shares, _shares, st.floats(0.0, 0.99))
def test_no_face_is_brighter_than_the_light_that_the_box_makes(
    transmittance: float, share: float, box_share: float
) -> None:
    """What leaves the face and what the box swallows add up to what the lamps give."""
    back = share * (1 - transmittance)
    lit = float(Box(1.0, box_share).lit(Layer(transmittance, back, back)))
    inside = lit / transmittance
    swallowed = inside * back * (1 - box_share) + inside * (1 - transmittance - back)
    assert lit + swallowed == pytest.approx(1.0)


def test_a_panel_whose_reflectance_is_unknown_absorbs_nothing() -> None:
    panel = clear_panel(0.92)
    assert (panel.transmittance, panel.front_reflectance) == pytest.approx((0.92, 0.08))


@pytest.mark.parametrize(
    ("luminance", "share"), [(0.0, 0.5), (-1.0, 0.5), (100.0, 1.0), (100.0, -0.1), (float("nan"), 0.5)]
)
def test_a_box_that_cannot_be_is_refused(luminance: float, share: float) -> None:
    with pytest.raises(ValueError, match="box"):
        Box(luminance, share)


def test_light_below_nothing_is_refused() -> None:
    with pytest.raises(ValueError, match="0 lx or more"):
        Box(100.0, 0.5).thrown_back(_FILM, -1)


def test_nothing_is_kept_of_a_print_without_contrast() -> None:
    assert kept_in_ambient(1.0, 1.0) == 0.0


def test_nine_points_give_the_darkest_over_the_brightest() -> None:
    even = unevenness(np.array([1085, 1130, 1095, 1140, 1195, 1145, 1070, 1120, 1080.0]))
    assert (even.least, even.most, round(even.mean, 1), round(even.ratio, 3)) == (1070, 1195, 1117.8, 0.895)
