"""Contributions as pure work on documents."""

import hashlib
from typing import Any

import pytest

from registry import canonical
from registry.contribute.drafting import left_behind, like, with_identity
from registry.contribute.happenings import Happening, record, withdraw
from registry.contribute.prepare import Writer, attach, create, happened, relative_schema, revise
from registry.errors import RequestError
from registry.model.shape import shape_of
from tests import small
from tests.contribute.conftest import Files

WRITER = Writer("mill-lane", "2025-12-01")
MODE_PATH = small.mode_path(small.MODE)


def written(contribution: Any, path: str = MODE_PATH) -> dict[str, Any]:
    return canonical.read(contribution.files[path])


def test_a_new_record_starts_at_revision_one_and_names_its_schema(tree: Files) -> None:
    path = "records/sites/north-quay/site.json"
    document = written(create(tree, path, {"title": "North quay"}, writer=WRITER, reason="Opened"), path)
    assert document == {
        "$schema": "../../../schema/site.json",
        "title": "North quay",
        "revision": 1,
        "reason": "Opened",
        "recorded": {"date": "2025-12-01", "site": "mill-lane"},
    }


def test_a_schema_is_named_relative_to_the_record() -> None:
    assert relative_schema("records/registry.json", "registry") == "../schema/registry.json"
    assert relative_schema(MODE_PATH, "print-mode") == "../../../../../schema/print-mode.json"


def test_a_record_that_is_there_is_not_created_again(tree: Files) -> None:
    with pytest.raises(RequestError, match="is there already"):
        create(tree, MODE_PATH, {"title": "Again"}, writer=WRITER, reason="Oops")


def test_a_revision_rises_by_one_with_reason_and_date(tree: Files) -> None:
    before = tree.document(MODE_PATH)
    after = written(revise(tree, MODE_PATH, {"heat": {"cure_c": 97}}, writer=WRITER, reason="Cooler"))
    assert after["heat"] == {**before["heat"], "cure_c": 97}
    assert (after["revision"], after["reason"]) == (before["revision"] + 1, "Cooler")


def test_drafts_of_one_landing_share_its_revision_number(tree: Files) -> None:
    landed = Files(dict(tree.files))
    first = revise(tree, MODE_PATH, {"heat": {"cure_c": 97}}, writer=WRITER, reason="Cooler", landed=landed)
    tree.files |= {path: data for path, data in first.files.items() if data is not None}
    second = revise(
        tree, MODE_PATH, {"heat": {"cure_c": 96}}, writer=WRITER, reason="Cooler yet", landed=landed
    )
    assert written(second)["revision"] == landed.document(MODE_PATH)["revision"] + 1


def test_a_known_good_mode_goes_on_trial_when_its_settings_change(tree: Files) -> None:
    tree.files[MODE_PATH] = tree.files[MODE_PATH].replace(b'"status": "trial"', b'"status": "known-good"')
    changed = written(revise(tree, MODE_PATH, {"heat": {"cure_c": 97}}, writer=WRITER, reason="Cooler"))
    noted = written(revise(tree, MODE_PATH, {"notes": ["Kept its colour."]}, writer=WRITER, reason="Note"))
    assert (changed["status"], noted["status"]) == ("trial", "known-good")


def test_a_revision_that_changes_nothing_is_refused(tree: Files) -> None:
    with pytest.raises(RequestError, match="says so already: there is nothing to revise"):
        revise(tree, MODE_PATH, {"heat": {"cure_c": 104}}, writer=WRITER, reason="Again")


def test_a_substrate_is_withdrawn_with_its_modes(tree: Files) -> None:
    path = f"records/substrates/{small.FILM}/substrate.json"
    contribution = withdraw(tree, path, "No longer made", "", WRITER)
    assert set(contribution.files) == {path, MODE_PATH}
    assert written(contribution)["withdrawn"]["reason"] == "its substrate is withdrawn: No longer made"
    assert written(contribution)["status"] == "withdrawn"


def test_a_name_is_never_longer_than_an_id_may_be(tree: Files) -> None:
    happening = Happening(
        "run",
        "2025-12-01",
        "Job " + "9" * 80,
        "Job",
        {"job": "9", "mode": small.MODE, "unit": small.OTHER_UNIT, "printed": "2025-12-01T10:00:00+01:00"},
    )
    for _ in range(3):
        (path,) = (made := record(tree, happening, WRITER)).files
        tree.files[path] = made.files[path] or b""
        assert len(path.rpartition("/")[2].removesuffix(".json")) <= 60
    assert path.endswith("-3.json")


def test_a_happening_whose_name_holds_no_letter_is_called_by_its_kind(tree: Files) -> None:
    known = {"job": "…", "mode": small.MODE, "unit": small.OTHER_UNIT, "printed": "2025-12-01T10:00:00+01:00"}
    (path,) = record(tree, Happening("run", "2025-12-01", "…", "Job …", known), WRITER).files
    assert path.endswith("/runs/2025-12-01-run.json")


def test_what_happened_is_never_revised(tree: Files) -> None:
    path = next(path for path in tree.files if "/runs/" in path)
    with pytest.raises(RequestError, match="written once and never edited"):
        revise(tree, path, {"note": "no"}, writer=WRITER, reason="Oops")


def test_a_run_takes_revision_and_digest_of_the_mode_as_it_stands(tree: Files) -> None:
    path = "records/sites/mill-lane/runs/2025-12-01-j1.json"
    document = {
        "title": "Job 1",
        "site": "mill-lane",
        "job": "J1",
        "mode": small.MODE,
        "unit": small.OTHER_UNIT,
        "printed": "2025-12-01T10:00:00+01:00",
    }
    run = written(happened(tree, path, document, writer=WRITER), path)
    mode = tree.document(MODE_PATH)
    assert run["mode_revision"] == mode["revision"]
    assert run["settings_digest"] == shape_of("print-mode").digest(mode)


