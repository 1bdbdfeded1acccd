"""A registry of one's own, from nothing to a find."""

import json
import os
import shlex
import subprocess
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from registry.cli import main
from tests import small


@pytest.fixture(autouse=True)
def _somebody(monkeypatch: pytest.MonkeyPatch) -> None:
    for role in ("AUTHOR", "COMMITTER"):
        monkeypatch.setenv(f"GIT_{role}_NAME", "specialist")
        monkeypatch.setenv(f"GIT_{role}_EMAIL", "specialist@our-shop.invalid")


def litstock(*arguments: str, code: int = 0) -> Result:
    result = CliRunner().invoke(main, arguments)
    assert result.exit_code == code, result.output
    return result


def start(folder: Path, *more: str, code: int = 0) -> Result:
    return litstock("start", str(folder), "--site", "our-shop", "--time-zone", "+01:00", *more, code=code)


def test_a_fresh_registry_is_clean_committed_and_answers(tmp_path: Path) -> None:
    folder = tmp_path / "ours"
    start(folder)
    brought = len(list((folder / "records/guidance").iterdir()))
    records = f"no errors, no warnings in {2 + brought} records\n"
    assert litstock("-C", str(folder), "check").stdout == records
    status = subprocess.run(
        ["git", "-C", str(folder), "status", "--porcelain"], capture_output=True, text=True, check=True
    )
    assert status.stdout == ""
    nothing = litstock("-C", str(folder), "find", code=1)
    assert "There is none yet: litstock new print-mode MAKER/GRADE/MODE starts one." in nothing.stdout


def test_it_starts_with_the_trades_guidance_each_rule_with_its_source(tmp_path: Path) -> None:
    folder, shipped = tmp_path / "ours", Path(__file__).parent.parent.parent / "records/guidance"
    said = start(folder).stderr
    in_force = {
        file.name: rule
        for file in shipped.glob("*.json")
        if "withdrawn" not in (rule := json.loads(file.read_bytes()))
    }
    made = {file.name: json.loads(file.read_bytes()) for file in (folder / "records/guidance").iterdir()}
    words = ("title", "level", "when", "text", "source")
    assert {name: [rule[word] for word in words] for name, rule in made.items()} == {
        name: [rule[word] for word in words] for name, rule in in_force.items()
    }
    assert {(rule["revision"], rule["recorded"]["site"]) for rule in made.values()} == {(1, "our-shop")}
    refusing = sum(rule["level"] == "refuse" for rule in made.values())
    assert f"brought along {len(made)} guidance rules ({refusing} refuse, " in said
    assert "), common practice, no source: read them in records/guidance, change or withdraw" in said


def test_a_solvent_film_is_refused_in_a_fresh_registry_unless_it_began_without_guidance(
    tmp_path: Path,
) -> None:
    solvent = ("--set", "ink_chemistries=solvent")
    for name, more, taken, code in (
        ("with", (), solvent, 1),
        ("without", ("--no-guidance",), solvent, 0),
        ("its maker lists resin ink", (), (), 0),
    ):
        folder = str(tmp_path / name)
        said = start(Path(folder), *more)
        printer = ("records/printers/marshwing.json", "--reason", "Ours")
        film = "records/substrates/lumenfold/dayfilm-150"
        litstock("-C", folder, "new", "printer", "marshwing", "--like", *printer)
        copied = ("--like", f"{film}/substrate.json", "--set", "coating=solvent", *taken, "--reason", "Ours")
        litstock("-C", folder, "new", "substrate", "acme/film-1", *copied)
        like = ("--like", f"{film}/modes/marshwing-backlit.json", "--reason", "To be tried")
        litstock("-C", folder, "new", "print-mode", "acme/film-1/backlit", *like)
        litstock("-C", folder, "find", "--status", "trial", code=code)
        assert ("no film is refused for its coating and no caution is said" in said.stderr) is (
            name == "without"
        )


def test_what_was_brought_is_counted_as_json_too(tmp_path: Path) -> None:
    told = json.loads(start(tmp_path / "ours", "--format", "json").stdout)
    brought = [path for path in told["files"] if path.startswith("records/guidance/")]
    assert sum(told["guidance"].values()) == len(brought) > 30
    assert json.loads(start(tmp_path / "bare", "--no-guidance", "--format", "json").stdout)["guidance"] == {}


