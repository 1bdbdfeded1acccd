"""Fire classes as their standards write them.

EN 13501-1, construction products but floorings and linear pipe insulation: A1; A2, B, C and D each with smoke
s1 to s3 and droplets d0 to d2; E, E-d2; F: 40 classes (the table as certifying bodies publish it).
ASTM E84 by the International Building Code, section 803.1: A, B, C. NFPA 701: pass or fail (from memory).
"""

from itertools import product

import pytest

from registry.check import check
from registry.model.scales import rank
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
CLASSES = (
    *(("en-13501-1", rating) for rating in EN_13501_1),
    *(("astm-e84", rating) for rating in "ABC"),
    *(("nfpa-701", rating) for rating in ("pass", "fail")),
)
NONE_SUCH = (
    *(("en-13501-1", rating) for rating in ("A", "A1-s1,d0", "B", "B-s1", "B-s1-d0", "B-s1,d3", "b-s1,d0")),
    *(
        ("en-13501-1", rating)
        for rating in ("B-s4,d0", "B -s1,d0", "B-s1, d0", "E-d0", "E-s1", "F-d2", "Bfl-s1")
    ),
    *(("en-13501-1", rating) for rating in ("G", "B1", "pass", "Class 0", "BL-s1,d0")),
    *(("astm-e84", rating) for rating in ("D", "I", "1", "a", "Class A", "B-s1,d0")),
    *(("nfpa-701", rating) for rating in ("Pass", "yes", "A", "method 1")),
)


def codes(standard: str, rating: str) -> list[str]:
    small = small_registry()
    small.patch("substrate", FILM, {"fire": [{"standard": standard, "rating": rating}]})
    return [finding.code for finding in check(small)]


def test_the_european_standard_has_forty_classes() -> None:
    assert len(set(EN_13501_1)) == 40


@pytest.mark.parametrize(("standard", "rating"), CLASSES)
def test_a_class_of_the_standard_is_accepted_and_ranks(standard: str, rating: str) -> None:
    assert codes(standard, rating) == []
    assert rank(f"fire.{standard}", rating) is not None


@pytest.mark.parametrize(("standard", "rating"), NONE_SUCH)
def test_what_is_no_class_of_the_standard_is_found(standard: str, rating: str) -> None:
    assert codes(standard, rating) == ["fire-class"]
