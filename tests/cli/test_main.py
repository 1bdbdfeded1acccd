"""The command as a whole: help, exit codes, and where it looks for a registry."""

import importlib
import subprocess
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner

from registry import __version__
from registry.cli import main
from registry.cli.main import COMMANDS


@pytest.mark.parametrize("name", COMMANDS)
def test_the_line_in_the_list_is_the_first_of_the_commands_own_help(name: str) -> None:
    module, summary = COMMANDS[name]
    command = importlib.import_module(module).command
    assert command.help.splitlines()[0] == summary


@pytest.mark.parametrize("name", COMMANDS)
def test_every_option_says_what_it_is_for(name: str) -> None:
    command = importlib.import_module(COMMANDS[name][0]).command
    for parameter in command.params:
        if parameter.param_type_name == "option":
            assert parameter.help, f"{name} {parameter.opts[0]}"


def test_every_command_module_is_listed() -> None:
    folder = Path(sys.modules["registry.cli"].__file__ or "").parent
    holders = {
        f"registry.cli.{path.stem}"
        for path in folder.glob("*.py")
        if "\n@click.command(" in path.read_text(encoding="utf-8")
    }
    assert holders == {module for module, _ in COMMANDS.values()}


def test_the_list_of_commands_imports_none_of_them() -> None:
    script = (
        "import sys\nfrom registry.cli import main\n"
        "try:\n    main(['--help'])\nexcept SystemExit:\n    pass\n"
        "print(sorted(name for name in sys.modules if name.startswith('registry')))"
    )
    said = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True).stdout
    assert said.splitlines()[-1] == str(["registry", "registry.cli", "registry.cli.main", "registry.errors"])


def test_the_version_is_the_packages() -> None:
    assert CliRunner().invoke(main, ["--version"]).output == f"litstock, version {__version__}\n"


def test_outside_any_registry_the_answer_names_the_demo(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    result = CliRunner().invoke(main, ["find"])
    assert result.exit_code == 3
    assert "litstock demo DIR makes one to try" in result.stderr


def test_the_registry_is_found_from_a_folder_within_it(
    small_registry: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(small_registry / "records" / "sites")
    assert CliRunner().invoke(main, ["slug", "backlit-16"]).exit_code == 0


def test_the_option_wins_over_the_variable(
    small_registry: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("LITSTOCK_REGISTRY", str(tmp_path))
    assert CliRunner().invoke(main, ["slug", "backlit-16"]).exit_code == 3
    assert CliRunner().invoke(main, ["-C", str(small_registry), "slug", "backlit-16"]).exit_code == 0


def test_a_question_that_cannot_be_read_exits_with_two(small_registry: Path) -> None:
    for arguments in (["slug", "nothing-like-it"], ["slug", "backlit-16@noon"], ["slug"], ["dance"]):
        assert CliRunner().invoke(main, ["-C", str(small_registry), *arguments]).exit_code == 2, arguments


def test_a_fault_of_the_program_keeps_its_traceback_and_looks_like_no_finding(
    small_registry: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken(*_: object) -> None:
        raise ZeroDivisionError

    monkeypatch.setattr("registry.cli.slug.open_registry", broken)
    result = CliRunner().invoke(main, ["-C", str(small_registry), "slug", "backlit-16"])
    assert result.exit_code == 70
    assert result.stderr.startswith("Traceback (most recent call last):")
    assert result.stderr.endswith("ZeroDivisionError\n")
