"""Gamuts: volumes and shares of bodies that are known exactly, and what encloses nothing."""

import itertools

import numpy as np
import pytest
from hypothesis import given, reject, settings
from hypothesis import strategies as st

from registry.light.gamut import Gamut, GamutError


def box(low: tuple[float, float, float], high: tuple[float, float, float]) -> Gamut:
    return Gamut(np.array(list(itertools.product(*zip(low, high, strict=True)))))


CUBE = box((40, 0, 0), (50, 10, 10))


@st.composite
def gamuts(draw: st.DrawFn) -> Gamut:
    """A body of noise, of any size down to a few ΔE, anywhere."""
    noise = np.random.default_rng(draw(st.integers(0, 2**32 - 1)))
    middle = noise.uniform((30, -40, -40), (70, 40, 40))
    points = middle + draw(st.floats(1, 60)) * noise.standard_normal((draw(st.integers(4, 40)), 3))
    try:
        return Gamut(points)
    except GamutError:  # four points may lie nearly in one plane
        reject()


@settings(max_examples=40)
@given(gamuts())
def test_a_gamut_holds_all_of_itself(gamut: Gamut) -> None:
    assert gamut.share_of(gamut) == pytest.approx(1, abs=1e-6)


@settings(max_examples=40)
@given(gamuts(), gamuts())
def test_a_share_is_no_more_than_all_and_no_less_than_nothing(one: Gamut, other: Gamut) -> None:
    assert 0 <= one.share_of(other) <= 1


@settings(max_examples=40)
@given(gamuts(), gamuts())
def test_both_shares_are_of_the_same_common_body(one: Gamut, other: Gamut) -> None:
    common = one.share_of(other) * other.volume
    assert other.share_of(one) * one.volume == pytest.approx(common, rel=1e-6, abs=1e-6)
    assert common <= min(one.volume, other.volume) * (1 + 1e-6)


@settings(max_examples=20)
@given(gamuts(), gamuts())
def test_random_colours_find_the_same_share(one: Gamut, other: Gamut) -> None:
    corners = other.boundary.reshape(-1, 3)
    colours = np.random.default_rng(1).uniform(corners.min(axis=0), corners.max(axis=0), (40_000, 3))
    held = one.holds(colours[other.holds(colours)])
    share = one.share_of(other)
    spread = np.sqrt(share * (1 - share) / len(held)) + 1 / len(held)
    assert held.mean() == pytest.approx(share, abs=5 * spread)


@settings(max_examples=40)
@given(gamuts(), st.floats(0.1, 0.9))
def test_a_gamut_shrunk_within_itself_is_held_whole(gamut: Gamut, factor: float) -> None:
    corners = gamut.boundary.reshape(-1, 3)
    middle = corners.mean(axis=0)
    smaller = Gamut(middle + factor * (corners - middle))
    assert gamut.share_of(smaller) == pytest.approx(1, abs=1e-6)
    assert smaller.share_of(gamut) == pytest.approx(factor**3, rel=1e-6)


@given(gamuts(), st.floats(0.01, 0.99))
def test_a_slice_is_the_outline_of_what_is_held_at_its_lightness(gamut: Gamut, way: float) -> None:
    low, high = gamut.boundary[..., 0].min(), gamut.boundary[..., 0].max()
    lightness = low + way * (high - low)
    outline = gamut.slice(lightness)
    middle = outline.mean(axis=0)

    def held(scale: float) -> list[bool]:
        at = middle + scale * (outline - middle)
        return [bool(each) for each in gamut.holds(np.c_[np.full(len(at), lightness), at])]

    assert all(held(1 - 1e-6))
    # A slip of a slice, all within rounding, has no outside to speak of.
    if np.ptp(outline, axis=0).min() > 1e-3:
        assert not any(held(1 + 1e-3))


def test_a_cube_has_its_volume_and_its_surface() -> None:
    assert CUBE.volume == pytest.approx(1000)
    assert CUBE.boundary.shape == (12, 3, 3)
    across = np.cross(CUBE.boundary[:, 1] - CUBE.boundary[:, 0], CUBE.boundary[:, 2] - CUBE.boundary[:, 0])
    assert np.linalg.norm(across, axis=1).sum() / 2 == pytest.approx(600)
    outwards = np.sum(across * (CUBE.boundary.mean(axis=1) - (45, 5, 5)), axis=1)
    assert (outwards > 0).all()


def test_what_is_held_and_what_is_not() -> None:
    colours = np.array([[[45, 5, 5], [40, 0, 0]], [[39.99, 5, 5], [45, 5, 10.01]]])
    assert CUBE.holds(colours).tolist() == [[True, True], [False, False]]
    assert bool(CUBE.holds([45, 5, 5])) is True


def test_shares_of_bodies_that_are_known() -> None:
    assert CUBE.share_of(box((45, 5, 5), (55, 15, 15))) == pytest.approx(1 / 8)
    assert CUBE.share_of(box((30, -10, -10), (60, 20, 20))) == pytest.approx(1 / 27)
    assert box((30, -10, -10), (60, 20, 20)).share_of(CUBE) == pytest.approx(1)
    assert CUBE.share_of(box((60, 0, 0), (70, 10, 10))) == 0
    assert CUBE.share_of(box((50, 0, 0), (60, 10, 10))) == 0, "they touch, and have no body in common"


def test_a_slice_of_a_cube_is_a_square_seen_anticlockwise() -> None:
    outline = CUBE.slice(45)
    x, y = outline.T
    assert 0.5 * np.sum(x * np.roll(y, -1) - y * np.roll(x, -1)) == pytest.approx(100)
    assert {(0, 0), (10, 0), (10, 10), (0, 10)} <= {tuple(each) for each in outline.tolist()}


def test_a_slice_above_or_below_is_empty_and_one_at_the_top_is_the_top() -> None:
    assert CUBE.slice(50.1).shape == CUBE.slice(39).shape == (0, 2)
    assert sorted(map(tuple, CUBE.slice(50).tolist())) == [(0, 0), (0, 10), (10, 0), (10, 10)]
    assert Gamut([[0, 0, 0], [50, 10, 0], [50, 0, 10], [50, -10, -10]]).slice(0).tolist() == [[0, 0]]


def test_a_hollow_gamut_is_overstated() -> None:
    # The cube with a pit down to its middle: the hull closes over it, as the docstring says.
    hollow = np.array([*itertools.product((40, 50), (0, 10), (0, 10)), (45, 5, 5)])
    assert Gamut(hollow).volume == pytest.approx(1000)


@pytest.mark.parametrize(
    ("points", "said"),
    [
        ([[50, 0, 0]] * 3, "a body needs four colours or more, not 3"),
        ([[50, 0]] * 5, "colours are rows of L*, a*, b*, not shape (5, 2)"),
        ([[50, 0, float("nan")]] * 5, "a colour has a value that is no number"),
        ([[50, 0, 0]] * 5, "the colours lie in one plane and enclose nothing"),
        (
            [[50, 10, 0], [50, 0, 10], [50, -10, 0], [50, 0, -10], [50, 5, 5]],
            "the colours lie in one plane and enclose nothing",
        ),
        ([[lightness, 1, 2] for lightness in range(9)], "the colours lie in one plane and enclose nothing"),
    ],
    ids=["three", "no lab", "no number", "one colour", "a plane", "a line"],
)
def test_what_encloses_nothing_is_refused(points: list[list[float]], said: str) -> None:
    with pytest.raises(GamutError) as refusal:
        Gamut(points)
    assert str(refusal.value) == said
