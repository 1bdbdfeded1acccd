"""The registry's scales against the standards that define them."""

import pytest

from registry.model.fire import at_least
from registry.model.scales import (
    CROSS_CUT_REMOVED_PCT,
    PENCILS,
    SCALES,
    SCRATCH_GRADES,
    cross_cut_d3359,
    gloss_angle,
    rank,
    scratch_grade,
)
from registry.model.shape import shape_of


def test_pencils_rank_from_soft_to_hard_as_iso_15184_lists_them() -> None:
    # ISO 15184 (DIN EN ISO 15184, page of a test-instrument maker, seen): 9B is the softest, 9H the hardest.
    published = "9B 8B 7B 6B 5B 4B 3B 2B B HB F H 2H 3H 4H 5H 6H 7H 8H 9H".split()
    assert list(PENCILS) == published
    assert [rank("pencil", pencil) for pencil in published] == list(range(20))


def test_the_records_accept_exactly_the_pencils_of_the_scale() -> None:
    assert shape_of("substrate").settings["surface.pencil"].words == PENCILS
    assert shape_of("print-mode").settings["trials.*.pencil"].words == PENCILS


def test_each_scratch_grade_begins_at_its_pencil_and_ends_below_the_next() -> None:
    # This registry's own scale: no source but its definition.
    grades = list(SCRATCH_GRADES)
    for grade, softest in SCRATCH_GRADES.items():
        assert scratch_grade(softest) == grade
        place = PENCILS.index(softest)
        if place:
            assert scratch_grade(PENCILS[place - 1]) == grades[grades.index(grade) - 1]


@pytest.mark.parametrize(("gloss", "angle"), [(0, 85), (9.9, 85), (10, 60), (70, 60), (70.1, 20), (150, 20)])
def test_gloss_is_measured_at_the_angle_that_iso_2813_chooses(gloss: float, angle: int) -> None:
    # ISO 2813 and ASTM D523 (scope): 85° below 10 GU at 60°, 20° above 70 GU at 60°.
    assert gloss_angle(gloss) == angle


def test_fire_classes_rank_within_their_own_standard_only() -> None:
    # EN 13501-1: A1, A2, B, C, D, E, F from best to worst. ASTM E84 as building codes class it: A 0-25,
    # B 26-75, C 76-200 flame spread.
    assert SCALES["fire.en-13501-1"] == ("F", "E", "D", "C", "B", "A2", "A1")
    assert SCALES["fire.astm-e84"] == ("C", "B", "A")
    assert at_least("astm-e84", "B-s1,d0", "B") is None
    assert at_least("nfpa-701", "B-s1,d0", "pass") is None


def test_haze_is_held_up_to_the_limit_of_astm_d1003() -> None:
    # ASTM D1003 (scope): above 30 % haze a material is diffusing and the method does not apply.
    assert shape_of("substrate").settings["light.haze_pct"].maximum == 30


def test_cross_cut_classes_of_iso_2409_stand_beside_those_of_astm_d3359() -> None:
    # ISO 2409 classes 0-5 and ASTM D3359 method B classes 5B-0B, with the largest share of the lattice that
    # may have come off (%), as an adhesion-test maker's manual and a coatings laboratory's table have them.
    published = {0: ("5B", 0), 1: ("4B", 5), 2: ("3B", 15), 3: ("2B", 35), 4: ("1B", 65), 5: ("0B", 100)}
    assert {cut: cross_cut_d3359(cut) for cut in published} == {
        cut: each for cut, (each, _) in published.items()
    }
    assert {cut: CROSS_CUT_REMOVED_PCT[cut] for cut in published} == {
        cut: removed for cut, (_, removed) in published.items()
    }
    assert shape_of("print-mode").settings["trials.*.cross_cut"].maximum == max(published)