def test_the_schemas_that_editors_read_are_there_and_kept_up_to_date(tmp_path: Path) -> None:
    folder = tmp_path / "ours"
    start(folder)
    site = folder / "records/sites/our-shop/site.json"
    schema = (site.parent / json.loads(site.read_bytes())["$schema"]).resolve()
    shipped = schema.read_bytes()
    assert json.loads(shipped)["title"] == "site"
    schema.write_text("{}")
    assert "brought schema/site.json up to date" in litstock("-C", str(folder), "check", "--fix").stderr
    assert schema.read_bytes() == shipped


def test_records_are_added_from_the_shipped_examples(tmp_path: Path) -> None:
    folder, records = tmp_path / "ours", Path(__file__).parent.parent.parent / "records"
    start(folder)
    example = next(iter(sorted((records / "printers").glob("*.json"))))
    arguments = (
        "new",
        "printer",
        "wide-64",
        "--from",
        str(example),
        "--title",
        "Wide 64",
        "--reason",
        "Ours",
    )
    litstock("-C", str(folder), *arguments)
    made = json.loads((folder / "records/printers/wide-64.json").read_bytes())
    assert (made["revision"], made["recorded"]["site"]) == (1, "our-shop")
    assert made["$schema"] == "../../schema/printer.json"


def test_the_examples_that_litstock_brings_are_named_from_anywhere(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    start(tmp_path / "ours")
    monkeypatch.chdir(tmp_path / "ours")
    example = "records/substrates/lumenfold/dayfilm-210/substrate.json"
    said = litstock("new", "substrate", "acme/film-1", "--like", example, "--reason", "Our film")
    assert "true of lumenfold/dayfilm-210 alone, so left behind: product code, fire, notes" in said.stderr
    made = json.loads((tmp_path / "ours/records/substrates/acme/film-1/substrate.json").read_bytes())
    assert {source["note"] for source in made["sources"].values()} == {"copied from lumenfold/dayfilm-210"}
    assert "fire" not in made
    again = ("new", "substrate", "acme/film-2", "--like", "records/substrates/a/b/substrate.json")
    assert "there is no substrate 'a/b'" in litstock(*again, "--reason", "x", code=2).stderr


def test_what_the_readme_says_of_a_registry_of_ones_own_works(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    readme = (Path(__file__).parent.parent.parent / "README.md").read_text(encoding="utf-8")
    told = readme.partition("## A registry of your own")[2].partition("\n## ")[0].splitlines()
    commands = [shlex.split(line) for line in told if line.startswith("    litstock ")]
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("LITSTOCK_REGISTRY", "our-settings")
    geometry = b'MEASUREMENT_GEOMETRY "transmission, 0:d"\nNUMBER_OF_FIELDS 5'
    (tmp_path / "lit-solids.txt").write_bytes(small.READINGS.replace(b"NUMBER_OF_FIELDS 5", geometry))
    assert len(commands) > 10
    for _, *arguments in commands:
        litstock(*(each.replace("origin/main", "HEAD~3") for each in arguments))
    assert "known good" in litstock("find", "--for", "light-box").stdout


def test_a_folder_that_is_not_empty_is_refused(tmp_path: Path) -> None:
    (tmp_path / "letter.txt").write_text("keep me")
    assert "is not empty, it holds 'letter.txt'" in start(tmp_path, code=3).stderr
    assert [path.name for path in tmp_path.iterdir()] == ["letter.txt"]


@pytest.mark.parametrize(
    ("option", "value", "words"),
    [
        ("--time-zone", "Nowhere/Else", "is no time zone"),
        ("--site", "Our Shop", "'Our Shop' is no id: small letters, digits and hyphens"),
    ],
)
def test_a_wrong_beginning_leaves_nothing_behind(tmp_path: Path, option: str, value: str, words: str) -> None:
    folder = tmp_path / "ours"
    result = CliRunner().invoke(
        main, ["start", str(folder), "--site", "our-shop", "--time-zone", "+01:00", option, value]
    )
    assert result.exit_code in (2, 3)
    assert words in result.stderr
    assert not folder.exists()


@pytest.mark.parametrize("there", [True, False])
def test_without_an_identity_nothing_is_left_behind(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, there: bool
) -> None:
    for role in ("AUTHOR", "COMMITTER"):
        monkeypatch.delenv(f"GIT_{role}_NAME")
        monkeypatch.delenv(f"GIT_{role}_EMAIL")
    if there:
        (tmp_path / "deep" / "ours").mkdir(parents=True)
    result = start(tmp_path / "deep" / "ours", "--format", "json", code=3)
    assert "run git config --global user.name" in result.stderr
    assert json.loads(result.stdout)["exit_code"] == 3
    assert list((tmp_path / "deep" / "ours").iterdir() if there else tmp_path.iterdir()) == []


def test_a_file_in_the_place_of_the_folder_stays(tmp_path: Path) -> None:
    (tmp_path / "ours").write_text("keep me")
    assert "is a file" in start(tmp_path / "ours", code=3).stderr
    assert (tmp_path / "ours").read_text() == "keep me"


def test_a_place_that_cannot_be_written_to_is_said_in_words(tmp_path: Path) -> None:
    (tmp_path / "ours").write_text("a file")
    result = start(tmp_path / "ours" / "below", "--format", "json", code=3)
    words = "cannot be used (not a directory): see that you may write there and that there is room"
    assert words in result.stderr
    assert words in json.loads(result.stdout)["refused"]


def test_the_demo_refuses_a_folder_that_is_not_empty(tmp_path: Path) -> None:
    (tmp_path / "letter.txt").write_text("keep me")
    assert "is not empty" in litstock("demo", str(tmp_path), code=3).stderr


@pytest.fixture
def shared(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> tuple[Path, Path]:
    """A registry of one's own that is pushed to a hub, and another shop's clone of that."""
    ours, hub, theirs = tmp_path / "ours", tmp_path / "hub", tmp_path / "theirs"
    command = tmp_path / "bin" / "litstock"
    command.parent.mkdir()
    command.write_text(f'#!/bin/sh\nexec {shlex.quote(sys.executable)} -m registry "$@"\n')
    command.chmod(0o755)
    monkeypatch.setenv("PATH", f"{command.parent}{os.pathsep}{os.environ['PATH']}")
    start(ours)
    git(tmp_path, "init", "-q", "--bare", "--initial-branch=main", str(hub))
    git(ours, "remote", "add", "origin", str(hub))
    git(ours, "push", "-q", "-u", "origin", "main")
    git(tmp_path, "clone", "-q", str(hub), str(theirs))
    return ours, theirs


def git(folder: Path, *arguments: str, code: int = 0) -> str:
    done = subprocess.run(["git", "-C", str(folder), *arguments], capture_output=True, text=True, check=False)
    assert done.returncode == code, done.stderr
    return done.stdout + done.stderr


def write(folder: Path, title: str) -> None:
    new = (
        "new",
        "site",
        title.lower(),
        "--set",
        f"title={title}",
        "--site",
        "our-shop",
        "--reason",
        "A shop",
    )
    litstock("-C", str(folder), *new)


def test_what_is_pushed_is_checked_and_a_plain_pull_is_refused_with_what_to_type(
    shared: tuple[Path, Path],
) -> None:
    ours, theirs = shared
    write(theirs, "Theirs")
    git(theirs, "push", "-q")
    write(ours, "Ours")
    git(ours, "pull", "-q", "--no-rebase", "--no-edit")
    refused = git(ours, "push", code=1)
    tip, base = (git(ours, "rev-parse", rev).strip() for rev in ("HEAD", "origin/main"))
    assert "[line-left]" in refused
    assert f"git switch --detach {base[:12]} && git merge --no-ff {tip[:12]}, and push that" in refused
    git(ours, "switch", "-q", "--detach", base)
    git(ours, "merge", "-q", "--no-ff", "--no-edit", f"{tip}^1")
    git(ours, "push", "-q", "origin", "HEAD:main")


def test_a_record_that_breaks_rules_is_not_pushed(shared: tuple[Path, Path]) -> None:
    ours, _ = shared
    path = ours / "records/sites/our-shop/site.json"
    path.write_text(path.read_text("utf-8").replace('"title"', '"titel"'), "utf-8")
    git(ours, "commit", "-qam", "By hand")
    assert "did you mean" in git(ours, "push", code=1)
    git(ours, "push", "-q", "--no-verify")


def test_a_new_branch_and_one_taken_away_are_pushed_as_they_are(shared: tuple[Path, Path]) -> None:
    ours, _ = shared
    git(ours, "push", "-q", "origin", "HEAD:aside")
    git(ours, "push", "-q", "origin", ":aside")
