"""How a table was measured, from its header alone: the standard's keywords, or the header's own words.

- `MEASUREMENT_GEOMETRY "transmission, 0:d, source on the printed face"`: kind, geometry, face to the source;
- `MEASUREMENT_SOURCE "ISO 13655 M1 (D50)"`: the measurement condition, and what is said of light and zero;
- `SAMPLE_BACKING "white"`: what lay behind the print;
- `WEIGHTING_FUNCTION "DENSITY, Status A; ILLUMINANT, D50; OBSERVER, 2 degree"`: response, light, observer;
- `COMPUTATIONAL_PARAMETER "DENSITY, ZERO, absolute"`: what counts as density 0;
- `INSTRUMENTATION`: the instrument, and in many files geometry, backing and light besides.

The standard has no keyword for what happened to the print first; this registry's files may declare
`HOURS_AFTER_PRINTING "24"` and `FINISHING "film-laminate"`.
"""

import re
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

from registry.measurement.form import Table

__all__ = ["Conditions", "Kind", "conditions"]

Kind = Literal["transmission", "reflection", "emission", "unknown"]

_MEASURING = (
    "MEASUREMENT_CONDITION",
    "MEASUREMENT_SOURCE",
    "MEASUREMENT_GEOMETRY",
    "FILTER",
    "INSTRUMENTATION",
)
"""Keywords whose words speak of the instrument at work."""
_ISO_13655 = re.compile(r"(?<![A-Za-z0-9])M[0-3](?![A-Za-z0-9])")
_EMISSION = re.compile(r"emission|emissive|spectral (power|radiance)", re.IGNORECASE)
_LIGHT = re.compile(
    r"\s*(?:CIE )?(?:[ADF][0-9]{0,2}|(?:2|10)[ _-]?(?:°|deg\w*))(?: observer)?\s*", re.IGNORECASE
)
_HOURS = re.compile(r"([0-9]+(?:\.[0-9]+)?) ?(h|hours?|d|days?) after print", re.IGNORECASE)
_LAMINATE = re.compile(r"[^,;]*\b(?:un)?laminat[^,;]*", re.IGNORECASE)


@dataclass(frozen=True, slots=True, kw_only=True)
class Conditions:
    """How a table was measured, in the header's own words; empty where it does not say."""

    kind: Kind = "unknown"
    """What the light did: through the print, back from it, or out of a lamp."""
    geometry: str = ""
    source_face: str = ""
    """Which face looked at the source: the part of the geometry that speaks of the source."""
    condition: str = ""
    """ISO 13655 measurement condition, M0 to M3."""
    backing: str = ""
    response: str = ""
    """Of densities, such as Status A."""
    zero: str = ""
    """What has density 0."""
    light: str = ""
    """What XYZ and L*a*b* were computed for: illuminant, observer, white."""
    instrument: str = ""
    hours_after_printing: float | None = None
    finishing: str = ""
    """What was done to the print before it was measured, such as a laminate."""
    simulated: bool = False
    """The header calls the readings simulated: they came out of a model, not an instrument."""


def conditions(table: Table) -> Conditions:
    """Return how a table was measured, from its header alone."""
    weighting = table.pairs("WEIGHTING_FUNCTION")
    geometry = table.said("MEASUREMENT_GEOMETRY") or _part(_parts(table, "INSTRUMENTATION"), "geometry")
    everything = [value for values in table.header.values() for value in values]
    return Conditions(
        kind=_kind(geometry, table),
        geometry=geometry,
        source_face=_part(geometry.split(","), "source"),
        condition=_condition(table),
        backing=table.said("SAMPLE_BACKING") or _part(_parts(table, "INSTRUMENTATION"), "backing"),
        response=_response(table, weighting),
        zero=_zero(table),
        light=_light(table, weighting),
        instrument=table.said("INSTRUMENTATION"),
        hours_after_printing=_hours(table, everything),
        finishing=table.said("FINISHING") or _laminate(everything),
        simulated="simulat" in " ".join(everything).lower(),
    )


def _kind(geometry: str, table: Table) -> Kind:
    words = geometry.lower()
    if "transmi" in words:
        return "transmission"
    if "reflect" in words or "45" in words:  # 45:0 and 0:45 are geometries of reflection alone (ISO 13655)
        return "reflection"
    if not geometry and any(_EMISSION.search(table.said(keyword)) for keyword in _MEASURING):
        return "emission"
    return "unknown"


def _condition(table: Table) -> str:
    """Return the one measurement condition that the header names; of two, nobody can tell which."""
    found = {each for keyword in _MEASURING for each in _ISO_13655.findall(table.said(keyword))}
    return found.pop() if len(found) == 1 else ""


def _response(table: Table, weighting: dict[str, str]) -> str:
    if "DENSITY" in weighting:
        return weighting["DENSITY"]
    return "" if weighting.keys() & {"ILLUMINANT", "OBSERVER"} else table.said("WEIGHTING_FUNCTION")


def _zero(table: Table) -> str:
    parameter, _, zero = table.pairs("COMPUTATIONAL_PARAMETER").get("DENSITY", "").partition(",")
    return zero.strip() if parameter.strip().upper() == "ZERO" else _part(_remarks(table), "zero")


def _light(table: Table, weighting: dict[str, str]) -> str:
    named = [
        weighting.get(name) or table.said(keyword) or table.said(other)
        for name, keyword, other in (
            ("ILLUMINANT", "ILLUMINANT", "ILLUMINATION_NAME"),
            ("OBSERVER", "OBSERVER", "OBSERVER_ANGLE"),
        )
    ]
    if any(named):
        return ", ".join(filter(None, named))
    spoken = [part.strip() for part in _parts(table, "MEASUREMENT_SOURCE", "INSTRUMENTATION")]
    return _part(_remarks(table), "lab") or ", ".join(part for part in spoken if _LIGHT.fullmatch(part))


def _hours(table: Table, everything: Iterable[str]) -> float | None:
    said = table.said("HOURS_AFTER_PRINTING")
    found = _HOURS.search(f"{said} h after printing" if said else " ".join(everything))
    return None if found is None else float(found[1]) * (24 if found[2].lower().startswith("d") else 1)


def _laminate(everything: Iterable[str]) -> str:
    found = _LAMINATE.search("; ".join(everything))
    return found[0].strip() if found else ""


def _remarks(table: Table) -> list[str]:
    """Return what the header says of computation and light, parted by `;`."""
    return f"{table.said('COMPUTATIONAL_PARAMETER')}; {table.said('MEASUREMENT_SOURCE')}".split(";")


def _parts(table: Table, *keywords: str) -> list[str]:
    return [part for keyword in keywords for part in re.split("[,;]", table.said(keyword))]


def _part(parts: Iterable[str], word: str) -> str:
    """Return the first part that speaks of a thing."""
    return next((part.strip() for part in parts if word in part.lower()), "")
