"""`litstock audit` as a production manager and programs read it."""

import json
import re
import shutil
from pathlib import Path

import pytest
from click.shell_completion import ShellComplete

from registry.cli.main import main
from tests.audit.story import COMPLAINT, DISPLAY, GOOD, PRINTED, continue_story
from tests.goldens import golden, printed, run
from tests.small import MODE, OTHER_UNIT, UNIT

ASKED = ("--unit", UNIT, "--mode", MODE, "--printed", PRINTED, "--good", GOOD)
QUIET = ("--unit", OTHER_UNIT, "--mode", "tidecloth/gull-510/front-8", "--printed", "2025-12-08", "--good")


@pytest.fixture(scope="module")
def december(small_registry: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("december") / "registry"
    shutil.copytree(small_registry, folder)
    continue_story(folder)
    return folder


@pytest.mark.parametrize(
    ("name", "args", "exit_code"),
    [
        ("complaint.txt", (COMPLAINT,), 1),
        ("complaint-us.txt", ("reddish-concourse", "--units", "us"), 1),
        ("complaint.json", ("reddish-concourse", "--format", "json"), 1),
        ("complaint.csv", (COMPLAINT, "--format", "csv"), 1),
        ("complaint.md", ("reddish-concourse", "--format", "markdown"), 1),
        ("narrowed.txt", (COMPLAINT, "--good", "2025-12-06T10:00"), 1),
        ("options.txt", (*ASKED, "--display", DISPLAY, "--defect", "too-dark", "--job", "J152"), 1),
        ("job.txt", ("J151", "--defect", "mottle"), 1),
        ("sticking.txt", (*ASKED, "--defect", "sticking-on-the-roll"), 1),
        ("nothing.txt", (*QUIET, "2025-12-06"), 1),
        ("before.txt", (*QUIET, "2025-08-01"), 1),
        ("unknown.txt", (*QUIET[:5], "2001-02-01", "--good", "2001-01-01"), 1),
    ],
)
def test_what_audit_prints(december: Path, name: str, args: tuple[str, ...], exit_code: int) -> None:
    code, output, error = printed(december, "audit", *args)
    assert (code, error) == (exit_code, "")
    assert output == golden(f"audit/{name}", output)


def test_json_has_the_keys_that_the_help_names(december: Path) -> None:
    answer = json.loads(run(december, "audit", COMPLAINT, "--format", "json").stdout)
    words = set(re.findall("[a-z_]+", run(december, "audit", "--help").stdout))
    joined = next(each for each in answer["differences"] if each["also"])
    parts = (
        *(answer["request"], answer["good"], answer["good"]["in_force"], answer["timeline"][0]),
        *(joined, joined["origin"], joined["also"][0], answer["others"][0]),
    )
    assert [key for part in (answer, *parts) for key in part if key not in words] == []


def test_the_help_says_what_each_exit_code_means(december: Path) -> None:
    told = " ".join(run(december, "audit", "--help").stdout.split())
    assert (
        "Exit code: 1 where something changed, or where a cause may hide in what is not known; 0 where "
        "nothing is known to have changed and nothing that matters is unknown."
    ) in told


def test_no_line_is_wider_than_the_page(december: Path) -> None:
    lines = run(december, "audit", COMPLAINT).stdout.splitlines()
    assert max(map(len, lines)) <= 100


@pytest.mark.parametrize(
    ("args", "said"),
    [
        ((), "litstock: name a complaint or a job, or give --unit, --mode, --printed, --good too\n"),
        (ASKED[:4], "litstock: name a complaint or a job, or give --printed, --good too\n"),
        ((COMPLAINT, *ASKED[:2]), "litstock: a complaint says all but --good itself: leave out --unit\n"),
    ],
)
def test_a_question_that_lacks_something_says_what(december: Path, args: tuple[str, ...], said: str) -> None:
    result = run(december, "audit", *args)
    assert (result.exit_code, result.stdout, result.stderr) == (2, "", said)


@pytest.mark.parametrize(
    ("typed", "offered"),
    [
        (("J15",), ["J150", "J151", "J152"]),
        (("--job", "J15"), ["J150", "J151", "J152"]),
        (("harbour-yard/d",), ["harbour-yard/dark-lines"]),
    ],
)
def test_complaints_and_jobs_are_completed(
    december: Path, typed: tuple[str, ...], offered: list[str]
) -> None:
    *before, incomplete = typed
    complete = ShellComplete(main, {}, "litstock", "_LITSTOCK_COMPLETE")
    found = complete.get_completions(["-C", str(december), "audit", *before], incomplete)
    assert [item.value for item in found] == offered
