"""The demo's complaints: where a production manager with the customer on the telephone is told to look."""

import os
from pathlib import Path

import pytest

from registry.audit.answer import AuditAnswer
from registry.audit.audit import audit
from registry.audit.request import of_complaint, of_prints
from registry.demo.replay import replay
from registry.question.registry import Registry


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Registry:
    folder: Path = tmp_path_factory.mktemp("demo") / "registry"
    replay(folder)
    return Registry(folder, os.environ)


def of(demo: Registry, complaint: str) -> AuditAnswer:
    return audit(demo, of_complaint(demo, complaint))


def first(answer: AuditAnswer) -> str:
    return next(line for line in answer.in_short if line.startswith("look first at"))


def test_of_the_blue_concourse_the_lamps_are_to_be_looked_at_first(demo: Registry) -> None:
    """The white is as blue as the prints: no override and no ink does that."""
    answer = of(demo, "2026-05-blue-concourse")
    assert first(answer) == "look first at: some lamps replaced; roll lot"
    assert answer.clues[0].event == "lamp-some-replaced"
    overrides = next(clue for clue in answer.clues if clue.label == "colour overrides")
    assert overrides.fits is False


def test_of_the_stuck_roll_the_load_comes_first_and_the_refusal_before_it(demo: Registry) -> None:
    answer = of(demo, "2025-08-stuck-roll")
    assert answer.in_short[0].startswith(
        "guidance refuses this: A film coated for solvent ink risks re-wetting"
    )
    assert first(answer).startswith("look first at: load, colour; ")
    against = {clue.label for clue in answer.clues if clue.works == "against"}
    assert {
        "curing set-point",
        "dwell in the curing zone",
        "web temperature, centre",
        "heater service",
    } <= against
    works = [clue.works for clue in answer.clues]
    assert works == sorted(works, key=lambda each: each == "against")


def test_two_prints_of_the_concourse_find_its_lamps_by_the_runs(demo: Registry) -> None:
    unit, mode = "harbour-yard/marshwing-1", "lumenfold/dayfilm-210/marshwing-backlit"
    asked = of_prints(
        demo, unit=unit, mode=mode, printed="2026-05-19T13:40+01:00", good="2026-03-10T14:20+00:00"
    )
    answer = audit(demo, asked)
    assert answer.request.display == "harbour-yard/concourse-a"
    assert "some lamps replaced" in {clue.label for clue in answer.clues}
    assert not any("none was named" in each for each in answer.unknown)
