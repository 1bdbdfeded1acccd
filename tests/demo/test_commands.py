"""The commands that write, on every mode and machine of the demo: a dry run of each must be accepted."""

import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from registry.cli import main
from registry.store.repository import Repository


def records(root: Path, pattern: str) -> dict[str, dict[str, str]]:
    return {
        "/".join(path.relative_to(root / "records").with_suffix("").parts): json.loads(path.read_bytes())
        for path in sorted((root / "records").glob(pattern))
    }


@pytest.fixture(scope="module")
def pairs(replayed: Repository) -> list[tuple[str, str]]:
    """Every mode that is not withdrawn, with a machine that it is for."""
    units = records(replayed.root, "sites/*/units/*.json")
    modes = records(replayed.root, "substrates/*/*/modes/*.json")
    return [
        ("/".join(mode.split("/")[i] for i in (1, 2, 4)), "/".join(unit.split("/")[i] for i in (1, 3)))
        for mode, held in modes.items()
        for unit, machine in units.items()
        if machine["printer"] == held["printer"] and held["status"] != "withdrawn"
    ]


def litstock(registry: Repository, *arguments: str) -> Result:
    return CliRunner().invoke(main, ["-C", str(registry.root), *arguments, "--dry-run", "--format", "json"])


def test_every_mode_can_be_adopted_by_every_machine_that_it_is_for(
    replayed: Repository, pairs: list[tuple[str, str]]
) -> None:
    refused = {
        (mode, unit): result.stderr
        for mode, unit in pairs
        if (result := litstock(replayed, "adopt", mode, "--unit", unit)).exit_code
    }
    assert len(pairs) > 50
    assert refused == {}


def test_a_run_and_a_confirmation_are_accepted_for_each_mode(
    replayed: Repository, pairs: list[tuple[str, str]]
) -> None:
    first = dict(reversed(pairs))
    for mode, unit in first.items():
        site = unit.partition("/")[0]
        run = litstock(
            replayed, "run", mode, "--unit", unit, "--job", "A job number that is as long as can be"
        )
        said = litstock(
            replayed,
            "confirm",
            mode,
            "--unit",
            unit,
            "--outcome",
            "good",
            "--hours",
            "24",
            "--seen",
            "on-light-table",
            "--site",
            site,
        )
        assert (run.exit_code, said.exit_code) == (0, 0), run.stderr + said.stderr


def test_a_limit_that_makes_other_records_wrong_is_refused(replayed: Repository) -> None:
    cooler = ("revise", "substrate:lumenfold/dayfilm-210", "--set", "heat.max_web_c=60", "--reason", "Softer")
    refused = litstock(replayed, *cooler, "--site", "mill-lane")
    assert refused.exit_code == 1
    assert "marshwing-backlit.json" in refused.stderr
    assert "[web-too-hot]" in refused.stderr
    gone = (
        "withdraw",
        "substrate:lumenfold/dayfilm-150",
        "--reason",
        "No longer made",
        "--site",
        "mill-lane",
    )
    accepted = litstock(replayed, *gone)
    assert accepted.exit_code == 0, accepted.stderr
    assert any("/modes/" in path for path in json.loads(accepted.stdout)["files"])


def test_a_displays_own_demands_are_judged_beside_its_applications(replayed: Repository) -> None:
    display = json.loads(
        (replayed.root / "records/sites/north-quay/displays/concourse-north.json").read_bytes()
    )
    use = json.loads((replayed.root / f"records/applications/{display['application']}.json").read_bytes())
    arguments = ("find", "--for", "north-quay/concourse-north", "--format", "json")
    result = CliRunner().invoke(main, ["-C", str(replayed.root), *arguments])
    reasons = {demand["why"] for demand in (*display["demands"], *use["demands"])}
    assert len(display["demands"]) >= 1
    assert all(reason in result.stdout for reason in reasons)
