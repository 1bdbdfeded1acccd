"""Units on screen and paper: metric as recorded, or US customary by exact factors."""

from functools import cache
from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from fractions import Fraction

__all__ = ["UNIT_SYSTEMS", "Conversion", "shown", "us_units"]

UNIT_SYSTEMS = ("metric", "us")


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
