"""The lots that a run can name, and how they are compared."""

import os
import shutil
from pathlib import Path
from typing import Any, get_args

import pytest

from registry.audit.audit import audit
from registry.audit.lots import LOT_OF_EVENT, LOTS, belongs, lots_of
from registry.audit.request import of_prints
from registry.audit.usual import USUAL, usual_rank
from registry.model.words import EventKind
from registry.question.registry import Registry
from tests.audit.asking import asked, every
from tests.audit.story import Continued
from tests.small import MODE, OTHER_UNIT, UNIT, mode_path

GOOD, PRINTED = "2025-12-22T10:00:00+01:00", "2025-12-24T10:00:00+01:00"
LACKS = "its run does not say"


def test_each_lot_has_its_kind_of_event() -> None:
    assert sorted(LOT_OF_EVENT.values()) == sorted(LOTS)
    assert set(LOT_OF_EVENT) == {kind for kind in get_args(EventKind) if kind.endswith("-lot")}


@pytest.mark.parametrize(("kind", "lot"), LOT_OF_EVENT.items())
@pytest.mark.parametrize("defect", USUAL)
def test_a_lot_is_as_usual_as_the_event_that_tells_of_it(defect: str, kind: str, lot: str) -> None:
    assert (f"event/{kind}" in USUAL[defect]) is (f"job/{lot}" in USUAL[defect])
    assert usual_rank(defect, "event", kind) == usual_rank(defect, "job", lot)


def test_the_lots_of_a_run_are_those_it_names() -> None:
    run = {"job": "J1", "laminate_lot": "M-1", "roll_lot": "L-1"}
    assert lots_of(run) == {"roll_lot": "L-1", "laminate_lot": "M-1"}


@pytest.mark.parametrize(
    ("mode", "has"),
    [
        ({"finishing": ["film-laminate"]}, {"laminate_lot"}),
        ({"finishing": ["acrylic-face", "liquid-laminate"]}, {"laminate_lot"}),
        ({"finishing": ["acrylic-face"], "ink": {"fixing_fluid_pct": 0}}, set()),
        ({"ink": {"fixing_fluid_pct": 12}}, {"fixing_fluid_lot"}),
        ({}, set()),
    ],
    ids=str,
)
def test_not_every_print_has_every_lot(mode: dict[str, Any], has: set[str]) -> None:
    assert {lot for lot in LOTS if belongs(lot, mode)} == {"roll_lot", "ink_lot"} | has


def told(folder: Path, audited: Path, mode: dict[str, Any], good: dict[str, str], bad: dict[str, str]) -> Any:
    """Return an audit of two runs with such lots, of a mode with such settings."""
    shutil.copytree(audited, folder)
    teller = Continued(folder)
    with teller.series:
        if mode:
            teller.revise("2025-12-21", "mill-lane", mode_path(MODE), mode, "Another way")
        teller.run("2025-12-22", "J180", GOOD, **good)
        teller.run("2025-12-24", "J181", PRINTED, **bad)
        teller.series.finish()
    return asked(Registry(folder, os.environ), good=GOOD, printed=PRINTED)


@pytest.mark.parametrize("lot", LOTS)
def test_every_lot_is_compared(audited: Path, tmp_path: Path, lot: str) -> None:
    answer = told(tmp_path / "lots", audited, {}, {lot: "A 1"}, {lot: "A 2"})
    changes = [each.change for each in answer.clues if each.place == "job"]
    assert [(each.path, each.before, each.after) for each in changes] == [(lot, "A 1", "A 2")]


@pytest.mark.parametrize("lot", LOTS)
def test_a_lot_of_one_print_alone_is_not_known_of_the_other(audited: Path, tmp_path: Path, lot: str) -> None:
    answer = told(tmp_path / "lots", audited, {}, {lot: "A 1"}, {})
    assert not [each for each in answer.clues if each.place == "job"]
    lacking = [each for each in answer.unknown if each.endswith(LACKS)]
    assert any(lot.replace("_", " ") in each and "the bad print" in each for each in lacking)


def test_lots_that_the_mode_has_no_use_for_are_not_missed(audited: Path, tmp_path: Path) -> None:
    answer = told(tmp_path / "plain", audited, {}, {}, {})
    assert [each for each in answer.unknown if each.endswith(LACKS)] == [
        f"the roll lot and the ink lot of the {word} print: {LACKS}" for word in ("good", "bad")
    ]
    laminated = {"finishing": ["film-laminate"], "ink": {"fixing_fluid_pct": 8}}
    answer = told(tmp_path / "laminated", audited, laminated, {}, {"roll_lot": "L", "ink_lot": "I"})
    assert f"the laminate lot and the fixing fluid lot of the bad print: {LACKS}" in answer.unknown


def test_a_lot_of_the_same_name_at_another_site_is_another_lot(audited: Path, tmp_path: Path) -> None:
    """Lots are numbered by whoever delivers them: two sites may hold the same number."""
    folder = tmp_path / "namesake"
    shutil.copytree(audited, folder)
    teller = Continued(folder)
    named = {"kind": "ink-lot", "lot": "A 2", "what": "Opened"}
    with teller.series:
        for slug, unit in (("unit", {"unit": OTHER_UNIT}), ("site", {})):
            event = {"title": "Lot", "site": "mill-lane", "at": "2025-12-22T08:00:00+01:00", **named, **unit}
            path = f"records/sites/mill-lane/events/2025-12-22-{slug}.json"
            teller.happened("2025-12-22", "mill-lane", path, event)
        teller.event("2025-12-22", "own", "2025-12-22T08:00:00+01:00", **named, unit="harbour-yard/right")
        teller.run("2025-12-24", "J181", PRINTED, ink_lot="A 2")
        teller.series.finish()
    answer = asked(Registry(folder, os.environ), good="2025-12-21", printed=PRINTED)
    found = {each.record for each in every(answer) if each.place == "event"}
    assert found == {"harbour-yard/2025-12-22-own"}


@pytest.mark.parametrize(("kind", "lot"), LOT_OF_EVENT.items())
def test_an_event_of_a_lot_that_a_run_names_is_found_wherever_it_happened(
    audited: Path, tmp_path: Path, kind: str, lot: str
) -> None:
    folder = tmp_path / "elsewhere"
    shutil.copytree(audited, folder)
    teller = Continued(folder)
    with teller.series:
        at = "2025-12-22T08:00:00+01:00"
        teller.event("2025-12-22", "lot", at, kind=kind, lot="A 2", unit="harbour-yard/right", what="Opened")
        teller.run("2025-12-24", "J181", PRINTED, **{lot: "A 2"})
        teller.series.finish()
    registry = Registry(folder, os.environ)
    request = of_prints(registry, unit=UNIT, mode=MODE, good="2025-12-21", printed=PRINTED)
    assert "harbour-yard/2025-12-22-lot" in {each.record for each in audit(registry, request).clues}
