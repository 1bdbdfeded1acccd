import pytest
from hypothesis import given
from hypothesis import strategies as st

from registry.light.stack import Layer
from registry.lit.scene import Scene, scene_of
from registry.lit.target import density_for_contrast
from tests.lit.lighted import BOX

_FILM = Layer(0.38, 0.55, 0.55)


def place(**said: object) -> Scene:
    document = {"title": "Box", "lighting": "backlit", "place": "indoor", **BOX, **said}
    return scene_of("display", "harbour-yard/box", document, {})


def test_in_the_dark_the_density_is_the_logarithm_of_the_contrast() -> None:
    bare = {"panel": {"position": "none"}, "luminance": {**BOX["luminance"], "through": "nothing"}}
    assert density_for_contrast(place(ambient_lx=0, **bare), _FILM, 100) == pytest.approx(2.0, abs=1e-3)


@given(st.floats(15, 60))  # below what the print throws back by itself, more light helps
def test_more_light_in_the_hall_asks_for_a_deeper_black(wanted: float) -> None:
    dim, bright = (density_for_contrast(place(ambient_lx=lux), _FILM, wanted) for lux in (50, 800))
    assert dim is not None
    assert bright is None or bright >= dim


def test_a_contrast_that_the_hall_alone_forbids_has_no_density() -> None:
    assert density_for_contrast(place(ambient_lx=100000), _FILM, 50) is None


def test_a_place_without_its_hall_is_refused() -> None:
    document = {name: value for name, value in BOX.items() if name != "ambient_lx"}
    scene = scene_of(
        "display", "b/c", {"title": "Box", "lighting": "backlit", "place": "indoor", **document}, {}
    )
    with pytest.raises(ValueError, match="ambient_lx"):
        density_for_contrast(scene, _FILM, 10)


def test_a_contrast_of_nothing_is_refused() -> None:
    with pytest.raises(ValueError, match="above 1"):
        density_for_contrast(place(), _FILM, 1)
