"""What an audit refuses, and what it shows of a complaint."""

import json
import os
import shutil
from pathlib import Path

import pytest

from registry.audit.audit import audit
from registry.audit.request import of_complaint
from registry.errors import RequestError
from registry.question.registry import Registry
from tests.audit.asking import BANNER_MODE, asked, clue
from tests.audit.story import COMPLAINT, Continued
from tests.goldens import run
from tests.small import FILM, MODE, OTHER_UNIT, mode_path


def test_a_print_that_is_still_to_come_is_refused(december: Registry) -> None:
    with pytest.raises(RequestError) as refused:
        asked(december, printed="2999-01-01")
    assert str(refused.value) == (
        "--printed 2999-01-01 is still to come: give the time of a print that was made"
    )
    with pytest.raises(RequestError, match="--good 2999-01-01T10:00 is still to come"):
        of_complaint(december, COMPLAINT, good="2999-01-01T10:00")


@pytest.mark.parametrize(("good", "printed"), [("2025-12-10", "2025-12-10"), ("2025-12-10", "2025-12-01")])
def test_a_good_print_that_is_not_before_the_bad_one_is_refused(
    december: Registry, good: str, printed: str
) -> None:
    with pytest.raises(RequestError, match="--good before --printed"):
        asked(december, good=good, printed=printed)


def test_a_time_before_anything_had_landed_is_never_told_as_no_change(december: Registry) -> None:
    answer = asked(
        december, unit=OTHER_UNIT, mode=BANNER_MODE, display="", good="2001-01-01", printed="2001-02-01"
    )
    assert answer.clues == ()
    assert answer.changed
    assert "what the records said at the bad print: nothing had landed by then" in answer.unknown


def test_a_unit_of_another_printer_model_than_the_mode_is_refused(audited: Path, tmp_path: Path) -> None:
    folder = tmp_path / "other-model"
    shutil.copytree(audited, folder)
    teller = Continued(folder)
    with teller.series:
        path = "records/sites/mill-lane/units/one.json"
        model = {"printer": "narrowreach-12"}
        teller.revise("2025-12-22", "mill-lane", path, model, "Another machine")
        teller.series.finish()
    with pytest.raises(RequestError) as refused:
        asked(Registry(folder, os.environ), unit=OTHER_UNIT, mode=MODE, display="")
    assert str(refused.value) == (
        f"the unit {OTHER_UNIT} is a narrowreach-12, but the mode {MODE} is for a broadreach-64: "
        "name a unit and a mode of one printer model"
    )


def test_a_complaint_of_a_unit_that_the_mode_is_not_for_is_told_so(audited: Path, tmp_path: Path) -> None:
    folder = tmp_path / "other-model"
    shutil.copytree(audited, folder)
    teller = Continued(folder)
    with teller.series:
        path = f"records/sites/{COMPLAINT.replace('/', '/complaints/')}.json"
        printer = teller.document("records/printers/broadreach-64.json") | {"title": "Another model"}
        teller.create("2025-12-22", "mill-lane", "records/printers/narrowreach-12.json", printer)
        unit = {"title": "Narrow", "site": "harbour-yard", "printer": "narrowreach-12"}
        teller.create("2025-12-22", "harbour-yard", "records/sites/harbour-yard/units/narrow.json", unit)
        teller.revise("2025-12-23", "harbour-yard", path, {"unit": "harbour-yard/narrow"}, "Which machine")
        teller.series.finish()
    registry = Registry(folder, os.environ)
    remark = (
        f"the unit harbour-yard/narrow is a narrowreach-12, but the mode {MODE} is for a broadreach-64: "
        "correct the complaint first; until then take nothing below for granted"
    )
    assert audit(registry, of_complaint(registry, COMPLAINT)).remarks == (remark,)
    head = run(folder, "audit", COMPLAINT).stdout.partition("In short")[0]
    assert f"BEWARE: {remark}" in " ".join(head.split())
    assert json.loads(run(folder, "audit", COMPLAINT, "--format", "json").stdout)["remarks"] == [remark]
    assert audit(registry, of_complaint(registry, "reddish-concourse")).remarks == ()
    findings = run(folder, "check", path)
    assert (findings.exit_code, "foreign-printer" in findings.stdout) == (1, True)


