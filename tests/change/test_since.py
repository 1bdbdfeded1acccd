"""The whole registry against itself at an earlier time."""

import json
from collections.abc import Callable, Mapping
from pathlib import Path

import pytest

from registry import canonical
from registry.change.since import changed_since
from registry.errors import RegistryError
from registry.model.shape import shape_of
from registry.question.registry import Registry
from tests.small import FILM, FRONT, MODE, mode_path

Land = Callable[..., Registry]


def patched(
    folder: Path, path: str, patch: Mapping[str, object], kind: str = "print-mode"
) -> dict[str, bytes]:
    document = canonical.merge_patch(json.loads((folder / path).read_bytes()), patch)
    return {path: canonical.file_form(document, shape_of(kind).schema)}


def test_identical_edits_are_told_once_with_all_their_records(land: Land, own_registry: Path) -> None:
    files = patched(own_registry, mode_path(MODE), {"heat": {"airflow_pct": 60}})
    files |= patched(own_registry, mode_path(FRONT), {"heat": {"airflow_pct": 60}})
    answer = changed_since(land(files), "2025-11-30")
    assert [(edit.change.path, edit.records) for edit in answer.edits] == [
        ("heat.airflow_pct", (MODE, FRONT)),
    ]


def test_edits_that_end_alike_and_began_apart_are_two(land: Land, own_registry: Path) -> None:
    files = patched(own_registry, mode_path(MODE), {"motion": {"passes": 12}})
    files |= patched(own_registry, mode_path(FRONT), {"motion": {"passes": 12}})
    answer = changed_since(land(files), "2025-11-30")
    assert [(edit.change.before, edit.records) for edit in answer.edits] == [(16, (MODE,)), (8, (FRONT,))]


def test_a_change_that_was_taken_back_is_no_change(land: Land, own_registry: Path) -> None:
    before = {mode_path(MODE): (own_registry / mode_path(MODE)).read_bytes()}
    land(patched(own_registry, mode_path(MODE), {"heat": {"airflow_pct": 60}}))
    assert changed_since(land(before), "2025-11-30").nothing


def test_new_withdrawn_removed_and_unreadable_records_are_named(land: Land, own_registry: Path) -> None:
    film = f"records/substrates/{FILM}/substrate.json"
    withdrawal = {
        "withdrawn": {"date": "2025-12-01", "reason": "It yellows", "instead": "tidecloth/gull-510"}
    }
    sheet = json.loads((own_registry / film).read_bytes()) | {"grade": "dayfilm-999", "title": "Dayfilm 999"}
    registry = land(
        patched(own_registry, film, withdrawal, "substrate")
        | {film.replace("dayfilm-210", "dayfilm-999"): json.dumps(sheet).encode()}
        | {mode_path(FRONT): None, mode_path(MODE): b"{"}
    )
    answer = changed_since(registry, "2025-11-30")
    assert [(each.rid, each.title) for each in answer.new] == [("lumenfold/dayfilm-999", "Dayfilm 999")]
    assert [(each.rid, each.words) for each in answer.withdrawn] == [
        (FILM, "It yellows; use tidecloth/gull-510 instead")
    ]
    assert [each.rid for each in answer.removed] == [FRONT]
    assert [each.rid for each in answer.unreadable] == [MODE]
    assert answer.unreadable[0].words.startswith("cannot be read")


def test_what_is_written_once_is_counted(small_open: Registry) -> None:
    assert changed_since(small_open, "2025-11-05").happened == {"event": 2, "run": 1}


def test_bookkeeping_is_never_told(small_open: Registry) -> None:
    paths = {edit.change.path for edit in changed_since(small_open, "2025-09-30").edits}
    assert paths == {"layers.colour.load_pct", "heat.cure_c", "status"}


def test_before_the_first_landing_everything_is_new(small_open: Registry) -> None:
    answer = changed_since(small_open, "2025-08-01")
    assert (answer.base, answer.edits, len(answer.new)) == (None, (), 16)


def test_a_landing_may_be_named_by_its_commit(small_open: Registry) -> None:
    landing = small_open.model.landings()[-2]
    answer = changed_since(small_open, f"git:{landing.commit}")
    assert (answer.base, answer.happened) == (landing, {"event": 1})


def test_a_commit_beside_the_shared_branch_is_refused(small_open: Registry) -> None:
    brought = small_open.repository.resolve("HEAD^2")
    with pytest.raises(RegistryError) as refused:
        changed_since(small_open, f"git:{brought}")
    assert str(refused.value) == (f"'{brought}' is no step of the shared branch: name a landing, or a day")


def test_a_clone_that_is_cut_off_refuses_what_it_cannot_know(cut_off: Registry) -> None:
    with pytest.raises(RegistryError, match="knows nothing before 2025-11-10"):
        changed_since(cut_off, "2025-11-01")
    assert changed_since(cut_off, "2025-11-12").happened == {"event": 1}


def test_nothing_since_the_last_landing_is_nothing(small_open: Registry) -> None:
    assert changed_since(small_open, "2025-11-24").nothing
