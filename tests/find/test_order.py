"""Places: what decides them, in which order, and that names and the order of records do not."""

import tempfile
from pathlib import Path
from typing import Any

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from registry.find.answer import FindAnswer
from tests.find.shop import SITE, Shop, called, ids, offer

BRIGHT = {"of": "substrate", "setting": "light.transmittance_pct", "at_least": 30, "why": "weak lamps"}
DULL, LIT = {"transmittance_pct": 31}, {"transmittance_pct": 60}


def places(answer: FindAnswer) -> dict[str, int]:
    return {each.candidate.pair.substrate_title: each.place for each in answer.offers}


def asked(shop: Shop) -> FindAnswer:
    shop.put("application", "light-box", demands=[BRIGHT])
    return shop.find(use="light-box")


def test_fewer_unknown_demands_come_before_fewer_warnings(shop: Shop) -> None:
    shop.put("guidance", "warning", level="warn", when={"/substrate/finish": {"const": "matte"}})
    shop.film("a/unknown", finish="gloss")
    shop.film("b/warned", finish="matte", light=DULL)
    assert places(asked(shop)) == {"b/warned": 1, "a/unknown": 2}


def test_fewer_warnings_come_before_more_sites(shop: Shop) -> None:
    shop.put("guidance", "warning", level="warn", when={"/substrate/finish": {"const": "matte"}})
    twice = [(SITE, "2025-10-01"), ("mill-lane", "2025-10-02")]
    shop.film("a/warned", finish="matte", light=DULL, confirmed=twice)
    shop.film("b/clear", finish="gloss", light=DULL)
    assert places(asked(shop)) == {"b/clear": 1, "a/warned": 2}


def test_a_site_where_it_failed_is_a_warning(shop: Shop) -> None:
    failed = shop.film("a/failed", light=DULL)
    shop.confirm(failed, "mill-lane", "2025-10-05", "failed")
    shop.film("b/good", light=DULL)
    answer = asked(shop)
    assert places(answer) == {"b/good": 1, "a/failed": 2}
    assert [word.site for word in offer(answer, failed).candidate.confirmed.failed] == ["mill-lane"]


def test_more_sites_come_before_more_confirmations(shop: Shop) -> None:
    shop.film("a/often", light=DULL, confirmed=[(SITE, f"2025-10-0{day}") for day in range(1, 5)])
    shop.film("b/widely", light=DULL, confirmed=[(SITE, "2025-10-01"), ("mill-lane", "2025-10-01")])
    assert places(asked(shop)) == {"b/widely": 1, "a/often": 2}


def test_more_confirmations_come_before_a_later_one(shop: Shop) -> None:
    shop.film("a/late", light=DULL, confirmed=[(SITE, "2026-05-01")])
    shop.film("b/often", light=DULL, confirmed=[(SITE, "2025-10-01"), (SITE, "2025-10-02")])
    assert places(asked(shop)) == {"b/often": 1, "a/late": 2}


def test_a_later_confirmation_comes_before_a_larger_margin(shop: Shop) -> None:
    shop.film("a/roomy", light=LIT, confirmed=[(SITE, "2025-10-01")])
    shop.film("b/late", light=DULL, confirmed=[(SITE, "2025-10-02")])
    assert places(asked(shop)) == {"b/late": 1, "a/roomy": 2}


def test_a_larger_least_margin_decides_last(shop: Shop) -> None:
    shop.film("a/dull", light=DULL)
    shop.film("b/lit", light=LIT)
    assert places(asked(shop)) == {"b/lit": 1, "a/dull": 2}


def test_equal_finds_share_a_place_and_the_next_is_counted_after_them(shop: Shop) -> None:
    for name in ("a/one", "b/two"):
        shop.film(name, light=LIT)
    shop.film("c/less", light=DULL)
    answer = asked(shop)
    assert places(answer) == {"a/one": 1, "b/two": 1, "c/less": 3}
    assert [each.shared for each in answer.offers] == [1, 1, 0]


def test_each_place_says_what_put_it_there(shop: Shop) -> None:
    shop.film("a/best", light=LIT, confirmed=[(SITE, "2025-10-01"), ("mill-lane", "2025-10-02")])
    shop.film("b/next", light=LIT)
    shop.film("c/dull", light=DULL)
    shop.film("d/unknown")
    proof = "2 confirming sites, 2 confirmations, last confirmed on 2025-10-02"
    tightest = "meets its tightest requirement with {} % to spare"
    assert [each.reason for each in asked(shop).offers] == [
        f"no unknown demands, no warnings, {proof}, {tightest.format(100)}",
        "behind place 1, which has 2 confirming sites; this has 1 confirming site",
        f"behind place 2, which {tightest.format(100)}; this {tightest.format(3)}",
        "behind place 3, which has no unknown demands; this has 1 unknown demand",
    ]


def test_a_later_confirmation_is_told_as_one_clause_of_each(shop: Shop) -> None:
    shop.film("a/late", confirmed=[(SITE, "2025-11-01")])
    shop.film("b/early", confirmed=[(SITE, "2025-10-01")])
    first, second = (each.reason for each in shop.find().offers)
    assert first.endswith("1 confirmation, last confirmed on 2025-11-01")
    assert second == (
        "behind place 1, which was last confirmed on 2025-11-01; this was last confirmed on 2025-10-01"
    )