def test_the_readings_state_and_answer_of_a_complaint_are_told(audited: Path, tmp_path: Path) -> None:
    folder = tmp_path / "read"
    shutil.copytree(audited, folder)
    teller = Continued(folder)
    with teller.series:
        known = {
            "readings": [
                {
                    "patch": "cyan",
                    "found_lab": [60, -30, -45],
                    "expected_lab": [61.5, -31, -40],
                    "how": "lit",
                },
                {"patch": "white", "found_lab": [95, 0, -2], "how": "lit"},
            ],
            "state": "answered",
            "answer": "Printed again",
        }
        teller.revise(
            "2025-12-22", "harbour-yard", f"records/sites/{COMPLAINT.replace('/', '/complaints/')}.json",
            known, "Read the print",
        )  # fmt: skip
        teller.series.finish()
    page = run(folder, "audit", COMPLAINT).stdout
    assert "the complaint is answered\n  answered: “Printed again”" in page
    assert "Read on the refused print, L*a*b* (lit)" in page
    rows = [line.split("  ") for line in page.splitlines() if line.startswith(("  cyan ", "  white "))]
    assert [[cell.strip() for cell in row if cell.strip()] for row in rows] == [
        ["cyan", "60, -30, -45", "61.5, -31, -40", "-1.5, +1.0, -5.0", "2.3"],
        ["white", "95, 0, -2", "not on record", "not known"],
    ]
    assert "no instrument reading" not in page


@pytest.mark.parametrize(
    ("path", "word"),
    [
        (f"records/substrates/{FILM}/substrate.json", f"substrate {FILM}"),
        (mode_path(MODE), f"print mode {MODE}"),
    ],
)
def test_what_is_withdrawn_is_said_near_the_top_and_not_advised(
    audited: Path, tmp_path: Path, path: str, word: str
) -> None:
    assert "print a short strip" in run(audited, "audit", COMPLAINT).stdout
    folder = tmp_path / "withdrawn"
    shutil.copytree(audited, folder)
    teller = Continued(folder)
    with teller.series:
        known: dict[str, object] = {"withdrawn": {"date": "2025-12-22", "reason": "No longer made"}}
        known = {"status": "withdrawn"} if "/modes/" in path else known
        teller.revise("2025-12-22", "mill-lane", path, known, "No longer made")
        teller.series.finish()
    page = run(folder, "audit", COMPLAINT).stdout
    head = " ".join(page.partition("From the good print")[0].split())
    assert f"WITHDRAWN: the {word} is withdrawn, as r" in head
    assert "print a short strip" not in page


def test_a_print_without_a_run_says_which_run_shows_its_settings(december: Registry) -> None:
    answer = asked(december, printed="2025-12-03T18:00", job="J000")
    assert any(
        each.what
        == "bad print: job J000, no run on record, settings of r5 (as the run of 2025-12-01 before it, "
        "harbour-yard/2025-12-01-j150)"
        for each in answer.timeline
    )
    assert "the run of job J000: no run of that job is on record with this unit and mode" in answer.unknown


@pytest.mark.parametrize(
    ("printed", "job", "nearest"),
    [
        ("2025-12-10T15:00", "", True),
        ("2025-12-10T10:00", "", False),
        ("2025-12-10T10:00:59", "", False),
        ("2025-12-10T10:01", "", True),
        ("2025-12-10T15:00", "J152", False),
    ],
)
def test_a_run_is_the_nearest_unless_its_job_or_minute_is_named(
    december: Registry,
    printed: str,
    job: str,
    nearest: bool,
) -> None:
    answer = asked(december, printed=printed, job=job)
    assert answer.bad.run == "harbour-yard/2025-12-10-j152"
    assert answer.bad.nearest is nearest
    told = "for the bad print taken from the nearest run" if nearest else ""
    assert clue(answer, "roll lot").what == told
    assert any("nearest run on record, job J152" in each.what for each in answer.timeline) is nearest
    assert any("whether the bad print was job J152" in each for each in answer.unknown) is nearest
