"""What gives way where a sheet is full: what can hurt someone goes last, and the card says that it went."""

import copy
import re
from typing import Any

import pytest

from registry.card.facts import facts
from registry.card.request import CardRequest
from registry.card.typeset import card
from tests.card import documents
from tests.card.cards import JOB, every_paper, everything, read, unit_card
from tests.card.documents import request
from tests.card.longest import prose
from tests.card.reading import Printed, printed, without_blanks

NO_ROOM = re.compile(r"(\d+)CAUTIONSHAVENOROOMHERE\.Readbeforeyouprint:litstockshow|(1)CAUTIONHASNOROOMHERE")
ADVICE = re.compile(r"(\d+)more(?:pieceofadvice|piecesofadvice)")


def kept(asked: CardRequest, page: Printed) -> tuple[list[bool], list[bool]]:
    """Return of each caution, and of each piece of advice, whether it is printed in full."""
    said = [(each["from"], without_blanks(each["text"]) in page.text) for each in facts(asked)["cautions"]]
    advice = [there for level, there in said if level == "advise"]
    return [there for level, there in said if level != "advise"], advice


def counted(found: re.Match[str] | None) -> int:
    return int(next(filter(None, found.groups()))) if found else 0


def luxuries(page: Printed) -> list[str]:
    """Return what is printed that is to go before any caution does."""
    words = {"readings": "MEASURED", "plan": "computed,notmeasured", "trials that were stood": "trialpassed"}
    return [what for what, said in words.items() if said in page.text]


def rules(level: str, many: int) -> tuple[tuple[str, str], ...]:
    return tuple((level, f"rule {level} {number:02}: {prose(120)}") for number in range(many))


@pytest.mark.parametrize("warnings", [0, 4, 8, 16, 32, 64])
@every_paper
def test_no_caution_goes_while_anything_else_is_there_to_go(warnings: int, paper: str) -> None:
    guidance = (*rules("warn", warnings), *rules("advise", 4))
    asked = unit_card(paper=paper, guidance=guidance, job=JOB)
    page = printed(card(asked, "pdf"))
    cautions, advice = kept(asked, page)
    assert len(cautions) == warnings + 3
    assert cautions.count(False) == counted(NO_ROOM.search(page.text))
    assert advice.count(False) == counted(ADVICE.search(page.text))
    if False in cautions:
        assert True not in advice
        assert luxuries(page) == []
        assert all(cautions[:3])  # the records' own go last


def test_those_steps_are_all_taken() -> None:
    """The test above would prove nothing if every card held everything, or none did."""
    seen = set()
    for warnings in (0, 8, 64):
        asked = unit_card(paper="a5", guidance=rules("warn", warnings), job=JOB)
        page = printed(card(asked, "pdf"))
        seen.add((False in kept(asked, page)[0], bool(luxuries(page))))
    assert seen == {(False, True), (True, False)}


@every_paper
def test_a_card_that_cannot_hold_its_cautions_says_so_first_and_names_the_command(paper: str) -> None:
    places: Any = (("display", {"title": "Concourse A", "cautions": ["Isolate the box."]}),)
    given: dict[str, Any] = {"places": places, "place_id": "harbour-yard/concourse-a", "job": JOB}
    page = printed(card(unit_card(paper=paper, guidance=rules("warn", 90), **given), "pdf"))
    found = NO_ROOM.search(page.text)
    assert found
    words = (
        f"{found[1]} CAUTIONS HAVE NO ROOM HERE. Read before you print: "
        "litstock show lumenfold/dayfilm-210/backlit-16@r5 --for harbour-yard/concourse-a"
    )
    (size,) = page.sizes_of(words)
    assert size >= 7.99
    assert page.place_of(words) < page.place_of("STOP IF")


@every_paper
def test_the_longest_records_keep_every_caution_with_unit_place_and_plan(paper: str) -> None:
    asked = everything(paper, "known-good", guidance=(), unmet=(), untold=())
    page = printed(card(asked, "pdf"))
    cautions, _ = kept(asked, page)
    assert len(cautions) == 30  # six of mode, substrate, printer, display and application each
    assert all(cautions)
    assert "NOROOM" not in page.text


@every_paper
def test_the_longest_card_of_all_counts_what_it_cannot_hold(paper: str) -> None:
    asked, page = everything(paper), read("longest, everything", paper)
    cautions, advice = kept(asked, page)
    large = 1  # the refusal in the banner is not said twice
    assert len(cautions) + large == 10 + 30 + 10
    assert cautions.count(False) == counted(NO_ROOM.search(page.text)) > 0
    assert (True in advice, luxuries(page)) == (False, [])
    assert "whatthisjobtakeshasnoroomhere:litstockplan" in page.text
    assert counted(ADVICE.search(page.text)) == 10
    assert without_blanks("its re-wet trial FAILED on 2026-12-31") in page.text
    assert without_blanks("39 more: litstock find --for") in page.text


def test_a_trial_that_failed_is_never_left_out() -> None:
    mode = copy.deepcopy(documents.MODE)
    mode["trials"][1]["passed"] = False
    mode["trials"].append({"what": "adhesion", "date": "2026-02-09", "site": "mill-lane", "passed": False})
    page = printed(card(request(paper="a5", mode=mode, guidance=rules("warn", 64)), "pdf"))
    assert "NOROOM" in page.text
    for words in ("re-wet trial FAILED 2026-02-05", "adhesion trial FAILED 2026-02-09"):
        assert without_blanks(words) in page.text


def test_a_plan_on_a5_leaves_the_settings_a_line_each_and_every_caution() -> None:
    places: Any = (
        ("display", {"title": "Concourse A", "cautions": ["work at height: two people"]}),
        ("application", {"title": "Concourse", "cautions": ["isolate the box before opening"]}),
    )
    given: dict[str, Any] = {"places": places, "place_id": "harbour-yard/concourse-a", "job": JOB}
    asked = unit_card(paper="a5", guidance=(*documents.GUIDANCE, *rules("warn", 2)), **given)
    page = printed(card(asked, "pdf"))
    assert all(kept(asked, page)[0])
    assert "plan" in luxuries(page)
    lines = [
        page.boxes[page.place_of(words)][3]
        for words in ("drying set-point", "curing set-point", "tension 18")
    ]
    assert len({round(line) for line in lines}) == 3
