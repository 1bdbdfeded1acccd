"""The demo's records as they stand now, asked for every use that they know."""

import pytest

from registry.find.answer import FindAnswer, find
from registry.find.request import Request
from registry.question.registry import Registry
from tests.find.shop import called


def asked(demo: Registry, use: str) -> FindAnswer:
    return find(demo, Request(use=use, limit=1000))


def test_the_ferry_concourse_has_a_known_good_film(demo: Registry) -> None:
    first = asked(demo, "concourse-light-box").offers[0]
    assert first.candidate.pair.mode.standing == "known-good"
    assert first.mode["lighting"][0].txt in {"backlit", "dual"}
    assert first.substrate["construction"][0].txt == "film"
    assert first.candidate.confirmed.good
    assert not first.candidate.unknown


def test_nothing_that_is_unmet_refused_or_withdrawn_is_ever_a_find(demo: Registry) -> None:
    uses = [rid for kind in ("application", "display") for _, rid in demo.model.ids(kind)]
    assert len(uses) >= 14
    for use in uses:
        for each in asked(demo, use).offers:
            candidate = each.candidate
            assert {judged.answer for judged in candidate.judged} <= {"met", "not surely", "unknown"}
            assert not any(remark.level == "refuse" and remark.certain for remark in candidate.remarks)
            assert (candidate.pair.mode.standing, candidate.pair.substrate_standing) == (
                "known-good",
                "current",
            )
            assert candidate.confirmed.good


@pytest.mark.parametrize(
    ("film", "ways"),
    [
        ("saltlens/solvsheet-180", {"substrate in use", "solvent-coating-re-wets"}),
        ("wickfoil/raylit-200", {"uv-coating-re-wets"}),
    ],
)
def test_a_film_that_re_wets_is_kept_out_and_the_reasons_said(
    demo: Registry, film: str, ways: set[str]
) -> None:
    why = find(demo, Request(use="concourse-light-box", status=("known-good", "trial"), why=film)).why
    assert why
    for each in why:
        assert each.place == 0
        assert ways <= {called(found) for found in each.candidate.in_the_way}


@pytest.mark.parametrize("asked", [{"words": ("solvsheet",)}, {"coating": ("solvent",)}])
def test_who_asks_for_the_withdrawn_solvent_film_is_told_of_it_first(
    demo: Registry, asked: dict[str, tuple[str, ...]]
) -> None:
    answer = find(demo, Request(**asked))  # type: ignore[arg-type]  # words alone
    (first,) = answer.kept_out
    assert first.candidate.pair.mode.rid == "saltlens/solvsheet-180/marshwing-backlit"
    assert (answer.offers, answer.near) == ((), ())
