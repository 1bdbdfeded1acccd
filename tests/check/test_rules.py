import dataclasses
import pkgutil

import pytest

import registry.check.rules as package
from registry.check import RULES, Finding, Rule, check, explain, running
from registry.errors import RequestError
from tests.check.mutations import form, landing, naming, printing, saying
from tests.check.mutations.mutation import Mutation, Told
from tests.check.small import FILM, HAPPENED, Small

MUTATIONS = (
    *form.MUTATIONS,
    *naming.MUTATIONS,
    *saying.MUTATIONS,
    *printing.MUTATIONS,
    *landing.MUTATIONS,
)
every_mutation = pytest.mark.parametrize("mutation", MUTATIONS, ids=str)


def found(pristine: Small, mutation: Mutation) -> list[Finding]:
    now, base = pristine.copy(), pristine.copy()
    states = [pristine]
    for landed in mutation.landed:
        landed(now)
        states.append(now.copy())
    mutation.change(now)
    if mutation.before:
        mutation.before(base)
    told = mutation.landed or mutation.odd
    history = Told(states, merging=mutation.merging, odd=mutation.odd) if told else None
    return check(now, base if mutation.based else None, history=history)


@every_mutation
def test_a_rule_alone_speaks_of_what_is_against_it(pristine: Small, mutation: Mutation) -> None:
    findings = found(pristine, mutation)
    assert {finding.code for finding in findings} == {mutation.code}
    first = findings[0]
    assert (first.path, first.pointer) == (mutation.path, mutation.pointer)
    assert first.remedy
    assert first.line >= 1 <= first.column
    if not first.pointer and first.code == "altered-on-checkout":
        assert (first.line, first.column) == (1, 1)  # of the whole file


@every_mutation
def test_nothing_is_found_once_the_rule_is_silent(
    pristine: Small, mutation: Mutation, monkeypatch: pytest.MonkeyPatch
) -> None:
    silenced = [
        dataclasses.replace(rule, find=lambda _: iter(())) if rule.code == mutation.code else rule
        for rule in RULES
    ]
    monkeypatch.setattr(running, "RULES", silenced)
    assert found(pristine, mutation) == []


def test_every_rule_has_a_mutation() -> None:
    assert {rule.code for rule in RULES} == {mutation.code for mutation in MUTATIONS}


def test_every_module_of_rules_is_in_the_list_once_and_named_by_its_code() -> None:
    modules = sorted(module.name for module in pkgutil.iter_modules(package.__path__))
    assert sorted(rule.code.replace("-", "_") for rule in RULES) == modules
    assert sorted(rule.find.__module__.rpartition(".")[2] for rule in RULES) == modules


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.code)
def test_a_rule_says_what_why_and_how_to_mend(rule: Rule) -> None:
    what, why, mend = explain(rule.code).split("\n\n")
    assert what.endswith(".")
    assert why.endswith(".")
    assert mend.startswith("To mend: ")


def test_an_unknown_rule_is_answered_with_the_nearest() -> None:
    with pytest.raises(RequestError) as caught:
        explain("web-to-hot")
    assert str(caught.value) == "there is no rule 'web-to-hot'; did you mean \"web-too-hot\"?"


def test_a_calibration_holds_for_a_year_and_an_exchange_is_one(pristine: Small) -> None:
    def told(measured: str, *calibrated: str) -> list[str]:
        small = pristine.copy()
        instrument = {"name": "sphere-1", "measures": "transmission", "calibrated": calibrated[0]}
        small.patch("site", "harbour-yard", {"instruments": [instrument]})
        for day in calibrated[1:]:
            event = {"kind": "instrument-changed", "at": f"{day}T09:00:00+00:00", "instrument": "sphere-1"}
            told = {"title": "exchanged", "before": "old", "after": "new", "what": "exchanged"}
            small.put("event", f"harbour-yard/{day}-sphere", HAPPENED | event | told)
        source = {"kind": "measured", "instrument": "sphere-1", "date": measured}
        small.patch("substrate", FILM, {"sources": {"/light": source}})
        return [each.code for each in check(small) if each.code == "calibration-old"]

    assert told("2026-01-10", "2025-01-09") == []
    assert told("2026-01-10", "2025-01-08") == ["calibration-old"]
    assert told("2026-01-10", "2025-01-08", "2025-06-01") == []
    assert told("2026-01-10", "2026-01-11") == []  # what held before is not known
