"""The story becomes a git repository: the same one every time, whose last state is what ships."""

import json
import os
import subprocess
from collections import Counter
from datetime import UTC, datetime
from pathlib import Path

import pytest

from registry.demo.replay import Told, replay
from registry.demo.story import FOLDER
from registry.store.founding import UnusableFolder
from registry.store.repository import Repository

SHIPPED = Path(__file__).parents[2] / "records"


def records_in(folder: Path) -> dict[str, bytes]:
    found = (path for path in (folder / "records").rglob("*") if path.is_file())
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in found}


def test_eighteen_months_are_told_in_more_than_120_landings(replayed: Repository) -> None:
    landings = [landing for landing in replayed.landings(replayed.head()) if landing.changes]
    assert len(landings) >= 125
    first, last = (datetime.fromtimestamp(landings[at].landed, UTC).date() for at in (0, -1))
    assert (last.year - first.year) * 12 + last.month - first.month == 18
    assert last.isoformat() < "2026-11-20"


def test_the_last_state_is_records_byte_for_byte(replayed: Repository, story: tuple[Told, ...]) -> None:
    entries = replayed.tree(replayed.head())
    blobs = dict(replayed.blobs({entry.blob for entry in entries.values()}))
    committed = {path: blobs[entry.blob] for path, entry in entries.items()}
    assert committed == story[-1].state
    assert committed == records_in(SHIPPED.parent), "run python tools/rebuild_demo_records.py"
    assert committed == records_in(replayed.root)


def test_each_landing_merges_what_one_shop_committed(replayed: Repository, story: tuple[Told, ...]) -> None:
    landings = [landing for landing in replayed.landings(replayed.head()) if landing.changes]
    brought = replayed.brought(replayed.head())
    for landing, told in zip(landings, story, strict=True):
        assert len(landing.parents) == 2
        assert landing.landed == int(told.landing.landed.timestamp())
        assert landing.committer == "registry desk"
        authors = [
            (f"{commit.role}, {commit.site}", int(commit.recorded.timestamp()))
            for commit in told.landing.commits
        ]
        assert [(each.author, each.authored.epoch) for each in brought[landing.commit]] == authors
        assert len({commit.site for commit in told.landing.commits}) == 1


def test_the_first_commit_says_how_files_are_kept_and_what_this_is(replayed: Repository) -> None:
    first = replayed.git.run("rev-list", "--max-parents=0", "HEAD").decode().strip()
    assert set(replayed.tree(first, "")) == {".gitattributes", "README.md"}
    attributes = (replayed.root / ".gitattributes").read_text(encoding="utf-8").splitlines()
    assert "*.json text eol=lf" in attributes
    assert {"records/**/*.txt -text", "records/**/*.icc -text"} <= set(attributes)


def test_a_folder_that_is_not_empty_is_refused_and_left_alone(tmp_path: Path) -> None:
    (tmp_path / "notes.txt").write_text("mine", encoding="utf-8")
    with pytest.raises(UnusableFolder, match=r"not empty, it holds 'notes\.txt'"):
        replay(tmp_path)
    assert [path.name for path in tmp_path.iterdir()] == ["notes.txt"]


def test_commits_are_the_same_whatever_the_users_git_and_clock(
    replayed: Repository, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    template = tmp_path / "template" / "hooks"
    template.mkdir(parents=True)
    hook = template / "commit-msg"
    hook.write_text("#!/bin/sh\nexit 1\n", encoding="utf-8")
    hook.chmod(0o755)
    config = tmp_path / "gitconfig"
    config.write_text(
        "[user]\n\tname = someone else\n\temail = else@example.invalid\n"
        "[core]\n\tautocrlf = true\n\thooksPath = " + str(template) + "\n"
        "[commit]\n\tgpgsign = true\n[gpg]\n\tprogram = false\n[i18n]\n\tcommitEncoding = ISO-8859-1\n"
        "[init]\n\ttemplateDir = " + str(template.parent) + "\n\tdefaultBranch = trunk\n",
        encoding="utf-8",
    )
    monkeypatch.setenv("GIT_CONFIG_GLOBAL", str(config))
    monkeypatch.setenv("TZ", "UTC-12")
    monkeypatch.setenv("LC_ALL", "C")
    again = replay(tmp_path / "again")
    assert again.head() == replayed.head()
    assert records_in(again.root) == records_in(replayed.root)
    assert again.git.run("status", "--porcelain") == b""
    assert not (again.root / ".git" / "hooks").exists()


def test_a_clone_under_autocrlf_has_the_same_bytes(replayed: Repository, tmp_path: Path) -> None:
    subprocess.run(
        ["git", "-c", "core.autocrlf=true", "clone", "--quiet", str(replayed.root), str(tmp_path / "clone")],
        check=True,
        env=os.environ | {"GIT_CONFIG_GLOBAL": os.devnull},
    )
    assert records_in(tmp_path / "clone") == records_in(replayed.root)


def test_landings_never_fall_and_nothing_lands_before_it_is_recorded(story: tuple[Told, ...]) -> None:
    instants = [told.landing.landed for told in story]
    assert instants == sorted(instants)
    for told in story:
        recorded = [commit.recorded for commit in told.landing.commits]
        assert max(recorded) <= told.landing.landed, told.landing.reason
    lags = Counter((told.landing.landed - told.landing.commits[0].recorded).days for told in story)
    assert sum(number for days, number in lags.items() if days >= 7) >= 10


def test_the_story_is_kept_in_one_form_with_nothing_that_is_filled_in() -> None:
    filled = {"revision", "recorded", "$schema", "sha256", "settings_digest"}

    def keys(value: object) -> set[str]:
        if isinstance(value, dict):
            return set(value).union(*map(keys, value.values()))
        return set().union(*map(keys, value)) if isinstance(value, list) else set()

    for path in [FOLDER / "start.json", *sorted((FOLDER / "steps").iterdir())]:
        told = json.loads(path.read_bytes())
        assert path.read_bytes() == (json.dumps(told, indent=2, ensure_ascii=False) + "\n").encode(), path
        for commit in told["commits"]:
            for change in commit["files"].values():
                assert not filled & keys(change), path.name
