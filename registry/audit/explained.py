"""How much of what was read on the refused print the changes on record explain; the rest is unexplained."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

from registry.audit.answer import Clue, Explained
from registry.audit.effect import Effect, Patch, looks, together
from registry.audit.readings import is_white
from registry.audit.usual import COLOUR_DEFECTS

__all__ = ["explained", "none_read", "with_shares"]

_SEEN_DE00 = 1.0
_SHARES = (0.25, 0.5, 0.75, 1.0)


def with_shares(clues: Sequence[Clue], defect: str, readings: Sequence[Mapping[str, Any]]) -> list[Clue]:
    """Return the clues, each with the share of the difference that it explains where that can be computed."""
    read = _read(defect, readings)
    if not read:
        return list(clues)
    return [replace(clue, explains=_share(_effects([clue]), read)) for clue in clues]


def explained(clues: Sequence[Clue], defect: str, readings: Sequence[Mapping[str, Any]]) -> Explained | None:
    """Return what all changes that can be computed explain together; None where the readings do not tell."""
    read = _read(defect, readings)
    if not read:
        return None
    share = _share(_effects(clues), read) or 0.0
    de00 = _mean(read, [each["expected_lab"] for each in read])
    computed = tuple(clue.label for clue in clues if any(each.acts for each in clue.every))
    return Explained(de00, max(0.0, share), computed)


def none_read(defect: str, readings: Sequence[Mapping[str, Any]]) -> bool:
    """Whether an instrument read the refused print and found nothing that anybody would see."""
    compared = any("expected_lab" in each for each in readings)
    return defect in COLOUR_DEFECTS and compared and not _read(defect, readings)


def _effects(clues: Sequence[Clue]) -> list[Effect]:
    """Return what each change does, once, in however many places it is told."""
    acting = ([each.acts for each in clue.every if each.acts] for clue in clues)
    return [acts[0] for acts in acting if acts]


def _read(defect: str, readings: Sequence[Mapping[str, Any]]) -> list[Mapping[str, Any]]:
    """Return the readings that have what was expected; none where nobody would see a difference."""
    read = [each for each in readings if "expected_lab" in each]
    if defect not in COLOUR_DEFECTS or not read:
        return []
    return read if _mean(read, [each["expected_lab"] for each in read]) >= _SEEN_DE00 else []


def _share(effects: Sequence[Effect], read: Sequence[Mapping[str, Any]]) -> float | None:
    """Return by what share the mean ΔE00 falls where the effects are counted in; below 0 where it rises."""
    if not effects:
        return None
    patches = [
        Patch(str(each["patch"]), tuple(each["expected_lab"]), not is_white(each["patch"])) for each in read
    ]
    whole = _mean(read, [each["expected_lab"] for each in read])
    effect = together(effects)
    shares = (share for share in _SHARES if share >= effect.least)
    left = min(_mean(read, looks(effect, patches, share)) for share in shares)
    return round(1 - left / whole, 4)


def _mean(read: Sequence[Mapping[str, Any]], labs: Sequence[Sequence[float]]) -> float:
    from registry.light.difference import ciede2000  # noqa: PLC0415 (only readings pay for numpy)

    return round(float(ciede2000([each["found_lab"] for each in read], labs).mean()), 4)
