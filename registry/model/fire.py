"""Classes of reaction to fire: how each standard writes them, and whether one is at least another.

Classes of different standards never stand for each other. Where no source is named: the standards' own terms,
from memory.

EN 13501-1
    Main class A1 to F; beside A2 to D smoke s1 to s3 and droplets d0 to d2, beside E droplets alone (E-d2):
    the table as certifying bodies publish it. Floorings have a scale of their own, A1fl to Ffl, beside A2fl
    to Dfl smoke s1 or s2 and no droplets: kept as another standard, for no wall's class stands for a floor's.
EN 45545-2
    Rail: for a requirement set (R1 and so on) hazard level HL1 to HL3, of which the higher asks for more.
IMO FTP Code, part 5
    Ships: surface flammability, passed or not.
DIN 4102-1, NF P 92-507, UL 94
    National classes of materials.
ASTM E84
    By the International Building Code, section 803.1. NFPA 701: passed or not.
"""

import re
from typing import NamedTuple

__all__ = [
    "CLASSES",
    "STANDARDS",
    "at_least",
    "is_class",
    "is_demand",
    "main_class",
    "not_asked",
    "standard_of",
    "written_so",
]

EN_13501_1 = "en-13501-1"
FLOOR = "en-13501-1-floor"
EN_45545_2 = "en-45545-2"

CLASSES: dict[str, tuple[str, ...]] = {
    EN_13501_1: ("F", "E", "D", "C", "B", "A2", "A1"),
    FLOOR: ("Ffl", "Efl", "Dfl", "Cfl", "Bfl", "A2fl", "A1fl"),
    EN_45545_2: ("HL1", "HL2", "HL3"),
    "imo-ftp-5": ("fail", "pass"),
    "din-4102-1": ("B3", "B2", "B1", "A2", "A1"),
    "nf-p-92-507": ("NC", "M4", "M3", "M2", "M1", "M0"),
    "ul-94": ("HB", "V-2", "V-1", "V-0"),
    "astm-e84": ("C", "B", "A"),
    "nfpa-701": ("fail", "pass"),
}
"""Each standard's classes, worst first; of those that say more than one thing, the main one."""

STANDARDS: dict[str, str] = {
    EN_13501_1: "EN 13501-1",
    FLOOR: "EN 13501-1 (floors)",
    EN_45545_2: "EN 45545-2 (rail)",
    "imo-ftp-5": "IMO FTP Code part 5 (ships)",
    "din-4102-1": "DIN 4102-1",
    "nf-p-92-507": "NF P 92-507",
    "ul-94": "UL 94",
    "astm-e84": "ASTM E84",
    "nfpa-701": "NFPA 701",
}
"""What people call each standard."""

_THIN = ("VTM-2", "VTM-1", "VTM-0")  # UL 94, of thin material: another test, another scale
_EUROPEAN = re.compile(r"(?P<main>A1|A2|B|C|D|E|F)(-(?P<smoke>s[123]))?([-,](?P<drops>d[012]))?")
_FLOOR = re.compile(r"(?P<main>(A1|A2|B|C|D|E|F)fl)(-(?P<smoke>s[12]))?(?P<drops>)")
_FORMS = {EN_13501_1: _EUROPEAN, FLOOR: _FLOOR}
_WHOLE = {
    EN_13501_1: re.compile(r"A1|(A2|B|C|D)-s[123],d[012]|E(-d2)?|F"),
    FLOOR: re.compile(r"A1fl|(A2|B|C|D)fl-s[12]|Efl|Ffl"),
}
_DEMANDED = {EN_13501_1: re.compile(r"(A2|B|C|D)(-s[123])?"), FLOOR: re.compile(r"(A2|B|C|D)fl")}
_NO_SMOKE = ("A1", "E", "F")
_RAIL = re.compile(r"(?P<set>R[1-9][0-9]?) (?P<level>HL[123])")


class _European(NamedTuple):
    main: int
    smoke: str
    """Empty where it is not said."""
    drops: str


def standard_of(scale: str) -> str:
    """Return the standard whose classes a scale holds; "" for any other scale.

    >>> [standard_of(scale) for scale in ("fire.ul-94", "fire", "pencil", "fire.of-ours", "rub.ul-94")]
    ['ul-94', '', '', '', '']
    """
    fire, _, standard = scale.partition(".")
    return standard if fire == "fire" and standard in CLASSES else ""


def is_class(standard: str, rating: str) -> bool:
    """Tell whether a certificate by this standard can say so.

    >>> is_class("en-13501-1", "B-s1,d0"), is_class("en-13501-1", "B"), is_class("ul-94", "VTM-0")
    (True, False, True)
    """
    if standard in _WHOLE:
        return _WHOLE[standard].fullmatch(rating) is not None
    if standard == EN_45545_2:
        return bool(rating) and all(_RAIL.fullmatch(each) for each in rating.split(", "))
    return rating in CLASSES[standard] or (standard == "ul-94" and rating in _THIN)


