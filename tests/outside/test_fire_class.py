"""Fire classes as their standards write them.

EN 13501-1, construction products but floorings and linear pipe insulation: A1; A2, B, C and D each with smoke
s1 to s3 and droplets d0 to d2; E, E-d2; F: 40 classes (the table as certifying bodies publish it). Floorings:
A1fl; A2fl, Bfl, Cfl and Dfl each with smoke s1 or s2; Efl; Ffl: 11 classes (its table 2, from memory).
ASTM E84 by the International Building Code, section 803.1: A, B, C. From memory, by the standards' own terms:
NFPA 701 and IMO FTP Code part 5 know a pass or a failure; DIN 4102-1 A1, A2, B1, B2, B3; NF P 92-507 M0 to M4
and NC; UL 94 V-0 to V-2 and HB, of thin material VTM-0 to VTM-2; EN 45545-2 requirement sets (R1 and so on)
with hazard levels HL1 to HL3, of which the higher asks for more.
"""

from itertools import product

import pytest

from registry.check import check
from registry.model.fire import at_least, is_demand, not_asked
from tests.check.small import FILM, small_registry

EN_13501_1 = (
    "A1",
    *(
        f"{letter}-{s},{d}"
        for letter, s, d in product("A2 B C D".split(), "s1 s2 s3".split(), "d0 d1 d2".split())
    ),
    "E",
    "E-d2",
    "F",
)
FLOORS = ("A1fl", *(f"{letter}fl-{s}" for letter in "A2 B C D".split() for s in ("s1", "s2")), "Efl", "Ffl")
CLASSES = (
    *(("en-13501-1-floor", rating) for rating in FLOORS),
    *(("en-13501-1", rating) for rating in EN_13501_1),
    *(("astm-e84", rating) for rating in "ABC"),
    *(("nfpa-701", rating) for rating in ("pass", "fail")),
    *(("imo-ftp-5", rating) for rating in ("pass", "fail")),
    *(("din-4102-1", rating) for rating in "A1 A2 B1 B2 B3".split()),
    *(("nf-p-92-507", rating) for rating in "M0 M1 M2 M3 M4 NC".split()),
    *(("ul-94", rating) for rating in "V-0 V-1 V-2 HB VTM-0 VTM-1 VTM-2".split()),
    *(("en-45545-2", rating) for rating in ("R1 HL1", "R1 HL3", "R7 HL2", "R1 HL2, R7 HL3")),
)
NONE_SUCH = (
    *(("en-13501-1", rating) for rating in ("A", "A1-s1,d0", "B", "B-s1", "B-s1-d0", "B-s1,d3", "b-s1,d0")),
    *(
        ("en-13501-1", rating)
        for rating in ("B-s4,d0", "B -s1,d0", "B-s1, d0", "E-d0", "E-s1", "F-d2", "Bfl-s1")
    ),
    *(
        ("en-13501-1-floor", rating)
        for rating in ("B-s1,d0", "Bfl", "Bfl-s3", "Bfl-s1,d0", "Efl-s1", "A1fl-s1")
    ),
    *(("en-13501-1", rating) for rating in ("G", "B1", "pass", "Class 0", "BL-s1,d0")),
    *(("astm-e84", rating) for rating in ("D", "I", "1", "a", "Class A", "B-s1,d0")),
    *(("nfpa-701", rating) for rating in ("Pass", "yes", "A", "method 1")),
    *(("imo-ftp-5", rating) for rating in ("A", "low flame spread")),
    *(("din-4102-1", rating) for rating in ("B", "B4", "B-s1,d0")),
    *(("nf-p-92-507", rating) for rating in ("M5", "M", "1")),
    *(("ul-94", rating) for rating in ("V0", "94V-0", "VTM")),
    *(("en-45545-2", rating) for rating in ("HL2", "R1", "R0 HL1", "R1 HL4", "R1 HL2,R7 HL3", "R1 HL2, ")),
)


def codes(standard: str, rating: str) -> list[str]:
    small = small_registry()
    small.patch("substrate", FILM, {"fire": [{"standard": standard, "rating": rating}]})
    return [finding.code for finding in check(small)]


def test_the_european_standard_has_forty_classes() -> None:
    assert len(set(EN_13501_1)) == 40


@pytest.mark.parametrize(("standard", "rating"), CLASSES)
def test_a_class_of_the_standard_is_accepted_and_meets_itself(standard: str, rating: str) -> None:
    assert codes(standard, rating) == []
    for each in rating.split(", "):
        assert is_demand(standard, each)
        assert at_least(standard, rating, each) is True


