"""A lit face against numbers worked out by hand from published formulas.

Sources: luminance of a surface that spreads light evenly, ρE/π (Lambert's law, CIE 18.2-1983); reflections to
and fro between two diffusing surfaces (Kubelka, J. Opt. Soc. Am. 44 (1954) 330). The four cases of light
on the face were worked out beforehand from L = L_face·T + ρE/π and CR = (Lw + La)/(Lk + La).
"""

import numpy as np
import pytest

from registry.light.box import Box, contrast
from registry.light.stack import Layer

_WHITE, _BLACK = 500.0, 5.0


@pytest.mark.parametrize(
    ("illuminance", "share", "added", "ratio"),
    [
        (0, 0.05, 0.0, 100.0),
        (500, 0.05, 7.9577, 39.2011),
        (2000, 0.1, 63.662, 8.2092),
        (20000, 0.2, 1273.2395, 1.3873),
    ],
)
def test_hall_light_adds_and_takes_contrast_as_worked_out_by_hand(
    illuminance: float, share: float, added: float, ratio: float
) -> None:
    veil = float(Box(1000.0, 0.0).thrown_back(Layer(0.0, share, 0.0), illuminance))
    assert veil == pytest.approx(added, abs=5e-5)
    assert float(contrast(_WHITE + veil, _BLACK + veil)) == pytest.approx(ratio, abs=1e-4)


def test_the_gain_is_the_sum_of_the_reflections_to_and_fro() -> None:
    film, box = 0.55, 0.85
    series = sum((film * box) ** times for times in range(200))
    assert float(Box(1.0, box).gain(film)) == pytest.approx(series, rel=1e-12)


def test_tracing_single_rays_gives_the_luminance_of_film_and_panel_before_a_box() -> None:
    """An independent route: rays that go on or back by chance at every layer, 200,000 of them."""
    panel, film, box = (0.92, 0.08), (0.38, 0.55), 0.85
    drawn = np.random.default_rng(20261126)
    out = 0
    inside = np.full(200_000, 0)  # 0 towards the film in the box, 1 between film and panel outward, 2 inward
    while len(inside):
        chance = drawn.random(len(inside))
        in_box, outward, inward = (inside == place for place in range(3))
        passed_film = in_box & (chance < film[0])
        back_to_box = in_box & (chance >= film[0]) & (chance < sum(film))
        out += int((outward & (chance < panel[0])).sum())
        turned = outward & (chance >= panel[0])
        through_back = inward & (chance < film[0])
        bounced = inward & (chance >= film[0]) & (chance < sum(film))
        to_box = back_to_box | through_back
        returned = np.zeros(len(inside), dtype=bool)
        returned[to_box] = drawn.random(int(to_box.sum())) < box
        goes = [(returned, 0), (passed_film | bounced, 1), (turned, 2)]
        inside = np.concatenate([np.full(int(mask.sum()), place) for mask, place in goes])
    computed = float(
        Box(1.0, box).lit(Layer(panel[0], panel[1], panel[1]).over(Layer(film[0], film[1], film[1])))
    )
    assert out / 200_000 == pytest.approx(computed, abs=0.004)