def test_what_has_nothing_to_measure_says_so_as_a_clause(shop: Shop) -> None:
    thick = {"of": "substrate", "setting": "thickness_um", "at_least": 100, "why": "stiff enough"}
    matte = {"of": "substrate", "setting": "finish", "one_of": ["matte"], "why": "no mirror"}
    shop.put("application", "light-box", demands=[thick, matte])
    shop.film("a/measured", thickness_um=200)
    shop.film("b/unmeasured", finish="matte")
    assert [each.reason for each in shop.find(use="light-box").offers][1] == (
        "behind place 1, which meets its tightest requirement with 100 % to spare; this has nothing measured"
    )


def test_the_limit_cuts_what_is_shown_but_not_what_is_counted(shop: Shop) -> None:
    for name in ("a/one", "b/two", "c/three"):
        shop.film(name, light=LIT)
    shop.put("application", "light-box", demands=[BRIGHT])
    answer = shop.find(use="light-box", limit=2)
    assert (answer.found, len(answer.offers), answer.offers[-1].shared) == (3, 2, 2)


def test_near_misses_are_in_the_order_of_what_is_unknown_and_what_lacks(shop: Shop) -> None:
    thick = {"of": "substrate", "setting": "thickness_um", "at_least": 100, "why": "stiff enough"}
    shop.put("application", "light-box", demands=[BRIGHT, thick])
    far = shop.film("a/far", light={"transmittance_pct": 10}, thickness_um=200)
    near = shop.film("b/near", light={"transmittance_pct": 29}, thickness_um=200)
    unknown = shop.film("c/unknown", light={"transmittance_pct": 29})
    assert ids(shop.find(use="light-box").near) == [near, far, unknown]


def test_where_nothing_is_near_it_is_said_what_leaves_out_the_most(shop: Shop) -> None:
    shop.put("application", "light-box", demands=[BRIGHT])
    shop.film("a/dull", light={"transmittance_pct": 20}, coating="solvent")
    shop.film("b/dull", light={"transmittance_pct": 20}, coating="none")
    answer = shop.find(use="light-box", where=("thickness_um>=100",), coating=("none",))
    assert (ids(answer.offers), ids(answer.near)) == ([], [])
    labels = [(called(each.by), each.left_out) for each in answer.excluded]
    assert labels == [("thickness", 2), ("luminous transmittance", 2)]
    assert answer.asked == 2


def test_a_refusal_may_be_what_leaves_out_the_most(shop: Shop) -> None:
    shop.put("application", "light-box")
    shop.put("guidance", "house-rule", when={"/application/lighting": {"const": "backlit"}})
    shop.film("a/one", coating="none")
    shop.film("b/two", coating="none")
    answer = shop.find(use="light-box", coating=("aqueous",), where=("base!=polyester",))
    assert "house-rule" in [called(each.by) for each in answer.excluded]


FILMS = st.fixed_dictionaries(
    {
        "light": st.sampled_from([None, {"transmittance_pct": 20}, DULL, LIT]),
        "finish": st.sampled_from([None, "matte", "gloss"]),
        "thickness_um": st.sampled_from([None, 100, 300]),
        "mode_lighting": st.sampled_from(["backlit", "backlit", "dual", "frontlit"]),
        "confirmed": st.lists(
            st.tuples(st.sampled_from(["s1", "s2"]), st.sampled_from(["2025-10-01", "2025-11-01"])),
            max_size=3,
            unique=True,
        ),
    }
)


def answered(films: list[dict[str, Any]], order: list[int], names: list[str]) -> dict[int, tuple[Any, ...]]:
    """Build a registry with the films in an order and under names, and return each film's lot."""
    sites = dict(zip(("s1", "s2"), names[-2:], strict=True))
    with tempfile.TemporaryDirectory() as folder:
        shop = Shop(Path(folder) / "registry")
        with shop.series:
            shop.put("application", names[-3], demands=[BRIGHT])
            shop.put("printer", names[-4])
            shop.put("guidance", names[-5], level="warn", when={"/substrate/finish": {"const": "matte"}})
            for site in sites.values():
                shop.put("site", site)
            for number in order:
                confirmed = [(sites[site], day) for site, day in films[number]["confirmed"]]
                shop.film(
                    f"{names[number]}/{names[number - 1]}",
                    title=str(number),
                    **{**films[number], "confirmed": confirmed},
                    mode_printer=names[-4],
                )
            answer = shop.find(use=names[-3], limit=100)
            found = {
                int(each.candidate.pair.substrate_title): each for each in (*answer.offers, *answer.near)
            }
            return {
                number: (
                    each.place,
                    each.shared,
                    each.reason,
                    [judged.answer for judged in each.candidate.judged],
                    len(each.candidate.in_the_way),
                )
                for number, each in found.items()
            }


@settings(max_examples=12, suppress_health_check=[HealthCheck.too_slow])
@given(data=st.data(), films=st.lists(FILMS, min_size=2, max_size=5))
def test_places_do_not_depend_on_the_order_or_the_names_of_records(
    data: st.DataObject, films: list[dict[str, Any]]
) -> None:
    slugs = st.lists(
        st.from_regex(r"[a-z][a-z0-9-]{0,5}", fullmatch=True), min_size=10, max_size=10, unique=True
    )
    plain = [f"n{number}" for number in range(10)]
    as_it_is = answered(films, list(range(len(films))), plain)
    order = data.draw(st.permutations(range(len(films))))
    assert answered(films, order, data.draw(slugs)) == as_it_is
