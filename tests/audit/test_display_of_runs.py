"""Where the question names no display, the runs of the two prints do."""

import json
import os
import shutil
from pathlib import Path

import pytest

from registry.audit.audit import audit
from registry.audit.request import of_complaint
from registry.question.registry import Registry
from tests.audit.asking import asked
from tests.audit.story import DISPLAY, GOOD, PRINTED, SITE, Continued
from tests.goldens import run
from tests.small import MODE, UNIT

ASKED = ("--unit", UNIT, "--mode", MODE, "--printed", PRINTED, "--good", GOOD)
NONE_NAMED = "what happened at the display: none was named"


def test_the_display_is_that_of_the_runs_and_what_happened_there_is_found(december: Registry) -> None:
    answer = asked(december, display="")
    assert answer.request.display == DISPLAY
    assert answer.request.display_from == "as the runs of both prints say"
    assert "all lamps replaced" in {each.label for each in answer.clues}
    assert NONE_NAMED not in answer.unknown
    named = asked(december, display=DISPLAY)
    assert (answer.clues, answer.unknown, answer.advice) == (named.clues, named.unknown, named.advice)
    assert named.request.display_from == ""


def test_page_and_json_say_where_the_display_comes_from(audited: Path) -> None:
    head = " ".join(run(audited, "audit", *ASKED).stdout.partition("In short")[0].split())
    assert f"seen in {DISPLAY}, as the runs of both prints say" in head
    told = json.loads(run(audited, "audit", *ASKED, "--format", "json").stdout)["request"]
    assert (told["display"], told["display_from"]) == (DISPLAY, "as the runs of both prints say")
    head = run(audited, "audit", *ASKED, "--display", DISPLAY).stdout.partition("In short")[0]
    assert "say" not in head


@pytest.mark.parametrize(
    ("good", "printed", "display", "says"),
    [
        ("2025-11-28T10:00", PRINTED, DISPLAY, "as the run of the bad print says"),  # J149 names none
        (GOOD, "2025-12-20T10:00", DISPLAY, "as the run of the good print says"),  # J160 names none
        ("2025-12-01T15:00", "2025-12-10T16:00", DISPLAY, "as the nearest runs of both prints say"),
        ("2025-12-02", "2025-12-09", "", ""),  # no runs
    ],
)
def test_which_run_names_it_is_said(
    december: Registry, good: str, printed: str, display: str, says: str
) -> None:
    answer = asked(december, display="", good=good, printed=printed)
    assert (answer.request.display, answer.request.display_from) == (display, says)
    assert (NONE_NAMED in answer.unknown) is (display == "")


def test_of_two_displays_that_of_the_bad_print_counts(audited: Path, tmp_path: Path) -> None:
    folder = tmp_path / "two"
    shutil.copytree(audited, folder)
    teller = Continued(folder)
    with teller.series:
        teller.run("2025-12-22", "J190", "2025-12-22T10:00:00+01:00", display="harbour-yard/kiosk")
        complaint = {
            "title": "No display", "site": SITE, "job": "J190", "unit": UNIT, "mode": MODE,
            "printed": "2025-12-22T10:00:00+01:00", "good": GOOD, "received": "2025-12-24", "defect": "cast",
            "what": "Blue", "state": "open",
        }  # fmt: skip
        path = f"records/sites/{SITE}/complaints/nowhere.json"
        teller.create("2025-12-24", SITE, path, complaint, "Refused")
        teller.series.finish()
    registry = Registry(folder, os.environ)
    answer = audit(registry, of_complaint(registry, "nowhere"))
    assert answer.request.display == "harbour-yard/kiosk"
    assert answer.request.display_from == "as the run of the bad print says"
    assert ("display", DISPLAY, "harbour-yard/kiosk") in {
        (each.label, each.change.before, each.change.after) for each in answer.clues if each.change
    }
