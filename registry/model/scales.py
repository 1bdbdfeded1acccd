"""Scales on which words rank: pencil hardness, scratch grades, gloss geometry; of fire classes see `fire`."""

from registry.model.fire import CLASSES

__all__ = [
    "CROSS_CUT_REMOVED_PCT",
    "GLOSS_AT_60",
    "PENCILS",
    "SCALES",
    "SCRATCH_GRADES",
    "cross_cut_d3359",
    "gloss_angle",
    "rank",
    "scratch_grade",
]

PENCILS: tuple[str, ...] = tuple("9B 8B 7B 6B 5B 4B 3B 2B B HB F H 2H 3H 4H 5H 6H 7H 8H 9H".split())
"""Soft to hard (ISO 15184)."""

SCRATCH_GRADES: dict[str, str] = {"low": "9B", "fair": "B", "good": "H", "high": "3H"}
"""This registry's own scale: the softest pencil hardness (ISO 15184) at which each grade begins."""

CROSS_CUT_REMOVED_PCT: tuple[int, ...] = (0, 5, 15, 35, 65, 100)
"""By ISO 2409 class: the largest share of the lattice that may have come off, in %."""

GLOSS_AT_60 = (10, 70)
"""ISO 2813: from the lower to the upper of these, in GU, gloss is measured at 60°; it is switched beyond."""

SCALES: dict[str, tuple[str, ...]] = {
    "pencil": PENCILS,
    "scratch": tuple(SCRATCH_GRADES),
    "adhesion": tuple(f"{grade}B" for grade in range(len(CROSS_CUT_REMOVED_PCT))),
    **{f"fire.{standard}": classes for standard, classes in CLASSES.items()},
}
"""Each scale's words, worst first; fire classes say more than one word, and are compared whole (`fire`)."""


def cross_cut_d3359(iso_2409: int) -> str:
    """Return the ASTM D3359 class (method B) that stands for an ISO 2409 class, 0 the best.

    >>> [cross_cut_d3359(cut) for cut in (0, 5)]
    ['5B', '0B']
    """
    return f"{len(CROSS_CUT_REMOVED_PCT) - 1 - iso_2409}B"


def rank(scale: str, word: str) -> int | None:
    """Return the place of `word` on `scale`, 0 the worst, or None where it is not on it.

    >>> rank("pencil", "H") > rank("pencil", "HB"), rank("pencil", "hard")
    (True, None)
    """
    words = SCALES.get(scale, ())
    return words.index(word) if word in words else None


def scratch_grade(pencil: str) -> str:
    """Return this registry's own grade of a pencil hardness.

    >>> [scratch_grade(pencil) for pencil in ("9B", "HB", "H", "4H")]
    ['low', 'fair', 'good', 'high']
    """
    hardness = PENCILS.index(pencil)
    return [grade for grade, softest in SCRATCH_GRADES.items() if PENCILS.index(softest) <= hardness][-1]


def gloss_angle(gloss_60_gu: float) -> int:
    """Return the ISO 2813 angle, in degrees, at which a surface of this 60° gloss is to be measured.

    >>> gloss_angle(5), gloss_angle(10), gloss_angle(70), gloss_angle(71)
    (85, 60, 60, 20)
    """
    low, high = GLOSS_AT_60
    if gloss_60_gu < low:
        return 85
    return 20 if gloss_60_gu > high else 60
