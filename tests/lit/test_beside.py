"""The same print in two places, and a front-lit print held before a lit box."""

import numpy as np
import pytest

from registry.light.adaptation import adapted
from registry.light.difference import ciede2000
from registry.light.double_pass import transmission_density
from registry.light.grid import Array
from registry.light.lab import lab
from registry.lit.beside import Beside, beside
from registry.lit.printed import Print, print_of
from registry.lit.scene import Scene, scene_of
from registry.lit.twin import twin
from registry.measurement import read_cgats
from registry.model.usual import repeatability
from tests.light.bounces import reflection_density
from tests.lit.lighted import BOX, flat_reading, reading

_MODE = {"layers": [{"what": "colour", "load_pct": 200}], "print_side": "first-surface"}


def place(illuminant: str | None) -> Scene:
    document = {"title": "Box", "lighting": "backlit", "place": "indoor", **BOX, "lamp": {}}
    if illuminant:
        document["lamp"] = {"illuminant": illuminant}
    return scene_of("display", "harbour-yard/box", document, {})


def printed(text: str) -> Print:
    return print_of(_MODE, {}, read_cgats(text.encode()), "read.txt", kinds=("transmission", "reflection"))


def told(here: str, there: str, text: str | None = None) -> Beside:
    found = beside(place(here), place(there), printed(text or reading()))
    assert found is not None
    return found


def test_a_print_looks_the_same_in_two_places_with_one_lamp() -> None:
    found = told("LED-B3", "LED-B3")
    assert found.white == pytest.approx(0)
    assert max(each.value for each in found.de00.values()) == pytest.approx(0, abs=1e-9)


def test_grey_keeps_its_look_under_any_lamp_once_the_eye_has_adapted() -> None:
    grey = flat_reading({"paper": ((0, 0, 0, 0), 0.4), "K100": ((0, 0, 0, 100), 0.05)})
    found = told("LED-B1", "LED-B5", grey)
    assert found.de00["black"].value == pytest.approx(0, abs=1e-9)
    assert found.white > 10


def test_colours_shift_more_the_farther_the_lamps_lie_apart() -> None:
    near, far = told("LED-B3", "LED-B2"), told("LED-B3", "LED-RGB1")
    assert (
        max(each.value for each in far.de00.values()) > max(each.value for each in near.de00.values()) > 0.5
    )
    assert near.de00["unprinted"].value == pytest.approx(0, abs=1e-9)


def test_how_well_a_shift_is_known_is_what_a_million_plain_draws_say() -> None:
    """One reading serves both places, so what it is off by is off in both."""
    here, there = place("LED-B3"), place("LED-RGB1")
    text = flat_reading({"paper": ((0, 0, 0, 0), 0.4), "C100": ((100, 0, 0, 0), 0.1)})
    spectra = np.linspace(0.05, 0.4, 36)
    film = printed(text)
    film.spectra[1] = spectra
    lamps = [each.lamp for each in (here, there) if each.lamp]
    whites, seen = ([film.under(each)[row] for each in lamps] for row in (0, 1))
    light, colour = repeatability(here.usual)
    rng = np.random.default_rng(8)

    def off() -> Array:
        answer: Array = 1 + rng.normal(0, light, (1_000_000, 1)) + rng.normal(0, colour, (1_000_000, 3))
        return answer

    turned = adapted(seen[1], whites[1], whites[0])
    patch, white = off(), off()
    shaken = [lab(each / whites[0] * patch / white, np.ones(3)) for each in (seen[0], turned)]
    low, high = np.quantile(ciede2000(*shaken), (0.025, 0.975))
    found = beside(here, there, film)
    assert found is not None
    known = found.de00["cyan"]
    assert (known.low, known.high) == pytest.approx((low, high), abs=0.05 * (high - low))
    assert known.low < known.value < known.high


def test_without_a_lamp_there_is_nothing_to_compare() -> None:
    assert beside(place(None), place("A"), printed(reading())) is None


def test_a_front_lit_black_lit_from_behind_is_what_the_double_pass_says() -> None:
    film, q = 0.7, 0.85 * 0.5963
    front = reflection_density(film, q)
    text = flat_reading(
        {"paper": ((0, 0, 0, 0), 0.85), "K100": ((0, 0, 0, 100), 0.85 * 10**-front)}, "reflection, 45:0"
    )
    found = twin(printed(text))
    assert found is not None
    assert found.front == pytest.approx(front, abs=1e-4)
    assert found.lit == pytest.approx(float(transmission_density(film, q)), abs=1e-3)
    assert 190 < found.load_pct < 200


@pytest.mark.parametrize("black", [0.0, 0.85, 0.9])
def test_a_print_without_a_black_that_can_be_told_has_no_twin(black: float) -> None:
    text = flat_reading({"paper": ((0, 0, 0, 0), 0.85), "K100": ((0, 0, 0, 100), black)}, "reflection, 45:0")
    assert twin(printed(text)) is None


def test_what_fluoresces_throws_back_all_at_the_most() -> None:
    text = flat_reading({"paper": ((0, 0, 0, 0), 1.05), "K100": ((0, 0, 0, 100), 0.0105)}, "reflection, 45:0")
    found = twin(printed(text))
    assert found is not None
    assert found.front == pytest.approx(2.0)
    assert 1 < found.lit < 2
