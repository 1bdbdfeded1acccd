"""Ink upon what spreads light, against photons followed one by one and light followed bounce by bounce."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from registry.light.box import Box
from registry.light.inked import inked
from registry.light.stack import Layer
from tests.light.bounces import under_ink
from tests.light.photons import Slab, walk

_FILM = Layer(0.38, 0.5, 0.55)
_shares = st.floats(0.02, 0.95)
PASSAGES = (0.02, 0.3, 0.6, 0.85)
SLABS = {
    "thin": Slab(2, 0.995),
    "usual": Slab(3, 0.997),
    "thick": Slab(9, 0.999),
    "grey": Slab(4, 0.98),
    "scattering forward": Slab(15, 0.999, forward=0.8),
}


@pytest.mark.parametrize("slab", SLABS.values(), ids=SLABS.keys())
def test_ink_does_to_a_film_what_it_does_to_photons(slab: Slab) -> None:
    photons = 60_000
    bare, front = walk(slab, photons, 1), walk(slab, photons, 2, on_front=True)
    film = Layer(bare.through, front.back, bare.back)
    evenly = walk(slab, photons, 3, diffuse=True).back
    for seed, passage in enumerate(PASSAGES, 10):
        through = walk(slab, photons, seed, ink=passage).through
        found = inked(film, np.array([through / bare.through]))
        seen = walk(slab, photons, seed + 20, ink=passage, on_front=True).back
        assert float(np.asarray(found.front_reflectance)[0]) == pytest.approx(seen, abs=0.025)
        taken = evenly - walk(slab, photons, seed + 40, ink=passage, diffuse=True).back
        told = film.back_reflectance - float(np.asarray(found.back_reflectance)[0])
        assert told == pytest.approx(taken, abs=0.02)


def test_a_dark_print_on_the_viewers_face_darkens_its_box() -> None:
    """By about a tenth for an image that is mostly dark; counting the ink's own face alone says nothing."""
    slab, photons = SLABS["usual"], 100_000
    bare, front = walk(slab, photons, 1), walk(slab, photons, 2, on_front=True)
    black = walk(slab, photons, 3, ink=0.02, diffuse=True).back / walk(slab, photons, 4, diffuse=True).back
    film, box = Layer(bare.through, front.back, bare.back), Box(1000.0, 0.85)
    backs = np.asarray(inked(film, np.array([1.0, 0.01])).back_reflectance)
    shares = (0.4 * backs[0] + 0.6 * backs[1], bare.back * (0.4 + 0.6 * black))
    told, counted = (float(box.gain(share) / box.gain(bare.back)) for share in shares)
    assert 0.88 < told < 0.93
    assert told == pytest.approx(counted, abs=0.015)


@given(_shares, _shares, _shares, st.floats(1e-4, 1), st.sampled_from([0.0, 0.25, 0.5, 1.0]))
def test_light_followed_bounce_by_bounce_comes_to_the_same(
    through: float, front: float, back: float, ink: float, in_front: float
) -> None:
    film = Layer(through, front * (1 - through), back * (1 - through))
    found = inked(film, np.array([1.0, ink]), in_front=in_front)
    expected = under_ink(film, ink, in_front)
    assert float(np.asarray(found.transmittance)[1]) == pytest.approx(through * ink, rel=1e-6)
    faces = (found.front_reflectance, found.back_reflectance)
    told = [float(np.broadcast_to(face, (2,))[1]) for face in faces]
    assert told == pytest.approx(expected, abs=1e-6)
    bare = [float(np.broadcast_to(face, (2,))[0]) for face in faces]
    assert bare == pytest.approx([film.front_reflectance, film.back_reflectance], abs=1e-9)


@given(_shares, _shares, _shares, st.floats(0, 1))
def test_more_ink_lets_less_through_and_throws_less_back(
    through: float, front: float, back: float, in_front: float
) -> None:
    """Strictly of what spreads light and absorbs little; of any film within what the model is good to."""
    film = Layer(through, front * (1 - through), back * (1 - through))
    layer = inked(film, np.geomspace(1, 1e-3, 12), in_front=in_front)
    usual = through <= 0.6 and min(front, back) >= 0.7
    assert (np.diff(layer.transmittance) <= 1e-9).all()
    for face in (layer.front_reflectance, layer.back_reflectance):
        assert (face - np.minimum.accumulate(face) <= (1e-9 if usual else 0.02)).all()


def test_ink_on_either_face_does_the_same_from_either_side() -> None:
    ink = np.array([1.0, 0.1])
    one, other = inked(_FILM, ink), inked(Layer(0.38, 0.55, 0.5), ink, in_front=0)
    assert np.allclose(one.front_reflectance, other.back_reflectance)
    assert np.allclose(one.back_reflectance, other.front_reflectance)


def test_a_film_that_throws_back_less_than_a_surface_is_not_brightened_by_its_ink() -> None:
    """A grey film of 2 %: no ink takes away what it throws back, and none adds to it."""
    layer = inked(Layer(0.3, 0.02, 0.02), np.array([1.0, 0.5, 0.01]), in_front=0.5)
    for face in (layer.front_reflectance, layer.back_reflectance):
        assert np.asarray(face).tolist() == pytest.approx([0.02] * 3)
