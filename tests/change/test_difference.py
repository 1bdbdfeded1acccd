"""Which two versions are compared, and what is said of them."""

from collections.abc import Callable
from pathlib import Path

import pytest

from registry.change.difference import difference
from registry.errors import RegistryError, RequestError
from registry.question.registry import Registry
from tests.change.documents import drafted
from tests.small import BANNER, FILM, FRONT, MODE, mode_path

Land = Callable[..., Registry]


def labels(registry: Registry, first: str, second: str | None = None) -> tuple[str, str]:
    found = difference(registry, first, second)
    return found.before.label, found.after.label


def test_a_record_alone_is_compared_with_the_revision_before(small_open: Registry) -> None:
    assert labels(small_open, MODE) == ("r3", "r4")


def test_a_record_at_a_time_is_compared_with_the_newest(small_open: Registry) -> None:
    assert labels(small_open, f"{MODE}@2025-09-12") == ("r2", "r4")


def test_two_versions_are_compared_in_the_order_given(small_open: Registry) -> None:
    assert labels(small_open, f"{MODE}@r4", f"{MODE}@r1") == ("r4", "r1")


def test_two_sites_are_compared_by_what_they_have_in_force(small_open: Registry) -> None:
    found = difference(small_open, f"{MODE}@site:harbour-yard", f"{MODE}@site:mill-lane")
    assert (found.before.label, found.after.label) == ("r4", "r3")
    assert found.before.evidence is not None
    assert found.after.evidence is not None
    assert (found.before.evidence.how, found.after.evidence.how) == ("run", "landed")


def test_settings_that_differ_are_told_and_so_is_what_follows_from_them(small_open: Registry) -> None:
    found = difference(small_open, MODE)
    assert found.verdict == "settings"
    assert [change.path for change in found.settings if change.is_setting] == [
        "layers.colour.load_pct",
        "heat.cure_c",
    ]
    assert [change.path for change in found.settings if change.how] == ["ink.solid_ml_m2", "ink.volume_ml_m2"]
    assert [change.path for change in found.aside] == ["status"]


def test_a_change_of_status_alone_is_no_change_of_a_setting(small_open: Registry) -> None:
    found = difference(small_open, f"{MODE}@r2", f"{MODE}@r3")
    assert (found.verdict, [change.path for change in found.changes]) == ("aside", ["status"])


def test_a_trial_alone_is_no_change_of_a_setting_though_it_lets_a_value_be_computed(
    small_open: Registry,
) -> None:
    found = difference(small_open, f"{MODE}@r1", f"{MODE}@r2")
    assert found.verdict == "aside"
    assert {change.path for change in found.settings} == {"print.pencil", "print.scratch"}


def test_a_record_compared_with_itself_has_not_changed(small_open: Registry) -> None:
    assert difference(small_open, MODE, MODE).verdict == "nothing"


def test_another_form_of_the_same_file_is_said_to_be_form(land: Land, own_registry: Path) -> None:
    path = mode_path(MODE)
    registry = land({path: (own_registry / path).read_bytes().replace(b"  ", b"\t")})
    found = difference(registry, MODE)
    assert (found.verdict, found.changes) == ("form", ())


def test_a_new_reason_alone_is_not_nothing(land: Land, own_registry: Path) -> None:
    path = mode_path(MODE)
    data = (own_registry / path).read_bytes()
    registry = land({path: data.replace(b"Deeper black wanted", b"Deeper black wanted by the line")})
    assert difference(registry, MODE).verdict == "aside"


def test_a_draft_is_compared_with_what_has_landed(own_registry: Path, land: Land) -> None:
    registry = land({})
    file = own_registry / mode_path(MODE)
    file.write_bytes(drafted(file.read_bytes()))
    found = difference(registry, MODE, f"{MODE}@draft")
    assert found.after.label == "draft, on r4"
    assert [(change.path, change.after) for change in found.changes] == [("heat.cure_c", 98)]


def test_a_draft_that_only_counts_on_has_not_changed(own_registry: Path, land: Land) -> None:
    registry = land({})
    file = own_registry / mode_path(MODE)
    file.write_bytes(file.read_bytes().replace(b'"revision": 4', b'"revision": 5'))
    assert difference(registry, MODE, f"{MODE}@draft").verdict == "nothing"


def test_a_record_with_two_revisions_is_compared_with_its_first(land: Land, own_registry: Path) -> None:
    path = f"records/substrates/{FILM}/substrate.json"
    data = (own_registry / path).read_bytes().replace(b'"thickness_um": 210', b'"thickness_um": 220')
    found = difference(land({path: data}), FILM)
    assert [(change.path, change.before, change.after) for change in found.changes] == [
        ("thickness_um", 210, 220)
    ]


def test_two_records_of_one_kind_are_compared(small_open: Registry) -> None:
    found = difference(small_open, MODE, FRONT)
    assert found.verdict == "settings"
    assert {"substrate", "lighting", "layers.colour.load_pct"} <= {each.path for each in found.settings}


def test_two_records_of_different_kinds_are_refused_with_both_named(small_open: Registry) -> None:
    with pytest.raises(RequestError) as refused:
        difference(small_open, MODE, BANNER)
    assert str(refused.value) == (
        f"cannot compare {MODE} (print-mode) with {BANNER} (substrate): compare two records of one kind"
    )


def test_a_record_with_one_revision_has_nothing_before_it(small_open: Registry) -> None:
    with pytest.raises(RegistryError) as refused:
        difference(small_open, FILM)
    assert str(refused.value) == (
        f"{FILM} has only r1, so there is nothing before it to compare with: "
        f"litstock show {FILM} tells what it says"
    )