@pytest.mark.parametrize(("standard", "rating"), NONE_SUCH)
def test_what_is_no_class_of_the_standard_is_found(standard: str, rating: str) -> None:
    assert codes(standard, rating) == ["fire-class"]


def parts(rating: str) -> tuple[int, int | None, int | None]:
    """Return main class, smoke and droplets as steps down from the best; None where there is none."""
    letter, _, beside = rating.partition("-")
    smoke, _, drops = beside.partition(",") if beside.startswith("s") else ("", "", beside)
    main = ("A1", "A2", "B", "C", "D", "E", "F").index(letter)
    return main, int(smoke[1]) if smoke else None, int(drops[1]) if drops else None


@pytest.mark.parametrize("wanted", EN_13501_1)
def test_each_of_the_three_scales_must_be_at_least_what_is_demanded(wanted: str) -> None:
    """Worked out scale by scale; of what a class does not have, such as the smoke of A1, nothing is asked."""
    asked = parts(wanted)
    for rating in EN_13501_1:
        held = parts(rating)
        fits = held[0] <= asked[0]
        for scale in (1, 2):
            if asked[scale] is not None and held[scale] is not None:
                fits = fits and held[scale] <= asked[scale]  # type: ignore[operator]
        assert at_least("en-13501-1", rating, wanted) is fits, (rating, wanted)


@pytest.mark.parametrize("letter", ["A2", "B", "C", "D"])
def test_a_main_class_alone_asks_for_no_smoke_and_no_droplets_and_proves_none(letter: str) -> None:
    for rating in EN_13501_1:
        assert at_least("en-13501-1", rating, letter) is (parts(rating)[0] <= parts(letter)[0])
        answer = at_least("en-13501-1", letter, rating)
        if parts(rating)[0] < parts(letter)[0]:
            assert answer is False
        elif parts(rating)[1] is not None or rating == "E-d2":
            assert answer is None, rating
    assert not_asked("en-13501-1", letter) == "smoke and droplets not asked"
    assert not_asked("en-13501-1", f"{letter}-s1") == "droplets not asked"
    assert at_least("en-13501-1", f"{letter}-s1,d2", f"{letter}-s1") is True
    assert at_least("en-13501-1", f"{letter}-s2,d0", f"{letter}-s1") is False


@pytest.mark.parametrize(
    ("standard", "best_first"),
    [
        ("din-4102-1", "A1 A2 B1 B2 B3"),
        ("nf-p-92-507", "M0 M1 M2 M3 M4 NC"),
        ("ul-94", "V-0 V-1 V-2 HB"),
        ("ul-94", "VTM-0 VTM-1 VTM-2"),
        ("astm-e84", "A B C"),
        ("nfpa-701", "pass fail"),
        ("imo-ftp-5", "pass fail"),
    ],
)
def test_classes_of_one_scale_rank(standard: str, best_first: str) -> None:
    ranked = best_first.split()
    for one, other in product(ranked, ranked):
        assert at_least(standard, one, other) is (ranked.index(one) <= ranked.index(other))


@pytest.mark.parametrize(
    ("standard", "rating", "wanted"),
    [
        ("ul-94", "VTM-0", "V-2"),  # of thin material: another test
        ("en-45545-2", "R1 HL3", "R7 HL1"),  # another requirement set
        ("en-13501-1", "Bfl-s1", "B-s1,d0"),  # of floorings
        ("en-13501-1-floor", "B-s1,d0", "Bfl-s1"),  # of walls
        ("en-13501-1", "M1", "B-s1,d0"),  # of another standard: never converted
        ("din-4102-1", "B-s1,d0", "B1"),
    ],
)
def test_what_is_on_another_scale_cannot_be_told(standard: str, rating: str, wanted: str) -> None:
    assert at_least(standard, rating, wanted) is None


def test_a_hazard_level_holds_for_its_own_requirement_set() -> None:
    both = "R1 HL2, R7 HL3"
    answers = [
        at_least("en-45545-2", both, each) for each in ("R1 HL1", "R1 HL2", "R1 HL3", "R7 HL3", "R2 HL1")
    ]
    assert answers == [True, True, False, True, None]


def test_a_floors_class_is_compared_whole_and_has_no_droplets() -> None:
    floor = "en-13501-1-floor"
    answers = [at_least(floor, each, "Bfl-s1") for each in (*FLOORS, "Bfl")]
    assert answers == [True, True, False, True, *[False] * 7, None]
    assert [at_least(floor, each, "Efl") for each in ("Dfl-s2", "Efl", "Ffl")] == [True, True, False]
    assert [not_asked(floor, each) for each in ("Bfl", "Bfl-s1", "Efl")] == ["smoke not asked", "", ""]
    assert is_demand(floor, "Cfl")
    assert not is_demand(floor, "C")
