"""A registry of another schema version: older ones are read and migrated, newer ones are only read."""

import json
import subprocess
from pathlib import Path
from typing import Any

import pytest

from registry import canonical
from registry.model.kinds import place_at
from registry.model.shape import shape_of
from registry.model.versions import NEWEST, PLACE
from tests import small
from tests.cli.conftest import Litstock
from tests.cli.test_writing import git

MODE = small.mode_path(small.MODE)
ADVICE = "records/guidance/coated.json"
RULE = {
    "$schema": "../../schema/guidance.json",
    "title": "Coated",
    "level": "warn",
    "when": {"/mode/ink/overcoat_pct": {"minimum": 5}},
    "text": "Let the clear coat rest before winding.",
    "source": "common practice, no source",
    "revision": 1,
    "reason": "First entry",
    "recorded": {"date": "2025-12-01", "site": "mill-lane"},
}


def commit(registry: Path, files: dict[str, dict[str, Any]], *how: str) -> None:
    for path, document in files.items():
        (registry / path).parent.mkdir(exist_ok=True)
        kind = place_at(path).kind  # type: ignore[union-attr]
        (registry / path).write_bytes(canonical.file_form(document, shape_of(kind).schema))
        git(registry, "add", path)
    git(registry, "commit", "-qm", "As it was written then", *how)


def read(registry: Path, path: str) -> dict[str, Any]:
    return canonical.read((registry / path).read_bytes())


def code_of(litstock: Litstock, mode: str) -> str:
    said = json.loads(litstock("card", mode, "--format", "json").stdout)
    code: str = said["record"]["code"]
    return code


@pytest.fixture
def older(registry: Path, litstock: Litstock) -> Path:
    """A registry as it stood before there were versions; its known-good mode has a clear coat."""
    reading = registry.parent / "lit.txt"
    geometry = b'MEASUREMENT_GEOMETRY "transmission, 0:d"\nNUMBER_OF_FIELDS 5'
    reading.write_bytes(small.READINGS.replace(b"NUMBER_OF_FIELDS 5", geometry))
    coat = ("--set", "ink.clear_coat_pct=12", "--attach", str(reading))
    litstock("revise", "broadreach-64", "--add", "channels:name=clear,role=clear", "--reason", "Clear coat")
    litstock("revise", small.MODE, *coat, "--reason", "Coated")
    litstock(
        "confirm",
        f"{small.MODE}@r5",
        "--unit",
        small.OTHER_UNIT,
        "--outcome",
        "good",
        "--hours",
        "24",
        "--seen",
        "on-light-table",
    )
    litstock("revise", small.MODE, "--set", "status=known-good", "--reason", "Confirmed at mill-lane")
    assert read(registry, MODE)["status"] == "known-good"
    own, mode = read(registry, PLACE), read(registry, MODE)
    mode["ink"]["overcoat_pct"] = mode["ink"].pop("clear_coat_pct")
    first = {name: own[name] for name in own if name != "schema_version"}
    commit(registry, {PLACE: first, MODE: mode, ADVICE: RULE}, "--amend")
    return registry


@pytest.mark.parametrize(
    "line",
    [
        ("revise", small.MODE, "--set", "heat.cure_c=97", "--reason", "x"),
        ("adopt", small.MODE, "--unit", small.OTHER_UNIT),
        ("new", "site", "third", "--set", "title=Third", "--reason", "x"),
    ],
)
def test_nothing_is_written_in_an_older_form_and_the_way_on_is_named(
    litstock: Litstock, older: Path, line: tuple[str, ...]
) -> None:
    before = git(older, "rev-parse", "HEAD")
    said = litstock(*line, code=3).stderr
    assert f"written for schema version 1, and this litstock writes {NEWEST}: run litstock migrate" in said
    assert git(older, "rev-parse", "HEAD") == before


@pytest.mark.usefixtures("older")
def test_an_older_registry_is_read_under_todays_names(litstock: Litstock) -> None:
    found = json.loads(litstock("find", "--where", "ink.clear_coat_pct>=10", "--format", "json").stdout)
    assert [each["mode"] for each in found["finds"]] == [small.MODE]
    assert "Let the clear coat rest" in litstock("show", small.MODE).stdout
    assert "run litstock migrate" in litstock("check").stderr
    litstock("check", "--fix", code=3)


