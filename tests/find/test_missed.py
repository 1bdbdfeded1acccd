"""Where nothing is found: first what is kept out though it fits, then near misses, then what was named."""

from typing import Any

import pytest

from registry.find.answer import FindAnswer
from tests.find.shop import Shop, called, ids

GONE = {"date": "2025-12-01", "reason": "It re-wets.", "instead": "maker/other"}
SOLVENT = {"/substrate/coating": {"const": "solvent"}}


def in_the_way(answer: FindAnswer, offers: str) -> dict[str, list[str]]:
    """Return of each of these offers everything that is in its way."""
    return {
        each.candidate.pair.mode.rid: [called(way) for way in each.candidate.in_the_way]
        for each in getattr(answer, offers)
    }


@pytest.fixture
def shelf(shop: Shop) -> Shop:
    """A withdrawn solvent film that guidance refuses too, beside films that are in use."""
    shop.put("guidance", "re-wets", when=SOLVENT)
    shop.put("substrate", "maker/other", coating="aqueous")
    for name in ("one", "two"):
        shop.film(f"maker/{name}", title=f"Film {name}")
    shop.film(
        "maker/solvsheet",
        title="Solvsheet 180",
        coating="solvent",
        withdrawn=GONE,
        mode_status="withdrawn",
        mode_withdrawn=GONE,
    )
    return shop


@pytest.mark.parametrize("asked", [{"words": ("solvsheet",)}, {"coating": ("solvent",)}])
def test_what_is_withdrawn_and_refused_is_told_first_and_nothing_of_another_kind_beside_it(
    shelf: Shop, asked: dict[str, Any]
) -> None:
    answer = shelf.find(**asked)
    ways = ["status", "substrate in use", "re-wets"]
    assert in_the_way(answer, "kept_out") == {"maker/solvsheet/mode": ways}
    assert (answer.found, answer.withheld, answer.missed, answer.near, answer.excluded) == (0, 1, 0, (), ())


def test_beside_what_is_kept_out_only_what_misses_by_a_measure_is_told(shop: Shop) -> None:
    near = shop.film("maker/thin", thickness_um=190)
    other = shop.film("maker/other", thickness_um=210, coating="none")
    asked: dict[str, Any] = {"coating": ("solvent", "aqueous"), "where": ("thickness_um>=200",)}
    assert in_the_way(shop.find(**asked), "near") == {near: ["thickness"], other: ["coating"]}
    shop.put("guidance", "re-wets", when=SOLVENT)
    wet = shop.film("maker/wet", thickness_um=210, coating="solvent")
    answer = shop.find(**asked)
    assert in_the_way(answer, "kept_out") == {wet: ["re-wets"]}
    assert in_the_way(answer, "near") == {near: ["thickness"]}


def test_of_what_is_kept_out_the_least_kept_out_comes_first(shop: Shop) -> None:
    shop.put("guidance", "re-wets", when=SOLVENT)
    both = shop.film("a/both", coating="solvent", mode_status="trial")
    trial = shop.film("b/trial", mode_status="trial")
    assert in_the_way(shop.find(), "kept_out") == {trial: ["status"], both: ["status", "re-wets"]}
    assert ids(shop.find().kept_out) == [trial, both]
    shop.film("c/good")
    assert shop.find().kept_out == ()


def test_what_is_asked_for_among_the_withdrawn_is_found_and_not_kept_out(shelf: Shop) -> None:
    answer = shelf.find(words=("solvsheet",), status=("withdrawn",))
    assert (ids(answer.offers), answer.kept_out) == (["maker/solvsheet/mode"], ())


def test_a_missing_substrate_record_is_no_withdrawal(shop: Shop) -> None:
    shop.put("print-mode", "maker/nowhere/mode", substrate="maker/nowhere", title="Lost film")
    shop.confirm("maker/nowhere/mode", "harbour-yard", "2025-10-01")
    answer = shop.find(words=("lost",))
    assert answer.kept_out == ()
    assert in_the_way(answer, "near") == {"maker/nowhere/mode": ["substrate in use"]}


def test_what_lacks_a_word_that_was_typed_is_no_near_miss(shelf: Shop) -> None:
    shelf.film("maker/glossy", finish="gloss")
    answer = shelf.find(words=("one", "gloss"))
    assert (answer.missed, answer.near, answer.named) == (0, (), ())
    assert {called(each.by) for each in answer.excluded} == {"word"}


def test_the_few_that_words_name_are_told_with_all_that_is_in_their_way(shelf: Shop) -> None:
    answer = shelf.find(words=("solvsheet",), base=("pvc",), finish=("gloss",))
    assert in_the_way(answer, "named") == {
        "maker/solvsheet/mode": ["status", "substrate in use", "base", "finish", "re-wets"]
    }
    assert (answer.kept_out, answer.near, answer.excluded) == ((), (), ())


def test_of_many_that_words_name_it_is_told_what_leaves_out_the_most(shop: Shop) -> None:
    for number in range(6):
        shop.film(f"maker/film-{number}", title=f"Sheet {number}")
    answer = shop.find(words=("sheet",), base=("pvc",), finish=("gloss",))
    assert answer.named == ()
    assert {(called(each.by), each.left_out) for each in answer.excluded} == {("base", 6), ("finish", 6)}


def test_no_more_than_the_limit_is_shown_of_what_is_kept_out(shop: Shop) -> None:
    for name in ("one", "two", "three"):
        shop.film(f"maker/{name}", mode_status="trial")
    answer = shop.find(limit=2)
    assert (answer.withheld, len(answer.kept_out)) == (3, 2)
