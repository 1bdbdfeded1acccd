"""The check from the command line, as a contributor and a server run it."""

import importlib
import json
import re
import shutil
import subprocess
from pathlib import Path

import click
import pytest
from click.testing import CliRunner, Result

from registry.check.rules import RULES
from registry.cli import main
from registry.cli.main import COMMANDS
from tests import small

MODE_PATH = small.mode_path(small.MODE)


def check(folder: Path, *arguments: str, code: int = 0) -> Result:
    result = CliRunner().invoke(main, ["-C", str(folder), "check", *arguments])
    assert result.exit_code == code, result.output
    return result


def git(folder: Path, *arguments: str) -> str:
    who = [part for name in ("name=quay", "email=quay@invalid") for part in ("-c", f"user.{name}")]
    done = subprocess.run(
        ["git", "-C", str(folder), *who, *arguments], capture_output=True, text=True, check=True
    )
    return done.stdout.strip()


def spoil(folder: Path, before: bytes, after: bytes) -> None:
    path = folder / MODE_PATH
    data = path.read_bytes()
    assert before in data
    path.write_bytes(data.replace(before, after))


def test_the_demos_present_state_is_clean() -> None:
    root = Path(__file__).parent.parent.parent
    said = json.loads(check(root, "--format", "json").stdout)
    records = sum(1 for _ in (root / "records").rglob("*.json"))
    assert said == {"findings": [], "errors": 0, "warnings": 0, "records": records}


def test_a_fault_is_told_with_file_line_pointer_and_remedy(own_registry: Path) -> None:
    spoil(own_registry, b'"cure_c": 104', b'"cure_c": 500')
    (found,) = [
        each
        for each in json.loads(check(own_registry, "--format", "json", code=1).stdout)["findings"]
        if each["severity"] == "error"
    ]
    line = (own_registry / MODE_PATH).read_text().splitlines().index('    "cure_c": 500,') + 1
    assert (found["path"], found["line"], found["pointer"]) == (MODE_PATH, line, "/heat/cure_c")
    assert found["remedy"]


def test_only_the_paths_asked_for_are_told(own_registry: Path) -> None:
    spoil(own_registry, b'"cure_c": 104', b'"cure_c": 500')
    check(own_registry, str(own_registry / "records/printers"))
    check(own_registry, "records/substrates/lumenfold", code=1)
    assert "there is no 'records/nowhere'" in check(own_registry, "records/nowhere", code=2).stderr


def test_against_a_base_a_change_without_a_new_revision_is_refused(own_registry: Path) -> None:
    check(own_registry, "--base", "HEAD")
    spoil(own_registry, b'"cure_c": 104', b'"cure_c": 103')
    assert "[revision-wrong" in check(own_registry, "--base", "HEAD", code=1).stdout


def test_a_base_several_landings_back_is_judged_landing_by_landing(own_registry: Path) -> None:
    clean = check(own_registry, "--base", "HEAD~8")
    assert clean.stderr == "judged 8 landings since HEAD~8, each against the one before\n"
    spoil(own_registry, b'"cure_c": 104', b'"cure_c": 103')
    spoilt = check(own_registry, "--base", "HEAD~8", code=1)
    assert "each against the one before, and last what has not landed" in spoilt.stderr
    assert spoilt.stdout.count("[revision-wrong") == 1
    git(own_registry, "commit", "-q", "-a", "-m", "Cooler")
    commit = git(own_registry, "rev-parse", "HEAD")
    told = json.loads(check(own_registry, "--base", "HEAD~9", "--format", "json", code=1).stdout)
    errors = [each for each in told["findings"] if each["severity"] == "error"]
    assert [(each["code"], each["landing"]) for each in sorted(errors, key=lambda each: each["code"])] == [
        ("reason-not-new", commit),
        ("revision-wrong", commit),
    ]
    check(own_registry, "--base", "HEAD")


