"""A use's demands, judged one by one: met, unmet or unknown, and by what margin."""

from typing import Any

import pytest

from registry.cli.find_json import rows_of
from registry.cli.find_words import judged_words
from registry.find.answer import FindAnswer
from registry.find.candidate import Seam
from registry.find.wanted import Bound, Judged
from tests.find.shop import SITE, Shop, ids, offer, way


def light_box(shop: Shop, *demands: dict[str, Any], **said: Any) -> str:
    reasons = [{"why": "the test asks for it", **demand} for demand in demands]
    return shop.put("application", "light-box", **({"demands": reasons} if reasons else {}), **said)


def judged(answer: FindAnswer, mode: str, path: str) -> Judged:
    each = offer(answer, mode).candidate.judged
    return next(judged for judged in each if judged.wanted.known.path == path)


MEASURED = {"kind": "measured", "method": "sphere", "date": "2025-10-01"}
BRIGHT = {"of": "substrate", "setting": "light.transmittance_pct", "at_least": 30}


def test_a_demand_is_met_by_a_margin_in_its_unit_and_in_percent(shop: Shop) -> None:
    light_box(shop, BRIGHT)
    film = shop.film("maker/film", light={"transmittance_pct": 36})
    found = judged(shop.find(use="light-box"), film, "light.transmittance_pct")
    assert (found.answer, found.margin) == ("met", (6, False, 0.2))


def test_a_value_at_the_limit_meets_the_demand_with_no_margin(shop: Shop) -> None:
    light_box(shop, BRIGHT)
    film = shop.film("maker/film", light={"transmittance_pct": 30})
    found = judged(shop.find(use="light-box"), film, "light.transmittance_pct")
    assert (found.answer, found.margin and found.margin.amount) == ("met", 0)


def test_an_unmet_demand_leaves_out_and_the_near_miss_says_by_how_much(shop: Shop) -> None:
    light_box(shop, BRIGHT)
    film = shop.film("maker/film", light={"transmittance_pct": 24})
    answer = shop.find(use="light-box")
    assert (ids(answer.offers), ids(answer.near)) == ([], [film])
    found = judged(answer, film, "light.transmittance_pct")
    assert (found.answer, found.margin) == ("unmet", (-6, False, -0.2))
    assert found.wanted.why == "the test asks for it"


def test_an_unknown_demand_is_no_met_one_but_leaves_the_find_in_below_the_others(shop: Shop) -> None:
    light_box(shop, BRIGHT)
    unknown = shop.film("maker/a-film")
    known = shop.film("maker/b-film", light={"transmittance_pct": 31})
    answer = shop.find(use="light-box")
    assert ids(answer.offers) == [known, unknown]
    assert judged(answer, unknown, "light.transmittance_pct").answer == "unknown"
    assert [each.wanted.known.path for each in offer(answer, unknown).candidate.unknown] == [
        "light.transmittance_pct"
    ]


def test_a_range_is_met_only_within_both_bounds(shop: Shop) -> None:
    light_box(shop, {**BRIGHT, "at_most": 50})
    inside = shop.film("maker/inside", light={"transmittance_pct": 45})
    shop.film("maker/above", light={"transmittance_pct": 51})
    shop.film("maker/below", light={"transmittance_pct": 29})
    answer = shop.find(use="light-box")
    assert ids(answer.offers) == [inside]
    found = judged(answer, inside, "light.transmittance_pct")
    assert found.margin is not None
    assert (found.margin.amount, found.margin.share) == (5, 0.1)  # to the upper bound, which is nearer


def test_a_grade_is_judged_on_its_scale_with_a_margin_in_steps(shop: Shop) -> None:
    light_box(shop, {"of": "mode", "setting": "print.scratch", "grade": "fair"})
    trial = {"what": "pencil", "date": "2025-09-01", "site": SITE, "passed": True}
    hard = shop.film("maker/hard", mode_trials=[{**trial, "pencil": "4H"}])
    soft = shop.film("maker/soft", mode_trials=[{**trial, "pencil": "4B"}])
    untried = shop.film("maker/untried")
    answer = shop.find(use="light-box", why="maker/soft")
    assert ids(answer.offers) == [hard, untried]
    assert judged(answer, hard, "print.scratch").margin == (2, True, 2 / 3)
    assert judged(answer, soft, "print.scratch").margin == (-1, True, -1 / 3)
    assert judged(answer, untried, "print.scratch").answer == "unknown"


