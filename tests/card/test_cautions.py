"""What to beware of: nothing is lost, and only what stands there twice letter by letter is said once."""

from typing import Any

import pytest

from registry.card.facts import facts
from registry.card.fitting import fitting
from tests.card import documents
from tests.card.documents import request

CONCOURSE = {
    "title": "Concourse light box",
    "cautions": ["isolate the box before opening; electrical work by a licensed electrician"],
}
CONCOURSE_A = {"title": "Concourse A", "cautions": [*CONCOURSE["cautions"], "work at height: two people"]}
ELECTRICITY = (
    "Isolate a light box and make sure that it is dead before it is opened. Lamps, drivers and wiring are "
    "work for a licensed electrician under the local code."
)
BLADES = (
    "Cut away from the hand, with a fresh blade and a guard ruler. Film and sheet edges cut as well: wear "
    "gloves when large pieces are moved."
)
FOLD = (
    "Resin ink on fabric whitens along a fold and does not recover. Roll it face out on a wide core, from "
    "the printer to the frame."
)


def cautions(
    *guidance: tuple[str, str], mode: tuple[str, ...] = (), film: tuple[str, ...] = (), **more: Any
) -> list[tuple[str, str]]:
    """Return `from` and `text` of the cautions of a card with these alone."""
    asked = request(
        mode={**documents.MODE, "cautions": list(mode), "notes": []},
        substrate={**documents.FILM, "cautions": list(film)},
        printer={**documents.PRINTER, "cautions": []},
        guidance=guidance,
        **more,
    )
    return [(each["from"], each["text"]) for each in facts(asked)["cautions"]]


def usual(*guidance: tuple[str, str], finishing: str = "acrylic-face") -> list[str]:
    asked = request(mode={**documents.MODE, "finishing": [finishing], "cautions": []}, guidance=guidance)
    asked.printer["cautions"] = []
    asked.substrate["cautions"] = []
    found: list[str] = facts(asked)["usual"]
    return found


def test_cautions_come_gravest_first() -> None:
    guidance = (("advise", "a"), ("refuse", "r"), ("refuse", "s"), ("warn", "w"))
    asked = request(guidance=guidance, places=(("application", CONCOURSE),))
    assert [each["from"] for each in facts(asked)["cautions"]] == [
        "refuse", "mode", "substrate", "printer", "warn", "note", "advise",
    ]  # fmt: skip


def test_what_the_banner_says_is_not_said_again() -> None:
    said = facts(request(guidance=(("refuse", "It re-wets."), ("refuse", "It curls."))))
    assert said["banner"]["lines"] == ["It re-wets."]
    assert [each["text"] for each in said["cautions"] if each["from"] == "refuse"] == ["It curls."]


def test_a_display_brings_its_own_cautions_and_its_applications_each_once_for_the_fitter() -> None:
    places: Any = (("display", CONCOURSE_A), ("application", CONCOURSE))
    assert cautions(places=places) == []
    said = fitting(request(places=places, place_id="harbour-yard/concourse-a"))["cautions"]
    assert [(each["from"], each["text"]) for each in said] == [
        ("display", "isolate the box before opening; electrical work by a licensed electrician"),
        ("display", "work at height: two people"),
    ]


def test_what_the_specialist_noted_stands_before_general_advice() -> None:
    asked = request(guidance=(("advise", "a"), ("warn", "w")))
    froms = [each["from"] for each in facts(asked)["cautions"]]
    assert froms.index("warn") < froms.index("note") < froms.index("advise")
    assert documents.MODE["notes"][0] in [each["text"] for each in facts(asked)["cautions"]]


@pytest.mark.parametrize("level", ["advise", "warn", "refuse"])
def test_no_caution_is_lost_between_the_two_sheets(level: str) -> None:
    places: Any = (("display", CONCOURSE_A), ("application", CONCOURSE))
    both = {"printing": (level, f"{level} of printing"), "fitting": ("warn", "of fitting")}
    asked = request(guidance=(both["printing"],), fitting=(both["fitting"],), places=places)
    printer, fitter = facts(asked), fitting(asked)
    card = [each["text"] for each in printer["cautions"]] + (printer["banner"] or {"lines": []})["lines"]
    sheet = [each["text"] for each in fitter["cautions"]]
    records = (asked.mode, asked.substrate, asked.printer, *(document for _, document in places))
    own = [text for document in records for text in document["cautions"]]
    wanted = {*own, *(text for _, text in both.values())}
    assert wanted <= {*card, *sheet}
    assert wanted & {*card} & {*sheet} == set()
    assert "of fitting" in sheet


