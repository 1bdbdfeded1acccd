"""Unit factors against pint, a general-purpose library, and against published handbook figures."""

import pint
import pytest

from registry.light.ink import ink_volume
from registry.model.units import shown, us_units

PINT = {
    "m²/h": ("m**2/hour", "foot**2/hour"),
    "°C": ("degC", "degF"),
    "µm": ("micrometer", "thou"),
    "mm": ("millimeter", "inch"),
    "m": ("meter", "foot"),
    "m²": ("meter**2", "foot**2"),
    "g/m²": ("gram/meter**2", "ounce/yard**2"),
    "lx": ("lux", "lumen/foot**2"),
    "kPa": ("kilopascal", "psi"),
    "N": ("newton", "force_pound"),
    "mL": ("milliliter", "fluid_ounce"),
    "mL/m²": ("milliliter/meter**2", "fluid_ounce/foot**2"),
}


def test_every_conversion_is_compared() -> None:
    assert PINT.keys() == us_units().keys()


@pytest.mark.parametrize("unit", PINT)
@pytest.mark.parametrize("value", [0.0, 1.0, 54.0, 100.0])
def test_each_factor_agrees_with_pint(unit: str, value: float) -> None:
    registry: pint.UnitRegistry[float] = pint.UnitRegistry()
    metric, us = PINT[unit]
    expected = registry.Quantity(value, metric).to(us).magnitude
    assert shown(value, unit, "us")[0] == pytest.approx(expected, rel=1e-9, abs=1e-12)


def test_handbook_figures() -> None:
    # Exact by definition (1 ft = 0.3048 m): 54 ft²/h is 5.01676416 m²/h; common practice, no source, for 54.
    assert shown(5.01676416, "m²/h", "us")[0] == pytest.approx(54, abs=1e-9)
    assert shown(25.4, "µm", "us")[0] == pytest.approx(1)
    assert shown(85, "°C", "us")[0] == pytest.approx(185)
    assert shown(440.774717, "g/m²", "us")[0] == pytest.approx(13, abs=1e-6)
    assert shown(10.76391042, "lx", "us")[0] == pytest.approx(1, abs=1e-9)


def test_metric_values_stay_as_they_are_recorded() -> None:
    assert shown(98, "°C") == (98, "°C")
    assert shown(5, "GU", "us") == (5, "GU")


def test_a_difference_of_temperatures_has_no_offset() -> None:
    assert shown(5, "°C", "us", difference=True) == (9.0, "°F")


def test_ink_volume_of_one_solid_at_720_dpi_and_7_pl() -> None:
    # 7 pL × (720 / 25.4 mm)²: 5.62465125 mL/m², computed independently with pint.
    registry: pint.UnitRegistry[float] = pint.UnitRegistry()
    drops = (720 / registry.Quantity(1, "inch")) ** 2
    expected = (registry.Quantity(7, "picoliter") * drops).to("milliliter/meter**2").magnitude
    assert expected == pytest.approx(5.62465125, abs=1e-8)
    assert ink_volume(7, (720, 720), 100) == pytest.approx(expected, rel=1e-12)


@pytest.mark.parametrize("wrong", [(0, (720, 720), 100), (7, (0, 720), 100), (7, (720, 720), -1)])
def test_impossible_ink_is_refused(wrong: tuple[float, tuple[float, float], float]) -> None:
    with pytest.raises(ValueError, match="must be above 0"):
        ink_volume(*wrong)
