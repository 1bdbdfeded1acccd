"""A record's revisions with their three clocks."""

import json
import subprocess
from collections.abc import Callable
from pathlib import Path

import pytest

from registry.change.history import history
from registry.errors import RequestError
from registry.question.cut import is_cut
from registry.question.registry import Registry
from tests.change.documents import drafted
from tests.small import FILM, FRONT, MODE, mode_path

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


def printed(folder: Path, name: str, at: str, **known: object) -> dict[str, bytes]:
    """Return a run of the mode, as a file."""
    run = json.loads((folder / "records/sites/harbour-yard/runs/2025-11-12-j140.json").read_bytes())
    document = run | {"job": name, "printed": at} | known
    return {f"records/sites/harbour-yard/runs/{at[:10]}-{name}.json": json.dumps(document).encode()}


def test_the_first_run_of_each_unit_counts_whatever_the_order_of_writing(
    land: Land, own_registry: Path
) -> None:
    files = printed(own_registry, "late", "2025-11-20T10:00:00+01:00")
    files |= printed(own_registry, "early", "2025-11-05T10:00:00+01:00")
    files |= printed(own_registry, "other", "2025-11-06T10:00:00+01:00", unit="mill-lane/one")
    uses = history(land(files), MODE).steps[3].in_force
    assert [(use.unit, use.record) for use in uses] == [
        ("harbour-yard/left", "harbour-yard/2025-11-05-early"),
        ("mill-lane/one", "harbour-yard/2025-11-06-other"),
    ]


def test_a_run_is_counted_by_its_settings_and_by_its_number_only_among_those_alike(
    land: Land, own_registry: Path
) -> None:
    digest = {step.revision.seq: step.revision.digest for step in history(land({}), MODE).steps}
    unit = {"unit": "mill-lane/one"}
    files = printed(
        own_registry, "a", "2025-09-13T10:00:00+01:00", settings_digest=digest[2], mode_revision=2
    )
    files |= printed(
        own_registry, "b", "2025-12-02T10:00:00+01:00", settings_digest=digest[3], mode_revision=4, **unit
    )
    files |= printed(
        own_registry, "c", "2025-12-03T10:00:00+01:00", settings_digest="0" * 64, mode_revision=4, **unit
    )
    steps = history(land(files), MODE).steps
    assert [[use.record[-1] for use in step.in_force if use.how == "run"] for step in steps] == [
        [],
        ["a"],
        ["0", "b"],
        ["0"],
    ]


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


@pytest.mark.parametrize(
    "field", ["web.vacuum_pct", "web", "vacuum", "black generation", "print.pencil", "print"]
)
def test_a_field_that_no_revision_has_is_an_answer_not_an_error(small_open: Registry, field: str) -> None:
    assert history(small_open, FRONT, field).steps == ()


def test_a_computed_field_is_none_of_another_kind(small_open: Registry) -> None:
    with pytest.raises(RequestError, match=r"has no setting 'ink\.solid_ml_m2'"):
        history(small_open, FILM, "ink.solid_ml_m2")


def test_a_list_item_that_no_revision_has_is_an_answer_too(small_open: Registry) -> None:
    assert history(small_open, FRONT, "layers.white.load_pct").steps == ()


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
    assert draft.fault == f"{MODE} was removed on 2025-12-01: ask for an earlier revision"


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
    assert is_cut(cut_off, found.steps[0].landed)


def test_a_whole_clone_knows_when_its_first_landing_landed(small_open: Registry) -> None:
    assert not is_cut(small_open, history(small_open, MODE).steps[0].landed)


def test_history_agrees_with_plain_git(small_open: Registry, small_registry: Path) -> None:
    command = ["git", "log", "--first-parent", "--reverse", "--format=%H", "--", mode_path(MODE)]
    said = subprocess.run(command, check=True, capture_output=True, cwd=small_registry)
    assert [step.landed.commit for step in history(small_open, MODE).steps] == said.stdout.decode().split()


def test_a_record_without_runs_has_no_third_clock(small_open: Registry) -> None:
    assert [step.in_force for step in history(small_open, FILM).steps] == [()]