def test_a_branch_is_judged_from_where_it_left_the_base(own_registry: Path) -> None:
    git(own_registry, "switch", "-q", "-c", "ours", "HEAD~3")
    behind = check(own_registry, "--base", "main")
    assert behind.stderr == "main holds all of it already: nothing has changed since\n"
    spoil(own_registry, b'"cure_c": 104', b'"cure_c": 103')
    told = check(own_registry, "--base", "main", code=1)
    assert "main has gone on alone: judged against" in told.stderr
    codes = {line.partition("[")[2].split(" ")[0] for line in told.stdout.splitlines() if ": error: " in line}
    assert codes == {"revision-wrong", "reason-not-new"}


def test_the_whole_registry_may_be_named(own_registry: Path) -> None:
    spoil(own_registry, b'"cure_c": 104', b'"cure_c": 500')
    assert check(own_registry, str(own_registry), code=1).stdout == check(own_registry, code=1).stdout


@pytest.mark.parametrize(("form", "first"), [("csv", "code,severity,path,"), ("markdown", "| code ")])
def test_findings_and_rules_are_told_as_tables(own_registry: Path, form: str, first: str) -> None:
    spoil(own_registry, b'"cure_c": 104', b'"cure_c": 500')
    heading, *rows = check(own_registry, "--format", form, code=1).stdout.splitlines()
    assert heading.startswith(first)
    assert "from 20 to 180 °C" in rows[-1]
    listed = check(own_registry, "--rules", "--format", form).stdout
    listed = re.sub(r"\\(.)", r"\1", listed) if form == "markdown" else listed
    assert all(rule.summary.replace('"', '""' if form == "csv" else '"') in listed for rule in RULES)


def test_a_table_in_markdown_keeps_each_finding_on_its_line(own_registry: Path) -> None:
    spoil(own_registry, b'"Dayfilm backlit, 16 passes"', b'"16 | 20 passes"')
    spoil(own_registry, b'"lighting": "backlit"', b'"lighting": "16 | 20"')
    rows = check(own_registry, MODE_PATH, "--format", "markdown", code=1).stdout.splitlines()[2:]
    (row,) = [row for row in rows if "| schema " in row]
    assert '"16 \\| 20"' in row


def test_a_commit_is_checked_instead_of_the_working_tree(own_registry: Path) -> None:
    spoil(own_registry, b'"cure_c": 104', b'"cure_c": 500')
    check(own_registry, "--at", "HEAD", "--base", "HEAD~1")


def test_a_bare_repository_is_checked_at_its_tip(small_registry: Path, tmp_path: Path) -> None:
    bare = tmp_path / "bare.git"
    subprocess.run(["git", "clone", "-q", "--bare", str(small_registry), str(bare)], check=True)
    check(bare)


def test_fix_rewrites_form_and_no_value(own_registry: Path) -> None:
    path = own_registry / MODE_PATH
    good = path.read_bytes()
    document = json.loads(good)
    path.write_text(json.dumps(dict(reversed(document.items())), indent=7), encoding="utf-8")
    assert "[file-form" in check(own_registry, code=1).stdout
    assert MODE_PATH in check(own_registry, "--fix").stderr
    assert path.read_bytes() == good


def test_rules_are_listed_and_explained(small_registry: Path) -> None:
    listed = check(small_registry, "--rules").stdout.splitlines()
    assert [line.partition(":")[0] for line in listed] == [rule.code for rule in RULES]
    said = check(small_registry, "--explain", "web-too-hot").stdout
    assert "To mend:" in said
    assert "did you mean" in check(small_registry, "--explain", "web-to-hot", code=2).stderr


def test_sarif_names_the_rules(own_registry: Path) -> None:
    spoil(own_registry, b'"cure_c": 104', b'"cure_c": 500')
    said = json.loads(check(own_registry, "--format", "sarif", code=1).stdout)
    assert said["version"] == "2.1.0"
    assert "schema" in {each["ruleId"] for each in said["runs"][0]["results"]}


def test_rules_are_told_as_json(small_registry: Path) -> None:
    listed = json.loads(check(small_registry, "--rules", "--format", "json").stdout)["rules"]
    assert [each["code"] for each in listed] == [rule.code for rule in RULES]
    (said,) = json.loads(check(small_registry, "--explain", "web-too-hot", "--format", "json").stdout)[
        "rules"
    ]
    assert said["code"] == "web-too-hot"
    assert "To mend:" in said["explanation"]
    assert "sarif holds findings" in check(small_registry, "--rules", "--format", "sarif", code=2).stderr