def test_an_older_registry_is_migrated_one_landing_a_version(litstock: Litstock, older: Path) -> None:
    before = git(older, "rev-parse", "HEAD")
    said = litstock("migrate")
    assert len(git(older, "rev-list", f"{before}..HEAD").splitlines()) == NEWEST - 1
    assert said.stdout.splitlines()[1] == (
        "schema version 3: the clear coat's setting is called so: ink.clear_coat_pct was ink.overcoat_pct; "
        "2 records rewritten, each with the digest that it had"
    )
    assert [name for name in read(older, MODE)["ink"] if "coat" in name] == ["clear_coat_pct"]
    assert list(read(older, ADVICE)["when"]) == ["/mode/ink/clear_coat_pct"]
    assert read(older, PLACE)["schema_version"] == NEWEST
    assert git(older, "status", "--porcelain") == ""
    schema = shape_of("print-mode").schema
    assert json.loads((older / "schema/print-mode.json").read_bytes()) == schema
    assert "no errors" in litstock("check", "--base", before).stdout
    litstock("revise", small.MODE, "--set", "heat.cure_c=97", "--reason", "Writing goes on")
    assert litstock("migrate").stdout == (
        f"nothing to do: the registry is written for schema version {NEWEST}, the newest there is\n"
    )


def test_a_migration_can_be_tried_first(litstock: Litstock, older: Path) -> None:
    before = git(older, "rev-parse", "HEAD")
    told = json.loads(litstock("migrate", "--dry-run", "--format", "json").stdout)
    digest = shape_of("print-mode").digest(read(older, MODE))
    assert (told["from"], told["to"], told["dry_run"], told["landed"]) == (1, NEWEST, True, False)
    assert [step["commit"] for step in told["steps"]] == [None] * (NEWEST - 1)
    assert {"path": MODE, "settings_digest": digest} in told["steps"][1]["records"]
    assert (git(older, "rev-parse", "HEAD"), git(older, "status", "--porcelain")) == (before, "")
    told = json.loads(litstock("migrate", "--format", "json").stdout)
    assert told["landed"]
    assert [step["commit"] for step in told["steps"]] == git(
        older, "rev-list", "--reverse", f"{before}..HEAD"
    ).splitlines()


def test_a_card_printed_before_verifies_as_form_only_and_its_evidence_stands(
    litstock: Litstock, older: Path
) -> None:
    code = code_of(litstock, small.MODE)
    digest = code.partition("#")[2]
    before = json.loads(litstock("card", "--verify", code, "--format", "json").stdout)
    litstock("migrate")
    after = json.loads(litstock("card", "--verify", code, "--format", "json").stdout)
    assert (before["standing"], after["standing"], after["changes"]) == ("current", "form only", [])
    assert after["words"] == "r6 is current: only its record's form has changed since"
    assert code_of(litstock, small.MODE) == code
    found = json.loads(litstock("find", "--where", "ink.clear_coat_pct>=10", "--format", "json").stdout)
    assert [(each["mode"], each["standing"]) for each in found["finds"]] == [(small.MODE, "known-good")]
    run = litstock("run", code, "--unit", small.OTHER_UNIT, "--job", "J900", "--roll-lot", "L-1")
    path = run.stdout.splitlines()[-1]
    assert read(older, path)["settings_digest"].startswith(digest)


def test_what_was_before_is_compared_under_todays_names(litstock: Litstock, older: Path) -> None:
    before = git(older, "rev-parse", "HEAD").strip()
    litstock("migrate")
    litstock("revise", small.MODE, "--set", "ink.clear_coat_pct=15", "--reason", "Thicker")
    asked = ("diff", f"{small.MODE}@git:{before}", small.MODE, "--format", "json")
    told = json.loads(litstock(*asked, code=1).stdout)
    changed = [(each["path"], each["before"], each["after"]) for each in told["changes"]]
    assert ("ink.clear_coat_pct", 12, 15) in changed
    assert "ink.overcoat_pct" not in {path for path, _, _ in changed}
    one = ("history", small.MODE, "--field", "ink.clear_coat_pct", "--format", "json")
    assert [each["number"] for each in json.loads(litstock(*one).stdout)["revisions"]] == [5, 7]


