"""Audits of simulated complaints whose cause is known: never sure and wrong."""

import numpy as np
import pytest

from tests.audit.simulated.cases import SEEDS, registry_of
from tests.audit.simulated.causes import CAUSES
from tests.audit.simulated.physics import Lit, as_lab, de00, seen
from tests.audit.simulated.score import Judged, judged

_CYCLE = 4 * len(CAUSES)
"""So many cases hold each cause alone and among others, with readings and without."""


@pytest.fixture(scope="module")
def found(tmp_path_factory: pytest.TempPathFactory) -> list[Judged]:
    folder = tmp_path_factory.mktemp("simulated") / "registry"
    return judged(*registry_of(folder, SEEDS["dev"][:_CYCLE]))


def test_no_answer_is_sure_and_wrong(found: list[Judged]) -> None:
    assert [(each.case, each.words) for each in found if each.wrong] == []


def test_the_cases_hold_every_cause_in_every_company(found: list[Judged]) -> None:
    kinds = {(each.case.cause, each.case.among, each.case.read) for each in found}
    assert len(kinds) == _CYCLE


def test_what_can_be_computed_and_is_seen_comes_first(found: list[Judged]) -> None:
    places = [each.place for each in found if each.case.computable and each.case.de00 >= 2]
    assert len(places) >= 8
    assert places.count(0) >= 0.9 * len(places)


def test_a_single_cause_that_can_be_computed_is_named_in_most_cases(found: list[Judged]) -> None:
    single = [
        each.sure
        for each in found
        if each.case.computable and each.case.de00 >= 2 and not each.case.among and len(each.case.truth) == 1
    ]
    assert len(single) >= 4
    assert sum(single) >= 0.75 * len(single)


def test_development_and_test_set_share_no_seed() -> None:
    assert not set(SEEDS["dev"]) & set(SEEDS["test"])


def test_the_simulated_difference_agrees_with_published_pairs() -> None:
    """Sharma, Wu and Dalal, Color Research and Application 30 (2005) 21-30, table 1, pairs 1, 7, 17, 25."""
    one = np.array([[50, 2.6772, -79.7751], [50, 0, 0], [50, 2.5, 0], [60.2574, -34.0099, 36.2677]])
    other = np.array([[50, 0, -82.7485], [50, -1, 2], [73, 25, -18], [60.4626, -34.1751, 39.4387]])
    assert de00(one, other).round(4).tolist() == [2.0425, 2.3669, 27.1492, 1.2644]


@pytest.mark.parametrize(
    ("changed", "axis", "way"),
    [
        (Lit(load=220), 0, -1),
        (Lit(light=0.6), 0, -1),
        (Lit(kelvin=6500), 2, -1),
        (Lit(kelvin=3000), 2, 1),
        (Lit(film=0.3), 0, -1),
    ],
)
def test_a_simulated_print_changes_the_way_a_real_one_does(changed: Lit, axis: int, way: int) -> None:
    """Common practice, no source."""
    good = seen(Lit())
    away = (as_lab(seen(changed), good[0]) - as_lab(good, good[0])).mean(axis=0)
    assert way * away[axis] > 1


def test_more_ink_with_the_solids_held_shows_in_the_greys_alone() -> None:
    good = seen(Lit())
    held = as_lab(seen(Lit(load=180 * 1.4, limit=1 / 1.4)), good[0]) - as_lab(good, good[0])
    assert np.abs(held[:4]).max() < 1
    assert np.abs(held[4:]).max() > 2