def test_fire_classes_rank_within_their_own_standard_only(shop: Shop) -> None:
    light_box(shop, {"of": "substrate", "setting": "fire.en-13501-1.rating", "grade": "C"})
    own = shop.film("maker/own", fire=[{"standard": "en-13501-1", "rating": "B-s1,d0"}])
    other = shop.film("maker/other", fire=[{"standard": "astm-e84", "rating": "A"}])
    shop.film("maker/worse", fire=[{"standard": "en-13501-1", "rating": "D-s1,d0"}])
    answer = shop.find(use="light-box")
    assert (ids(answer.offers), ids(answer.unproven_ones)) == ([own], [other])
    assert judged(answer, other, "fire.en-13501-1.rating").answer == "unknown"


def test_a_word_that_is_on_no_scale_is_unknown_and_nothing_of_it_is_offered(shop: Shop) -> None:
    light_box(shop, {"of": "substrate", "setting": "fire.en-13501-1.rating", "grade": "C"})
    film = shop.film("maker/film", fire=[{"standard": "en-13501-1", "rating": "tested, see file"}])
    answer = shop.find(use="light-box")
    assert (answer.found, answer.unproven, answer.near) == (0, 1, ())
    assert judged(answer, film, "fire.en-13501-1.rating").answer == "unknown"


@pytest.mark.parametrize(
    ("rating", "answer"),
    [
        ("B-s1,d0", "met"),
        ("A2-s1,d0", "met"),
        ("B-s3,d2", "unmet"),
        ("B-s1,d1", "unmet"),
        ("C-s1,d0", "unmet"),
    ],
)
def test_a_fire_class_is_compared_whole(shop: Shop, rating: str, answer: str) -> None:
    light_box(shop, {"of": "substrate", "setting": "fire.en-13501-1.rating", "grade": "B-s1,d0"})
    film = shop.film("maker/film", fire=[{"standard": "en-13501-1", "rating": rating}])
    found = shop.find(use="light-box")
    assert found.found == (answer == "met")
    assert judged(found, film, "fire.en-13501-1.rating").answer == answer


def test_demands_of_a_use_and_its_place_on_one_fire_standard_both_hold(shop: Shop) -> None:
    light_box(shop, {"of": "substrate", "setting": "fire.en-13501-1.rating", "grade": "B"})
    smoke = {"of": "substrate", "setting": "fire.en-13501-1.rating", "grade": "D-s1,d0", "why": "a tunnel"}
    shop.put("display", "quay/hall", demands=[smoke])
    shop.film("maker/smoky", fire=[{"standard": "en-13501-1", "rating": "B-s2,d0"}])
    shop.film("maker/slow", fire=[{"standard": "en-13501-1", "rating": "C-s1,d0"}])
    both = shop.film("maker/both", fire=[{"standard": "en-13501-1", "rating": "B-s1,d0"}])
    assert ids(shop.find(use="quay/hall").offers) == [both]


def test_one_of_the_words_in_a_list_is_enough(shop: Shop) -> None:
    light_box(shop, {"of": "mode", "setting": "finishing", "one_of": ["acrylic-face", "film-laminate"]})
    fits = shop.film("maker/fits", mode_finishing=["liquid-laminate", "acrylic-face"])
    shop.film("maker/bare", mode_finishing=["none"])
    assert ids(shop.find(use="light-box").offers) == [fits]


def test_a_demand_without_a_bound_asks_only_that_the_value_is_on_record(shop: Shop) -> None:
    light_box(shop, {"of": "substrate", "setting": "thickness_um"})
    known = shop.film("maker/known", thickness_um=200)
    unknown = shop.film("maker/unknown")
    answer = shop.find(use="light-box")
    assert judged(answer, known, "thickness_um").answer == "met"
    assert judged(answer, unknown, "thickness_um").answer == "unknown"


def test_a_demand_on_a_setting_that_does_not_exist_is_unknown_of_all(shop: Shop) -> None:
    light_box(shop, {"of": "substrate", "setting": "light.sparkle", "at_least": 3})
    film = shop.film("maker/film")
    assert judged(shop.find(use="light-box"), film, "light.sparkle").answer == "unknown"


@pytest.mark.parametrize(
    ("place", "fitting"),
    [
        ("backlit", ["maker/backlit/mode", "maker/dual/mode"]),
        ("frontlit", ["maker/dual/mode", "maker/frontlit/mode"]),
        ("dual", ["maker/dual/mode"]),
    ],
)
def test_a_mode_must_suit_the_lighting_and_a_dual_one_suits_both(
    shop: Shop, place: str, fitting: list[str]
) -> None:
    light_box(shop, lighting=place)
    for lighting in ("backlit", "frontlit", "dual"):
        shop.film(f"maker/{lighting}", mode_lighting=lighting)
    assert sorted(ids(shop.find(use="light-box").offers)) == fitting


