"""Converted numbers as people read them: no finer than they were recorded, and never two taken for one."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from registry.model.units import shown, us_units, written

UNITS, PLACES = sorted(us_units()), st.integers(0, 2)


@pytest.mark.parametrize(
    ("value", "unit", "text"),
    [
        (5, "m²/h", "54 ft²/h"),
        (4.4, "m²/h", "47 ft²/h"),
        (104, "°C", "219 °F"),
        (98.5, "°C", "209.3 °F"),
        (1524, "mm", "60 inch"),
        (1067, "mm", "42.01 inch"),
        (110, "mm", "4.33 inch"),
        (210, "µm", "8.27 thou"),
        (2, "kPa", "0.3 psi"),
        (25.87, "mL/m²", "0.08127 fl oz/ft²"),
        (-1.13, "mL/m²", "-0.00355 fl oz/ft²"),
        (0, "mm", "0 inch"),
        (40, "%", "40 %"),
    ],
)
def test_a_converted_number_has_the_digits_that_the_record_speaks_for(
    value: float, unit: str, text: str
) -> None:
    assert " ".join(written(value, unit, "us")) == text


def test_a_difference_of_temperatures_has_no_offset() -> None:
    assert written(-4, "°C", "us", difference=True) == ("-7", "°F")


@given(
    unit=st.sampled_from(UNITS),
    steps=st.tuples(st.integers(0, 999), st.integers(0, 999)),
    decimals=st.tuples(PLACES, PLACES),
)
def test_two_numbers_beside_each_other_are_never_shown_as_one(
    unit: str, steps: tuple[int, int], decimals: tuple[int, int]
) -> None:
    one, other = (step / 10**places for step, places in zip(steps, decimals, strict=True))
    texts = [written(value, unit, "us", beside=[one, other])[0] for value in (one, other)]
    assert (texts[0] == texts[1]) == (one == other)


@given(unit=st.sampled_from(UNITS), step=st.integers(1, 9999).filter(lambda step: step % 10), places=PLACES)
def test_what_is_shown_is_off_by_less_than_the_last_digit_of_the_record(
    unit: str, step: int, places: int
) -> None:
    exact, last = shown(step / 10**places, unit, "us")[0], shown(10**-places, unit, "us", difference=True)[0]
    assert abs(float(written(step / 10**places, unit, "us")[0]) - exact) < last
