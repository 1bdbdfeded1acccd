"""Which revision `confirm`, `run` and `adopt` take, and that they always say which, and why."""

import json
import re
from pathlib import Path

import pytest

from tests import small
from tests.cli.conftest import Litstock
from tests.cli.test_writing import document, git

LEFT, ONE = ("--unit", small.UNIT, "--site", "harbour-yard"), ("--unit", small.OTHER_UNIT)
GOOD = ("--outcome", "good", "--hours", "24", "--seen", "on-light-table")
OFFERED = f"takes {small.MODE} r3: the last known-good; r4 is on trial, name @r4 to take that"


def taken(litstock: Litstock, *arguments: str) -> tuple[str, str]:
    told = json.loads(litstock(*arguments, "--dry-run", "--format", "json").stdout)["taken"]
    assert told["mode"] == small.MODE
    return told["revision"], told["why"]


def test_a_confirmation_speaks_for_what_the_machine_ran_last(litstock: Litstock, registry: Path) -> None:
    ran = f"{small.UNIT} last ran r4, on 2025-11-12 10:00"
    other = "; the last known-good is r3, name @r3 if that was judged"
    assert taken(litstock, "confirm", small.MODE, *GOOD, *LEFT) == ("r4", ran + other)
    made = litstock("confirm", small.MODE, *GOOD, *LEFT)
    assert f"takes {small.MODE} r4: {ran}" in made.stderr
    confirmation = document(registry, made.stdout.strip())
    assert (confirmation["mode_revision"], confirmation["settings_digest"]) == (
        4,
        json.loads(litstock("slug", f"{small.MODE}@r4", "--format", "json").stdout)["digest"],
    )


def test_a_later_adoption_says_what_a_machine_prints_with(litstock: Litstock) -> None:
    litstock("adopt", small.MODE, *LEFT, "--at", "2025-11-20T08:00")
    revision, why = taken(litstock, "confirm", small.MODE, *GOOD, *LEFT)
    assert (revision, why) == ("r3", f"{small.UNIT} last adopted r3, on 2025-11-20 08:00")


def test_without_a_run_or_an_adoption_the_offered_revision_is_confirmed(litstock: Litstock) -> None:
    unsaid = f"; no run or adoption on record says what {small.OTHER_UNIT} printed"
    said = litstock("confirm", small.MODE, *GOOD, *ONE).stderr
    assert f"{OFFERED}{unsaid}\n" in said
    assert f"{OFFERED}\n" in litstock("confirm", small.MODE, *GOOD, "--note", "Seen on the wall").stderr
    assert taken(litstock, "confirm", f"{small.MODE}@r4", *GOOD, *ONE) == ("r4", "you named @r4")


@pytest.mark.parametrize("form", ["slug", "card"])
def test_a_confirmation_takes_what_a_code_holds(litstock: Litstock, registry: Path, form: str) -> None:
    code = litstock("slug", small.MODE, *ONE).stdout.strip()
    if form == "card":
        code = json.loads(litstock("card", small.MODE, *ONE, "--format", "json").stdout)["record"]["code"]
    made = litstock("confirm", code, *GOOD)
    confirmation = document(registry, made.stdout.strip())
    assert (confirmation["mode_revision"], confirmation["unit"]) == (3, small.OTHER_UNIT)
    assert f"takes {small.MODE} r3: the code names it" in made.stderr
    wrong = f"{small.MODE} r3 {'0' * 12}"
    assert f"has no settings {'0' * 12}" in litstock("confirm", wrong, *GOOD, code=2).stderr


def test_settings_that_never_landed_are_not_confirmed_by_guessing(litstock: Litstock, registry: Path) -> None:
    run = registry / "records/sites/harbour-yard/runs/2025-11-12-j140.json"
    held = json.loads(run.read_bytes()) | {"settings_digest": "0" * 64}
    run.with_name("2025-11-13-j141.json").write_text(
        json.dumps(held | {"printed": "2025-11-13T10:00:00+01:00"}, indent=2) + "\n", encoding="utf-8"
    )
    git(registry, "add", "-A")
    git(registry, "commit", "-qm", "A run by hand")
    refused = litstock("confirm", small.MODE, *GOOD, *LEFT, code=2).stderr
    assert "names settings 000000000000 that never landed: name the revision that was printed" in refused


