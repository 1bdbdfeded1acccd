"""When to stop."""

import copy

import pytest

from registry.card.facts import facts
from tests.card import documents
from tests.card.documents import fabric, request, sheet


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
        "failed": False,
    }


def test_a_trial_that_was_not_stood_is_marked() -> None:
    mode = copy.deepcopy(documents.MODE)
    mode["trials"][1]["passed"] = False
    said = {stop["sign"]: (stop["failed"], stop["trial"]) for stop in facts(request(mode=mode))["stops"]}
    assert said["re-wet"] == (True, "re-wet trial FAILED 2026-02-05 at mill-lane")
    assert {sign for sign, (failed, _) in said.items() if failed} == {"re-wet"}


@pytest.mark.parametrize(
    ("take_up", "words"),
    [
        ("face-out", "sticks to itself off the take-up"),
        ("face-in", "sticks to itself off the take-up"),
        ("off", "sticks to the one above it in the stack"),
        (None, "sticks to the one above it in the stack"),
    ],
)
def test_re_wet_is_looked_for_where_the_prints_lie(take_up: str | None, words: str) -> None:
    web = {"vacuum_pct": 40, **({"take_up": take_up} if take_up else {})}
    said = {stop["sign"]: stop for stop in facts(request(mode={**documents.MODE, "web": web}))["stops"]}
    assert said["re-wet"]["what"] == f"a print that was dry turns greasy, or {words}"


def test_sheets_have_no_take_up() -> None:
    assert "take-up" not in " ".join(stop["what"] for stop in facts(sheet())["stops"])
