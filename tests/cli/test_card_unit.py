"""A card of a named machine: code and slug name the machine's revision, --verify compares its own values."""

import json
import subprocess
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result

from registry.cli import main
from tests import small

UNIT_FILE = "records/sites/harbour-yard/units/left.json"


def litstock(folder: Path, *arguments: str, code: int = 0) -> Result:
    result = CliRunner().invoke(main, ["-C", str(folder), *arguments])
    assert result.exit_code == code, result.output
    return result


def words(result: Result) -> str:
    return " ".join(result.stdout.split())


@pytest.fixture(autouse=True)
def _specialist(monkeypatch: pytest.MonkeyPatch) -> None:
    for role in ("AUTHOR", "COMMITTER"):
        monkeypatch.setenv(f"GIT_{role}_NAME", "specialist")
        monkeypatch.setenv(f"GIT_{role}_EMAIL", "specialist@mill-lane.invalid")


def revise(folder: Path, change: Callable[[dict[str, Any]], None]) -> None:
    """Land a new revision of the unit."""
    path = folder / UNIT_FILE
    unit = json.loads(path.read_bytes())
    change(unit)
    unit["revision"] += 1
    path.write_text(json.dumps(unit), encoding="utf-8")
    subprocess.run(["git", "-C", str(folder), "commit", "-qam", "Revise the unit"], check=True)


def correct(unit: dict[str, Any]) -> None:
    unit["own"][0] |= {"feed_correction_pct": 0.2, "vacuum_pct": 35}
    del unit["own"][0]["head_alignment_um"]


def code_of(folder: Path, revision: str, *more: str) -> str:
    card = litstock(folder, "card", f"{small.MODE}@{revision}", *more, "--format", "json").stdout
    code: str = json.loads(card)["record"]["code"]
    return code


def test_code_and_slug_name_the_revision_of_the_units_record(own_registry: Path) -> None:
    revise(own_registry, correct)
    code = code_of(own_registry, "r3", "--unit", small.UNIT)
    slug = litstock(own_registry, "slug", f"{small.MODE}@r3", "--unit", small.UNIT).stdout
    assert code.endswith(f"+{small.UNIT}@r2")
    assert slug.endswith(f" {small.UNIT}@r2\n")
    assert "+" not in code_of(own_registry, "r3")


@pytest.mark.parametrize("form", ["code", "slug"])
def test_a_card_whose_unit_kept_its_values_is_current(own_registry: Path, form: str) -> None:
    named = ("--unit", small.UNIT)
    text = (
        code_of(own_registry, "r3", *named)
        if form == "code"
        else litstock(own_registry, "slug", f"{small.MODE}@r3", *named).stdout
    )
    revise(own_registry, lambda unit: unit["own"].append({"mode": small.FRONT, "vacuum_pct": 20}))
    said = words(litstock(own_registry, "card", "--verify", text))
    assert said == (
        "current: r3 is current; r4 is on trial; "
        f"{small.UNIT}'s own values for this mode are unchanged since r1"
    )


def test_a_card_whose_unit_has_other_values_now_says_what_changed(own_registry: Path) -> None:
    code = code_of(own_registry, "r3", "--unit", small.UNIT)
    revise(own_registry, correct)
    lines = litstock(own_registry, "card", "--verify", code, code=1).stdout.splitlines()
    assert " ".join(lines[:2]) == (
        f"not current: {small.UNIT}'s own values for this mode changed from r1 to r2; "
        "otherwise r3 is current; r4 is on trial"
    )
    assert [" ".join(line.split()) for line in lines[3:]] == [
        f"What changed in {small.UNIT}'s own values for this mode from r1 (on the card) to r2.",
        "before after change effect scope",
        "own values",
        "feed correction 0.12 % 0.2 % +0.08 points, +66.7 % indirect unit",
        "two-way alignment 14 µm unknown indirect unit",
        "vacuum on this machine unknown 35 % indirect unit",
    ]


def test_what_changed_in_mode_and_unit_is_told_side_by_side_in_json(own_registry: Path) -> None:
    code = code_of(own_registry, "r4", "--unit", small.UNIT)
    revise(own_registry, correct)
    said = json.loads(litstock(own_registry, "card", "--verify", code, "--format", "json", code=1).stdout)
    assert (said["unit"], said["unit_revision"], said["unit_use"]) == (small.UNIT, 1, 2)
    assert (said["standing"], said["use"]) == ("on trial", 3)
    assert "layers.colour.load_pct" in [each["path"] for each in said["changes"]]
    assert [
        (each["label"], each["before"], each["after"], each["unit"], each["scope"])
        for each in said["unit_changes"]
    ] == [
        ("feed correction", 0.12, 0.2, "%", "unit"),
        ("two-way alignment", 14, None, "µm", "unit"),
        ("vacuum on this machine", None, 35, "%", "unit"),
    ]


def test_a_card_without_a_unit_does_not_ask_after_one(own_registry: Path) -> None:
    code = code_of(own_registry, "r3")
    revise(own_registry, correct)
    said = json.loads(litstock(own_registry, "card", "--verify", code, "--format", "json").stdout)
    assert (said["unit"], said["unit_revision"], said["unit_use"], said["unit_changes"]) == (
        "",
        None,
        None,
        [],
    )
    assert said["words"] == "r3 is current; r4 is on trial"