def test_a_run_and_an_adoption_say_which_revision_they_took(litstock: Litstock) -> None:
    run = litstock("run", small.MODE, "--job", "J7", *ONE)
    assert f"{OFFERED}\n" in run.stderr
    assert f"Record run: Job J7, {small.MODE} r3" in run.stderr.splitlines()[-1]
    adopt = litstock("adopt", small.MODE, *ONE)
    assert f"{OFFERED}\n" in adopt.stderr
    assert "Adopt backlit-16 r3 on mill-lane/one" in adopt.stderr.splitlines()[-1]


def test_a_run_hears_that_the_machine_last_printed_with_other_settings(litstock: Litstock) -> None:
    told = json.loads(litstock("run", small.MODE, "--job", "J7", *LEFT, "--format", "json").stdout)
    assert told["taken"]["revision"] == "r3"
    ran = f"{small.UNIT} last ran r4, on 2025-11-12 10:00"
    assert told["beware"] == [f"{ran}: if it printed this job with that too, name @r4 instead"]


@pytest.mark.parametrize("command", [("adopt",), ("run", "--job", "J7")])
def test_what_is_on_trial_is_said_to_be_so_and_why(litstock: Litstock, command: tuple[str, ...]) -> None:
    arguments = (*command, f"{small.MODE}@r4", *ONE)
    assert "beware: r4 is on trial: nobody has confirmed these settings" in litstock(*arguments).stderr
    failed = "trials:what=re-wet,date=2025-12-01,site=mill-lane,passed=no"
    litstock("revise", small.MODE, "--add", failed, "--reason", "Tacky at one edge")
    litstock("confirm", f"{small.MODE}@r5", *GOOD, *ONE)
    said = litstock(*command, f"{small.MODE}@r5", *ONE).stderr
    assert "beware: r5 is on trial: its re-wet trial FAILED on 2025-12-01 at mill-lane" in said


@pytest.mark.parametrize(("outcome", "words"), [("failed", "say what failed"), ("usable", "the reservation")])
def test_what_failed_or_is_reserved_has_to_be_said(
    litstock: Litstock, registry: Path, outcome: str, words: str
) -> None:
    head = git(registry, "rev-parse", "HEAD")
    assert words in litstock("confirm", small.MODE, "--outcome", outcome, *LEFT, code=2).stderr
    assert git(registry, "rev-parse", "HEAD") == head
    seen = () if outcome == "failed" else ("--hours", "24", "--seen", "on-light-table")
    made = litstock("confirm", small.MODE, "--outcome", outcome, *LEFT, *seen, "--note", "Tacky at one edge")
    assert document(registry, made.stdout.strip())["note"] == "Tacky at one edge"


def test_a_record_names_a_revision_by_the_number_that_the_mode_itself_gives(
    litstock: Litstock, registry: Path
) -> None:
    path = registry / small.mode_path(small.MODE)
    path.write_bytes(path.read_bytes().replace(b'"cure_c": 104', b'"cure_c": 103'))
    git(registry, "commit", "-qam", "A change that raised no number")
    twice = litstock("run", f"{small.MODE}@r4", "--job", "J7", *ONE, code=2).stderr
    digest = re.findall(r"@([0-9a-f]{12})", twice)[-1]
    run = document(registry, litstock("run", f"{small.MODE}@{digest}", "--job", "J7", *ONE).stdout.strip())
    assert run["mode_revision"] == 4
    assert run["settings_digest"].startswith(digest)
    shown = litstock("show", f"{small.MODE}@site:mill-lane", "--format", "json").stdout
    told = json.loads(shown)["record"]
    assert (told["number"], told["in_force"]["how"], told["in_force"]["mismatch"]) == (4, "run", "")


def test_a_mode_whose_material_is_withdrawn_is_not_adopted_and_a_run_of_it_is_warned_of(
    litstock: Litstock, registry: Path
) -> None:
    path = registry / f"records/substrates/{small.FILM}/substrate.json"
    film = json.loads(path.read_bytes())
    gone = {"withdrawn": {"date": "2025-12-01", "reason": "It curls"}, "revision": film["revision"] + 1}
    path.write_text(json.dumps(film | gone), encoding="utf-8")
    git(registry, "commit", "-qam", "Withdraw the film")
    refused = litstock("adopt", f"{small.MODE}@r3", "--unit", small.UNIT, "--site", "harbour-yard", code=2)
    assert f"it is not to be taken into use: {small.FILM} is withdrawn since 2025-12-01" in refused.stderr
    ran = ("run", f"{small.MODE}@r3", "--unit", small.UNIT, "--job", "J9", "--site", "harbour-yard")
    assert f"beware: {small.FILM} is withdrawn since 2025-12-01" in litstock(*ran).stderr
