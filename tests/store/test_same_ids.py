"""The same files, names and dates give the same commit ids, whatever the user's git is told to do."""

import os
import time
from datetime import datetime, timedelta, timezone
from pathlib import Path

import pytest

from registry.store.founding import create
from registry.store.landing import land
from registry.store.write import Series, Signature, commit

Told = tuple[list[str], dict[str, bytes]]


def story(folder: Path) -> Told:
    """Make a short history of every kind of step; return the ids of all its commits and the tree on disk."""
    zone = timezone(timedelta(hours=1))
    who = Signature("Mill Lane", "mill-lane@saltmarsh.example", datetime(2026, 1, 5, 8, 0, tzinfo=zone))

    def after(days: int) -> Signature:
        return who._replace(when=who.when + timedelta(days=days))

    repository = create(folder)
    with Series(repository, sign=False) as series:
        tip = series.commit(
            {
                ".gitattributes": b"*.json text eol=lf\nrecords/**/*.txt -text\n",
                "records/registry.json": b"{}\n",
                "records/m/patches.txt": b"one\r\ntwo\r\n",
            },
            "begin at 80 °C",
            author=who,
        )
        brought = series.commit({"records/a.json": b"{\n}\n"}, "add a", author=after(1))
        land(series, tip, brought, None, "land a", committer=after(2))
        series.finish()
    commit(
        repository, {"records/b.json": b"{\n}\n"}, "add b", author=after(3), committer=after(4), sign=False
    )
    ids = repository.git.run("rev-list", "--all", "--date-order").decode().split()
    return ids, {
        path.name: path.read_bytes()
        for path in folder.rglob("*")
        if path.is_file() and ".git/" not in str(path)
    }


@pytest.fixture
def told(tmp_path: Path) -> Told:
    return story(tmp_path / "plain")


SETTINGS = {
    "autocrlf": "[core]\n\tautocrlf = true\n\teol = crlf\n\tsafecrlf = true\n",
    "signing": "[commit]\n\tgpgsign = true\n[gpg]\n\tprogram = false\n[user]\n\tsigningKey = none\n",
    "encoding": "[i18n]\n\tcommitEncoding = ISO-8859-1\n\tlogOutputEncoding = ISO-8859-1\n",
    "hash": "[init]\n\tdefaultObjectFormat = sha256\n\tdefaultBranch = trunk\n",
    "identity": "[user]\n\tname = Somebody Else\n\temail = else@saltmarsh.example\n",
    "filemode": "[core]\n\tfileMode = false\n\tsymlinks = false\n\tignoreCase = true\n",
    "index": "[core]\n\tsplitIndex = true\n\tuntrackedCache = true\n[index]\n\tversion = 4\n",
    "merge": "[merge]\n\tff = only\n[commit]\n\tcleanup = strip\n\ttemplate = /nonexistent\n",
}


@pytest.mark.parametrize("name", SETTINGS)
def test_a_users_settings_change_no_id(
    told: Told, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, name: str
) -> None:
    settings = tmp_path / "gitconfig"
    settings.write_text(SETTINGS[name])
    monkeypatch.setenv("GIT_CONFIG_GLOBAL", str(settings))
    assert story(tmp_path / "again") == told


@pytest.mark.parametrize("zone", ["UTC-9", "UTC+11:30", "UTC+3:30"])
def test_a_foreign_time_zone_changes_no_id(
    told: Told, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, zone: str
) -> None:
    monkeypatch.setenv("TZ", zone)
    time.tzset()
    try:
        assert story(tmp_path / "again") == told
    finally:
        monkeypatch.undo()
        time.tzset()


def test_templates_and_hooks_change_no_id_and_are_not_run(
    told: Told, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    hooks = tmp_path / "template" / "hooks"
    hooks.mkdir(parents=True)
    for name in ("pre-commit", "commit-msg", "reference-transaction", "post-index-change", "post-commit"):
        (hooks / name).write_text(f"#!/bin/sh\ntouch {tmp_path}/ran-{name}\nexit 1\n")
        (hooks / name).chmod(0o755)
    (tmp_path / "template" / "config").write_text("[core]\n\tautocrlf = true\n\tbare = true\n")
    settings = tmp_path / "gitconfig"
    settings.write_text(f"[init]\n\ttemplateDir = {tmp_path}/template\n[core]\n\thooksPath = {hooks}\n")
    monkeypatch.setenv("GIT_CONFIG_GLOBAL", str(settings))
    monkeypatch.setenv("GIT_TEMPLATE_DIR", str(tmp_path / "template"))
    assert story(tmp_path / "again") == told
    assert not (tmp_path / "again" / ".git" / "hooks").exists()
    assert list(tmp_path.glob("ran-*")) == []


def test_names_and_dates_in_the_environment_change_no_id(
    told: Told, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    for role in ("AUTHOR", "COMMITTER"):
        monkeypatch.setenv(f"GIT_{role}_NAME", "Somebody Else")
        monkeypatch.setenv(f"GIT_{role}_EMAIL", "else@saltmarsh.example")
        monkeypatch.setenv(f"GIT_{role}_DATE", "2001-01-01T00:00:00 +0000")
    monkeypatch.setenv("GIT_DEFAULT_HASH", "sha256")
    assert story(tmp_path / "again") == told


def test_the_same_story_told_with_gits_own_commands_has_the_same_ids(told: Told, tmp_path: Path) -> None:
    import subprocess

    folder = tmp_path / "by-hand"
    folder.mkdir()

    def git(*args: str, author: int = 0, committer: int | None = None) -> str:
        dates = [1767596400 + 86400 * days for days in (author, author if committer is None else committer)]
        who = {"NAME": "Mill Lane", "EMAIL": "mill-lane@saltmarsh.example"}
        env = {f"GIT_{role}_{key}": value for role in ("AUTHOR", "COMMITTER") for key, value in who.items()}
        env |= {
            f"GIT_{role}_DATE": f"@{date} +0100"
            for role, date in zip(("AUTHOR", "COMMITTER"), dates, strict=True)
        }
        command = ["git", *args]
        return subprocess.run(
            command, cwd=folder, env=os.environ | env, check=True, capture_output=True, text=True
        ).stdout

    def write(path: str, data: bytes) -> None:
        (folder / path).parent.mkdir(parents=True, exist_ok=True)
        (folder / path).write_bytes(data)

    git("init", "--quiet", "--initial-branch=main")
    write(".gitattributes", b"*.json text eol=lf\nrecords/**/*.txt -text\n")
    write("records/registry.json", b"{}\n")
    write("records/m/patches.txt", b"one\r\ntwo\r\n")
    git("add", ".")
    git("commit", "--quiet", "-m", "begin at 80 °C")
    git("switch", "--quiet", "-c", "side")
    write("records/a.json", b"{\n}\n")
    git("add", ".")
    git("commit", "--quiet", "-m", "add a", author=1)
    git("switch", "--quiet", "main")
    git("merge", "--quiet", "--no-ff", "-m", "land a", "side", author=2)
    write("records/b.json", b"{\n}\n")
    git("add", ".")
    git("commit", "--quiet", "-m", "add b", author=3, committer=4)
    assert git("rev-list", "--all", "--date-order").split() == told[0]
