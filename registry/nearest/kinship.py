"""How near two materials are for a print mode: the coating first, then what else ink and light meet."""

import math
from collections.abc import Mapping
from typing import Any, NamedTuple

__all__ = ["DECIDES", "MATTERS", "Kinship", "Likeness", "kinship"]

SAME, NEAR, DIFFERS, UNKNOWN = "same", "near", "differs", "unknown"
_COST = {SAME: 0.0, UNKNOWN: 1.0, DIFFERS: 2.0}
_ALIKE = (("film", "adhesive-film"), ("banner", "fabric"), ("sheet",), ("paper",))
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
    """0 is the same or as near as matters; orders relatives that are alike in all that comes before."""
    apart: float = 0.0
    """How far apart, in steps of what is called near; orders relatives that are alike in everything."""


class Kinship(NamedTuple):
    """How near a relative is, in the order in which it matters."""

    likenesses: tuple[Likeness, ...]
    refused: str
    """Why it is no relative at all; empty where it is one."""

    @property
    def rank(self) -> tuple[float, ...]:
        """Least first: the first thing in which relatives differ decides, how far they lie apart the last.

        A difference that two films of one delivery may have, or two instruments, must not outweigh all that
        comes after it: so brightness and thickness count in whole steps.
        """
        return (*(each.cost for each in self.likenesses), sum(each.apart for each in self.likenesses))


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
    construction, clear = alike[2], alike[3]
    if construction.answer == DIFFERS and _handled(construction.found) != _handled(construction.asked):
        refused = refused or f"it is a {construction.found}, not a {construction.asked}: another way to print"
    if clear.answer == DIFFERS:
        refused = refused or f"it is {clear.found}, not {clear.asked}"
    return Kinship(alike, refused)


def _handled(construction: str) -> int:
    """Return which constructions are printed alike (common practice, no source).

    >>> [_handled(each) for each in ("film", "adhesive-film", "banner", "sheet")]
    [0, 0, 1, 2]
    """
    return next(number for number, alike in enumerate(_ALIKE) if construction in alike)


def _ink(coating: str) -> str:
    return {"none": "no ink: it has none", "multi": "several inks"}.get(coating, f"{coating} ink")


def _likeness(
    asked: Mapping[str, Any], found: Mapping[str, Any], path: str, label: str, unit: str
) -> Likeness:
    wanted, has = _at(asked, path), _at(found, path)
    if wanted is None or has is None:
        return Likeness(path, label, UNKNOWN, wanted, has, unit, _COST[UNKNOWN])
    if path == "light.transmittance_pct":
        steps = abs(_density(wanted) - _density(has)) / _NEAR_DENSITY
        return Likeness(path, label, *_stepped(wanted, has, steps), unit, _cost(steps), steps)
    if path == "thickness_um":
        steps = abs(math.log(wanted / has)) / math.log1p(_NEAR_SHARE)
        return Likeness(path, label, *_stepped(wanted, has, steps), unit, _cost(steps), steps)
    answer, cost = _compared(path, wanted, has)
    return Likeness(path, label, answer, wanted, has, unit, cost)


def _compared(path: str, wanted: Any, has: Any) -> tuple[str, float]:
    if path == "ink_chemistries":  # what matters is the ink that both take; what else they take does not
        common = set(wanted) & set(has)
        answer = DIFFERS if not common else SAME if set(wanted) == set(has) else NEAR
        return answer, 0.0 if common else _COST[DIFFERS]
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


def _stepped(wanted: Any, has: Any, steps: float) -> tuple[str, Any, Any]:
    return (SAME if wanted == has else NEAR if steps <= 1 else DIFFERS), wanted, has


def _cost(steps: float) -> float:
    """Return 0 for what is near, else more the more whole steps there are, and more than for unknown."""
    return 0.0 if steps <= 1 else 1.0 + math.floor(steps)


def _density(transmittance_pct: float) -> float:
    return -math.log10(max(transmittance_pct, 0.01) / 100)


def _at(document: Mapping[str, Any], path: str) -> Any:
    value: Any = document
    for part in path.split("."):
        value = value.get(part) if isinstance(value, Mapping) else None
    return value
