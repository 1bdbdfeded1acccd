"""What is asked for on the command line, on a registry."""

from typing import Any

import pytest

from registry.errors import RequestError
from tests.find.shop import SITE, Shop, ids, offer, way

PENCIL = {"what": "pencil", "date": "2025-09-01", "site": SITE, "passed": True}


@pytest.mark.parametrize(
    ("asked", "fitting"),
    [
        ({"construction": ("banner",)}, ["b/banner/mode"]),
        ({"construction": ("banner", "fabric")}, ["b/banner/mode", "c/cloth/mode"]),
        ({"base": ("polyester",)}, ["a/film/mode", "c/cloth/mode"]),
        ({"coating": ("none",)}, ["b/banner/mode"]),
        ({"finish": ("gloss",)}, ["b/banner/mode"]),
        ({"construction": ("banner",), "base": ("polyester",)}, []),
        ({"scratch": "good"}, ["a/film/mode"]),
        ({"pencil": "HB"}, ["a/film/mode", "b/banner/mode"]),
        ({"where": ("thickness_um>=200", "coating=none")}, ["b/banner/mode"]),
        ({"where": ("printer:max_width_mm>=1600",)}, ["a/film/mode", "b/banner/mode", "c/cloth/mode"]),
        ({"where": ("layers.*.load_pct>=100",)}, ["a/film/mode", "b/banner/mode", "c/cloth/mode"]),
        ({"where": ("layers.white.load_pct>=100",)}, ["c/cloth/mode"]),
        ({"where": ("layers.*.what=white",)}, ["c/cloth/mode"]),
        ({"where": ("ink.solid_ml_m2>=10",)}, ["a/film/mode", "b/banner/mode", "c/cloth/mode"]),
        ({"where": ("finish!=gloss",)}, ["a/film/mode"]),
        ({"words": ("film",)}, ["a/film/mode"]),
        ({"words": ("bann",)}, ["b/banner/mode"]),
        ({"words": ("poly", "film")}, ["a/film/mode"]),
        ({"words": ("wide",)}, ["a/film/mode", "b/banner/mode", "c/cloth/mode"]),
        ({"words": ("b/banner",)}, ["b/banner/mode"]),
        ({"words": ('"banner',)}, ["b/banner/mode"]),
        ({"words": ("***",)}, []),
        ({"words": ("no such thing",)}, []),
    ],
)
def test_an_option_keeps_what_is_known_to_fit(shop: Shop, asked: dict[str, Any], fitting: list[str]) -> None:
    shop.film("a/film", finish="matte", thickness_um=150, mode_trials=[{**PENCIL, "pencil": "2H"}])
    shop.film(
        "b/banner",
        construction="banner",
        base="pvc",
        coating="none",
        finish="gloss",
        thickness_um=300,
        mode_trials=[{**PENCIL, "pencil": "HB"}],
    )
    layers = [{"what": "colour", "load_pct": 200}, {"what": "white", "load_pct": 120}]
    shop.film("c/cloth", construction="fabric", coating="aqueous", mode_layers=layers)
    assert sorted(ids(shop.find(**asked).offers)) == fitting


def test_an_unknown_value_leaves_out_and_is_said_to_be_unknown(shop: Shop) -> None:
    film = shop.film("maker/film")
    answer = shop.find(where=("thickness_um<=300",))
    assert ids(answer.offers) == []
    assert way(answer) == {film: "thickness"}
    (found,) = offer(answer, film).candidate.in_the_way
    assert getattr(found, "answer", None) == "unknown"


def test_a_dual_mode_answers_to_backlit_and_to_frontlit(shop: Shop) -> None:
    for lighting in ("backlit", "frontlit", "dual"):
        shop.film(f"maker/{lighting}", mode_lighting=lighting)

    def found(lighting: str) -> list[str]:
        return sorted(ids(shop.find(lighting=lighting).offers))

    assert found("backlit") == ["maker/backlit/mode", "maker/dual/mode"]
    assert found("frontlit") == ["maker/dual/mode", "maker/frontlit/mode"]
    assert found("dual") == ["maker/dual/mode"]


