"""The load to start from: the same black as on the relative, the same ink as on the other printer."""

import math
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from registry.nearest.load import scaled_load

_MODE: dict[str, Any] = {"layers": [{"what": "colour", "load_pct": 200}], "motion": {"resolution": "720x720"}}
_PRINTER = {"title": "one", "drop_volume_pl": 7, "resolutions": ["720x720"]}
_FILM, _BLACK = -math.log10(0.4), 2.0 - math.log10(0.4)
"""A film of 40 %, and a black of two densities over it."""


def load(transmittance_pct: float | None, **said: Any) -> float:
    return scaled_load(_MODE, (_FILM, _BLACK), transmittance_pct, (_PRINTER, None), **said).load_pct


def test_the_same_film_takes_the_same_load() -> None:
    assert load(40) == 200


def test_a_film_twice_as_bright_needs_a_lg2_more_of_density() -> None:
    assert load(80) == pytest.approx(200 * (2 + math.log10(2)) / 2, abs=0.1)


@given(st.floats(5, 95), st.floats(5, 95))
def test_a_brighter_film_never_takes_less_ink(one: float, other: float) -> None:
    assert (load(one) <= load(other)) is (one <= other) or load(one) == load(other)


@given(st.floats(5, 95))
def test_the_scaled_ink_brings_a_black_as_dense_over_the_film_and_absolutely(
    transmittance_pct: float,
) -> None:
    ink = 2.0 * load(transmittance_pct) / 200
    over_film, absolute = ink - 2.0, ink - math.log10(transmittance_pct / 100) - _BLACK
    assert min(over_film, absolute) == pytest.approx(0, abs=0.01)


def test_a_darker_film_keeps_its_contrast_and_it_is_said_why() -> None:
    found = scaled_load(_MODE, (_FILM, _BLACK), 20, (_PRINTER, None))
    assert found.load_pct == 200
    assert any("less would leave less contrast" in each for each in found.steps)


def test_a_front_lit_load_does_not_depend_on_what_the_film_lets_through() -> None:
    found = scaled_load({**_MODE, "lighting": "frontlit"}, None, 80, (_PRINTER, None))
    assert (found.load_pct, found.doubts) == (200, ())


def test_more_than_twice_the_load_is_beyond_the_law() -> None:
    pale = scaled_load(_MODE, (2.0, 2.3), 50, (_PRINTER, None))
    assert any("print a ladder" in each for each in pale.doubts)


def test_another_printer_lays_the_same_volume() -> None:
    other = {"title": "two", "drop_volume_pl": 14, "resolutions": ["720x720"]}
    assert scaled_load(_MODE, (_FILM, _BLACK), 40, (_PRINTER, other)).load_pct == 100


def test_another_resolution_lays_the_same_volume() -> None:
    other = {"title": "two", "drop_volume_pl": 7, "resolutions": ["720x1440"]}
    assert scaled_load(_MODE, (_FILM, _BLACK), 40, (_PRINTER, other)).load_pct == 100


@pytest.mark.parametrize(
    ("densities", "transmittance", "printers", "says"),
    [
        (None, 40, (_PRINTER, None), "not measured in transmission"),
        ((_FILM, _BLACK), None, (_PRINTER, None), "transmittance is unknown"),
        ((_FILM, _BLACK), 40, (_PRINTER, {"title": "two"}), "drop volume is unknown"),
        ((_FILM, _BLACK), 0, (_PRINTER, None), "no light goes through"),
        ((_FILM, math.inf), 60, (_PRINTER, None), "reads as black itself"),
        ((_FILM, _FILM), 60, (_PRINTER, None), "no dark solid"),
    ],
)
def test_what_cannot_be_scaled_is_taken_as_it_is_and_said(
    densities: tuple[float, float] | None, transmittance: float | None, printers: Any, says: str
) -> None:
    found = scaled_load(_MODE, densities, transmittance, printers)
    assert found.load_pct == 200
    assert any(says in each for each in found.doubts)


def test_white_ink_and_open_weave_do_not_scale() -> None:
    layers = [{"what": "colour", "load_pct": 200}, {"what": "white", "load_pct": 100}]
    white = scaled_load({**_MODE, "layers": layers}, (_FILM, _BLACK), 80, (_PRINTER, None))
    weave = scaled_load(_MODE, (_FILM, _BLACK), 80, (_PRINTER, None), open_weave=True)
    assert (white.load_pct, weave.load_pct) == (200, 200)
    assert any("a white layer scatters light" in each for each in white.doubts)
    assert any("threads" in each for each in weave.doubts)


def test_a_block_out_layer_scatters_and_a_clear_one_does_not() -> None:
    for what, scatters in (("block-out", True), ("clear", False)):
        layers = [{"what": "colour", "load_pct": 200}, {"what": what, "load_pct": 100}]
        found = scaled_load({**_MODE, "layers": layers}, (_FILM, _BLACK), 80, (_PRINTER, None))
        assert any(f"a {what} layer scatters light" in each for each in found.doubts) is scatters


def test_the_load_that_is_scaled_is_the_colours_however_heavy_the_white() -> None:
    colour = [each for each in _MODE["layers"] if each["what"] == "colour"]
    heavy = [*colour, {"what": "white", "load_pct": 2 * max(each["load_pct"] for each in colour)}]
    found = scaled_load({**_MODE, "layers": heavy}, (_FILM, _BLACK), 40, (_PRINTER, None))
    assert found.load_pct == max(each["load_pct"] for each in colour)