@pytest.mark.parametrize("name", COMMANDS)
def test_every_command_that_answers_in_json_names_its_keys_in_its_help(name: str) -> None:
    command = importlib.import_module(COMMANDS[name][0]).command
    (form,) = [each for each in command.params if each.name == "form"]
    assert "json" in form.type.choices
    assert "JSON keys: " in command.help


def test_the_codes_of_rules_are_completed() -> None:
    command = importlib.import_module("registry.cli.check").command
    context = click.Context(command)
    (option,) = [each for each in command.params if each.name == "code"]
    assert "web-too-hot" in [each.value for each in option.shell_complete(context, "web-")]


@pytest.fixture
def parallel(own_registry: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A clone in which r5 of a mode waits, while another r5 has landed; git has stopped at the merge."""
    for role in ("AUTHOR", "COMMITTER"):
        monkeypatch.setenv(f"GIT_{role}_NAME", "quay")
        monkeypatch.setenv(f"GIT_{role}_EMAIL", "quay@invalid")
    folder = tmp_path / "clone"
    subprocess.run(["git", "clone", "-q", str(own_registry), str(folder)], check=True)
    for where, setting, reason in (
        (own_registry, "heat.cure_c=99", "Cooler"),
        (folder, "heat.dry_c=58", "Drier"),
    ):
        revise = ("revise", small.MODE, "--set", setting, "--reason", reason, "--site", "mill-lane")
        assert CliRunner().invoke(main, ["-C", str(where), *revise]).exit_code == 0
    with pytest.raises(subprocess.CalledProcessError):
        git(folder, "pull", "-q", "--no-rebase")
    return folder


def test_a_merge_that_git_left_is_one_finding(parallel: Path) -> None:
    (found,) = json.loads(check(parallel, MODE_PATH, "--format", "json", code=1).stdout)["findings"]
    assert (found["code"], found["found"], found["path"]) == ("unreadable", "merge-conflict", MODE_PATH)


def test_a_revision_that_two_shops_wrote_is_found_before_and_after_it_lands(
    parallel: Path, own_registry: Path
) -> None:
    def found(folder: Path, *arguments: str, code: int = 0) -> list[tuple[str, str]]:
        told = json.loads(check(folder, MODE_PATH, "--format", "json", *arguments, code=code).stdout)
        return [(each["code"], each["allowed"]) for each in told["findings"]]

    git(parallel, "checkout", "-q", "--ours", ".")
    assert found(parallel) == [("revision-repeated", "6")]
    assert found(parallel, "--base", "origin/main", code=1) == [("revision-wrong", "6")]
    git(parallel, "add", "-A")
    git(parallel, "commit", "-qm", "merged")
    said = check(parallel).stdout
    assert "revision 5 has landed, and this one says something else, and takes back: curing set-point" in said
    git(parallel, "push", "-q", "origin", "HEAD:refs/heads/theirs")
    git(own_registry, "merge", "-q", "--no-ff", "-m", "Land both", "theirs")
    assert found(own_registry) == [("revision-repeated", "")]
    git(parallel, "fetch", "-q")
    raised = (parallel / MODE_PATH).read_bytes().replace(b'"revision": 5', b'"revision": 6')
    (parallel / MODE_PATH).write_bytes(raised.replace(b'"Drier"', b'"Both: drier and cooler"'))
    assert found(parallel) == []


def test_records_without_a_repository_are_checked_all_the_same(own_registry: Path, tmp_path: Path) -> None:
    copy = tmp_path / "copy"
    shutil.copytree(own_registry / "records", copy / "records")
    assert "no errors" in check(copy).stdout


def test_without_git_the_records_are_checked_and_the_lack_is_said(
    own_registry: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("PATH", "")
    said = check(own_registry, MODE_PATH)
    assert "no errors, no warnings in 1 record" in said.stdout
    assert "without a look at what has landed: " in said.stderr
