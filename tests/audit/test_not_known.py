"""What an audit does not know, and says so."""

import json
import os
import shutil
import subprocess
from dataclasses import replace
from pathlib import Path

import pytest

from registry.audit.answer import AuditAnswer
from registry.audit.audit import audit
from registry.audit.request import of_complaint
from registry.contribute.prepare import Contribution
from registry.question.registry import Registry
from tests.audit.asking import BANNER_MODE, asked, clue, every
from tests.audit.story import COMPLAINT, Continued
from tests.small import FILM, MODE, OTHER_UNIT, UNIT, mode_path


def test_an_event_of_which_only_the_day_is_known_says_so(answer: AuditAnswer, december: Registry) -> None:
    lot = clue(answer, "substrate lot")
    assert lot.day_only
    on_that_day = asked(december, good="2025-12-04T10:00", printed="2025-12-10T10:00")
    assert clue(on_that_day, "substrate lot").record == "harbour-yard/2025-12-04-roll"
    assert (
        "whether substrate lot (harbour-yard/2025-12-04-roll) came before or after the good print: "
        "only its day is known, 2025-12-04"
    ) in on_that_day.unknown


def test_what_a_machine_was_counts_from_when_it_was_recorded_however_late_it_landed(
    answer: AuditAnswer, december: Registry
) -> None:
    aligned = clue(answer, "two-way alignment")
    assert (aligned.at_is, f"{december.time(aligned.at):%Y-%m-%d}", aligned.day_only) == (
        "recorded",
        "2025-12-09",
        True,
    )
    assert aligned.late == "landed on 2025-12-17, after the complaint came in on 2025-12-13"
    before = asked(december, good="2025-12-10T09:00", printed="2025-12-10T10:00", job="J152")
    assert "two-way alignment" not in {each.label for each in before.clues}


def test_a_machine_recorded_on_the_very_day_of_a_print_that_landed_later_is_not_known(
    december: Registry,
) -> None:
    answer = asked(december, printed="2025-12-09T10:00")
    assert "two-way alignment" not in {each.label for each in answer.clues}
    assert (
        f"whether r3 of the unit record {UNIT} held already: it was recorded on 2025-12-09, between the two "
        "prints, but landed after, on 2025-12-17"
    ) in answer.unknown


@pytest.mark.parametrize(
    ("defect", "told"), [("cast", True), ("panels-that-differ", True), ("banding", False)]
)
def test_of_a_defect_of_colour_no_reading_of_the_refused_print_is_told_as_not_known(
    december: Registry, defect: str, told: bool
) -> None:
    answer = audit(december, replace(of_complaint(december, COMPLAINT), defect=defect))
    unread = "how far the refused print is off: no instrument reading of it is on record"
    assert (unread in answer.unknown) is told
    assert any(each.startswith("read the same patches") for each in answer.advice) is told


def test_a_profile_replaced_without_a_word_in_the_mode_is_found(december: Registry) -> None:
    answer = asked(december, printed="2025-12-02T18:00")
    found = clue(answer, "content of the profile dayfilm.icc, SHA-256")
    assert (found.place, found.effect, found.at_is) == ("profile", "direct", "landed")
    assert found.change is not None
    assert found.change.before != found.change.after
    assert (
        "the run of the bad print: none is on record at harbour-yard/left on 2025-12-02, so its lots and its "
        "job's own colour choices are not known"
    ) in answer.unknown
    assert not [each for each in answer.unknown if "already in use" in each]


def test_where_no_run_is_on_record_the_last_word_is_said_not_to_prove_it(december: Registry) -> None:
    answer = asked(december, printed="2025-12-03T18:00")
    assert answer.bad.mode is not None
    assert answer.bad.mode.label == "r5"
    assert (
        "whether anything else was taken into use before the bad print: the last word on it is "
        "harbour-yard/2025-12-01-j150 of 2025-12-01"
    ) in answer.unknown
    assert "whether r6 was already in use for the bad print: it had landed by then" in answer.unknown


