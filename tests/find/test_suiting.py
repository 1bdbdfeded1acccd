"""What a place demands, judged on documents: as find judges it, and also of what find does not hold."""

import pytest

from registry.find.answer import find
from registry.find.demands import demands, use_of
from registry.find.request import Request
from registry.find.suiting import suiting
from registry.find.wanted import UNKNOWN, UNMET
from registry.question.registry import Registry
from registry.question.when import version, version_of

STANDINGS = ("known-good", "trial", "withdrawn")


@pytest.mark.parametrize(
    "use", ["ticket-counter", "concourse-light-box", "harbour-yard/concourse-a", "deck-sign"]
)
def test_documents_are_judged_as_find_judges_its_pairs(demo: Registry, use: str) -> None:
    asked = use_of(demo, use)
    answers = set()
    for _, film in demo.model.ids("substrate"):
        for offer in find(demo, Request(use=use, why=film, status=STANDINGS)).why:
            mode = offer.candidate.pair.mode
            judged = suiting(demo, asked, version_of(demo, mode, mode.seq, "asked"))
            by_find = offer.candidate.judged[-len(demands(asked)) :]
            assert [each.wanted for each in judged] == [each.wanted for each in by_find]
            assert judged == list(by_find), mode.rid
            answers |= {each.answer for each in judged}
    assert {UNMET, UNKNOWN} <= answers


def test_a_film_too_soft_for_a_counter_is_told(demo: Registry) -> None:
    mode = version(demo, "samphirepeel/translucent-80/marshwing-backlit")
    unmet = [each for each in suiting(demo, use_of(demo, "ticket-counter"), mode) if each.answer == UNMET]
    assert [(each.wanted.known.path, each.found[0].txt) for each in unmet] == [("print.scratch", "good")]
