"""What has no room on the first page goes to the next one: nothing gives way, no letters get too small."""

import copy
import io

import pytest
import zxingcpp
from PIL import Image

from registry.card.facts import facts
from registry.card.request import CardRequest
from registry.card.typeset import card
from tests.card import documents
from tests.card.cards import CARDS, JOB, every_card, every_paper, everything, pdf, read, unit_card
from tests.card.documents import request
from tests.card.longest import prose
from tests.card.reading import Printed, printed, without_blanks

FLOOR = {"a4": 9, "letter": 9, "a5": 7.5}
"""The smallest letters on a sheet, in points; DEVELOPERS.md says the same."""


def rules(level: str, many: int) -> tuple[tuple[str, str], ...]:
    return tuple((level, f"rule {level} {number:02}: {prose(120)}") for number in range(many))


def lacking(asked: CardRequest, page: Printed) -> list[str]:
    """Return which cautions, notes, advice and parts of trials are not printed in full."""
    said = facts(asked)
    texts = [each["text"] for each in said["cautions"]] + said["usual"]
    texts += [words for stop in said["stops"] for words in (stop["trial"], stop["how"], stop["seen"])]
    return [text for text in texts if without_blanks(text) not in page.text]


@every_paper
@every_card
def test_no_letters_are_smaller_than_the_floor(name: str, paper: str) -> None:
    page = read(name, paper)
    small = {size for size in page.sizes if size < FLOOR[paper] - 0.01}
    assert small == set()


@every_paper
@every_card
def test_every_caution_note_and_piece_of_advice_is_printed_in_full(name: str, paper: str) -> None:
    asked = CARDS[name](paper)
    assert lacking(asked, read(name, paper)) == []


@pytest.mark.parametrize("warnings", [0, 4, 8, 16, 32, 64])
@every_paper
def test_nothing_gives_way_to_warnings(warnings: int, paper: str) -> None:
    asked = unit_card(paper=paper, guidance=(*rules("warn", warnings), *rules("advise", 4)), job=JOB)
    page = printed(pdf(asked))
    assert lacking(asked, page) == []
    for words in ("MEASURED", "cyan + magenta", "computed, not measured", "strip reading", "roll lot"):
        assert without_blanks(words) in page.text


def test_one_page_is_used_where_it_does() -> None:
    assert [read(name, "a4").pages for name in ("second surface", "fabric")] == [1, 1]
    assert read("with a unit", "a4").pages == 2


@pytest.mark.parametrize("name", ["with a unit", "longest", "on trial"])
@every_paper
def test_every_page_names_the_card_and_which_page_it_is(name: str, paper: str) -> None:
    asked, page = CARDS[name](paper), read(name, paper)
    assert page.pages > 1
    said = facts(asked)
    for number in range(1, page.pages + 1):
        words = page.page(number)
        for wanted in (
            f"{asked.substrate['title']}, {asked.mode['title']}",
            f"page {number} of {page.pages}",
            f"revision r{asked.revision}",
            said["record"]["slug"],
            said["foot"],
            said["banner"]["words"] if said["banner"] else "",
        ):
            assert without_blanks(wanted) in words


def test_every_page_carries_the_code() -> None:
    pictures = card(unit_card(), "png")
    codes = [zxingcpp.read_barcodes(Image.open(io.BytesIO(each))) for each in pictures]
    assert [[code.text for code in each] for each in codes] == [[facts(unit_card())["record"]["code"]]] * 2


def test_what_can_hurt_and_when_to_stop_stand_on_the_first_page() -> None:
    for paper in ("a4", "letter"):
        asked, page = unit_card(paper=paper), read("with a unit", paper)
        first = page.page(1)
        grave = [each["text"] for each in facts(asked)["cautions"] if each["from"] not in ("note", "advise")]
        for words in (*grave, *facts(asked)["usual"], "STOP IF", "feed correction"):
            assert without_blanks(words) in first


def test_a_trial_that_failed_is_said_in_full() -> None:
    mode = copy.deepcopy(documents.MODE)
    mode["trials"][1]["passed"] = False
    mode["trials"].append({"what": "adhesion", "date": "2026-02-09", "site": "mill-lane", "passed": False})
    page = printed(pdf(request(paper="a5", mode=mode, guidance=rules("warn", 64))))
    for words in (
        "re-wet trial FAILED 2026-02-05",
        "adhesion trial FAILED 2026-02-09",
        "seen: parted freely",
    ):
        assert without_blanks(words) in page.text


@every_paper
def test_the_longest_card_of_all_goes_on_with_every_demand(paper: str) -> None:
    asked, page = everything(paper), read("longest, everything", paper)
    for words in (*asked.unmet, *asked.untold, *(text for _, text in asked.job)):
        assert without_blanks(words) in page.text.replace(facts(asked)["foot"], "")