def test_a_display_takes_its_applications_demands_and_its_own_lighting(shop: Shop) -> None:
    light_box(shop, BRIGHT, lighting="backlit")
    shop.put("display", f"{SITE}/counter", lighting="frontlit")
    lit = {"transmittance_pct": 40}
    shop.film("maker/backlit", light=lit)
    front = shop.film("maker/front", light=lit, mode_lighting="frontlit")
    shop.film("maker/dark", light={"transmittance_pct": 10}, mode_lighting="frontlit")
    answer = shop.find(use=f"{SITE}/counter")
    assert ids(answer.offers) == [front]
    assert answer.use is not None
    assert (answer.use.kind, answer.use.application, answer.use.lighting) == (
        "display",
        "light-box",
        "frontlit",
    )


def test_a_film_must_hide_the_lamps_at_the_displays_own_distance(shop: Shop) -> None:
    light_box(shop, lamp_distance_mm=200)
    shop.put("display", f"{SITE}/shallow", lamp_distance_mm=50)
    hides = shop.film("maker/hides", light={"hiding_distance_mm": 40})
    shop.film("maker/shows", light={"hiding_distance_mm": 60})
    unknown = shop.film("maker/unknown")
    answer = shop.find(use=f"{SITE}/shallow")
    assert ids(answer.offers) == [hides, unknown]
    assert judged(answer, hides, "light.hiding_distance_mm").margin == (10, False, 0.2)


def test_a_demand_that_is_met_by_a_copied_value_says_so(shop: Shop) -> None:
    light_box(shop, BRIGHT)
    note = {"kind": "copied", "date": "2025-10-01", "note": "copied from another"}
    copied = shop.film(
        "maker/copied", light={"transmittance_pct": 40}, sources={"/light/transmittance_pct": note}
    )
    whole = shop.film("maker/whole", light={"transmittance_pct": 40}, sources={"": note, "/light": MEASURED})
    answer = shop.find(use="light-box")
    told = {rid: offer(answer, rid) for rid in (copied, whole)}
    path = "light.transmittance_pct"
    assert [each.is_copied(judged(answer, rid, path)) for rid, each in told.items()] == [True, False]
    words = [judged_words(judged(answer, rid, path), each, "metric") for rid, each in told.items()]
    assert [each.endswith("(copied)") for each in words] == [True, False]
    rows = {row["mode"]: row["copied"] for row in rows_of(answer, "metric")}
    assert rows == {copied: ["luminous transmittance"], whole: []}


def test_lamps_that_stand_farther_apart_must_stand_farther_behind(shop: Shop) -> None:
    """Common practice, no source: the distance at which a film hides lamps grows as their pitch does."""
    light_box(shop)
    shop.put("display", f"{SITE}/sparse", lamp_distance_mm=90, lamp={"pitch_mm": 120})
    shop.put("display", f"{SITE}/dense", lamp_distance_mm=50, lamp={"pitch_mm": 40})
    film = shop.film("maker/film", light={"hiding_distance_mm": 60, "hiding_pitch_mm": 60})
    thin = shop.film("maker/thin", light={"hiding_distance_mm": 60})
    assert ids(shop.find(use=f"{SITE}/sparse").offers) == [thin]  # of it alone nobody can tell
    answer = shop.find(use=f"{SITE}/dense")
    assert ids(answer.offers) == [film, thin]
    assert judged(answer, film, "light.hiding_ratio").margin == (0.25, False, 0.2)
    assert [each.wanted.known.path for each in offer(answer, thin).candidate.unknown] == [
        "light.hiding_ratio"
    ]


HIDES = {
    "of": "substrate",
    "setting": "light.hiding_distance_mm",
    "why": "the lamps stand far back",
}


@pytest.mark.parametrize(
    ("lamps", "bound", "why"),
    [
        (110, 100.0, "the lamps stand far back; and because no lamp may show"),
        (90, 90.0, "no lamp may show; and because the lamps stand far back"),
    ],
)
def test_a_distance_demanded_twice_is_told_once_by_the_stricter_one_with_both_reasons(
    shop: Shop, lamps: float, bound: float, why: str
) -> None:
    light_box(shop, {**HIDES, "at_most": 100}, lamp_distance_mm=lamps)
    film = shop.film("maker/film", light={"hiding_distance_mm": 120})
    answer = shop.find(use="light-box")
    (way,) = offer(answer, film).candidate.in_the_way
    assert isinstance(way, Judged)
    assert (way.wanted.bounds, way.wanted.why) == ((Bound("<=", bound),), why)
    paths = [each.wanted.known.path for each in offer(answer, film).candidate.judged]
    assert paths.count("light.hiding_distance_mm") == 1


