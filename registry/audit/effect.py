"""What a change does to a lit print, as far as its own numbers say; a rough computation, never a measurement.

Light scales everything, ink by Beer-Lambert in three bands, another lamp by its white. Dot gain, scattering,
what the box returns and how lamps age are left out.
"""

import re
from collections.abc import Callable, Iterable, Mapping, Sequence
from functools import reduce
from typing import Any, NamedTuple

from registry.change.compare import SettingChange

__all__ = ["TYPICAL", "Effect", "Patch", "looks", "of_event", "of_setting", "together"]

_FULL_PCT = 100.0
_LAMPS_LEAST, _INK_LEAST = 0.25, 0.5
_PCT = re.compile(r"^(\d+(?:\.\d+)?) ?%$")
_KELVIN = re.compile(r"\b(\d{4,5}) ?K\b")
_WHITE = (100.0, 100.0, 100.0)


class Effect(NamedTuple):
    """Factors on the light, on the density of what is printed, and on the lamp's X, Y and Z."""

    light: float = 1.0
    ink: float = 1.0
    lamp: tuple[float, float, float] = (1.0, 1.0, 1.0)
    held: tuple[tuple[str, float], ...] = ()
    """By channel: factor on the density of its solid."""
    least: float = 1.0
    """Least share of all this that may be seen: not every lamp is another, and bands overstate ink."""


class Patch(NamedTuple):
    """A patch as it was before."""

    name: str
    lab: tuple[float, float, float]
    printed: bool


TYPICAL = (
    Patch("white", (100, 0, 0), printed=False),
    Patch("cyan solid", (60, -35, -40), printed=True),
    Patch("magenta solid", (50, 60, -10), printed=True),
    Patch("yellow solid", (88, -5, 70), printed=True),
    Patch("black 50 %", (65, 0, 0), printed=True),
)
"""Patches of an ordinary backlit print against its lit white, for want of readings: made up."""


def of_setting(place: str, change: SettingChange) -> Effect | None:
    """Return what a setting that differs does; None where its numbers do not say it.

    >>> from registry.change.compare import compare
    >>> from registry.model.shape import shape_of
    >>> shape = shape_of("print-mode")
    >>> one, other = ({"layers": [{"what": "colour", "load_pct": load}]} for load in (160, 200))
    >>> of_setting("mode", *compare(shape, one, other)).ink
    1.25
    """
    before, after = change.before, change.after
    if change.setting == "ink.channels.*.limit_pct":  # only the channels that are held below 100 % are listed
        one, other = (_FULL_PCT if each is None else each for each in (before, after))
        return Effect(held=((change.item_name, other / one),)) if one else None
    computing = _COMPUTED.get(f"{place}/{change.path}")
    return computing(before, after) if computing and before and after else None


def _of_illuminants(before: str, after: str) -> Effect:
    from registry.light.sources import source  # noqa: PLC0415 (only lamps pay for numpy)

    return Effect(lamp=_ratio(source(before).white(), source(after).white()), least=_LAMPS_LEAST)


_COMPUTED: dict[str, Callable[[Any, Any], Effect]] = {
    "mode/layers.colour.load_pct": lambda before, after: Effect(ink=after / before, least=_INK_LEAST),
    "display/panel.transmittance_pct": lambda before, after: Effect(light=after / before),
    "display/luminance.points_cd_m2": lambda before, after: Effect(light=sum(after) / sum(before)),
    "display/lamp.illuminant": _of_illuminants,
}
"""By setting: what its two values say."""


def of_event(event: Mapping[str, Any]) -> Effect | None:
    """Return what an event does, where its before and after both name a share of light or kelvins.

    >>> of_event({"kind": "dimming", "before": "100 %", "after": "60 %"}).light
    0.6
    """
    before, after = (str(event.get(side, "")) for side in ("before", "after"))
    if event.get("kind") in {"dimming", "driver"}:
        shares = [_PCT.search(before), _PCT.search(after)]
        one, other = (float(each[1]) if each else 0.0 for each in shares)
        return Effect(light=other / one) if one and shares[1] else None
    if event.get("kind") in {"lamp-some-replaced", "lamp-all-replaced"}:
        return _of_kelvins(_KELVIN.findall(before), _KELVIN.findall(after))
    return None


def _of_kelvins(before: Sequence[str], after: Sequence[str]) -> Effect | None:
    """Return what other lamps do at most: of several kinds that are fitted the one farthest from before."""
    if not (before and after):
        return None
    from registry.light.temperature import black_body  # noqa: PLC0415 (only lamps pay for numpy)

    was = float(before[0])
    now = max(map(float, after), key=lambda each: abs(each - was))
    return Effect(lamp=_ratio(black_body(was), black_body(now)), least=_LAMPS_LEAST)


def _ratio(before: Iterable[float], after: Iterable[float]) -> tuple[float, float, float]:
    x, y, z = (float(b) / float(a) for a, b in zip(before, after, strict=True))
    return x, y, z


def together(effects: Sequence[Effect]) -> Effect:
    """Return several effects as one."""
    return reduce(
        lambda one, other: Effect(
            one.light * other.light,
            one.ink * other.ink,
            (one.lamp[0] * other.lamp[0], one.lamp[1] * other.lamp[1], one.lamp[2] * other.lamp[2]),
            (*one.held, *other.held),
            min(one.least, other.least),
        ),
        effects,
        Effect(),
    )


def looks(effect: Effect, patches: Sequence[Patch], share: float = 1.0) -> list[list[float]]:
    """Return L*a*b* of patches after a change, or after a share of it, against the white of before."""
    import numpy as np  # noqa: PLC0415 (only what is computed pays for it)

    from registry.light.lab import lab, xyz_of  # noqa: PLC0415

    xyz = xyz_of([patch.lab for patch in patches], _WHITE)
    whites = [patch.lab for patch in patches if not patch.printed] or [TYPICAL[0].lab]
    white = xyz_of(whites, _WHITE).mean(axis=0)
    powers = np.array([[_power(effect, patch, share)] for patch in patches])
    inked = white * np.clip(xyz / white, 1e-6, None) ** powers
    lit = (1 + share * (effect.light - 1)) * (1 + share * (np.array(effect.lamp) - 1))
    told: list[list[float]] = lab(inked * lit, _WHITE).tolist()
    return told


def _power(effect: Effect, patch: Patch, share: float) -> float:
    if not patch.printed:
        return 1.0
    held = [by for channel, by in effect.held if channel in patch.name and "solid" in patch.name]
    return 1 + share * (reduce(lambda one, other: one * other, held, effect.ink) - 1)
