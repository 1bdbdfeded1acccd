"""The job on a card: only of a plan that was made with the card's own settings."""

import json
from typing import Any

import pytest

from registry.card.facts import facts
from registry.card.job import NoPlan, job_of
from registry.card.request import CardRequest
from tests.card.cards import JOB, every_paper, read
from tests.card.documents import request
from tests.card.reading import without_blanks


def plan(card: CardRequest, **changes: Any) -> dict[str, Any]:
    return {
        "mode": {"record": card.mode_id, "revision": "r5", "settings_digest": card.digest},
        "units": {"system": card.units},
        "in_short": [{"label": label, "text": text} for label, text in JOB],
        **changes,
    }


def data(document: Any) -> bytes:
    return json.dumps(document).encode()


def test_a_card_says_what_the_plan_says_in_short() -> None:
    card = request()
    assert job_of(data(plan(card)), card) == JOB
    assert facts(request(job=JOB))["job"] == [{"label": label, "text": text} for label, text in JOB]
    assert facts(card)["job"] == []


@every_paper
def test_the_job_is_printed_and_said_to_be_computed(paper: str) -> None:
    page = read("with a job", paper)
    for label, text in JOB:
        assert without_blanks(f"{label}: {text}") in page.page(1)
    assert "computed,notmeasured" in page.text
    assert "computed,notmeasured" not in read("US units", paper).text


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        (
            {"mode": {"record": "other/film/mode", "revision": "r2", "settings_digest": "0"}},
            "the plan was made with other/film/mode r2, and its settings are not those of this card",
        ),
        ({"units": {"system": "us"}}, "the plan is in us units and the card in metric"),
        ({"in_short": [{"label": "pieces"}]}, "the plan lacks what every plan says, 'text'"),
        (
            {"in_short": [{"label": "pieces", "text": 6}]},
            "the plan lacks what every plan says, 6 where words",
        ),
        ({"in_short": "all of it"}, "the plan lacks what every plan says"),
        ({"mode": None}, "the plan lacks what every plan says"),
    ],
)
def test_another_plan_is_refused(changes: dict[str, Any], said: str) -> None:
    card = request()
    with pytest.raises(NoPlan) as refused:
        job_of(data(plan(card, **changes)), card)
    assert str(refused.value).startswith(said)


@pytest.mark.parametrize("held", [b"", b"{", b"\xff", b"[]", b"7"])
def test_what_is_no_plan_is_refused(held: bytes) -> None:
    with pytest.raises(NoPlan) as refused:
        job_of(held, request())
    assert "write it with litstock plan … --format json" in str(refused.value)


def test_a_plan_of_other_settings_is_refused_though_the_mode_is_the_same() -> None:
    card = request()
    other = plan(card)
    other["mode"]["settings_digest"] = "f" * 64
    with pytest.raises(NoPlan) as refused:
        job_of(data(other), card)
    assert "its settings are not those of this card" in str(refused.value)
