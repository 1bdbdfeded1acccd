"""When to stop, and what to beware of."""

import copy

import pytest

from registry.card.facts import facts
from tests.card import documents
from tests.card.documents import fabric, request


def test_stop_conditions_are_tied_to_the_latest_trials() -> None:
    mode = copy.deepcopy(documents.MODE)
    mode["trials"].append(
        {"what": "re-wet", "date": "2026-02-20", "site": "north-quay", "passed": False, "result": "greasy"}
    )
    said = {stop["sign"]: stop for stop in facts(request(mode=mode))["stops"]}
    assert list(said) == ["too hot", "tack", "re-wet", "scratch"]
    assert said["too hot"]["what"] == "the web gets hotter than 110 °C, the most it bears"
    assert said["tack"]["trial"] == "cure trial passed 2026-02-04 at mill-lane"
    assert said["re-wet"]["trial"] == "re-wet trial FAILED 2026-02-20 at north-quay"
    assert said["re-wet"]["seen"] == "greasy"


def test_stop_conditions_without_trials_say_that_none_is_recorded() -> None:
    said = {stop["sign"]: stop for stop in facts(fabric())["stops"]}
    assert [said[sign]["trial"] for sign in ("tack", "re-wet", "scratch")] == [
        "cure trial not recorded",
        "re-wet trial not recorded",
        "pencil trial not recorded",
    ]
    assert said["scratch"]["how"] == "pencil hardness, bare face: not recorded"
    assert "too hot" not in said


@pytest.mark.parametrize(("pencil", "soft"), [("9B", True), ("HB", True), ("H", False), ("9H", False)])
def test_scratch_warns_of_a_soft_face(pencil: str, soft: bool) -> None:
    mode = copy.deepcopy(documents.MODE)
    mode["trials"][2]["pencil"] = pencil
    (scratch,) = [stop for stop in facts(request(mode=mode))["stops"] if stop["sign"] == "scratch"]
    assert ("until finished the face is soft" in scratch["what"]) is soft


def test_other_trials_are_told_too() -> None:
    mode = copy.deepcopy(documents.MODE)
    mode["trials"].append(
        {"what": "adhesion", "date": "2026-02-20", "site": "north-quay", "passed": True, "cross_cut": 1}
    )
    assert facts(request(mode=mode))["stops"][-1] == {
        "sign": "adhesion",
        "what": "",
        "trial": "adhesion trial passed 2026-02-20 at north-quay",
        "how": "cross-cut class: 1",
        "seen": "",
    }


def test_cautions_come_gravest_first() -> None:
    guidance = (("advise", "a"), ("refuse", "r"), ("warn", "w"))
    assert [each["from"] for each in facts(request(guidance=guidance))["cautions"]] == [
        "refuse", "mode", "substrate", "printer", "warn", "advise",
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("finishing", "word"), [("liquid-laminate", "Liquid laminate:"), ("film-laminate", "Laminator:")]
)
def test_usual_cautions_follow_the_finishing(finishing: str, word: str) -> None:
    said = facts(request(mode={**documents.MODE, "finishing": [finishing]}))["usual"]
    assert any(text.startswith(word) for text in said)
    assert not any(text.startswith(word) for text in facts(request())["usual"])
    assert said[0].startswith("Hot:")
    assert said[-1] == "Local codes and the safety data sheets stand above this card."
