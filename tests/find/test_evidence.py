"""Which revision is offered, and whose confirmations count for it."""

from registry.find.evidence import SiteWord
from tests.find.shop import SITE, Shop, ids, offer

LAYERS = [{"what": "colour", "load_pct": 180, "passes": 16}]


def test_confirmations_tell_who_how_often_and_how_lately(shop: Shop) -> None:
    days = [(SITE, "2025-10-01"), (SITE, "2025-12-01"), ("mill-lane", "2025-11-01")]
    film = shop.film("maker/film", confirmed=days)
    said = offer(shop.find(), film).candidate.confirmed
    assert said.good == (SiteWord(SITE, 2, "2025-12-01"), SiteWord("mill-lane", 1, "2025-11-01"))
    assert (said.times, said.last) == (3, "2025-12-01")
    assert said.by("mill-lane") == SiteWord("mill-lane", 1, "2025-11-01")
    assert said.by("north-quay") is None


def test_usable_counts_and_failed_does_not(shop: Shop) -> None:
    film = shop.film("maker/film", confirmed=[])
    shop.confirm(film, SITE, "2025-10-01", "usable")
    shop.confirm(film, "mill-lane", "2025-10-02", "failed")
    said = offer(shop.find(), film).candidate.confirmed
    assert said.good == (SiteWord(SITE, 1, "2025-10-01"),)
    assert said.failed == (SiteWord("mill-lane", 1, "2025-10-02"),)


def test_of_one_machines_prints_the_latest_word_counts(shop: Shop) -> None:
    film = shop.film("maker/film", confirmed=[])
    shop.confirm(film, SITE, "2025-10-01")
    shop.confirm(film, SITE, "2025-10-02", "failed", note="typed by mistake")
    shop.confirm(film, SITE, "2025-10-03")
    shop.confirm(film, "mill-lane", "2025-10-01")
    shop.confirm(film, "mill-lane", "2025-10-04", "failed", note="it stuck")
    said = offer(shop.find(), film).candidate.confirmed
    assert said.good == (SiteWord(SITE, 2, "2025-10-03"),)
    assert said.failed == (SiteWord("mill-lane", 1, "2025-10-04", "it stuck"),)


def test_a_reservation_and_what_failed_are_told_as_of_the_last_word(shop: Shop) -> None:
    film = shop.film("maker/film", confirmed=[])
    shop.confirm(film, SITE, "2025-10-01", "usable", note="slow to dry")
    shop.confirm(film, SITE, "2025-10-05", note="all well")
    shop.confirm(film, "mill-lane", "2025-10-02", "usable", note="a touch warm")
    for day, note in (("2025-10-03", "it curled"), ("2025-10-04", "it stuck on the roll")):
        shop.confirm(film, "north-quay", day, "failed", note=note)
    said = offer(shop.find(), film).candidate.confirmed
    assert [(each.site, each.note) for each in said.good] == [(SITE, ""), ("mill-lane", "a touch warm")]
    assert said.failed == (SiteWord("north-quay", 2, "2025-10-04", "it stuck on the roll"),)


def test_a_failure_with_other_settings_is_not_held_against_these(shop: Shop) -> None:
    film = shop.film("maker/film")
    shop.confirm(film, "mill-lane", "2025-10-02", "failed")
    shop.revise("print-mode", film, layers=LAYERS)
    shop.confirm(film, "north-quay", "2025-11-01")
    shop.revise("print-mode", film, status="known-good")
    assert offer(shop.find(), film).candidate.confirmed.failed == ()


def test_while_the_newest_is_on_trial_the_last_known_good_revision_is_offered(shop: Shop) -> None:
    film = shop.film("maker/film")
    shop.revise("print-mode", film, layers=LAYERS)
    answer = shop.find()
    (found,) = answer.offers
    assert (found.candidate.pair.mode.seq, found.trial) == (1, 2)
    assert found.mode["layers.colour.load_pct"][0].num == 200
    assert ids(shop.find(status=("trial",)).offers) == [film]


def test_confirmations_of_other_settings_do_not_count(shop: Shop) -> None:
    film = shop.film("maker/film", confirmed=[(SITE, "2025-10-01"), ("mill-lane", "2025-10-02")])
    shop.revise("print-mode", film, layers=LAYERS)
    shop.confirm(film, "north-quay", "2025-11-01")
    shop.revise("print-mode", film, status="known-good")
    (found,) = shop.find().offers
    assert (found.candidate.pair.mode.seq, found.trial) == (3, 0)
    assert found.candidate.confirmed.good == (SiteWord("north-quay", 1, "2025-11-01"),)


def test_confirmations_of_the_same_settings_survive_a_change_of_words(shop: Shop) -> None:
    film = shop.film("maker/film")
    shop.revise("print-mode", film, notes=["keep the roll dry"])
    (found,) = shop.find().offers
    assert (found.candidate.pair.mode.seq, found.candidate.confirmed.times) == (2, 1)


def test_why_tells_of_the_offered_revision_and_of_the_one_on_trial(shop: Shop) -> None:
    film = shop.film("maker/film")
    shop.revise("print-mode", film, layers=LAYERS)
    answer = shop.find(why="maker/film")
    told = [(each.candidate.pair.mode.seq, each.place, len(each.candidate.in_the_way)) for each in answer.why]
    assert told == [(2, 0, 1), (1, 1, 0)]


def test_who_asks_why_is_not_told_of_other_near_misses(shop: Shop) -> None:
    film = shop.film("maker/film")
    shop.film("maker/other")
    answer = shop.find(why=film, where=("thickness_um>=100",))
    assert (ids(answer.why), answer.near, answer.excluded) == ([film], (), ())


def test_why_of_a_substrate_without_a_mode_has_nothing_to_tell(shop: Shop) -> None:
    shop.film("maker/film")
    shop.put("substrate", "maker/bare")
    assert shop.find(why="maker/bare").why == ()


def test_good_words_count_no_oftener_than_their_site_has_printed_so(shop: Shop) -> None:
    """Three words without a run are one word; what failed needs no run to count."""
    film = shop.film("maker/film", confirmed=[])
    for day in ("2025-10-01", "2025-10-02", "2025-10-03"):
        shop.confirm(film, SITE, day, ran=False)
        shop.confirm(film, "mill-lane", day, ran=day != "2025-10-03")
        shop.confirm(film, "north-quay", day, "failed", note="it stuck", ran=False)
    said = offer(shop.find(), film).candidate.confirmed
    assert {word.site: word.times for word in (*said.good, *said.failed)} == {
        SITE: 1,
        "mill-lane": 2,
        "north-quay": 3,
    }