BLACK = "ink.black_generation"


@pytest.mark.parametrize(
    ("line", "said"),
    [
        (("revise", small.MODE, "--set", "ink.overcoat_pct=5"), "it is called ink.clear_coat_pct now"),
        (("find", "--where", "ink.overcoat_pct>=5"), "is called ink.clear_coat_pct now"),
        (("revise", small.MODE, "--set", f"{BLACK}=heavy"), "Give black_start_pct and black_limit_pct"),
    ],
)
def test_who_types_what_is_gone_is_told_what_is_there(
    litstock: Litstock, line: tuple[str, ...], said: str
) -> None:
    why = ("--reason", "x") if line[0] == "revise" else ()
    assert said in litstock(*line, *why, code=2).stderr


def test_a_retired_setting_is_read_compared_and_not_asked_for(litstock: Litstock, registry: Path) -> None:
    mode = read(registry, MODE) | {"ink": {"black_generation": "medium"}, "revision": 5, "reason": "As then"}
    commit(registry, {MODE: mode})
    assert "black generation" in litstock("show", small.MODE).stdout
    new = ("--set", "ink.black_start_pct=40", "--unset", BLACK)
    litstock("revise", small.MODE, *new, "--reason", "In numbers")
    asked = ("diff", f"{small.MODE}@r5", f"{small.MODE}@r6", "--format", "json")
    changes = json.loads(litstock(*asked, code=1).stdout)["changes"]
    changed = {each["path"]: (each["before"], each["after"]) for each in changes}
    assert (changed[BLACK], changed["ink.black_start_pct"]) == (("medium", None), (None, 40))
    assert BLACK not in litstock("show", small.MODE, "--format", "json").stdout


def test_a_newer_registry_is_read_as_far_as_it_is_known_and_not_written(
    litstock: Litstock, registry: Path
) -> None:
    own = read(registry, PLACE) | {"schema_version": NEWEST + 1, "revision": 2, "unheard_of": {"x": 1}}
    commit(registry, {PLACE: own})
    newer = f"is written for schema version {NEWEST + 1}, and this litstock knows {NEWEST}: update litstock"
    told = litstock("find", "backlit")
    assert small.MODE in told.stdout
    assert told.stderr.count(newer) == 1
    assert newer in litstock("history", small.MODE).stderr
    revise = ("revise", small.MODE, "--set", "heat.cure_c=97", "--reason", "x")
    for line in (revise, ("migrate",), ("check",), ("check", "--at", "HEAD"), ("check", "--fix")):
        assert newer in litstock(*line, code=3).stderr
    assert git(registry, "status", "--porcelain") == ""


def test_who_has_not_pulled_the_migration_is_told_to(
    litstock: Litstock, older: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    behind = tmp_path / "behind"
    subprocess.run(["git", "clone", "-q", str(older), str(behind)], check=True)
    litstock("migrate")
    git(behind, "fetch", "-q")
    monkeypatch.setenv("LITSTOCK_REGISTRY", str(behind))
    for line in (("adopt", small.MODE, "--unit", small.OTHER_UNIT), ("migrate",)):
        said = litstock(*line, code=2).stderr
        assert f"the shared branch is written for schema version {NEWEST} by now" in said
        assert "run git pull" in said


def test_a_migration_that_waits_for_its_landing_is_one_contribution(
    litstock: Litstock, older: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    clone = tmp_path / "waiting"
    subprocess.run(["git", "clone", "-q", str(older), str(clone)], check=True)
    monkeypatch.setenv("LITSTOCK_REGISTRY", str(clone))
    before = read(clone, PLACE)["revision"]
    assert "not shared yet" in litstock("migrate").stderr
    assert len(git(clone, "rev-list", "origin/main..HEAD").splitlines()) == NEWEST - 1
    assert read(clone, PLACE)["revision"] == before + 1
    assert "no errors" in litstock("check", "--base", "origin/main").stdout
