"""Changes judged landing by landing."""

import random
from itertools import pairwise

import pytest

from registry.check import RULES, check
from registry.check.finding import Finding
from registry.check.walking import check_steps
from registry.model.kinds import path_of
from registry.question.steps import Step
from tests.check.small import BACKLIT, READING_AT, WINDOW, Small, cgats
from tests.check.test_robustness import spoilt
from tests.check.test_rules import MUTATIONS

MODE = path_of("print-mode", WINDOW)


def step(before: Small, now: Small, landing: str = "") -> Step:
    paths = before.files.keys() | now.files.keys()
    changed = [path for path in paths if before.files.get(path) != now.files.get(path)]
    return Step({path: now.files.get(path) for path in changed}, landing)


def test_the_rules_about_changes_are_those_that_need_a_base() -> None:
    assert {rule.code for rule in RULES if rule.of_changes} == {each.code for each in MUTATIONS if each.based}


@pytest.mark.parametrize("seed", range(30))
def test_one_step_finds_what_one_look_at_both_sides_finds(pristine: Small, seed: int) -> None:
    chance = random.Random(seed)
    now, base = spoilt(chance, pristine), spoilt(chance, pristine)
    found = {*check(now), *check_steps(base.files, [step(base, now)])}
    assert found == set(check(now, base))


def test_a_record_may_be_revised_in_every_landing(small: Small) -> None:
    states = [small]
    for cure_c in (91, 92, 93):
        states.append(states[-1].copy())
        states[-1].revise("print-mode", WINDOW, {"heat": {"cure_c": cure_c}}, f"cure at {cure_c}")
    steps = [step(*pair, f"commit-{number}") for number, pair in enumerate(pairwise(states))]
    assert list(check_steps(small.files, steps)) == []
    in_one_go = list(check_steps(small.files, [step(states[0], states[-1])]))
    assert [finding.code for finding in in_one_go] == ["revision-wrong"]


def told(findings: list[Finding]) -> list[tuple[str, str]]:
    return [(finding.code, finding.landing) for finding in findings]


def test_a_finding_names_the_landing_it_came_with_though_a_later_one_hides_it(pristine: Small) -> None:
    advice = path_of("guidance", "aqueous-suits")
    skipped = pristine.copy()
    skipped.revise("print-mode", WINDOW, {"revision": 3, "heat": {"cure_c": 91}})
    gone = skipped.copy()
    gone.files.pop(advice)
    mended = gone.copy()
    mended.files[advice] = pristine.files[advice]
    steps = [step(pristine, skipped, "first"), step(skipped, gone, "second"), step(gone, mended)]
    assert told(list(check_steps(pristine.files, steps))) == [
        ("revision-wrong", "first"),
        ("deleted", "second"),
    ]


def test_findings_are_kept_to_the_paths_asked_about(pristine: Small) -> None:
    now = pristine.copy()
    now.files.pop(MODE)
    now.files.pop(path_of("guidance", "aqueous-suits"))
    found = check_steps(pristine.files, [step(pristine, now)], only=["records/guidance/"])
    assert [finding.path for finding in found] == [path_of("guidance", "aqueous-suits")]


def test_what_an_earlier_step_brought_is_known_to_a_later_one(pristine: Small) -> None:
    attached, named = pristine.copy(), pristine.copy()
    place = READING_AT.replace("backlit-16", "again")
    attached.files[place] = cgats(note="again")
    tuned = attached.copy()
    tuned.revise("print-mode", BACKLIT, {"status": "trial", "heat": {"cure_c": 99}})
    named = tuned.copy()
    named.confirm(BACKLIT, "2026-02-22-again")
    steps = [step(pristine, attached, "a"), step(attached, tuned, "b"), step(tuned, named, "c")]
    assert told(list(check_steps(pristine.files, steps))) == [("attachment-unused", "a")]
