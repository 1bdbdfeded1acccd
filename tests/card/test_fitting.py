"""The fitter's sheet: what hangs where, what to beware of there, and what is looked at once it is lit."""

import copy
from typing import Any

import pytest

from registry.card.fitting import NoPlace, fitting
from registry.card.request import CardRequest
from registry.card.typeset import fitters_sheet
from tests.card import documents
from tests.card.cards import PAPERS, longest_card
from tests.card.documents import request
from tests.card.reading import printed, without_blanks

CONCOURSE: dict[str, Any] = {
    "title": "Concourse light box",
    "lighting": "backlit",
    "place": "indoor",
    "lamp": {"illuminant": "LED-B3", "pitch_mm": 60},
    "panel": {"position": "front", "material": "clear acrylic, 3 mm"},
    "cautions": ["isolate the box"],
}
CONCOURSE_A: dict[str, Any] = {
    "title": "Concourse A",
    "lighting": "backlit",
    "place": "indoor",
    "location": "south terminal, first box on the left",
    "lamp": {"description": "twelve LED bars, 4000 K"},
    "size": {"width_mm": 1180, "height_mm": 1750},
    "cautions": ["two people"],
}
PLACES: Any = (("display", CONCOURSE_A), ("application", CONCOURSE))


def hung(**changes: Any) -> CardRequest:
    given = {"places": PLACES, "place_id": "harbour-yard/concourse-a", "fitting": (("warn", "Lock it off."),)}
    return request(**given | changes)


def rows(said: dict[str, Any], part: str) -> dict[str, str]:
    return {each["label"]: each["text"] for each in said[part]}


def test_it_says_what_is_hung_where_and_behind_what() -> None:
    said = fitting(hung())
    assert rows(said, "hang") == {
        "print": "Backlit, 16 passes, on Dayfilm 210 matte",
        "finished with": "acrylic-face",
        "which face": "back of the print to the lamp, printed face to the viewer",
        "way round": "not mirrored; it reads right seen from its printed face",
        "size": "1180 mm wide, 1750 mm high, visible",
        "weight": "not recorded",
    }
    where = rows(said, "where")
    assert (where["display"], where["application"]) == ("Concourse A", "Concourse light box")
    assert where["location"] == "south terminal, first box on the left"
    assert rows(said, "lamp")["lamps fitted"] == "twelve LED bars, 4000 K"
    assert rows(said, "lamp")["lamp"] == "LED-B3"  # of its application, as the display does not say
    assert rows(said, "panel")["panel material"] == "clear acrylic, 3 mm"


def test_the_weight_is_of_the_visible_size() -> None:
    film = copy.deepcopy(documents.FILM) | {"mass_g_m2": 288}
    # 1.18 m by 1.75 m are 2.065 m², by 288 g/m² 0.595 kg
    assert rows(fitting(hung(substrate=film)), "hang")["weight"].startswith("0.59 kg for the visible size")


def test_a_second_surface_turns_its_printed_face_to_the_lamp() -> None:
    mode = copy.deepcopy(documents.MODE) | {"print_side": "second-surface", "mirrored": True}
    said = rows(fitting(hung(mode=mode)), "hang")
    assert said["which face"] == "printed face to the lamp; it is seen through the material"
    assert said["way round"] == "mirrored; it reads right seen through the material"


def test_a_print_that_is_not_lit_is_not_checked_lit() -> None:
    mode = copy.deepcopy(documents.MODE) | {"lighting": "frontlit"}
    assert fitting(hung(mode=mode))["lamp"] == []
    assert len(fitting(hung(mode=mode))["checks"]) < len(fitting(hung())["checks"])


def test_it_needs_a_place() -> None:
    with pytest.raises(NoPlace, match="--for DISPLAY or --for APPLICATION"):
        fitting(request())


@pytest.mark.parametrize("paper", PAPERS)
def test_it_is_one_page_with_its_cautions_code_and_letters_of_a_size_to_read(paper: str) -> None:
    asked = hung(paper=paper)
    (made,) = fitters_sheet(asked, "pdf")
    page = printed(made)
    assert page.pages == 1
    assert min(page.sizes) >= (7.5 if paper == "a5" else 9) - 0.01
    slug = f"{asked.mode_id} r5 {asked.digest[:12]}"
    for words in ("Lock it off.", "two people", "isolate the box", slug, "page 1 of 1", "viewer ↓ panel"):
        assert without_blanks(words) in page.text


@pytest.mark.parametrize("paper", PAPERS)
def test_the_longest_goes_on_and_loses_no_caution(paper: str) -> None:
    rules = tuple(("warn", f"rule {number:02}: {'x ' * 150}end") for number in range(12))
    asked = longest_card(paper, standing="known-good", fitting=rules)
    page = printed(fitters_sheet(asked, "pdf")[0])
    for each in fitting(asked)["cautions"]:
        assert without_blanks(each["text"]) in page.text
    assert len(fitting(asked)["cautions"]) == 12 + 12