def test_without_run_and_adoption_what_had_landed_is_an_assumption(december: Registry) -> None:
    answer = asked(december, unit=OTHER_UNIT, mode=BANNER_MODE, display="")
    assert answer.bad.in_force is not None
    assert answer.bad.in_force.how == "landed"
    assert (
        "whether r1 was really in use for the bad print; it is assumed: r1 had landed by then; "
        f"no run or adoption at {OTHER_UNIT} says so"
    ) in answer.unknown
    assert (
        f"{OTHER_UNIT}'s own values for this mode (such as feed correction): never recorded" in answer.unknown
    )
    assert "what happened at the display: none was named" in answer.unknown
    assert [each.record for each in answer.clues] == ["mill-lane/2025-12-05-head"]


def test_what_had_landed_beside_what_is_assumed_is_told(december: Registry) -> None:
    answer = asked(december, unit=OTHER_UNIT, display="", good="2025-11-20")
    assert answer.good.mode is not None
    assert answer.good.mode.label == "r3"
    assert "whether r4 was already in use for the good print: it had landed by then" in answer.unknown


def test_before_anything_had_landed_nothing_is_compared(december: Registry) -> None:
    answer = asked(december, good="2025-08-01")
    assert answer.good.mode is None
    assert "what the records said at the good print: nothing had landed by then" in answer.unknown
    assert "the settings of the good print: what was in force on 2025-08-01 cannot be told" in answer.unknown
    assert all(each.place == "event" for each in every(answer))


def test_a_clone_that_is_cut_off_never_takes_unknown_for_unchanged(audited: Path, tmp_path: Path) -> None:
    command = ["git", "clone", "--quiet", "--depth", "5", audited.as_uri(), str(tmp_path / "cut")]
    subprocess.run(command, check=True, capture_output=True)
    cut = Registry(tmp_path / "cut", os.environ)
    answer = audit(cut, of_complaint(cut, COMPLAINT))
    assert answer.unknown[0] == (
        "what changed before 2025-12-12: this clone is cut off there; git fetch --unshallow brings the rest"
    )
    assert answer.good.landing is None
    assert answer.good.mode is None
    assert all(each.place in {"event", "job"} for each in every(answer))
    lot = clue(answer, "substrate lot").origin
    assert (lot.cut, lot.writers) == (True, ())
    assert {each.record for each in every(answer) if each.late} == {"harbour-yard/2025-12-09-nozzles"}


@pytest.fixture
def damaged(audited: Path, tmp_path: Path) -> Registry:
    """The same registry after a day on which files were damaged, taken away, and written over."""
    folder = tmp_path / "damaged"
    shutil.copytree(audited, folder)
    teller = Continued(folder)
    film = f"records/substrates/{FILM}/substrate.json"
    events = "records/sites/harbour-yard/events/2025-12"
    bench, lamps = f"{events}-05-bench.json", f"{events}-08-lamps.json"
    files = {film: b"{", "records/printers/broadreach-64.json": None, lamps: b"{"}
    files[bench] = teller.files[bench].replace(b"laboratory", b"maker's")
    event = json.loads(teller.files[bench]) | {"kind": "firmware", "what": "Its clock has no zone"}
    for name, at in (("naive", "2025-12-22T08:00:00"), ("timeless", "some day")):
        files[f"records/sites/harbour-yard/events/2025-12-22-{name}.json"] = json.dumps(
            event | {"at": at}
        ).encode()
    complaint = "records/sites/harbour-yard/complaints/dark-lines.json"
    withdrawn = {"withdrawn": {"date": "2025-12-22", "reason": "The line was in the customer's file"}}
    files[complaint] = json.dumps(json.loads(teller.files[complaint]) | withdrawn).encode()
    with teller.series:
        teller.land("2025-12-22", "harbour-yard", Contribution(files, "Damage"), reason="Damage")
        teller.series.finish()
    return Registry(folder, os.environ)