def test_an_older_slug_that_names_no_revision_of_its_unit_is_told_so(own_registry: Path) -> None:
    slug = litstock(own_registry, "slug", f"{small.MODE}@r3", "--unit", small.UNIT).stdout
    revise(own_registry, correct)
    said = litstock(own_registry, "card", "--verify", slug.replace("@r1", ""))
    assert words(said) == (
        "current: r3 is current; r4 is on trial; "
        f"it does not say at which revision {small.UNIT} was, whose own values may have changed"
    )


@pytest.mark.parametrize(
    ("machine", "why"),
    [
        ("harbour-yard/left@r7", "harbour-yard/left has no r7: it has only r1"),
        ("harbour-yard/lift@r1", "there is no unit 'harbour-yard/lift' among what has landed"),
    ],
)
def test_a_unit_or_a_revision_that_never_landed_is_not_current(
    small_registry: Path, machine: str, why: str
) -> None:
    code = code_of(small_registry, "r3")
    said = json.loads(
        litstock(small_registry, "card", "--verify", f"{code}+{machine}", "--format", "json", code=1).stdout
    )
    assert said["standing"] == "unknown revision"
    assert said["words"].startswith(why)
    assert said["words"].endswith("; otherwise r3 is current; r4 is on trial")
    assert said["unit_changes"] == []


def test_a_card_of_a_withdrawn_unit_is_not_current(own_registry: Path) -> None:
    code = code_of(own_registry, "r3", "--unit", small.UNIT)
    gone = {"date": "2025-12-01", "reason": "Sold"}
    revise(own_registry, lambda unit: unit.update({"withdrawn": gone}))
    said = words(litstock(own_registry, "card", "--verify", code, code=1))
    assert said == (
        f"not current: the unit {small.UNIT} is withdrawn since 2025-12-01: Sold; take the card down"
    )


def test_of_a_withdrawn_mode_the_card_says_so_whatever_became_of_its_unit(own_registry: Path) -> None:
    code = code_of(own_registry, "r3", "--unit", small.UNIT)
    path = own_registry / small.mode_path(small.MODE)
    mode = json.loads(path.read_bytes())
    gone = {"status": "withdrawn", "withdrawn": {"date": "2025-12-01", "reason": "It curls"}}
    path.write_text(json.dumps(mode | gone | {"revision": mode["revision"] + 1}), encoding="utf-8")
    revise(own_registry, correct)
    said = words(litstock(own_registry, "card", "--verify", code, code=1))
    assert said.startswith("not current: ")
    assert "withdrawn" in said
    assert small.UNIT not in said


@pytest.mark.parametrize("machine", ["+harbour-yard/left@r1", ""])
def test_a_run_is_recorded_from_old_and_new_codes(own_registry: Path, machine: str) -> None:
    code = code_of(own_registry, "r3") + machine
    unit = () if machine else ("--unit", small.UNIT)
    job = ("--job", "J200", "--at", "2025-12-01T10:00")
    path = litstock(own_registry, "run", code, *unit, *job).stdout.strip()
    run = json.loads((own_registry / path).read_bytes())
    assert (run["mode"], run["mode_revision"], run["unit"]) == (small.MODE, 3, small.UNIT)


def test_a_run_on_another_machine_than_the_cards_is_recorded_with_a_warning(own_registry: Path) -> None:
    source = json.loads((own_registry / UNIT_FILE).read_bytes())
    other = own_registry / UNIT_FILE.replace("left", "right")
    other.write_text(json.dumps({**source, "title": "Right machine", "own": [], "revision": 1}), "utf-8")
    subprocess.run(["git", "-C", str(own_registry), "add", "records"], check=True)
    subprocess.run(["git", "-C", str(own_registry), "commit", "-qm", "Another unit"], check=True)
    code = code_of(own_registry, "r3", "--unit", small.UNIT)
    said = {}
    for unit in (small.UNIT, "harbour-yard/right"):
        job = ("--job", f"J-{unit}", "--at", "2025-12-01T10:00")
        result = litstock(own_registry, "run", code, "--unit", unit, *job)
        assert json.loads((own_registry / result.stdout.strip()).read_bytes())["unit"] == unit
        said[unit] = [line for line in result.stderr.splitlines() if line.startswith("beware:")]
    names = f"the code names {small.UNIT}, whose own values its card gives"
    warned = f"beware: {names}; harbour-yard/right is recorded, as --unit says"
    assert said == {small.UNIT: [], "harbour-yard/right": [warned]}


def test_a_slug_of_another_printers_unit_is_refused(own_registry: Path) -> None:
    mode = json.loads((own_registry / small.mode_path(small.FRONT)).read_bytes())
    path = own_registry / small.mode_path(small.FRONT)
    path.write_text(json.dumps(mode | {"printer": "other-54", "revision": 2}), encoding="utf-8")
    subprocess.run(["git", "-C", str(own_registry), "commit", "-qam", "Another printer"], check=True)
    said = litstock(own_registry, "slug", small.FRONT, "--unit", small.UNIT, code=2).stderr
    assert "is for the printer other-54" in said
