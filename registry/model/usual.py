"""How well a value is known where nobody says better: a default, which stands in its setting's own line."""

from collections.abc import Iterator, Mapping
from typing import Any, NamedTuple

from registry.model.shape import shape_of
from registry.model.words import Uncertain

__all__ = ["Usual", "repeatability", "usual", "usuals"]

UNSOURCED = "common practice, no source"
_STANDS_IN = ("display", "print-mode", "substrate", "printer")


class Usual(NamedTuple):
    """The default of one input of a computation."""

    what: str
    """Its name in registry.json."""
    words: str
    """What people call it: the box's reflectance."""
    u: float
    """Standard uncertainty: in the setting's unit, or in % of the value where it is relative."""
    relative: bool
    value: float | None = None
    """What is taken where nothing is recorded; None where nothing can be."""
    source: str = UNSOURCED

    def of(self, value: float, unit: float) -> float:
        """Return the standard uncertainty of a value in which the setting's unit counts so much.

        >>> Usual("a", "a share", 8, relative=False).of(0.85, 0.01)
        0.08
        >>> Usual("a", "a light", 20, relative=True).of(400, 1)
        80.0
        """
        return abs(value) * self.u / 100 if self.relative else self.u * unit


def usual(
    what: Uncertain,
    words: str,
    *,
    u: float | None = None,
    u_pct: float | None = None,
    value: float | None = None,
    source: str = UNSOURCED,
) -> dict[str, Any]:
    """Return the default of an input as it stands in a setting's line and in its schema."""
    said = {"what": what, "words": words, "u": u, "u_pct": u_pct, "value": value, "source": source}
    return {name: each for name, each in said.items() if each is not None}


def usuals(own: Mapping[str, Any]) -> dict[str, Usual]:
    """Return the default of every input by its name; the registry's own record may say otherwise."""
    said = {each["input"]: each for each in own.get("uncertainties", ())}
    return {each["what"]: _usual(_instead(each, said.get(each["what"], {}))) for each in _shipped()}


def _shipped() -> Iterator[dict[str, Any]]:
    for kind in _STANDS_IN:
        for setting in shape_of(kind).settings.values():
            yield from setting.usual


def repeatability(found: Mapping[str, Usual]) -> tuple[float, float]:
    """Return the shares by which two readings of one patch differ: of its light, and of its colour."""
    light, colour = (found[name].of(1.0, 0.01) for name in ("reading-repeatability", "reading-colour"))
    return light, colour


def _instead(shipped: Mapping[str, Any], own: Mapping[str, Any]) -> dict[str, Any]:
    spread = {"u", "u_pct"} & own.keys()
    kept = {name: each for name, each in shipped.items() if not (spread and name in {"u", "u_pct"})}
    return {**kept, **own}


def _usual(said: Mapping[str, Any]) -> Usual:
    relative = "u_pct" in said
    return Usual(
        said["what"],
        said["words"],
        float(said["u_pct" if relative else "u"]),
        relative,
        said.get("value"),
        said["source"],
    )
