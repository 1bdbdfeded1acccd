"""Layers laid upon another: order, energy, and what a layer may not be."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from registry.light.stack import Layer

MORE = "add up to at most 1, not 1.1: a layer gives back no more light than it gets"
SHARES = st.floats(0, 1, allow_nan=False)


@st.composite
def layers(draw: st.DrawFn) -> Layer:
    """Any layer that gives back no more than it gets."""
    through = draw(SHARES)
    front, back = draw(SHARES) * (1 - through), draw(SHARES) * (1 - through)
    return Layer(through, front, back)


def faces(layer: Layer) -> tuple[float, float, float]:
    return float(layer.transmittance), float(layer.front_reflectance), float(layer.back_reflectance)


@given(layers(), layers(), layers())
def test_it_does_not_matter_which_two_of_three_layers_are_laid_first(a: Layer, b: Layer, c: Layer) -> None:
    assert faces(a.over(b).over(c)) == pytest.approx(faces(a.over(b.over(c))), abs=1e-9)


@given(layers(), layers())
def test_a_stack_lets_through_as_much_from_either_side(a: Layer, b: Layer) -> None:
    turned = [Layer(layer.transmittance, layer.back_reflectance, layer.front_reflectance) for layer in (b, a)]
    through, front, back = faces(a.over(b))
    assert faces(turned[0].over(turned[1])) == pytest.approx((through, back, front), abs=1e-12)


@given(layers(), layers())
def test_a_stack_gives_back_no_more_light_than_it_gets(a: Layer, b: Layer) -> None:
    through, front, back = faces(a.over(b))
    assert through + front <= 1 + 1e-12
    assert through + back <= 1 + 1e-12
    assert through <= min(float(a.transmittance), float(b.transmittance)) + 1e-12


@given(SHARES, SHARES)
def test_layers_that_absorb_nothing_absorb_nothing_together(first: float, second: float) -> None:
    through, front, back = faces(
        Layer(first, 1 - first, 1 - first).over(Layer(second, 1 - second, 1 - second))
    )
    if first or second:
        assert through + front == pytest.approx(1, abs=1e-9)
        assert through + back == pytest.approx(1, abs=1e-9)


@given(layers())
def test_nothing_at_all_is_a_clear_layer_that_throws_nothing_back(layer: Layer) -> None:
    clear = Layer(1.0, 0.0, 0.0)
    assert faces(clear.over(layer)) == faces(layer)
    assert faces(layer.over(clear)) == faces(layer)


def test_the_order_of_layers_shows_in_what_the_viewer_sees() -> None:
    white, black = Layer(0.3, 0.6, 0.6), Layer(0.3, 0.1, 0.1)
    assert float(white.over(black).front_reflectance) > 0.6
    assert float(black.over(white).front_reflectance) < 0.2
    assert white.over(black).transmittance == black.over(white).transmittance


def test_a_spectrum_is_stacked_band_by_band() -> None:
    bands = np.array([0.1, 0.4, 0.4])
    white = Layer(np.array([0.2, 0.4, 0.0]), np.array([0.5, 0.5, 1.0]), 0.5)
    both = Layer(bands, 0.3, 0.3).over(white)
    for band, through in enumerate(bands):
        single = Layer(through, 0.3, 0.3).over(
            Layer(white.transmittance[band], white.front_reflectance[band], 0.5)  # type: ignore[index]
        )
        assert np.asarray(both.front_reflectance)[band] == single.front_reflectance


@pytest.mark.parametrize(
    ("given_as", "said"),
    [
        ((1.2, 0.0, 0.0), "transmittance is a fraction, 0 to 1, not 1.2"),
        ((0.5, -0.1, 0.0), "front reflectance is a fraction, 0 to 1, not -0.1"),
        ((0.5, 0.1, float("nan")), "back reflectance is a fraction, 0 to 1, not nan"),
        ((38.0, 0.1, 0.1), "transmittance is a fraction, 0 to 1, not 38"),
        (
            (0.5, 0.6, 0.1),
            f"transmittance and front reflectance {MORE}",
        ),
        (
            (0.5, 0.1, 0.6),
            f"transmittance and back reflectance {MORE}",
        ),
    ],
)
def test_what_can_be_no_layer_is_refused(given_as: tuple[float, float, float], said: str) -> None:
    with pytest.raises(ValueError) as refusal:
        Layer(*given_as)
    assert str(refusal.value) == said


def test_the_worst_of_many_values_is_named() -> None:
    with pytest.raises(ValueError) as refusal:
        Layer(np.array([0.2, 1.01, 3.5]), 0.0, 0.0)
    assert str(refusal.value) == "transmittance is a fraction, 0 to 1, not 3.5"
