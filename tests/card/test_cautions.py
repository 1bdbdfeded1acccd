"""What to beware of, each said once."""

from typing import Any

import pytest

from registry.card.facts import facts
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
        mode={**documents.MODE, "cautions": list(mode)},
        substrate={**documents.FILM, "cautions": list(film)},
        printer={**documents.PRINTER, "cautions": []},
        guidance=guidance,
        **more,
    )
    return [(each["from"], each["text"]) for each in facts(asked)["cautions"]]


def usual(*guidance: tuple[str, str], finishing: str = "acrylic-face") -> list[tuple[str, int | None]]:
    asked = request(mode={**documents.MODE, "finishing": [finishing], "cautions": []}, guidance=guidance)
    asked.printer["cautions"] = []
    asked.substrate["cautions"] = []
    return [(each["text"], each["by"]) for each in facts(asked)["usual"]]


def test_cautions_come_gravest_first() -> None:
    guidance = (("advise", "a"), ("refuse", "r"), ("refuse", "s"), ("warn", "w"))
    asked = request(guidance=guidance, places=(("application", CONCOURSE),))
    assert [each["from"] for each in facts(asked)["cautions"]] == [
        "refuse", "mode", "substrate", "printer", "application", "warn", "advise",
    ]  # fmt: skip


def test_what_the_banner_says_is_not_said_again() -> None:
    said = facts(request(guidance=(("refuse", "It re-wets."), ("refuse", "It curls."))))
    assert said["banner"]["lines"] == ["It re-wets."]
    assert [each["text"] for each in said["cautions"] if each["from"] == "refuse"] == ["It curls."]


def test_a_display_brings_its_own_cautions_and_its_applications_each_once() -> None:
    places = (("display", CONCOURSE_A), ("application", CONCOURSE))
    assert cautions(places=places) == [
        ("display", "isolate the box before opening; electrical work by a licensed electrician"),
        ("display", "work at height: two people"),
    ]


def test_without_a_place_its_cautions_are_not_said() -> None:
    assert cautions() == []
    assert facts(request())["place"] is None


def test_the_card_names_what_it_is_printed_for() -> None:
    places = (("display", CONCOURSE_A), ("application", CONCOURSE))
    said = facts(request(places=places, place_id="harbour-yard/concourse-a"))
    assert said["place"] == {"kind": "display", "id": "harbour-yard/concourse-a", "title": "Concourse A"}
    assert {"label": "for", "text": "Concourse A"} in said["load"]["with"]
    assert said["record"]["show"].endswith("backlit-16@r5 --for harbour-yard/concourse-a")


def test_the_fuller_of_two_cautions_takes_the_graver_ones_place() -> None:
    places = (("display", CONCOURSE_A), ("application", CONCOURSE))
    said = cautions(("advise", "Judge it lit."), ("warn", ELECTRICITY), places=places)
    assert said == [
        ("display", ELECTRICITY),
        ("display", "work at height: two people"),
        ("advise", "Judge it lit."),
    ]


@pytest.mark.parametrize(
    ("mode", "film", "advice"),
    [
        ("blades: cut away from the hand", "blade cuts: cut away from the hand", BLADES),
        ("sheet edges cut: gloves", "film edges cut: wear gloves", BLADES),
        ("roll the print on a core, never fold it", "roll it, never fold it: ink whitens in a crease", FOLD),
    ],
)
def test_blades_and_folds_are_said_once(mode: str, film: str, advice: str) -> None:
    assert cautions(("advise", advice), mode=(mode,), film=(film,)) == [("mode", advice)]


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("isolate the box, discharge the driver", "Isolate the box before it is opened; the driver is live."),
        ("roll in above force 5", "roll awnings in before the wind is up, above force 4"),
        ("static: earth the take-up, no rags near the web", "the web builds up static: earth the take-up"),
        ("fold it", "never roll it"),
    ],
)
def test_a_caution_that_says_more_is_kept_beside_the_other(one: str, other: str) -> None:
    assert cautions(mode=(one,), film=(other,)) == [("mode", one), ("substrate", other)]


def test_a_refusal_keeps_its_own_words() -> None:
    refused = (("refuse", "Do not laminate it."), ("refuse", "Do not wind it."))
    said = cautions(*refused, ("warn", "Do not wind it tightly, do not laminate it warm."))
    assert said == [
        ("refuse", "Do not wind it."),
        ("warn", "Do not wind it tightly, do not laminate it warm."),
    ]


def test_every_card_carries_the_usual_cautions() -> None:
    assert usual() == [
        ("Hot: heaters, platen and fresh prints burn.", None),
        ("Blades: cut away from the hand, and close the knife.", None),
        ("Local codes and the safety data sheets stand above this card.", None),
    ]


@pytest.mark.parametrize(
    ("finishing", "word"), [("liquid-laminate", "Liquid laminate:"), ("film-laminate", "Laminator:")]
)
def test_usual_cautions_follow_the_finishing(finishing: str, word: str) -> None:
    assert any(text.startswith(word) for text, _ in usual(finishing=finishing))
    assert not any(text.startswith(word) for text, _ in usual())


def test_a_usual_caution_says_which_caution_says_it_already() -> None:
    hot = "The curing zone is hot enough to burn. Never stop a soft web under the heater."
    chemicals = "Liquid laminates: gloves, goggles and extraction; read the safety data sheet first."
    said = usual(("warn", chemicals), ("advise", hot), ("advise", BLADES), finishing="liquid-laminate")
    assert [by for _, by in said] == [1, 2, 0, None]


@pytest.mark.parametrize(
    "text",
    ["cotton without a fire treatment: keep it clear of hot lamps", "edges cut: gloves", "mind the nip"],
)
def test_a_caution_of_another_danger_does_not_stand_for_a_usual_one(text: str) -> None:
    assert [by for _, by in usual(("warn", text), finishing="film-laminate")] == [None] * 4