def test_a_printer_may_be_named_and_one_that_is_not_there_is_suggested(shop: Shop) -> None:
    shop.put("printer", "narrow")
    shop.film("maker/wide")
    narrow = shop.film("maker/narrow", mode_printer="narrow")
    assert ids(shop.find(printer="narrow").offers) == [narrow]
    with pytest.raises(RequestError, match=r"no printer 'narow' .* did you mean narrow"):
        shop.find(printer="narow")


def test_a_site_keeps_modes_for_printers_that_stand_there(shop: Shop) -> None:
    shop.put("printer", "narrow")
    shop.put("unit", f"{SITE}/one", printer="wide")
    shop.put("unit", "mill-lane/one", printer="narrow")
    gone = {"date": "2025-09-01", "reason": "sold"}
    shop.put("unit", f"{SITE}/sold", printer="narrow", withdrawn=gone)
    wide = shop.film("maker/wide")
    narrow = shop.film("maker/narrow", mode_printer="narrow")
    answer = shop.find(site=SITE)
    assert ids(answer.offers) == [wide]
    assert ids(shop.find(site="mill-lane").offers) == [narrow]
    assert way(shop.find(site="north-quay")) == {
        wide: "printer at north-quay",
        narrow: "printer at north-quay",
    }


@pytest.mark.parametrize(
    ("widths", "limit", "asked", "answer"),
    [
        ([1067, 1524], 1625, 1500, "met"),
        ([1067, 1524], 1625, 1525, "unmet"),
        ([1067, 2000], 1625, 1500, "unmet"),  # the printer does not take the wide one
        ([2000], 1625, 1000, "unmet"),
        (None, 1625, 1000, "unknown"),
        ([1524], None, 1000, "unknown"),
    ],
)
def test_a_width_counts_only_where_the_printer_takes_it(
    shop: Shop, widths: list[float] | None, limit: float | None, asked: float, answer: str
) -> None:
    shop.put("printer", "press", max_width_mm=limit)
    film = shop.film("maker/film", mode_printer="press", widths_mm=widths)
    found = shop.find(min_width_mm=asked, why=film)
    judged = next(each for each in offer(found, film).candidate.judged if each.wanted.what == "width")
    assert judged.answer == answer
    assert ids(found.offers) == ([film] if answer == "met" else [])


def test_only_known_good_modes_are_looked_for_unless_told_otherwise(shop: Shop) -> None:
    good = shop.film("maker/good")
    trial = shop.film("maker/trial", mode_status="trial")
    gone = shop.film(
        "maker/gone", mode_status="withdrawn", mode_withdrawn={"date": "2025-09-01", "reason": "re-wets"}
    )
    assert ids(shop.find().offers) == [good]
    assert ids(shop.find(status=("trial",)).offers) == [trial]
    assert ids(shop.find(status=("withdrawn",)).offers) == [gone]
    assert sorted(ids(shop.find(status=("trial", "known-good")).offers)) == [good, trial]


def test_a_mode_that_calls_itself_known_good_unconfirmed_is_on_trial(shop: Shop) -> None:
    film = shop.film("maker/film", confirmed=[])
    answer = shop.find(why=film)
    assert ids(answer.offers) == []
    assert offer(answer, film).candidate.pair.mode.standing == "trial"
    assert ids(shop.find(where=("status=trial",), status=("trial",)).offers) == [film]


def test_a_withdrawn_substrate_leaves_its_modes_out(shop: Shop) -> None:
    film = shop.film("maker/film", withdrawn={"date": "2025-09-01", "reason": "re-wets"})
    answer = shop.find(why="maker/film")
    assert ids(answer.offers) == []
    (found,) = offer(answer, film).candidate.in_the_way
    assert getattr(found, "wanted", None) is not None
    assert offer(answer, film).substrate["withdrawn.reason"][0].txt == "re-wets"


def test_a_mode_without_its_substrate_is_no_find(shop: Shop) -> None:
    shop.put("print-mode", "maker/lost/mode", substrate="maker/lost")
    shop.confirm("maker/lost/mode", SITE, "2025-10-01")
    answer = shop.find()
    assert (ids(answer.offers), ids(answer.near)) == ([], ["maker/lost/mode"])
