"""Units on screen and paper: metric as recorded, or US customary by exact factors."""

import math
from collections.abc import Iterable
from functools import cache
from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from fractions import Fraction

__all__ = [
    "UNIT_SYSTEMS",
    "Conversion",
    "decimals_deserved",
    "metric",
    "plain_number",
    "shown",
    "us_units",
    "written",
]

UNIT_SYSTEMS = ("metric", "us")

_RECORDED, _CONVERTED = 9, 5
"""Figures of a number as it was recorded, and the most of one that was converted."""


class Conversion(NamedTuple):
    """A US unit, and how a metric value is turned into it: value × factor + offset."""

    unit: str
    factor: "Fraction"
    offset: int = 0


@cache
def us_units() -> dict[str, Conversion]:
    """Return the US unit of each metric one, with its exact factor."""
    from fractions import Fraction  # noqa: PLC0415 (only who asks for US units pays for it)

    foot_m = Fraction(3048, 10000)  # exactly, by the international yard and pound agreement of 1959
    inch_mm = Fraction(254, 10)
    pound_g = Fraction(45359237, 100000)
    pound_force_n = pound_g / 1000 * Fraction(980665, 100000)
    psi_kpa = pound_force_n / (inch_mm / 1000) ** 2 / 1000
    fluid_ounce_ml = Fraction(231, 128) * (inch_mm / 10) ** 3
    return {
        "m²/h": Conversion("ft²/h", 1 / foot_m**2),
        "°C": Conversion("°F", Fraction(9, 5), 32),
        "µm": Conversion("thou", 1 / inch_mm),
        "mm": Conversion("inch", 1 / inch_mm),
        "m": Conversion("ft", 1 / foot_m),
        "m²": Conversion("ft²", 1 / foot_m**2),
        "g/m²": Conversion("oz/yd²", (3 * foot_m) ** 2 / (pound_g / 16)),
        "lx": Conversion("fc", foot_m**2),
        "kPa": Conversion("psi", 1 / psi_kpa),
        "N": Conversion("lbf", 1 / pound_force_n),
        "mL": Conversion("fl oz", 1 / fluid_ounce_ml),
        "mL/m²": Conversion("fl oz/ft²", foot_m**2 / fluid_ounce_ml),
    }


def shown(value: float, unit: str, system: str = "metric", *, difference: bool = False) -> tuple[float, str]:
    """Return a value and its unit as they are shown in `system`.

    A difference of temperatures has no offset.

    >>> shown(100, "°C", "us")
    (212.0, '°F')
    >>> shown(10, "°C", "us", difference=True)
    (18.0, '°F')
    >>> shown(254, "µm", "us")
    (10.0, 'thou')
    >>> shown(98, "°C")
    (98, '°C')
    """
    if system != "us" or unit not in us_units():
        return value, unit
    conversion = us_units()[unit]
    factor = conversion.factor
    exact = type(factor)(value) * factor + (0 if difference else conversion.offset)
    return float(exact), conversion.unit


def metric(value: float, unit: str, system: str) -> float:
    """Return the metric value of what was given in `system`'s unit for `unit`: the way back from `shown`.

    >>> metric(48, "mm", "us"), metric(212, "°C", "us"), metric(48, "mm", "metric")
    (1219.2, 100.0, 48)
    """
    if system != "us" or unit not in us_units():
        return value
    conversion = us_units()[unit]
    return float((type(conversion.factor)(str(value)) - conversion.offset) / conversion.factor)


def decimals_deserved(low: float, high: float) -> int:
    """Return to how many decimals a number is told whose interval is that: two figures of half of it.

    Below 0, places are figures before the point.

    >>> decimals_deserved(571, 860), decimals_deserved(23.8, 35.6), decimals_deserved(3, 3)
    (-1, 1, 1)
    """
    half = abs(high - low) / 2
    return min(6, 1 - math.floor(math.log10(half))) if half > 1e-12 else 1


def written(
    value: float, unit: str, system: str = "metric", *, difference: bool = False, beside: Iterable[float] = ()
) -> tuple[str, str]:
    """Return a number as people write it, and its unit, in `system`.

    A converted number gets just the decimals that keep apart what the record keeps apart. So that they can
    be compared, numbers that stand `beside` it get as many.

    >>> written(5, "m²/h", "us"), written(98, "°C", "us"), written(98.5, "°C", "us")
    (('54', 'ft²/h'), ('208', '°F'), ('209.3', '°F'))
    >>> written(60, "mm", "us"), written(25.87, "mL/m²", "us"), written(25.87, "mL/m²")
    (('2.36', 'inch'), ('0.08127', 'fl oz/ft²'), ('25.87', 'mL/m²'))
    >>> written(98, "°C", "us", beside=[98.5]), written(0.5, "°C", "us", difference=True)
    (('208.4', '°F'), ('0.9', '°F'))
    """
    converted, into = shown(value, unit, system, difference=difference)
    if into == unit:
        return plain_number(value), unit
    recorded = max(_decimals(each) for each in (value, *beside))
    decimals = max(0, math.ceil(recorded - math.log10(us_units()[unit].factor)))
    return plain_number(round(converted, decimals), _CONVERTED), into


def plain_number(value: float, figures: int = _RECORDED) -> str:
    """Return a number to so many figures, without an exponent or needless zeros.

    >>> plain_number(98.0), plain_number(0.1 + 0.2), plain_number(219.2), plain_number(1e7)
    ('98', '0.3', '219.2', '10000000')
    """
    digits = f"{value:.{figures}g}"
    return digits if "e" not in digits else f"{float(digits):.9f}".rstrip("0").rstrip(".")


def _decimals(value: float) -> int:
    return len(plain_number(value).partition(".")[2])
