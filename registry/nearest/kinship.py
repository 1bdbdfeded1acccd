"""How near two materials are for a print mode: the coating first, then what else ink and light meet."""

import math
from collections.abc import Mapping
from typing import Any, NamedTuple

__all__ = ["DECIDES", "MATTERS", "Kinship", "Likeness", "kinship"]

SAME, NEAR, DIFFERS, UNKNOWN = "same", "near", "differs", "unknown"
_COST = {SAME: 0.0, UNKNOWN: 1.0, DIFFERS: 2.0}
_FINISHES = ("matte", "lustre", "gloss")
_NEAR_DENSITY = 0.08
"""Lightness of two films: a difference in density (lg of transmittance) that is called near."""
_NEAR_SHARE = 0.15
"""Thickness: a share by which two films may differ and be called near."""


class Likeness(NamedTuple):
    """How alike two materials are in one thing."""

    path: str
    label: str
    answer: str
    """same, near, differs or unknown."""
    asked: Any
    found: Any
    unit: str
    cost: float
    """0 is the same; what orders relatives that are alike in all that comes before."""


class Kinship(NamedTuple):
    """How near a relative is, in the order in which it matters."""

    likenesses: tuple[Likeness, ...]
    refused: str
    """Why it is no relative at all; empty where it is one."""

    @property
    def rank(self) -> tuple[float, ...]:
        """Least first: the first thing in which relatives differ decides."""
        return tuple(each.cost for each in self.likenesses)


MATTERS: tuple[tuple[str, str, str], ...] = (
    ("coating", "coating", ""),
    ("ink_chemistries", "inks it takes", ""),
    ("construction", "construction", ""),
    ("light.scattering", "scattering", ""),
    ("base", "base", ""),
    ("light.transmittance_pct", "luminous transmittance", "%"),
    ("thickness_um", "thickness", "µm"),
    ("finish", "finish", ""),
)
"""What is compared, first what matters most: path, label, unit (common practice, no source)."""
DECIDES: tuple[str, ...] = (*(path for path, _, _ in MATTERS), "heat.max_web_c")
"""What to say of a material, first what matters most; the last is what its mode's heat is held against."""


def kinship(asked: Mapping[str, Any], found: Mapping[str, Any]) -> Kinship:
    """Return how near a material of the registry is to the one asked about; both are substrate documents.

    >>> film = {"coating": "aqueous", "base": "polyester", "thickness_um": 200}
    >>> [each.answer for each in kinship(film, film | {"thickness_um": 215}).likenesses if each.found]
    ['same', 'same', 'near']
    >>> kinship(film, film | {"coating": "solvent"}).refused
    'its coating is for solvent ink, not aqueous'
    """
    alike = tuple(_likeness(asked, found, *each) for each in MATTERS)
    refused = ""
    coating = alike[0]  # `multi` is made for several inks, so it is near to each of them
    if coating.answer == DIFFERS:
        refused = f"its coating is for {_ink(coating.found)}, not {coating.asked}"
    clear = alike[3]
    if clear.answer == DIFFERS:
        refused = refused or f"it is {clear.found}, not {clear.asked}"
    return Kinship(alike, refused)


def _ink(coating: str) -> str:
    return {"none": "no ink: it has none", "multi": "several inks"}.get(coating, f"{coating} ink")


def _likeness(
    asked: Mapping[str, Any], found: Mapping[str, Any], path: str, label: str, unit: str
) -> Likeness:
    wanted, has = _at(asked, path), _at(found, path)
    if wanted is None or has is None:
        return Likeness(path, label, UNKNOWN, wanted, has, unit, _COST[UNKNOWN])
    answer, cost = _compared(path, wanted, has)
    return Likeness(path, label, answer, wanted, has, unit, cost)


def _compared(path: str, wanted: Any, has: Any) -> tuple[str, float]:
    if path == "ink_chemistries":
        answer = SAME if set(wanted) & set(has) else DIFFERS
        return answer, _COST[answer]
    if path == "light.transmittance_pct":
        return _apart(abs(_density(wanted) - _density(has)), _NEAR_DENSITY)
    if path == "thickness_um":
        return _apart(abs(math.log(wanted / has)), math.log1p(_NEAR_SHARE))
    if path == "coating":
        answer = (
            SAME
            if wanted == has
            else NEAR
            if "multi" in {wanted, has} and "none" not in {wanted, has}
            else DIFFERS
        )
        return answer, 1.5 if answer == NEAR else _COST[answer]
    if path == "finish":
        steps = abs(_FINISHES.index(wanted) - _FINISHES.index(has))
        return (SAME, NEAR, DIFFERS)[steps], float(steps)
    answer = SAME if wanted == has else DIFFERS
    return answer, _COST[answer]


def _apart(distance: float, near: float) -> tuple[str, float]:
    return SAME if distance == 0 else NEAR if distance <= near else DIFFERS, round(distance / near, 6)


def _density(transmittance_pct: float) -> float:
    return -math.log10(max(transmittance_pct, 0.01) / 100)


def _at(document: Mapping[str, Any], path: str) -> Any:
    value: Any = document
    for part in path.split("."):
        value = value.get(part) if isinstance(value, Mapping) else None
    return value