def test_what_cannot_be_read_is_told_as_not_known(damaged: Registry) -> None:
    answer = asked(damaged, printed="2025-12-23")
    unknown = "\n".join(answer.unknown)
    assert f"the substrate record {FILM}, as it landed on 2025-12-22: it cannot be read: " in unknown
    assert "the printer record broadreach-64, as it landed on 2025-12-22: it was taken away" in unknown
    assert (
        "what stands in files that cannot be read: records/sites/harbour-yard/events/2025-12-08-lamps.json"
    ) in unknown
    assert not [each for each in answer.clues if each.place in {"substrate", "printer"}]


def test_a_complaint_that_was_withdrawn_is_no_complaint_on_record(damaged: Registry) -> None:
    complaints = {each.job: each.complaint for each in asked(damaged, printed="2025-12-23").others}
    assert complaints == {"J151": "", "J152": "", "J160": ""}


def test_events_whose_moment_cannot_be_told_are_told_as_unreadable(damaged: Registry) -> None:
    answer = asked(damaged, printed="2025-12-23")
    assert not [each for each in answer.clues if each.event == "firmware"]
    unread = next(
        each for each in answer.unknown if each.startswith("what stands in files that cannot be read")
    )
    for name in ("naive", "timeless"):
        assert f"records/sites/harbour-yard/events/2025-12-22-{name}.json" in unread


def test_an_event_that_was_written_over_is_told(damaged: Registry) -> None:
    answer = asked(damaged, printed="2025-12-23")
    assert (
        "what harbour-yard/2025-12-05-bench said at first: it is written once, but its file was changed "
        "afterwards"
    ) in answer.unknown
    bench = clue(answer, "instrument recalibrated")
    assert (bench.what, f"{damaged.time(bench.origin.landed):%Y-%m-%d}") == (
        "Back from the maker's",
        "2025-12-05",
    )


def test_a_mode_that_cannot_be_read_now_can_still_be_audited(audited: Path, tmp_path: Path) -> None:
    folder = tmp_path / "unreadable"
    shutil.copytree(audited, folder)
    teller = Continued(folder)
    with teller.series:
        files = {mode_path(MODE): b"{"}
        teller.land("2025-12-22", "mill-lane", Contribution(files, "Damage"), reason="Damage")
        teller.event("2025-12-23", "roll", "2025-12-23T08:00:00+01:00", kind="substrate-lot", lot="L-21",
                     unit="harbour-yard/right", what="The same lot on another unit")  # fmt: skip
        teller.series.finish()
    answer = asked(Registry(folder, os.environ), printed="2025-12-24", lots=("L-21",))
    assert answer.good.mode is not None
    assert answer.bad.mode is not None
    assert (answer.good.mode.label, answer.bad.mode.label) == ("r5", "r5")
    assert "harbour-yard/2025-12-23-roll" in {each.record for each in answer.clues}


def test_a_run_of_settings_that_never_landed_says_so(audited: Path, tmp_path: Path) -> None:
    folder = tmp_path / "foreign"
    shutil.copytree(audited, folder)
    teller = Continued(folder)
    with teller.series:
        teller.run(
            "2025-12-22", "J170", "2025-12-22T10:00:00+01:00", mode_revision=6, settings_digest="0" * 64
        )
        teller.series.finish()
    answer = asked(Registry(folder, os.environ), printed="2025-12-22T10:00", job="J170")
    assert (
        "which settings the bad print had, exactly: harbour-yard/2025-12-22-j170 names settings 000000000000 "
        "that never landed"
    ) in answer.unknown


def test_the_nearest_run_of_the_day_is_taken_where_no_job_is_named(audited: Path, tmp_path: Path) -> None:
    folder = tmp_path / "busy"
    shutil.copytree(audited, folder)
    teller = Continued(folder)
    with teller.series:
        for job, hour in (("J181", "08"), ("J182", "14"), ("J183", "17")):
            teller.run("2025-12-22", job, f"2025-12-22T{hour}:00:00+01:00")
        teller.series.finish()
    answer = asked(Registry(folder, os.environ), printed="2025-12-22T15:00")
    assert answer.bad.run == "harbour-yard/2025-12-22-j182"