def is_demand(standard: str, wanted: str) -> bool:
    """Tell whether a class can be demanded by this standard; of EN 13501-1 also the main class alone.

    >>> is_demand("en-13501-1", "B"), is_demand("en-45545-2", "R1 HL2"), is_demand("en-45545-2", "HL2")
    (True, True, False)
    """
    if standard in _DEMANDED and _DEMANDED[standard].fullmatch(wanted):
        return True
    return is_class(standard, wanted) and ", " not in wanted


def written_so(standard: str) -> str:
    """Return in words how a standard writes its classes."""
    match standard:
        case "en-13501-1":
            return "A1, A2 to D with smoke and droplets such as B-s1,d0, E, E-d2 or F"
        case "en-13501-1-floor":
            return "A1fl, A2fl to Dfl with smoke such as Bfl-s1, Efl or Ffl"
        case "en-45545-2":
            return "requirement set and hazard level, such as R1 HL2; of several sets R1 HL2, R7 HL3"
        case "ul-94":
            return "V-0, V-1, V-2 or HB; of thin material VTM-0, VTM-1 or VTM-2"
    *others, last = reversed(CLASSES[standard])
    return f"{', '.join(others)} or {last}"


def at_least(standard: str, rating: str, wanted: str) -> bool | None:
    """Tell whether a class is at least as good as another of the same standard; None where it cannot be told.

    Of EN 13501-1 each of main class, smoke and droplets must be, as far as it is asked: a class that leaves
    out what is asked leaves it open, unless what it says fails already. A1 has nothing to say of either.

    >>> [at_least("en-13501-1", each, "B-s1,d0") for each in ("A1", "B-s1,d0", "B-s3,d2", "B", "C-s1,d0")]
    [True, True, False, None, False]
    >>> at_least("en-45545-2", "R1 HL3, R7 HL1", "R7 HL2"), at_least("en-45545-2", "R1 HL3", "R7 HL2")
    (False, None)
    """
    if standard in _FORMS:
        return _european_at_least(_parsed(standard, rating), _parsed(standard, wanted))
    if standard == EN_45545_2:
        asked = _RAIL.fullmatch(wanted)
        held = (_RAIL.fullmatch(each) for each in rating.split(", "))
        levels = [each["level"] for each in held if asked and each and each["set"] == asked["set"]]
        return max(levels) >= asked["level"] if asked and levels else None
    for scale in (CLASSES[standard], _THIN if standard == "ul-94" else ()):
        if rating in scale and wanted in scale:
            return scale.index(rating) >= scale.index(wanted)
    return None


def main_class(rating: str) -> str:
    """Return what a class says first.

    >>> main_class("B-s1,d0"), main_class("Bfl-s1"), main_class("R1 HL2"), main_class("V-0")
    ('B', 'Bfl', 'R1 HL2', 'V-0')
    """
    found = _EUROPEAN.fullmatch(rating) or _FLOOR.fullmatch(rating)
    return found["main"] if found else rating


def not_asked(standard: str, wanted: str) -> str:
    """Return in words what a demand leaves out of what its standard classes; "" where it leaves out nothing.

    >>> not_asked("en-13501-1", "B"), not_asked("en-13501-1", "B-s1,d0"), not_asked("en-13501-1", "E")
    ('smoke and droplets not asked', '', 'droplets not asked')
    """
    asked = _parsed(standard, wanted) if standard in _FORMS else None
    if asked is None:
        return ""
    main = CLASSES[EN_13501_1][asked.main]
    left_out = ["smoke"] if main not in _NO_SMOKE and not asked.smoke else []
    left_out += ["droplets"] if standard != FLOOR and main not in {"A1", "F"} and not asked.drops else []
    return f"{' and '.join(left_out)} not asked" if left_out else ""


def _parsed(standard: str, text: str) -> _European | None:
    found = _FORMS[standard].fullmatch(text)
    if found is None:
        return None
    main = CLASSES[standard].index(found["main"])
    return _European(main, found["smoke"] or "", found["drops"] or "")


def _european_at_least(held: _European | None, asked: _European | None) -> bool | None:
    if held is None or asked is None:
        return None
    if held.main < asked.main:
        return False
    name = CLASSES[EN_13501_1][held.main]  # of floors the places are the same
    if name == "A1":
        return True
    answers = [_is_within(held.smoke, asked.smoke), _is_within(held.drops, asked.drops)]
    if name == "E" and asked.drops and not held.drops:  # E alone has passed, E-d2 has not
        answers[1] = True
    return False if False in answers else None if None in answers else True


def _is_within(held: str, asked: str) -> bool | None:
    """Whether smoke or droplets are no more than is asked; None where they are asked and not said."""
    return True if not asked else held <= asked if held else None
