"""Words that nothing says: told apart from demands, with the nearest words that something does say."""

from registry.find.unheard import Unheard
from tests.find.shop import SITE, Shop, called, ids, way


def test_a_word_that_nothing_says_is_no_requirement_in_the_way(shop: Shop) -> None:
    film = shop.film("maker/dayfilm", title="Dayfilm")
    shop.film("maker/other")
    answer = shop.find(words=("dayflim",))
    assert (answer.unheard, answer.found_without) == ((Unheard("dayflim", ("dayfilm",)),), 2)
    assert (ids(answer.offers), answer.near, answer.excluded) == ([], (), ())
    assert ids(shop.find(words=("dayfilm",)).offers) == [film]


def test_near_misses_are_told_without_the_words_that_nothing_says(shop: Shop) -> None:
    film = shop.film("maker/dayfilm")
    answer = shop.find(words=("dayflim",), coating=("solvent",))
    assert (answer.found_without, way(answer)) == (0, {film: "coating"})


def test_what_leaves_out_the_most_is_told_without_them_too(shop: Shop) -> None:
    shop.film("maker/dayfilm")
    answer = shop.find(words=("dayflim",), coating=("solvent",), base=("pvc",))
    assert (answer.near, {called(each.by) for each in answer.excluded}) == ((), {"coating", "base"})


def test_a_word_that_something_says_is_a_requirement_like_any_other(shop: Shop) -> None:
    shop.film("maker/day", finish="gloss")
    matte = shop.film("maker/night", finish="matte")
    answer = shop.find(words=("gloss", "night"))
    assert (answer.unheard, answer.found, answer.missed) == ((), 0, 0)
    assert [(called(each.by), each.left_out) for each in answer.excluded] == [("word", 1), ("word", 1)]
    assert ids(shop.find(words=("matte", "night")).offers) == [matte]


def test_words_of_records_that_are_not_found_by_words_are_not_offered(shop: Shop) -> None:
    shop.film("maker/dayfilm")
    shop.put("display", f"{SITE}/dayfilx")
    assert shop.find(words=("dayfily",)).unheard == (Unheard("dayfily", ("dayfilm",)),)


def test_a_part_of_a_word_is_mended_and_the_rest_kept(shop: Shop) -> None:
    shop.film("maker/dayfilm-210")
    assert shop.find(words=("Dayflim-210",)).unheard == (Unheard("Dayflim-210", ("dayfilm-210",)),)


def test_nothing_like_it_is_said_as_nothing(shop: Shop) -> None:
    shop.film("maker/dayfilm")
    words = ("metallic", "—", '"')
    assert shop.find(words=words).unheard == tuple(Unheard(word, ()) for word in words)


def test_the_id_of_a_place_is_asked_for_in_another_way(shop: Shop) -> None:
    shop.film("maker/dayfilm")
    shop.put("application", "light-box")
    shop.put("display", f"{SITE}/hall")
    answer = shop.find(words=("light-box", f"{SITE}/hall"))
    assert [(each.word, each.use) for each in answer.unheard] == [
        ("light-box", "application"),
        (f"{SITE}/hall", "display"),
    ]


def test_who_asks_about_a_record_is_told_of_them_too(shop: Shop) -> None:
    film = shop.film("maker/dayfilm")
    answer = shop.find(words=("dayflim",), why=film)
    assert [each.word for each in answer.unheard] == ["dayflim"]
    assert [called(way) for each in answer.why for way in each.candidate.in_the_way] == ["word"]