def test_a_record_that_had_not_landed_at_a_print_is_told_as_not_known(audited: Path, tmp_path: Path) -> None:
    folder = tmp_path / "new"
    shutil.copytree(audited, folder)
    teller = Continued(folder)
    with teller.series:
        old = teller.document("records/sites/harbour-yard/displays/concourse-a.json")
        path = "records/sites/harbour-yard/displays/new-box.json"
        teller.create("2025-12-22", "harbour-yard", path, old | {"title": "New box"})
        teller.series.finish()
    registry = Registry(folder, os.environ)
    for printed, word in (("2025-12-23", "good"), ("2025-12-10", "bad")):
        assert (
            f"the display record harbour-yard/new-box at the {word} print: it had not landed by then, "
            "it landed on 2025-12-22"
        ) in asked(registry, printed=printed, display="harbour-yard/new-box").unknown


def test_the_jobs_own_choices_are_compared(december: Registry) -> None:
    answer = audit(december, of_complaint(december, "harbour-yard/reddish-concourse"))
    job = {each.change.path for each in answer.clues if each.place == "job" and each.change}
    assert job == {"roll_lot", "colour.overrides"}
    assert "the ink lot of the bad print: its run does not say" in answer.unknown


def test_another_display_shows_a_print_otherwise(audited: Path, tmp_path: Path) -> None:
    folder = tmp_path / "elsewhere"
    shutil.copytree(audited, folder)
    teller = Continued(folder)
    with teller.series:
        teller.run("2025-12-22", "J190", "2025-12-22T10:00:00+01:00", display="harbour-yard/kiosk")
        teller.series.finish()
    found = clue(asked(Registry(folder, os.environ), printed="2025-12-22T10:00", defect="cast"), "display")
    assert (found.place, found.effect, found.likely) == ("job", "indirect", True)


def test_a_lot_known_to_one_print_only_is_unknown_not_changed(december: Registry) -> None:
    answer = asked(december, good="2025-11-12T10:00:00+01:00")
    assert all(each.change is None or each.change.path != "ink_lot" for each in answer.clues)
    assert "the ink lot of the good print: its run does not say" in answer.unknown


def test_a_job_number_finds_its_run_on_another_day_and_says_so(december: Registry) -> None:
    answer = asked(december, job="J152", printed="2025-12-11T10:00")
    assert answer.bad.run == "harbour-yard/2025-12-10-j152"
    assert (
        "when the bad print was made: its run says 2025-12-10 10:00, the question 2025-12-11 10:00"
    ) in answer.unknown


def test_a_job_on_record_elsewhere_is_told(december: Registry) -> None:
    answer = asked(december, job="J152", mode=BANNER_MODE)
    assert (
        f"whether job J152 was printed so: its run harbour-yard/2025-12-10-j152 names the unit {UNIT} "
        f"and the mode {MODE}"
    ) in answer.unknown
    assert len([each for each in answer.unknown if "was printed so" in each]) == 1


def test_a_revision_between_that_cannot_be_read_hides_nothing(audited: Path, tmp_path: Path) -> None:
    folder = tmp_path / "between"
    shutil.copytree(audited, folder)
    teller, path = Continued(folder), mode_path(MODE)
    whole = teller.files[path]
    with teller.series:
        teller.land("2025-12-21", "mill-lane", Contribution({path: b"{"}, "Damage"), reason="Damage")
        teller.files[path] = whole
        teller.revise("2025-12-22", "mill-lane", path, {"heat": {"cure_c": 110}}, "Mended, and hotter")
        teller.run("2025-12-23", "J190", "2025-12-23T10:00:00+01:00")
        teller.series.finish()
    answer = asked(Registry(folder, os.environ), good="2025-12-10T10:00", printed="2025-12-23T10:00")
    cure = clue(answer, "curing set-point")
    assert cure.change is not None
    assert (cure.change.before, cure.change.after, cure.origin.reason) == (108, 110, "Mended, and hotter")
    assert cure.origin.label == "r7"  # what could not be read has no number
