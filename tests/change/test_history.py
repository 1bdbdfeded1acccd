"""A record's revisions with their three clocks."""

import subprocess
from collections.abc import Callable
from pathlib import Path

import pytest

from registry.change.history import history
from registry.errors import RequestError
from registry.question.registry import Registry
from tests.change.documents import drafted
from tests.small import FILM, MODE, mode_path

Land = Callable[..., Registry]


def test_the_three_clocks_stand_apart(small_open: Registry) -> None:
    step = history(small_open, MODE).steps[2]
    assert (step.revision.recorded, step.revision.recorded_site) == ("2025-09-15", "harbour-yard")
    assert f"{small_open.time(step.landed.landed):%Y-%m-%d %H:%M}" == "2025-09-15 11:00"
    assert [(use.unit, use.how, f"{small_open.time(use.at):%Y-%m-%d %H:%M}") for use in step.in_force] == [
        ("harbour-yard/left", "adopted", "2025-09-16 08:00"),
        ("harbour-yard/left", "run", "2025-10-01 10:00"),
    ]


def test_a_run_is_counted_for_the_revision_whose_settings_it_names(small_open: Registry) -> None:
    in_force = {f"r{step.revision.seq}": len(step.in_force) for step in history(small_open, MODE).steps}
    assert in_force == {"r1": 0, "r2": 0, "r3": 2, "r4": 1}


def test_each_revision_says_what_it_changed_who_wrote_it_and_why(small_open: Registry) -> None:
    step = history(small_open, MODE).steps[3]
    assert [change.path for change in step.settings] == ["layers.colour.load_pct", "heat.cure_c"]
    assert (step.landed.writers, step.revision.reason) == (("specialist, mill-lane",), "Deeper black wanted")


def test_only_the_first_revision_is_the_first(small_open: Registry) -> None:
    assert [step.first for step in history(small_open, MODE).steps] == [True, False, False, False]


def test_a_field_keeps_only_the_revisions_that_changed_it_with_each_value(small_open: Registry) -> None:
    found = history(small_open, MODE, "heat.cure_c").steps
    assert [(f"r{step.revision.seq}", step.changes[0].before, step.changes[0].after) for step in found] == [
        ("r1", None, 100),
        ("r4", 100, 104),
    ]


def test_a_field_may_be_computed(small_open: Registry) -> None:
    found = history(small_open, MODE, "ink.solid_ml_m2").steps
    assert [step.changes[0].after for step in found] == [11.25, 11.81]


def test_a_field_that_no_revision_has_is_an_answer_not_an_error(small_open: Registry) -> None:
    assert history(small_open, MODE, "web.vacuum_pct").steps == ()


def test_a_field_that_no_such_record_can_have_is_refused_with_what_is_near(small_open: Registry) -> None:
    with pytest.raises(RequestError) as refused:
        history(small_open, MODE, "heat.cure")
    assert str(refused.value).startswith(
        "the record kind print-mode has no setting 'heat.cure': did you mean "
    )
    assert "heat.cure_c" in str(refused.value)


def test_a_removed_and_an_unreadable_revision_are_told_and_the_next_is_compared_across_them(
    land: Land, own_registry: Path
) -> None:
    path = mode_path(MODE)
    data = (own_registry / path).read_bytes()
    land({path: None})
    land({path: b"not a record"})
    registry = land({path: data.replace(b'"cure_c": 104', b'"cure_c": 99')})
    steps = history(registry, MODE).steps[4:]
    assert [(step.removed, bool(step.revision.fault), len(step.settings)) for step in steps] == [
        (True, False, 0),
        (False, True, 0),
        (False, False, 1),
    ]


def test_a_removed_record_still_has_its_history_and_a_draft_of_it_is_told(
    land: Land, own_registry: Path
) -> None:
    path = mode_path(MODE)
    data = (own_registry / path).read_bytes()
    registry = land({path: None})
    found = history(registry, MODE)
    assert ([step.removed for step in found.steps], found.draft) == ([False] * 4 + [True], None)
    (own_registry / path).parent.mkdir(parents=True)
    (own_registry / path).write_bytes(data)
    draft = history(registry, MODE).draft
    assert draft is not None
    assert draft.fault == f"{MODE} was removed by r5: ask for an earlier revision"


def test_a_draft_is_told_apart(own_registry: Path, land: Land) -> None:
    registry = land({})
    file = own_registry / mode_path(MODE)
    file.write_bytes(drafted(file.read_bytes()))
    draft = history(registry, MODE).draft
    assert draft is not None
    assert (draft.label, draft.where) == ("draft, on r4", "working tree")
    assert [change.path for change in draft.changes] == ["heat.cure_c"]
    assert len(history(registry, MODE).steps) == 4


def test_a_draft_that_cannot_be_read_or_is_gone_says_so(own_registry: Path, land: Land) -> None:
    registry = land({})
    file = own_registry / mode_path(MODE)
    file.write_bytes(b"{")
    draft = history(registry, MODE).draft
    assert draft is not None
    assert draft.fault.startswith(f"{mode_path(MODE)}: line 1")
    file.unlink()
    draft = history(registry, MODE).draft
    assert draft is not None
    assert draft.missing


def test_where_nothing_differs_there_is_no_draft(small_open: Registry) -> None:
    assert history(small_open, MODE).draft is None


def test_a_clone_that_is_cut_off_says_since_when_it_knows(cut_off: Registry) -> None:
    found = history(cut_off, MODE)
    assert found.known_since is not None
    assert f"{cut_off.time(found.known_since):%Y-%m-%d}" == "2025-11-10"


def test_history_agrees_with_plain_git(small_open: Registry, small_registry: Path) -> None:
    command = ["git", "log", "--first-parent", "--reverse", "--format=%H", "--", mode_path(MODE)]
    said = subprocess.run(command, check=True, capture_output=True, cwd=small_registry)
    assert [step.landed.commit for step in history(small_open, MODE).steps] == said.stdout.decode().split()


def test_a_record_without_runs_has_no_third_clock(small_open: Registry) -> None:
    assert [step.in_force for step in history(small_open, FILM).steps] == [()]
