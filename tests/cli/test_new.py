"""`litstock new --like`: what it starts from, what it says of that, and whose values it calls copied."""

import json
from pathlib import Path

import pytest

from tests import small
from tests.cli.conftest import Litstock
from tests.cli.test_writing import document

EXAMPLE = "records/substrates/lumenfold/dayfilm-210/modes/marshwing-backlit.json"
RID = f"{small.FILM}/again"
WHY = ("--reason", "To be tried")


def test_a_mode_starts_from_the_last_known_good_revision_of_its_model(litstock: Litstock) -> None:
    offered = litstock("new", "print-mode", RID, "--like", small.MODE, *WHY, "--dry-run").stderr
    assert f"starts from {small.MODE} r3: the last known-good; r4 is on trial, name @r4 to take" in offered
    assert "beware: " + small.MODE not in offered
    named = litstock("new", "print-mode", RID, "--like", f"{small.MODE}@r4", *WHY, "--dry-run").stderr
    assert f"beware: {small.MODE} r4 is on trial: nobody has confirmed these settings\n" in named


def test_a_model_whose_trial_failed_is_said_to_have(litstock: Litstock) -> None:
    failed = "trials:what=re-wet,date=2025-12-01,site=mill-lane,passed=no"
    litstock("revise", small.MODE, "--add", failed, "--reason", "Tacky at one edge")
    said = litstock("new", "print-mode", RID, "--like", f"{small.MODE}@r5", *WHY).stderr
    assert f"beware: {small.MODE} r5 is on trial: its re-wet trial FAILED on 2025-12-01 at mill-lane" in said


def test_an_example_file_that_failed_its_trial_is_said_to_have(litstock: Litstock) -> None:
    held = json.loads((Path(__file__).parents[2] / EXAMPLE).read_bytes())
    failed = next(each for each in held["trials"] if not each["passed"])
    copy = ("new", "print-mode", RID, "--like", EXAMPLE, "--set", "printer=broadreach-64")
    said = litstock(*copy, *WHY, code=1).stderr  # that printer lays no clear
    words = f"its re-wet trial FAILED on {failed['date']} at {failed['site']}"
    assert f"beware: lumenfold/dayfilm-210/marshwing-backlit is on trial: {words}\n" in said


@pytest.mark.parametrize(
    ("member", "words"),
    [
        ({"status": "trial"}, "is on trial: its record says so"),
        ({"withdrawn": {"date": "2025-12-01", "reason": "It re-wets"}}, "withdrawn since 2025-12-01: It re-"),
    ],
)
def test_of_a_file_its_own_word_is_all_that_is_known(
    litstock: Litstock, registry: Path, tmp_path: Path, member: dict[str, object], words: str
) -> None:
    held = document(registry) | {"status": "known-good"}
    file = tmp_path / "model.json"
    arguments = ("new", "print-mode", RID, "--like", str(file), *WHY, "--dry-run")
    file.write_text(json.dumps(held), encoding="utf-8")
    assert "beware: model.json" not in litstock(*arguments).stderr
    file.write_text(json.dumps(held | member), encoding="utf-8")
    assert f"beware: model.json {words}" in litstock(*arguments).stderr.replace("is withdrawn", "withdrawn")


def test_what_is_set_is_not_called_copied(litstock: Litstock, registry: Path) -> None:
    copy = ("--like", f"{small.MODE}@r3", "--set", "motion.passes=20", "--set", "layers.colour.passes=20")
    made = litstock("new", "print-mode", RID, *copy, *WHY)
    sources = document(registry, made.stdout.strip())["sources"]
    kinds = {pointer: source["kind"] for pointer, source in sources.items()}
    unknown = {pointer for pointer, kind in kinds.items() if kind != "copied"}
    assert unknown == {"/motion/passes", "/layers/0/passes"}
    assert kinds["/motion/resolution"] == kinds["/layers/0/load_pct"] == "copied"
    assert "beware: no source was given for layers.colour.passes (which was copied" in made.stderr
    sourced = ("--set", "sources./motion.kind=common-practice", "--set", "sources./layers.kind=computed")
    given = litstock("new", "print-mode", f"{RID}-2", *copy, *sourced, *WHY)
    told = document(registry, given.stdout.strip())["sources"]
    assert {told[pointer]["kind"] for pointer in ("/motion", "/layers")} == {"common-practice", "computed"}
    assert not {"/motion/passes", "/layers/0/passes"} & told.keys()
    assert told["/motion/resolution"]["kind"] == told["/layers/0/load_pct"]["kind"] == "copied"
    assert "no source was given" not in given.stderr


@pytest.mark.parametrize(("more", "title"), [(("--title", "Quay printer"), "Quay printer"), ((), "quay")])
def test_what_is_new_is_called_by_the_title_given_else_by_its_id(
    litstock: Litstock, registry: Path, more: tuple[str, ...], title: str
) -> None:
    litstock("new", "site", "quay", *more, *WHY)
    assert document(registry, "records/sites/quay/site.json")["title"] == title