def test_the_check_sum_of_a_named_attachment_is_filled_in(tree: Files) -> None:
    reading = small.READINGS + b"# read again\n"
    tree.files[f"records/substrates/{small.FILM}/measurements/again.txt"] = reading
    evidence = {"measurement": {"file": "again.txt", "sha256": "0" * 64}}
    after = written(revise(tree, MODE_PATH, {"evidence": evidence}, writer=WRITER, reason="Read again"))
    assert after["evidence"]["measurement"]["sha256"] == hashlib.sha256(reading).hexdigest()


def test_an_attachment_is_never_overwritten(tree: Files) -> None:
    path = f"records/substrates/{small.FILM}/measurements/solids.txt"
    assert attach(tree, path, small.READINGS).files == {path: small.READINGS}
    with pytest.raises(RequestError, match="there already with other content"):
        attach(tree, path, b"other")


def test_a_second_record_of_the_same_day_gets_a_name_of_its_own(tree: Files) -> None:
    happening = Happening(
        "event",
        "2025-12-01",
        "cleaned",
        "Cleaned",
        {
            "kind": "cleaned",
            "what": "Dusted",
            "at": "2025-12-01T08:00:00+01:00",
            "display": "harbour-yard/concourse-a",
        },
    )
    first = record(tree, happening, WRITER)
    tree.files |= {path: data for path, data in first.files.items() if data is not None}
    assert list(record(tree, happening, WRITER).files) == [
        "records/sites/mill-lane/events/2025-12-01-cleaned-2.json"
    ]


def test_a_withdrawn_record_stays_and_says_why(tree: Files) -> None:
    after = written(withdraw(tree, MODE_PATH, "It re-wets", "", WRITER))
    assert (after["status"], after["withdrawn"]) == (
        "withdrawn",
        {"date": "2025-12-01", "reason": "It re-wets"},
    )
    with pytest.raises(RequestError, match="there is no print-mode 'a/b/c' to use instead"):
        withdraw(tree, MODE_PATH, "It re-wets", "a/b/c", WRITER)


def test_a_copy_leaves_behind_what_is_true_of_its_model_only(tree: Files) -> None:
    model = tree.document(MODE_PATH)
    copy = like("print-mode", "tidecloth/gull-510/backlit-16", model, "its model r4", "2025-12-01")
    assert copy["status"] == "trial"
    assert copy["substrate"] == "tidecloth/gull-510"
    assert not copy.keys() & {"trials", "evidence", "revision", "reason", "recorded"}
    assert {source["note"] for source in copy["sources"].values()} == {"copied from its model r4"}


def test_what_was_measured_on_one_print_stays_behind_in_a_copy_for_another(tree: Files) -> None:
    model = tree.document(MODE_PATH) | {"colour": {"linearised": "2025-11-01", "intent": "relative"}}
    same = like("print-mode", f"{small.FILM}/other", model, "its model", "2025-12-01")
    film = like("print-mode", f"{small.BANNER}/other", model, "its model", "2025-12-01")
    printer = like("print-mode", f"{small.FILM}/other", model, "its model", "2025-12-01", printer="other-64")
    assert (same["heat"], same["colour"]) == (model["heat"], model["colour"])
    assert film["heat"] == printer["heat"] == {"dry_c": 55, "cure_c": 104}
    assert film["colour"] == {"intent": "relative"}
    assert film["motion"] == model["motion"]
    assert "speed_m2_h" not in printer["motion"]
    assert left_behind("print-mode", model, printer) == [
        "measured speed",
        "web temperature, centre",
        "web temperature, edges",
        "linearised on",
        "trials",
        "evidence",
    ]


@pytest.mark.parametrize(
    ("kind", "path", "member"),
    [
        ("substrate", f"records/substrates/{small.FILM}/substrate.json", "fire"),
        ("unit", "records/sites/harbour-yard/units/left.json", "own"),
        ("site", "records/sites/harbour-yard/site.json", "instruments"),
    ],
)
def test_what_one_thing_alone_has_never_goes_along(tree: Files, kind: str, path: str, member: str) -> None:
    model = tree.document(path)
    rid = {"substrate": "a/b", "unit": "mill-lane/two", "site": "north-quay"}[kind]
    copy = like(kind, rid, model, "its model", "2025-12-01")
    assert member in model
    assert member not in copy
    assert left_behind(kind, model, copy) != []


@pytest.mark.parametrize(
    ("kind", "rid", "member", "value"),
    [
        ("substrate", "a/b", "grade", "b"),
        ("print-mode", "a/b/c", "substrate", "a/b"),
        ("unit", "mill-lane/two", "site", "mill-lane"),
    ],
)
def test_an_id_decides_the_members_that_repeat_it(kind: str, rid: str, member: str, value: str) -> None:
    assert with_identity(kind, rid, {})[member] == value


def test_an_id_with_too_few_parts_is_refused() -> None:
    with pytest.raises(RequestError, match="the id of a print-mode is MAKER/GRADE/MODE, not 'a/b'"):
        with_identity("print-mode", "a/b", {})


def test_a_stray_byte_is_shown_with_what_stands_before_it(tree: Files) -> None:
    site = {"title": "The shop by the \udcff water, and more"}
    with pytest.raises(RequestError, match=r"'p by the \\udcff' is not text"):
        create(tree, "records/sites/third/site.json", site, writer=WRITER, reason="x")
