"""How a value is worded for people: with its unit, and with no more figures than it was recorded with."""

import re
from collections.abc import Iterable, Iterator
from typing import Any

from registry.model.units import plain_number, shown, written

__all__ = ["in_decimals", "in_figures", "in_system", "plain", "said", "unit_in"]

_INSTANT = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}T[0-9]{2}:[0-9]{2}:[0-9]{2}(Z|[+-][0-9]{2}:[0-9]{2})")
_CHECK_SUM = re.compile(r"[0-9a-f]{64}")


def said(value: Any, unit: str = "", system: str = "metric", beside: Iterable[Any] = ()) -> str:
    """Return a value with its unit, as people read it; an unknown one is said to be unknown.

    Numbers that stand `beside` it are to be compared with it.

    >>> said(104, "°C"), said(104, "°C", "us"), said(True), said(["film-laminate", "none"])
    ('104 °C', '219 °F', 'yes', 'film-laminate, none')
    >>> said(None, "°C")
    'unknown'
    """
    if value is None:
        return "unknown"
    text, its_unit = in_figures(value, unit, system, beside)
    return f"{text} {its_unit}".strip()


def in_figures(
    value: Any, unit: str = "", system: str = "metric", beside: Iterable[Any] = ()
) -> tuple[str, str]:
    """Return a value without its unit, as people read it, and its unit in `system`."""
    if isinstance(value, list) and value and all(map(_is_number, value)):
        beside = [*value, *beside]
        return ", ".join(in_figures(each, unit, system, beside)[0] for each in value), unit_in(unit, system)
    if _is_number(value):
        return written(value, unit, system, beside=[each for each in _flat(beside) if _is_number(each)])
    return plain(value), unit_in(unit, system)


def in_decimals(value: float, places: int) -> str:
    """Return a number to so many decimals, as tables have it: with a minus sign, but none before a zero.

    Below 0, places are figures before the point.

    >>> in_decimals(-1234.56, 1), in_decimals(-0.04, 1), in_decimals(453523.1, -3)
    ('−1,234.6', '0.0', '454,000')
    """
    return f"{round(value, places) + 0.0:,.{max(places, 0)}f}".replace("-", "−")


def unit_in(unit: str, system: str) -> str:
    """Return what a unit is called in `system`."""
    return shown(0, unit, system)[1]


def _is_number(value: Any) -> bool:
    return isinstance(value, (int, float)) and not isinstance(value, bool)


def _flat(values: Iterable[Any]) -> Iterator[Any]:
    for each in values:
        yield from each if isinstance(each, list) else (each,)


def in_system(value: Any, unit: str, system: str) -> tuple[Any, str]:
    """Return a value, or each of a list, and its unit in `system`, exactly."""
    if isinstance(value, list):
        return [in_system(each, unit, system)[0] for each in value], unit_in(unit, system)
    return shown(value, unit, system) if _is_number(value) else (value, unit_in(unit, system))


def plain(value: Any) -> str:
    """Return a value as it was recorded; a moment to the minute, of a check sum its beginning."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, (int, float)):
        return plain_number(value)
    if isinstance(value, (list, tuple)):
        words = [plain(each) for each in value]
        return ("; " if any("," in word for word in words) else ", ").join(words) or "none"
    text = str(value)
    if _INSTANT.fullmatch(text):
        return f"{text[:10]} {text[11:16]} {text[19:]}".replace(" Z", " UTC")
    return f"{text[:12]}…" if _CHECK_SUM.fullmatch(text) else text
