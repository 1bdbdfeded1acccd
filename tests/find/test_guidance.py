"""Guidance: what it refuses is never a find, what cannot be told is said, the rest is given along."""

from typing import Any

from tests.find.shop import Shop, ids, offer, way

MATTE = {"/substrate/finish": {"const": "matte"}}
IN_A_BOX = {"/application/lighting": {"const": "backlit"}}
GLOSSY = {"/application/panel/gloss": {"const": "gloss"}}


def rule(shop: Shop, level: str, *conditions: dict[str, Any]) -> str:
    return shop.put(
        "guidance", "house-rule", level=level, when={k: v for c in conditions for k, v in c.items()}
    )


def told(shop: Shop, mode: str, **asked: Any) -> list[tuple[str, bool]]:
    """Return the rules given for a mode, each with whether it is certain to apply."""
    return [(each.level, each.certain) for each in offer(shop.find(**asked), mode).candidate.remarks]


def test_what_guidance_refuses_is_never_a_find_but_kept_out(shop: Shop) -> None:
    shop.put("application", "light-box")
    rule(shop, "refuse", MATTE, IN_A_BOX)
    matte = shop.film("maker/matte", finish="matte")
    answer = shop.find(use="light-box")
    assert ids(answer.offers) == []
    assert way(answer) == {matte: "house-rule"}


def test_what_does_not_hold_is_not_mentioned(shop: Shop) -> None:
    shop.put("application", "light-box")
    rule(shop, "refuse", MATTE, IN_A_BOX)
    gloss = shop.film("maker/gloss", finish="gloss")
    assert told(shop, gloss, use="light-box") == []


def test_a_refusal_that_cannot_be_told_leaves_the_find_in_with_a_warning(shop: Shop) -> None:
    shop.put("application", "light-box")
    rule(shop, "refuse", MATTE, IN_A_BOX)
    film = shop.film("maker/film")  # its finish is not recorded
    answer = shop.find(use="light-box")
    assert ids(answer.offers) == [film]
    assert told(shop, film, use="light-box") == [("refuse", False)]
    assert offer(answer, film).candidate.warnings == 1


def test_a_refusal_cannot_be_told_where_the_place_says_nothing_of_it(shop: Shop) -> None:
    shop.put("application", "light-box")  # its panel is not recorded
    rule(shop, "refuse", MATTE, GLOSSY)
    film = shop.film("maker/film", finish="matte")
    assert told(shop, film, use="light-box") == [("refuse", False)]


def test_a_rule_on_the_mode_alone_is_asked_without_a_use(shop: Shop) -> None:
    rule(shop, "warn", MATTE)
    film = shop.film("maker/film", finish="matte")
    assert told(shop, film) == [("warn", True)]


def test_a_rule_that_looks_at_a_place_is_not_asked_without_a_use(shop: Shop) -> None:
    rule(shop, "refuse", MATTE, IN_A_BOX)
    film = shop.film("maker/film", finish="matte")
    assert ids(shop.find().offers) == [film]
    assert told(shop, film) == []


def test_a_rule_on_the_place_alone_goes_for_every_find(shop: Shop) -> None:
    shop.put("application", "light-box")
    rule(shop, "advise", IN_A_BOX)
    films = [shop.film(f"maker/{name}") for name in ("one", "two")]
    for film in films:
        assert told(shop, film, use="light-box") == [("advise", True)]


def test_a_display_is_judged_with_its_application(shop: Shop) -> None:
    shop.put("application", "light-box", panel={"position": "front", "gloss": "gloss"})
    shop.put("display", "harbour-yard/hall")
    rule(shop, "refuse", GLOSSY, {"/display/place": {"const": "indoor"}})
    film = shop.film("maker/film")
    assert way(shop.find(use="harbour-yard/hall")) == {film: "house-rule"}
    assert told(shop, film, use="light-box") == [("refuse", False)]  # an application says nothing of displays


def test_what_the_place_alone_could_tell_and_does_not_is_unsure_and_no_warning(shop: Shop) -> None:
    shop.put("application", "window", lighting="dual")  # nothing of lamps is on record
    shop.put("application", "light-box", lamp={"description": "LED bars"})
    rule(shop, "warn", {"/application/lamp/description": {"pattern": "^"}})
    film = shop.film("maker/film", mode_lighting="dual")
    window, box = (shop.find(use=use) for use in ("window", "light-box"))
    (unsure,) = offer(window, film).candidate.remarks
    assert (unsure.level, unsure.certain, unsure.warns, unsure.is_open) == ("warn", False, False, True)
    assert offer(window, film).candidate.warnings == 0
    assert offer(box, film).candidate.warnings == 1


def test_what_the_place_could_tell_of_this_mode_and_does_not_is_a_warning(shop: Shop) -> None:
    shop.put("application", "light-box")  # its panel is not recorded
    rule(shop, "warn", MATTE, GLOSSY)
    matte, gloss = (shop.film(f"maker/{finish}", finish=finish) for finish in ("matte", "gloss"))
    answer = shop.find(use="light-box")
    assert [offer(answer, each).candidate.warnings for each in (matte, gloss)] == [1, 0]


def test_advice_counts_as_no_warning_and_a_possible_warning_does(shop: Shop) -> None:
    shop.put("guidance", "advice", level="advise", when=MATTE)
    shop.put("guidance", "warning", level="warn", when={"/substrate/thickness_um": {"minimum": 100}})
    known = shop.film("maker/known", finish="matte", thickness_um=200)
    unknown = shop.film("maker/unknown", finish="matte")
    thin = shop.film("maker/thin", finish="matte", thickness_um=50)
    answer = shop.find()
    assert [offer(answer, each).candidate.warnings for each in (known, unknown, thin)] == [1, 1, 0]


def test_a_withdrawn_rule_is_not_asked(shop: Shop) -> None:
    gone = {"date": "2025-09-01", "reason": "it was wrong"}
    shop.put("guidance", "house-rule", when=MATTE, withdrawn=gone)
    film = shop.film("maker/film", finish="matte")
    assert ids(shop.find().offers) == [film]


def test_a_withdrawn_mode_that_guidance_refuses_is_listed_where_the_withdrawn_are_asked_for(
    shop: Shop,
) -> None:
    rule(shop, "refuse", MATTE)
    withdrawn = {"date": "2026-01-05", "reason": "It re-wets"}
    mode = shop.film("maker/matte", finish="matte")
    shop.revise("print-mode", mode, status="withdrawn", withdrawn=withdrawn)
    known_good = shop.film("maker/gloss", finish="gloss")
    assert ids(shop.find().offers) == [known_good]
    asked = shop.find(status=("withdrawn",))
    assert ids(asked.offers) == [mode]
    assert [each.rule for each in offer(asked, mode).candidate.refusals] == ["house-rule"]