def test_what_an_application_and_its_display_both_demand_is_one_requirement(shop: Shop) -> None:
    scratch = {"of": "mode", "setting": "print.scratch", "grade": "fair"}
    light_box(shop, {**BRIGHT, "at_most": 48}, scratch)
    own = [
        {**BRIGHT, "at_least": 32, "at_most": 50, "why": "ten bars only"},
        {**scratch, "grade": "good", "why": "the frame is tight"},
    ]
    shop.put("display", f"{SITE}/north", demands=own)
    trial = {"what": "pencil", "date": "2025-09-01", "site": SITE, "passed": True, "pencil": "HB"}
    film = shop.film("maker/film", light={"transmittance_pct": 31}, mode_trials=[trial])
    answer = shop.find(use=f"{SITE}/north", why=film)
    light = judged(answer, film, "light.transmittance_pct")
    assert light.wanted.bounds == (Bound(">=", 32.0), Bound("<=", 48.0))
    assert light.wanted.why == "the test asks for it; and because ten bars only"
    hard = judged(answer, film, "print.scratch")
    assert (hard.answer, hard.wanted.bounds) == ("unmet", (Bound(">=", "good"),))
    assert hard.wanted.why == "the frame is tight; and because the test asks for it"


def test_demands_for_words_are_each_told(shop: Shop) -> None:
    words = {"of": "mode", "setting": "finishing", "one_of": ["acrylic-face", "film-laminate"]}
    light_box(shop, words)
    shop.put("display", f"{SITE}/north", demands=[{**words, "one_of": ["film-laminate"], "why": "salt"}])
    shop.film("maker/behind", mode_finishing=["acrylic-face"])
    laminated = shop.film("maker/laminated", mode_finishing=["film-laminate"])
    answer = shop.find(use=f"{SITE}/north")
    assert ids(answer.offers) == [laminated]
    paths = [each.wanted.known.path for each in offer(answer, laminated).candidate.judged]
    assert paths.count("finishing") == 2


def test_lamps_that_only_a_front_lit_use_has_are_not_to_be_hidden(shop: Shop) -> None:
    light_box(shop, lighting="frontlit", lamp_distance_mm=50)
    film = shop.film("maker/film", mode_lighting="frontlit")
    assert not offer(shop.find(use="light-box"), film).candidate.unknown


def test_where_the_lamps_distance_is_not_known_nothing_is_asked_of_it(shop: Shop) -> None:
    light_box(shop)
    film = shop.film("maker/film")
    assert not offer(shop.find(use="light-box"), film).candidate.unknown


@pytest.mark.parametrize(
    ("size", "widths", "seam"),
    [
        ((1500, 3000), [1067, 1524], None),
        ((3000, 1500), [1067, 1524], None),
        ((2000, 3000), [1067, 1524], Seam(2000, 1524)),
        ((1600, 3000), [1524, 2000], Seam(1600, 1524)),  # the printer takes no more than 1625
        ((1500, 3000), [2000], Seam(1500, 0)),
        ((1500, 3000), None, Seam(1500, None)),
    ],
)
def test_a_face_wider_than_any_material_is_said_to_need_a_seam_and_not_refused(
    shop: Shop, size: tuple[float, float], widths: list[float] | None, seam: Seam | None
) -> None:
    light_box(shop)
    shop.put("display", f"{SITE}/wall", size={"width_mm": size[0], "height_mm": size[1]})
    film = shop.film("maker/film", widths_mm=widths)
    answer = shop.find(use=f"{SITE}/wall")
    assert offer(answer, film).candidate.seam == seam
    assert offer(answer, film).candidate.warnings == (seam is not None)


def test_a_display_of_an_unknown_application_is_an_error_that_says_what_to_do(shop: Shop) -> None:
    shop.put("display", f"{SITE}/lost", application="gone")
    shop.film("maker/film")
    with pytest.raises(Exception, match="names the application 'gone', which is not in the registry"):
        shop.find(use=f"{SITE}/lost")


def test_near_misses_of_a_use_are_those_that_fail_one_demand(shop: Shop) -> None:
    thick = {"of": "substrate", "setting": "thickness_um", "at_least": 200}
    light_box(shop, BRIGHT, thick)
    near = shop.film("maker/near", light={"transmittance_pct": 40}, thickness_um=150)
    shop.film("maker/far", light={"transmittance_pct": 20}, thickness_um=150)
    answer = shop.find(use="light-box")
    assert way(answer) == {near: "thickness"}
    assert answer.missed == 1


def test_what_misses_a_limit_of_nothing_at_all_has_no_share_and_is_told_by_name(shop: Shop) -> None:
    light_box(shop, {"of": "substrate", "setting": "light.haze_pct", "at_most": 0})
    far = shop.film("maker/far", light={"haze_pct": 9})
    near = shop.film("maker/near", light={"haze_pct": 3})
    answer = shop.find(use="light-box")
    assert (answer.found, ids(answer.near)) == (0, [far, near])
    margins = [judged(answer, mode, "light.haze_pct").margin for mode in (far, near)]
    assert margins == [(-9, False, None), (-3, False, None)]
