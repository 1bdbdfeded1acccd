"""Words as people type them: little ones are left out, and those that name a place hint at asking for it."""

import pytest

from tests.find.shop import SITE, Shop, ids


def test_little_words_are_not_looked_for(shop: Shop) -> None:
    film = shop.film("maker/dayfilm", title="Dayfilm, matte")
    answer = shop.find(words=("matte", "Film", "for", "THE", "a"))
    assert (ids(answer.offers), answer.little_words) == ([film], ("for", "THE", "a"))
    assert answer.request.words == ("matte", "Film")
    looked_for = [each.wanted.bounds[0].wanted for each in answer.offers[0].candidate.judged[2:]]
    assert looked_for == ["matte", "Film"]


def test_where_no_other_word_is_left_none_is_asked_for(shop: Shop) -> None:
    film = shop.film("maker/dayfilm")
    answer = shop.find(words=("with", "the"))
    assert (ids(answer.offers), answer.little_words, answer.request.words) == ([film], ("with", "the"), ())


@pytest.fixture
def places(shop: Shop) -> Shop:
    """Two applications and displays of them, with a film that says what they are called."""
    shop.put("application", "concourse-light-box", title="Concourse light box")
    shop.put("application", "light-frame", title="Fabric light frame")
    shop.put("application", "market-awning", title="Market awnings", withdrawn=None)
    for name, title in (("concourse-a", "Concourse A, south"), ("south-hall", "Light hall")):
        shop.put("display", f"{SITE}/{name}", title=title, application="concourse-light-box")
    shop.film("maker/film", notes=["for a concourse light box, a south hall, an awning, a fabric frame"])
    return shop


@pytest.mark.parametrize(
    ("words", "rid", "named_by"),
    [
        ("light box film", "concourse-light-box", ("light", "box")),
        ("film for the concourse", "concourse-light-box", ("concourse",)),
        ("concourse south", f"{SITE}/concourse-a", ("concourse", "south")),
        ("Awning", "market-awning", ("Awning",)),
        ("frames awnings market", "market-awning", ("awnings", "market")),
        ("hall", f"{SITE}/south-hall", ("hall",)),
        ("light-box", "concourse-light-box", ("light-box",)),
    ],
)
def test_words_that_name_one_place_clearly_hint_at_it(
    places: Shop, words: str, rid: str, named_by: tuple[str, ...]
) -> None:
    place = places.find(words=tuple(words.split())).named_place
    assert place is not None
    assert (place.rid, place.words) == (rid, named_by)


@pytest.mark.parametrize(
    "words",
    [
        "light",  # both applications
        "south",  # both displays
        "fabric film",  # what a material is
        "backlit",
        "film",
        "har",  # the site's name, and no whole word
        "harbour",
        "awn",
        "210",
    ],
)
def test_words_that_name_no_place_or_several_hint_at_none(places: Shop, words: str) -> None:
    assert places.find(words=tuple(words.split())).named_place is None


def test_who_names_the_use_is_given_no_hint(places: Shop) -> None:
    assert places.find(words=("awning",), use="light-frame").named_place is None


def test_a_withdrawn_place_is_not_hinted_at(places: Shop) -> None:
    gone = {"date": "2025-12-01", "reason": "Taken down."}
    places.revise("application", "market-awning", withdrawn=gone)
    assert places.find(words=("awning",)).named_place is None
