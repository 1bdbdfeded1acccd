"""Why a mode is on trial: the gravest reason, said once for all who tell it."""

from typing import Any

import pytest

from registry.model.shape import shape_of
from registry.question.standing import failed_trial, why_on_trial
from registry.question.when import version
from tests import small
from tests.index.branch import Branch
from tests.index.drawn import as_file

PATH = small.mode_path(small.MODE)
BASE = small._START[PATH]  # noqa: SLF001
DIGEST = shape_of("print-mode").digest(BASE)


def mode(number: int, status: str, *trials: dict[str, Any], day: str = "2026-01-02") -> dict[str, Any]:
    recorded = {"recorded": {"date": day, "site": "quay"}, "reason": f"r{number}"}
    return {PATH: BASE | {"revision": number, "status": status, "trials": list(trials)} | recorded}


def trial(what: str, day: str, *, passed: bool) -> dict[str, Any]:
    return {"what": what, "date": day, "site": "quay", "passed": passed}


def word(outcome: str, day: str, site: str = "quay", digest: str = DIGEST) -> dict[str, Any]:
    said = {"mode": small.MODE, "mode_revision": 1, "settings_digest": digest, "date": day, "site": site}
    return {f"records/sites/{site}/confirmations/{day}-c.json": said | {"outcome": outcome}}


def why(branch: Branch, when: str = "") -> str:
    registry = branch.registry()
    return why_on_trial(registry, version(registry, small.MODE + when))


FAILED = trial("re-wet", "2026-01-05", passed=False)


def test_a_failed_trial_is_the_gravest_reason_even_where_a_site_confirmed(branch: Branch) -> None:
    branch.land(mode(1, "trial", FAILED) | word("good", "2026-01-06") | word("failed", "2026-01-07"))
    assert why(branch) == "its re-wet trial FAILED on 2026-01-05 at quay"


def test_a_failed_trial_counts_until_one_of_its_kind_is_stood(branch: Branch) -> None:
    cure = trial("cure", "2026-01-04", passed=False)
    assert failed_trial({"trials": [cure, FAILED]}) == "its re-wet trial FAILED on 2026-01-05 at quay"
    stood = trial("re-wet", "2026-01-08", passed=True)
    assert failed_trial({"trials": [cure, FAILED, stood]}) == "its cure trial FAILED on 2026-01-04 at quay"
    branch.land(mode(1, "trial", FAILED, stood))
    assert why(branch) == "nobody has confirmed these settings"


def test_a_trial_of_earlier_settings_is_said_to_be_one(branch: Branch) -> None:
    branch.land(mode(1, "trial", FAILED, day="2026-02-01"))
    assert why(branch) == "its re-wet trial FAILED on 2026-01-05 at quay, before these settings were written"


def test_a_print_that_failed_comes_before_one_that_went_well(branch: Branch) -> None:
    branch.land(mode(1, "trial") | word("failed", "2026-01-06") | word("good", "2026-01-07", "mill"))
    assert why(branch) == "quay printed it, and it FAILED, on 2026-01-06"


def test_what_is_confirmed_and_still_says_trial_is_said_to_be_so(branch: Branch) -> None:
    words = word("good", "2026-01-06") | word("usable", "2026-01-08") | word("good", "2026-01-07", "mill")
    branch.land(mode(1, "trial") | words)
    told = "confirmed by quay on 2026-01-06 and mill on 2026-01-07, but its record still says trial"
    assert why(branch) == told


def test_a_reservation_is_no_good_word(branch: Branch) -> None:
    branch.land(mode(1, "trial") | word("usable", "2026-01-06"))
    told = "confirmed as usable only, by quay on 2026-01-06, but its record still says trial"
    assert why(branch) == told


def test_the_trial_before_a_known_good_revision_names_it(branch: Branch) -> None:
    branch.land(mode(1, "trial") | word("good", "2026-01-06"))
    branch.land(mode(2, "known-good"))
    assert why(branch, "@r1") == "its record says so; r2 has these very settings and is known good"


@pytest.mark.parametrize(
    ("status", "words"),
    [
        ("trial", "nobody has confirmed these settings"),
        ("known-good", "its record says known-good, but nobody has confirmed these settings"),
    ],
)
def test_a_confirmation_of_other_settings_confirms_nothing(branch: Branch, status: str, words: str) -> None:
    branch.land(mode(1, status) | word("good", "2026-01-06", digest="0" * 64))
    assert why(branch) == words


def test_what_is_not_on_trial_has_no_reason(branch: Branch) -> None:
    branch.land(mode(1, "known-good", FAILED) | word("good", "2026-01-06"))
    branch.land(mode(2, "withdrawn", FAILED) | {"records/printers/wide.json": {"title": "Wide"}})
    registry = branch.registry()
    assert (why(branch, "@r1"), why(branch, "@r2")) == ("", "")
    assert why_on_trial(registry, version(registry, "wide")) == ""


def test_what_is_withdrawn_stands_so_whoever_has_confirmed_it_or_not(branch: Branch) -> None:
    for confirmed in (False, True):
        branch.land(mode(2, "withdrawn") | (word("good", "2026-01-06") if confirmed else {}))
        revision = branch.model().revisions(PATH)[-1]
        assert branch.model().standing(revision) == "withdrawn"


def test_a_word_on_one_mode_is_none_on_another_with_the_very_same_settings(branch: Branch) -> None:
    other = small.MODE.replace("backlit-16", "twin")
    branch.land(
        mode(1, "trial") | {small.mode_path(other): mode(1, "trial")[PATH]} | word("good", "2026-01-06")
    )
    words = [branch.model().words(rid, DIGEST) for rid in (small.MODE, other)]
    assert [len(each) for each in words] == [1, 0]


def test_a_draft_is_asked_by_its_own_word(branch: Branch) -> None:
    branch.land(mode(1, "known-good") | word("good", "2026-01-06"))
    (branch.folder / PATH).write_bytes(as_file(mode(2, "trial", FAILED)[PATH]))
    assert why(branch, "@draft") == "its re-wet trial FAILED on 2026-01-05 at quay"
