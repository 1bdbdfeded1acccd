"""Units on screen and paper: metric as recorded, or US customary by exact factors."""

from dataclasses import dataclass
from fractions import Fraction

__all__ = ["UNIT_SYSTEMS", "Conversion", "shown"]

UNIT_SYSTEMS = ("metric", "us")

_FOOT_M = Fraction(3048, 10000)  # exactly, by the international yard and pound agreement of 1959
_INCH_MM = Fraction(254, 10)
_POUND_G = Fraction(45359237, 100000)
_PSI_KPA = _POUND_G / 1000 * Fraction(980665, 100000) / (_INCH_MM / 1000) ** 2 / 1000
_FLUID_OUNCE_ML = Fraction(231, 128) * (_INCH_MM / 10) ** 3


@dataclass(frozen=True, slots=True)
class Conversion:
    """A US unit, and how a metric value is turned into it: value × factor + offset."""

    unit: str
    factor: Fraction
    offset: Fraction = Fraction(0)


US: dict[str, Conversion] = {
    "m²/h": Conversion("ft²/h", 1 / _FOOT_M**2),
    "°C": Conversion("°F", Fraction(9, 5), Fraction(32)),
    "µm": Conversion("thou", 1 / _INCH_MM),
    "mm": Conversion("inch", 1 / _INCH_MM),
    "m": Conversion("ft", 1 / _FOOT_M),
    "m²": Conversion("ft²", 1 / _FOOT_M**2),
    "g/m²": Conversion("oz/yd²", (3 * _FOOT_M) ** 2 / (_POUND_G / 16)),
    "lx": Conversion("fc", _FOOT_M**2),
    "kPa": Conversion("psi", 1 / _PSI_KPA),
    "N": Conversion("lbf", 1 / (_POUND_G / 1000 * Fraction(980665, 100000))),
    "mL": Conversion("fl oz", 1 / _FLUID_OUNCE_ML),
    "mL/m²": Conversion("fl oz/ft²", _FOOT_M**2 / _FLUID_OUNCE_ML),
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
    if system != "us" or unit not in US:
        return value, unit
    conversion = US[unit]
    offset = Fraction(0) if difference else conversion.offset
    return float(Fraction(value) * conversion.factor + offset), conversion.unit
