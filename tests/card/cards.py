"""The cards that the tests look at, and how they are read back."""

import copy
from collections.abc import Callable
from functools import cache
from typing import Any

import pytest

from registry.card.request import CardRequest
from registry.card.typeset import card
from tests.card import documents
from tests.card.documents import fabric, request, sheet
from tests.card.longest import longest, numbered, prose, slug, unbroken
from tests.card.reading import Printed, printed

JOB = (
    ("pieces", "poster: 6 of 1200 × 1800 mm; wall, a set of panels: 4 of 1000 × 2000 mm; never turned"),
    ("material", "1524 mm: 18.99 m, 1 roll of 30 m, waste 13.1 %"),
    ("time", "4.6 h at the measured 5 m²/h; without warm-up and loading"),
    ("ink", "colour inks, all together: 144 mL; overcoat: 12 mL"),
)
"""Of a plan, in short."""

PAPERS = ("a4", "a5", "letter")


def unit_card(**changes: Any) -> CardRequest:
    return request(
        unit=copy.deepcopy(documents.UNIT), unit_id="harbour-yard/left", unit_revision=4, **changes
    )


def longest_card(
    paper: str, writer: Callable[[int], str] = prose, standing: str = "known-good", **changes: Any
) -> CardRequest:
    """Return the card of records in which every text and list is as long as the schema allows."""
    mode_id = "/".join([slug(60), slug(59), slug(59)])
    mode, substrate, unit = (longest(kind, writer) for kind in ("print-mode", "substrate", "unit"))
    del substrate["withdrawn"], unit["withdrawn"]
    if standing != "withdrawn":
        del mode["withdrawn"]
    unit["own"] = [{**unit["own"][0], "mode": mode_id}]
    given = {
        "mode_id": mode_id,
        "mode": mode,
        "substrate": substrate,
        "printer": longest("printer", writer),
        "unit": unit,
        "unit_id": f"{slug(60)}/{slug(59)}",
        "unit_revision": 100000,
        "revision": 100000,
        "standing": standing,
        "draft_on": 99999,
        "known_good": 99999,
        "paper": paper,
        "places": tuple((kind, longest(kind, writer)) for kind in ("display", "application")),
        "place_id": f"{slug(60)}/{slug(59)}",
        "guidance": tuple(
            (level, text)
            for level in ("refuse", "warn", "advise")
            for text in numbered([writer(400)] * 10, level)
        ),
    }
    return request(**given | changes)


LONG_JOB = tuple((label, prose(400)) for label in ("pieces", "material", "does not fit", "time", "ink"))
"""A plan in short, longer than any command tells it."""


def everything(paper: str, standing: str = "trial", **changes: Any) -> CardRequest:
    """Return the longest card of all: for a failed trial on trial, and none of a place's 40 demands met."""
    demands = numbered([prose(1000)] * 40, "demand")
    failed = f"its re-wet trial FAILED on 2026-12-31 at {slug(60)}, before these settings were written"
    given = {"job": LONG_JOB, "unmet": tuple(demands[:39]), "untold": (demands[39],), "trial_why": failed}
    return longest_card(paper, prose, standing, **given | changes)


CARDS: dict[str, Callable[[str], CardRequest]] = {
    "with a unit": lambda paper: unit_card(paper=paper),
    "US units": lambda paper: request(paper=paper, units="us"),
    "second surface": lambda paper: sheet(paper=paper),
    "fabric": lambda paper: fabric(paper=paper),
    "on trial": lambda paper: request(paper=paper, standing="trial", revision=6, known_good=5),
    "draft": lambda paper: request(paper=paper, standing="draft", draft_on=5, known_good=5),
    "with a job": lambda paper: request(paper=paper, job=JOB),
    "longest": longest_card,
    "longest, unbroken": lambda paper: longest_card(paper, unbroken),
    "longest, withdrawn": lambda paper: longest_card(paper, prose, "withdrawn"),
    "longest, unbroken, withdrawn": lambda paper: longest_card(paper, unbroken, "withdrawn"),
    "longest, trial": lambda paper: longest_card(paper, prose, "trial"),
    "longest, everything": everything,
    "longest, unbroken, draft": lambda paper: longest_card(paper, unbroken, "draft"),
}
every_card = pytest.mark.parametrize("name", CARDS)
every_paper = pytest.mark.parametrize("paper", PAPERS)


@cache
def pdf_of(name: str, paper: str) -> bytes:
    return pdf(CARDS[name](paper))


def pdf(asked: CardRequest) -> bytes:
    (made,) = card(asked, "pdf")
    return made


def read(name: str, paper: str) -> Printed:
    return printed(pdf_of(name, paper))
