"""`litstock diff` as people and programs read it."""

import json
import re
from pathlib import Path

import pytest

from tests.goldens import golden, printed, run
from tests.small import FRONT, MODE


@pytest.mark.parametrize(
    ("name", "args", "exit_code"),
    [
        ("newest.txt", (MODE,), 1),
        ("newest.json", (MODE, "--format", "json"), 1),
        ("newest.csv", (MODE, "--format", "csv"), 1),
        ("newest.md", (MODE, "--format", "markdown"), 1),
        ("first-us.txt", (f"{MODE}@r1", "--units", "us"), 1),
        ("first-us.json", (f"{MODE}@r1", "--units", "us", "--format", "json"), 1),
        ("status.txt", (f"{MODE}@r2", f"{MODE}@r3"), 1),
        ("nothing.txt", (MODE, MODE), 0),
        ("sites.txt", (f"{MODE}@site:harbour-yard", f"{MODE}@site:mill-lane"), 1),
        ("records.txt", (MODE, FRONT), 1),
        ("since.txt", ("--since", "2025-09-05"), 1),
        ("since.json", ("--since", "2025-09-05", "--format", "json"), 1),
        ("since.csv", ("--since", "2025-09-05", "--format", "csv"), 1),
        ("since-all.txt", ("--since", "2025-08-01"), 1),
        ("since-the-last.txt", ("--since", "2025-11-24"), 0),
    ],
)
def test_what_diff_prints(small_registry: Path, name: str, args: tuple[str, ...], exit_code: int) -> None:
    code, output, error = printed(small_registry, "diff", *args)
    assert (code, error) == (exit_code, "")
    assert output == golden(f"diff/{name}", output)


def test_another_form_of_the_file_counts_as_no_change(own_registry: Path) -> None:
    result = run(own_registry, "diff", f"{MODE}@r4", f"{MODE}@draft")
    assert (result.exit_code, "\nNothing changed.\n" in result.stdout) == (0, True)


def test_what_changed_of_the_registry_itself_is_said_so(
    own_registry: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    for part in ("AUTHOR", "COMMITTER"):
        monkeypatch.setenv(f"GIT_{part}_NAME", "specialist")
        monkeypatch.setenv(f"GIT_{part}_EMAIL", "specialist@mill-lane.invalid")
    changed = ("--set", "time_zone=+02:00", "--set", "title=Two shops", "--reason", "Another clock")
    assert run(own_registry, "revise", "registry", "--site", "mill-lane", *changed).exit_code == 0
    text = run(own_registry, "diff", "--since", "2025-11-24").stdout
    assert "in the registry itself\n" in text
    assert "→ Two shops; in the registry itself\n" in text
    assert "registry registry" not in text


@pytest.mark.parametrize(
    ("args", "heads"),
    [
        ((f"{MODE}@site:harbour-yard", f"{MODE}@site:mill-lane"), "harbour-yard mill-lane difference"),
        ((f"{MODE}@site:yard:2025-10-30", f"{MODE}@r4"), "yard 2025-10-30 r4 difference"),
        ((f"{MODE}@r2", f"{MODE}@site:harbour-yard/left"), "r2 harbour-yard/left difference"),
        ((MODE, FRONT), "first second difference"),
        ((f"{MODE}@r1", f"{MODE}@r4"), "before after change"),
    ],
)
def test_the_columns_are_headed_by_what_is_compared(
    small_registry: Path, args: tuple[str, ...], heads: str
) -> None:
    text = run(small_registry, "diff", *args).stdout
    assert next(line for line in text.splitlines() if line.endswith("scope")).split() == [
        *heads.split(), "effect", "scope"
    ]  # fmt: skip
    table = run(small_registry, "diff", *args, "--format", "markdown").stdout.splitlines()[0]
    assert " ".join(table.replace("|", " ").split()[4:]).startswith(heads)
    told = json.loads(run(small_registry, "diff", *args, "--format", "json").stdout)
    assert {"before", "after", "change"} <= told.keys() | told["changes"][0].keys()


def test_where_two_sites_have_the_same_in_force_nothing_is_said_to_have_changed(
    small_registry: Path,
) -> None:
    asked = [f"{MODE}@site:mill-lane", f"{MODE}@site:mill-lane:2025-11-01"]
    said = run(small_registry, "diff", *asked)
    assert (said.exit_code, "\nNothing differs.\n" in said.stdout) == (0, True)
    assert "in force at mill-lane 2025-11-01: r3; assumed: r3 had landed by then" in said.stdout


@pytest.mark.parametrize(
    ("args", "said"), [((), "say which record"), ((MODE, "--since", "2025-09-05"), "or --since")]
)
def test_either_records_or_a_time_are_asked_for(
    small_registry: Path, args: tuple[str, ...], said: str
) -> None:
    result = run(small_registry, "diff", *args)
    assert (result.exit_code, said in result.stderr) == (2, True)


@pytest.mark.parametrize("args", [(MODE,), ("--since", "2025-09-05")])
def test_json_has_the_keys_that_the_help_names(small_registry: Path, args: tuple[str, ...]) -> None:
    answer = json.loads(run(small_registry, "diff", *args, "--format", "json").stdout)
    changes = answer.get("changes") or answer["edits"]
    words = set(re.findall("[a-z_]+", run(small_registry, "diff", "--help").stdout))
    assert [key for key in (*answer, *changes[0], *answer.get("before", ())) if key not in words] == []
