"""`litstock history` as people and programs read it."""

import json
import re
import subprocess
from pathlib import Path

import pytest

from tests.goldens import golden, printed, run
from tests.small import FILM, MODE, UNIT


@pytest.mark.parametrize(
    ("name", "args"),
    [
        ("mode.txt", (MODE,)),
        ("mode.json", (MODE, "--format", "json")),
        ("heat.txt", (MODE, "--field", "heat")),
        ("label-us.txt", (MODE, "--field", "curing set-point", "--units", "us")),
        ("heat.csv", (MODE, "--field", "heat.cure_c", "--format", "csv")),
        ("never.txt", (MODE, "--field", "web.vacuum_pct")),
        ("substrate.md", (FILM, "--format", "markdown")),
    ],
)
def test_what_history_prints(small_registry: Path, name: str, args: tuple[str, ...]) -> None:
    code, output, error = printed(small_registry, "history", *args)
    assert (code, error) == (0, "")
    assert output == golden(f"history/{name}", output)


def test_a_clone_that_is_cut_off_says_what_it_does_not_know(small_registry: Path, tmp_path: Path) -> None:
    command = ["git", "clone", "--quiet", "--depth", "4", small_registry.as_uri(), str(tmp_path / "cut")]
    subprocess.run(command, check=True, capture_output=True)
    code, output, error = printed(tmp_path / "cut", "history", MODE)
    assert (code, error) == (0, "")
    assert output == golden("history/cut-off.txt", output)


def test_json_has_the_keys_that_the_help_names(small_registry: Path) -> None:
    answer = json.loads(run(small_registry, "history", MODE, "--format", "json").stdout)
    words = set(re.findall("[a-z_]+", run(small_registry, "history", "--help").stdout))
    assert [key for key in (*answer, *answer["revisions"][0]) if key not in words] == []


def test_an_unknown_field_is_a_question_that_cannot_be_read(small_registry: Path) -> None:
    result = run(small_registry, "history", MODE, "--field", "heat.cure")
    assert (result.exit_code, result.stdout) == (2, "")
    assert "has no setting 'heat.cure': did you mean heat.cure_c" in result.stderr


def test_blame_is_told_for_people_and_for_programs(small_registry: Path) -> None:
    code, output, error = printed(small_registry, "history", MODE, "--blame")
    assert (code, error) == (0, "")
    assert output == golden("history/blame.txt", output)
    told = json.loads(run(small_registry, "history", MODE, "--blame", "--format", "json").stdout)
    rows = run(small_registry, "history", MODE, "--blame", "--format", "csv").stdout.splitlines()
    assert rows[0] == "path,label,value,revision,landed,site,reason"
    assert len(rows) == len(told["values"]) + 1
    cure = next(each for each in told["values"] if each["path"] == "heat.cure_c")
    assert (cure["revision"], cure["number"], cure["certain"]) == ("r4", 4, True)
    words = set(re.findall("[a-z_]+", run(small_registry, "history", "--help").stdout))
    assert told.keys() | cure.keys() <= words


def test_blame_in_a_clone_that_is_cut_off_says_that_values_may_be_older(
    small_registry: Path, tmp_path: Path
) -> None:
    command = ["git", "clone", "--quiet", "--depth", "4", small_registry.as_uri(), str(tmp_path / "cut")]
    subprocess.run(command, check=True, capture_output=True)
    told = run(tmp_path / "cut", "history", MODE, "--blame").stdout
    assert "r4 or before" in told
    assert "This clone is cut off: what its oldest revision holds may be older." in told


def test_blame_of_one_field_is_refused(small_registry: Path) -> None:
    refused = run(small_registry, "history", MODE, "--blame", "--field", "heat")
    assert (refused.exit_code, "leave out --field" in refused.stderr) == (2, True)


@pytest.mark.parametrize(
    ("name", "args"),
    [
        ("timeline-mode.txt", (MODE,)),
        ("timeline-unit.txt", (UNIT,)),
        ("timeline-unit-full.txt", (UNIT, "--full")),
        ("timeline-site.json", ("harbour-yard", "--format", "json")),
        ("timeline-lot.csv", ("l17", "--format", "csv")),
    ],
)
def test_what_a_timeline_prints(small_registry: Path, name: str, args: tuple[str, ...]) -> None:
    code, output, error = printed(small_registry, "history", args[0], "--timeline", *args[1:])
    assert (code, error) == (0, "")
    assert output == golden(f"history/{name}", output)


@pytest.mark.parametrize(
    ("args", "says"),
    [
        (("--full",), "are of --timeline"),
        (("-o", "x.svg"), "are of --timeline"),
        (("--timeline", "--blame"), "leave out --field and --blame"),
        (("--timeline", "--field", "heat"), "leave out --field and --blame"),
        (("--timeline", "-o", "x.txt"), "ends in none of"),
    ],
)
def test_options_of_a_timeline_go_with_it_alone(
    small_registry: Path, args: tuple[str, ...], says: str
) -> None:
    result = run(small_registry, "history", MODE, *args)
    assert (result.exit_code, result.stdout) == (2, "")
    assert says in result.stderr


def test_the_past_of_a_unit_and_a_display_is_told_with_their_revisions(small_registry: Path) -> None:
    for rid in (UNIT, "harbour-yard/concourse-a"):
        assert "\nhappened\n  2025-" in run(small_registry, "history", rid).stdout
        answer = json.loads(run(small_registry, "history", rid, "--format", "json").stdout)
        assert [each["what"] for each in answer["happened"]].count("run") == 2
    assert "head replaced; Magenta head" in " ".join(run(small_registry, "show", UNIT).stdout.split())
    assert "happened" not in json.loads(run(small_registry, "history", MODE, "--format", "json").stdout)
