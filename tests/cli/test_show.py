"""`litstock show` as people and programs read it."""

import json
import re
from pathlib import Path

import pytest

from tests.change.documents import drafted
from tests.goldens import golden, printed, run
from tests.small import FILM, MODE, OTHER_UNIT, UNIT

TODAY = ("--date", "2026-02-01")


@pytest.mark.parametrize(
    ("name", "args"),
    [
        ("mode.txt", (MODE,)),
        ("mode-known-good-us.txt", (f"{MODE}@r3", "--units", "us")),
        ("mode-in-force.txt", (f"{MODE}@site:mill-lane",)),
        ("mode.json", (MODE, "--format", "json")),
        ("mode.csv", (MODE, "--format", "csv")),
        ("mode-us.md", (MODE, "--format", "markdown", "--units", "us")),
        ("substrate.txt", (FILM,)),
        ("substrate.csv", (FILM, "--format", "csv")),
        ("printer.txt", ("broadreach-64",)),
        ("unit.txt", (UNIT,)),
        ("site.txt", ("site:harbour-yard",)),
        ("display.txt", ("harbour-yard/concourse-a",)),
        ("run.txt", ("harbour-yard/2025-11-12-j140",)),
        ("complaint.txt", ("harbour-yard/reddish-concourse",)),
        ("guidance.txt", ("heavy-ink",)),
    ],
)
def test_what_show_prints(small_registry: Path, name: str, args: tuple[str, ...]) -> None:
    code, output, error = printed(small_registry, "show", *args, *TODAY)
    assert (code, error) == (0, "")
    assert output == golden(f"show/{name}", output)


def test_a_draft_stands_in_a_line_of_its_own(own_registry: Path) -> None:
    file = own_registry / f"records/substrates/{FILM}/modes/backlit-16.json"
    file.write_bytes(drafted(file.read_bytes()))
    result = run(own_registry, "show", MODE, *TODAY)
    assert "curing set-point              104 °C\n" in result.stdout
    assert (
        "Not landed: draft, on r4 (working tree): 1 setting differs from what has landed: curing set-point\n"
    ) in result.stdout


def test_where_these_very_settings_failed_stands_first_and_is_no_confirmation(
    own_registry: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    for part in ("AUTHOR", "COMMITTER"):
        monkeypatch.setenv(f"GIT_{part}_NAME", "operator")
        monkeypatch.setenv(f"GIT_{part}_EMAIL", "operator@mill-lane.invalid")
    word = ("--outcome", "failed", "--unit", OTHER_UNIT, "--date", "2025-12-02", "--note", "It stuck.")
    assert run(own_registry, "confirm", f"{MODE}@r4", "--site", "mill-lane", *word).exit_code == 0
    lines = run(own_registry, "show", MODE, *TODAY).stdout.splitlines()
    at = lines.index("FAILED with these very settings")
    assert lines[at + 1 : at + 3] == [
        "  r4: failed at mill-lane/one on 2025-12-02, 61 days ago: It stuck.",
        "confirmed: by nobody, with these settings",
    ]


def test_json_has_the_keys_that_the_help_names(small_registry: Path) -> None:
    answer = json.loads(run(small_registry, "show", MODE, "--format", "json", *TODAY).stdout)
    words = set(re.findall("[a-z_]+", run(small_registry, "show", "--help").stdout))
    assert [key for key in (*answer, *answer["record"], *answer["values"][0]) if key not in words] == []


def test_an_unknown_record_is_a_question_that_cannot_be_read(small_registry: Path) -> None:
    result = run(small_registry, "show", "dayfilm-21")
    assert (result.exit_code, result.stdout) == (2, "")
    assert result.stderr == (
        "litstock: there is no record 'dayfilm-21' among what has landed; did you mean "
        "lumenfold/dayfilm-210\n"
    )


def test_the_advice_on_a_mode_is_told_and_with_a_place_that_for_the_mode_there(small_registry: Path) -> None:
    place = ("--for", "harbour-yard/concourse-a")
    alone = json.loads(run(small_registry, "show", MODE, "--format", "json", *TODAY).stdout)["advice"]
    there = json.loads(run(small_registry, "show", MODE, *place, "--format", "json", *TODAY).stdout)["advice"]
    assert (alone["place"], there["place"]) == (None, "harbour-yard/concourse-a")
    rules = {each["rule"] for each in alone["rules"]}
    assert "heavy-ink" in rules
    assert rules <= {each["rule"] for each in there["rules"]}
    told = " ".join(run(small_registry, "show", MODE, *place, *TODAY).stdout.split())
    for each in there["rules"]:
        assert f"[{each['rule']}" in told
        assert each["text"] in told


def test_guidance_of_an_old_revision_is_said_not_to_be_judged(small_registry: Path) -> None:
    assert "not judged: the newest" in run(small_registry, "show", f"{MODE}@r1", *TODAY).stdout


def test_a_place_is_only_for_modes(small_registry: Path) -> None:
    result = run(small_registry, "show", FILM, "--for", "harbour-yard/concourse-a", *TODAY)
    assert (result.exit_code, result.stdout) == (2, "")
    assert "--for asks for the advice on a print mode" in result.stderr
