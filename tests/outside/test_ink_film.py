"""A measured cyan solid as an ink film at other loads, against colours found outside this project.

The film's transmittance at load k is (R_cyan/R_paper)^(k/2): half the reflection density for one passage. The
spectra are measured ones (`measured_solids` of `colour_references.json`, with their source); the colours were
computed from them by colour-science, against the lamp that shines through.
"""

import numpy as np
import pytest

from registry.light.difference import ciede2000
from registry.light.film import scaled
from registry.light.grid import Grid
from registry.light.lab import lab
from registry.light.sources import source
from registry.light.tristimulus import xyz
from tests.outside.published import published

GRID = Grid(380, 730, 10)
LIT = {
    (1.0, "D50"): (72.2025, -30.2027, -36.3481),
    (1.0, "LED-B3"): (69.9035, -26.0888, -40.3902),
    (1.7, "D50"): (60.3479, -36.1453, -49.1946),
    (1.7, "LED-B3"): (57.0213, -30.8185, -55.0536),
    (2.0, "D50"): (56.4394, -36.1717, -52.7967),
    (2.0, "LED-B3"): (52.8006, -30.4938, -59.21),
    (2.3, "D50"): (53.0389, -35.2194, -55.5898),
    (2.3, "LED-B3"): (49.1517, -29.2259, -62.4452),
}
"""Load over the front-lit load, lamp, and CIELAB against that lamp."""

NEAR = {"D50": 0.0002, "LED-B3": 0.05}
"""ΔE00. The two programs join the values of the LED's spectrum, 5 nm apart, in different ways."""


@pytest.mark.parametrize(("load", "lamp"), LIT)
def test_a_cyan_film_at_other_loads_has_the_colours_that_were_found_outside(load: float, lamp: str) -> None:
    patches = published("measured_solids")["patches"]
    film = np.sqrt(np.array(patches["C"]["reflectance"]) / np.array(patches["paper"]["reflectance"]))
    light = source(lamp)
    bare = np.ones(GRID.size)
    found = lab(xyz(scaled(film, bare, load), GRID, light), xyz(bare, GRID, light))
    assert float(ciede2000(found, LIT[load, lamp])) < NEAR[lamp]