def test_without_a_place_its_cautions_are_not_said() -> None:
    assert cautions() == []
    assert facts(request())["place"] is None


def test_the_card_names_what_it_is_printed_for() -> None:
    places = (("display", CONCOURSE_A), ("application", CONCOURSE))
    said = facts(request(places=places, place_id="harbour-yard/concourse-a"))
    assert said["place"] == {"kind": "display", "id": "harbour-yard/concourse-a", "title": "Concourse A"}
    assert {"label": "for", "text": "Concourse A"} in said["load"]["with"]
    assert said["record"]["show"].endswith("backlit-16@r5 --for harbour-yard/concourse-a")


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("Stop the web before clearing a jam", "Wait until a jam is cleared, and never stop a soft web hot."),
        ("Wear gloves", "Never wear gloves near the rollers"),
        ("switch the lamps off", "switch the lamps on before it is judged, not off"),
        ("blades: cut away from the hand", BLADES),
        ("sheet edges cut: gloves", BLADES),
        ("roll the print on a core, never fold it", FOLD),
        ("isolate the box, discharge the driver", ELECTRICITY),
        ("isolate the box", "isolate the box "),
        ("isolate the box", "Isolate the box"),
    ],
)
def test_only_the_same_words_are_said_once(one: str, other: str) -> None:
    assert cautions(mode=(one,), film=(other, one)) == [("mode", one), ("substrate", other)]
    assert cautions(mode=(other,), film=(one, other)) == [("mode", other), ("substrate", one)]
    assert cautions(("warn", other), mode=(one, one)) == [("mode", one), ("warn", other)]


def test_the_same_words_are_said_as_the_gravest_of_them() -> None:
    assert cautions(("advise", "Earth it."), ("warn", "Earth it.")) == [("warn", "Earth it.")]
    assert cautions(("warn", "Earth it."), film=("Earth it.",)) == [("substrate", "Earth it.")]


def test_a_refusal_is_said_as_one_whoever_else_says_it() -> None:
    refused = (("refuse", "Do not laminate it."), ("refuse", "Do not wind it."))
    said = cautions(*refused, ("warn", "Do not wind it."), film=("Do not wind it.",))
    assert said == [("refuse", "Do not wind it.")]  # the other one stands in large letters


def test_every_card_carries_the_usual_cautions() -> None:
    assert usual() == [
        "Hot: heaters, platen and fresh prints burn.",
        "Blades: cut away from the hand, and close the knife.",
        "Local codes and the safety data sheets stand above this card.",
    ]


@pytest.mark.parametrize(
    ("finishing", "word"), [("liquid-laminate", "Liquid laminate:"), ("film-laminate", "Laminator:")]
)
def test_usual_cautions_follow_the_finishing(finishing: str, word: str) -> None:
    assert any(text.startswith(word) for text in usual(finishing=finishing))
    assert not any(text.startswith(word) for text in usual())


@pytest.mark.parametrize(
    "text",
    [
        "The curing zone is hot enough to burn. Never stop a soft web under the heater.",
        "It is not hot: the heaters are off.",
        "Never cut away from the hand with the small knife.",
        "Liquid laminates need no gloves, whatever the safety data sheet says.",
        "mind fingers in the nip",
    ],
)
def test_no_other_caution_stands_for_a_usual_one(text: str) -> None:
    assert usual(("warn", text), finishing="film-laminate") == usual(finishing="film-laminate")
    assert cautions(("warn", text)) == [("warn", text)]


def test_what_every_card_carries_is_not_said_by_its_records_again() -> None:
    hot = "Hot: heaters, platen and fresh prints burn."
    assert cautions(mode=(hot, "Earth it.")) == [("mode", "Earth it.")]
    assert hot in usual()
