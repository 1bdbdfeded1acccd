"""`litstock run` records the lots that a print used, and an audit compares them."""

import json
from collections.abc import Callable
from pathlib import Path

import pytest
from click.shell_completion import ShellComplete
from click.testing import CliRunner, Result

from registry.audit.lots import LOTS
from registry.cli import main
from tests import small

Litstock = Callable[..., Result]
LOT_OPTIONS = ["--roll-lot", "--ink-lot", "--laminate-lot", "--fixing-fluid-lot"]


@pytest.fixture
def registry(own_registry: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    for role in ("AUTHOR", "COMMITTER"):
        monkeypatch.setenv(f"GIT_{role}_NAME", "operator, harbour-yard")
        monkeypatch.setenv(f"GIT_{role}_EMAIL", "operator@harbour-yard.invalid")
    monkeypatch.setenv("LITSTOCK_REGISTRY", str(own_registry))
    return own_registry


@pytest.fixture
def litstock(registry: Path) -> Litstock:  # noqa: ARG001 (the commands find it through the environment)
    def run(*arguments: str, code: int = 0) -> Result:
        result = CliRunner().invoke(main, arguments)
        assert result.exit_code == code, result.output
        return result

    return run


def printed(litstock: Litstock, job: str, at: str, *lots: str) -> str:
    run = ("run", f"{small.MODE}@r4", "--job", job, "--unit", small.UNIT, "--at", at)
    return litstock(*run, *lots).stdout.strip()


def test_there_is_an_option_for_each_lot_that_a_run_can_name() -> None:
    assert [f"--{lot.replace('_', '-')}" for lot in LOTS] == LOT_OPTIONS
    shown = CliRunner().invoke(main, ["run", "--help"]).stdout
    assert [word for word in shown.split() if word.endswith("-lot")] == LOT_OPTIONS


def test_the_lots_that_are_given_are_recorded_and_no_other(litstock: Litstock, registry: Path) -> None:
    given = [word for number, option in enumerate(LOT_OPTIONS) for word in (option, f"A {number}")]
    run = json.loads((registry / printed(litstock, "J1", "2025-12-01T10:00", *given)).read_bytes())
    assert {lot: run[lot] for lot in LOTS} == {lot: f"A {number}" for number, lot in enumerate(LOTS)}
    run = json.loads(
        (registry / printed(litstock, "J2", "2025-12-02T10:00", "--laminate-lot", "B")).read_bytes()
    )
    assert {lot: run[lot] for lot in LOTS if lot in run} == {"laminate_lot": "B"}


def test_a_lot_is_no_longer_than_a_line(litstock: Litstock) -> None:
    run = ("run", f"{small.MODE}@r4", "--job", "J1", "--unit", small.UNIT, "--at", "2025-12-01T10:00")
    refused = litstock(*run, "--fixing-fluid-lot", "x" * 81, code=1)
    assert "/fixing_fluid_lot" in refused.stderr


def test_what_was_recorded_is_what_an_audit_compares(litstock: Litstock) -> None:
    printed(litstock, "J1", "2025-12-01T10:00", "--laminate-lot", "M-1", "--fixing-fluid-lot", "F-1")
    printed(litstock, "J2", "2025-12-02T10:00", "--laminate-lot", "M-2", "--fixing-fluid-lot", "F-1")
    asked = ("--unit", small.UNIT, "--mode", small.MODE, "--good", "2025-12-01T10:00")
    page = litstock("audit", *asked, "--printed", "2025-12-02T10:00", code=1).stdout
    assert "laminate lot: M-1 → M-2; indirect effect on colour" in page
    assert "fixing fluid lot" not in page
    assert "the roll lot and the ink lot of the good print: its run does not say" in page


@pytest.mark.parametrize(
    ("before", "incomplete", "offered"),
    [
        (["run", "--roll-lot"], "", ["L-17", "L-19"]),
        (["run", "--roll-lot"], "L-19", ["L-19"]),
        (["run", "--ink-lot"], "", []),
        (["audit", "--lot"], "L", ["L-17", "L-19"]),
    ],
)
def test_lots_complete_with_those_that_runs_have_named(
    registry: Path, before: list[str], incomplete: str, offered: list[str]
) -> None:
    complete = ShellComplete(main, {}, "litstock", "_LITSTOCK_COMPLETE")
    items = complete.get_completions(["-C", str(registry), *before], incomplete)
    assert [item.value for item in items] == offered


def test_lots_complete_with_nothing_where_there_is_no_registry(tmp_path: Path) -> None:
    complete = ShellComplete(main, {}, "litstock", "_LITSTOCK_COMPLETE")
    assert complete.get_completions(["-C", str(tmp_path), "run", "--roll-lot"], "") == []
