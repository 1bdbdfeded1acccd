import subprocess
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from registry.store.beside import Brought
from registry.store.repository import NotOnChain, Repository
from registry.store.walk import Moment

Run = Callable[..., str]

DAY = 86400
START = 1767225600


@pytest.fixture
def history(registry: Path, git: Run, put: Run) -> Path:
    """A true merge, a foxtrot, a squash, a revert, an empty step and a root that was grafted on."""

    def step(*args: str, day: int, zone: str = "+0000") -> None:
        git(registry, *args, at=START + DAY * day, zone=zone)

    put(
        registry,
        {"records/b.json": "1\n", "readme.txt": "words\n"},
        "two\n\nwith a body\n\nof two parts",
        START + DAY,
    )
    git(registry, "switch", "--quiet", "-c", "mill-lane")
    put(registry, {"records/c.json": "1\n", "records/a.json": None}, "at the mill", START + DAY * 2)
    put(registry, {"records/c.json": "2\n"}, "at the mill again", START + DAY * 3)
    git(registry, "switch", "--quiet", "main")
    put(registry, {"records/b.json": "2\n"}, "meanwhile", START + DAY * 4)
    step("merge", "--quiet", "--no-ff", "-m", "landing of the mill", "mill-lane", day=5, zone="+0900")
    git(registry, "switch", "--quiet", "-c", "quay")
    put(registry, {"records/d.json": "1\n"}, "at the quay", START + DAY * 6)
    git(registry, "switch", "--quiet", "main")
    put(registry, {"records/b.json": "3\n"}, "before the foxtrot", START + DAY * 7)
    git(registry, "switch", "--quiet", "quay")
    step("merge", "--quiet", "--no-ff", "-m", "foxtrot", "main", day=8)
    git(registry, "switch", "--quiet", "main")
    step("merge", "--quiet", "--ff-only", "quay", day=8)
    git(registry, "switch", "--quiet", "-c", "squashed")
    put(registry, {"records/e.json": "1\n"}, "one of two", START + DAY * 9)
    put(registry, {"records/f.json": "1\n"}, "two of two", START + DAY * 10)
    git(registry, "switch", "--quiet", "main")
    git(registry, "merge", "--quiet", "--squash", "squashed")
    step("commit", "--quiet", "-m", "squash", day=11)
    step("revert", "--no-edit", "HEAD", day=12)
    step("commit", "--quiet", "--allow-empty", "--allow-empty-message", "-m", "", day=13)
    git(registry, "switch", "--quiet", "--orphan", "second-root")
    put(registry, {"records/g.json": "1\n"}, "another root", START + DAY * 14)
    git(registry, "switch", "--quiet", "main")
    step(
        "merge",
        "--quiet",
        "--allow-unrelated-histories",
        "--no-ff",
        "-m",
        "grafted on",
        "second-root",
        day=15,
    )
    return registry


def slowly(folder: Path, git: Run, tip: str) -> list[tuple[str, dict[str, str], set[tuple[str, ...]]]]:
    """The first-parent chain, one `git show` a commit and field: what the one walk must equal."""
    chain = []
    commit = tip
    while commit:
        shown = {
            field: git(folder, "show", "--no-patch", f"--format={code}", "--date=raw", commit)
            for field, code in {
                "parents": "%P",
                "landed": "%cd",
                "authored": "%ad",
                "author": "%an",
                "email": "%ae",
                "committer": "%cn",
                "subject": "%s",
                "body": "%b",
            }.items()
        }
        parents = shown["parents"].split()
        before = parents[0] if parents else git(folder, "hash-object", "-t", "tree", "/dev/null")
        changes: set[tuple[str, ...]] = set()
        for line in git(
            folder, "diff-tree", "-r", "--no-renames", "--no-abbrev", before, commit
        ).splitlines():
            what, path = line.split("\t")
            _, mode, _, blob, status = what.split(" ")
            if path.startswith("records/"):
                changes.add((status, path, "" if status == "D" else mode, "" if status == "D" else blob))
        chain.append((commit, shown, changes))
        commit = parents[0] if parents else ""
    return chain[::-1]


def test_one_walk_equals_a_slow_look_at_each_commit_of_the_chain(history: Path, git: Run) -> None:
    repository = Repository(history)
    walked = list(repository.landings(repository.head()))
    expected = slowly(history, git, repository.head())
    assert [landing.commit for landing in walked] == [commit for commit, _, _ in expected]
    for landing, (_, shown, changes) in zip(walked, expected, strict=True):
        assert " ".join(landing.parents) == shown["parents"]
        assert landing.landed == int(shown["landed"].split()[0])
        assert landing.authored.epoch == int(shown["authored"].split()[0])
        assert (landing.author, landing.author_email, landing.committer) == (
            shown["author"],
            shown["email"],
            shown["committer"],
        )
        assert landing.subject == shown["subject"]
        assert landing.body == shown["body"].strip("\n")
        assert set(landing.changes) == changes
        assert len(landing.changes) == len(changes)


def test_the_walk_tells_what_each_kind_of_step_brought(history: Path) -> None:
    repository = Repository(history)
    seen = {
        landing.subject: {(change.status, change.path) for change in landing.changes}
        for landing in repository.landings(repository.head())
    }
    assert seen["landing of the mill"] == {("D", "records/a.json"), ("A", "records/c.json")}
    assert seen["at the quay"] == {("A", "records/d.json")}
    assert "before the foxtrot" not in seen  # it is beside the chain now
    assert seen["foxtrot"] == {("M", "records/b.json")}
    assert seen["squash"] == {("A", "records/e.json"), ("A", "records/f.json")}
    assert seen['Revert "squash"'] == {("D", "records/e.json"), ("D", "records/f.json")}
    assert seen[""] == set()
    assert seen["grafted on"] == {("A", "records/g.json")}
    assert seen["two"] == {("A", "records/b.json")}


def test_the_offset_of_the_landing_clock_is_kept(history: Path) -> None:
    repository = Repository(history)
    landing = next(
        each for each in repository.landings(repository.head()) if each.subject == "landing of the mill"
    )
    assert (landing.landed, landing.landed_offset) == (START + DAY * 5, 540)
    assert landing.authored == Moment(START + DAY * 5, 540)


def test_the_walk_after_a_landing_is_the_rest_of_the_whole_walk(history: Path) -> None:
    repository = Repository(history)
    tip = repository.head()
    whole = list(repository.landings(tip))
    for place, landing in enumerate(whole):
        assert list(repository.landings(tip, after=landing.commit)) == whole[place + 1 :]


def test_a_walk_after_what_never_landed_is_refused(history: Path, git: Run) -> None:
    repository = Repository(history)
    beside = git(history, "rev-parse", "mill-lane")
    with pytest.raises(NotOnChain, match=f"commit {beside} is not on the first-parent chain"):
        list(repository.landings(repository.head(), after=beside))


def test_dates_that_run_backwards_change_neither_order_nor_extent(registry: Path, put: Run) -> None:
    made = [put(registry, {"records/a.json": f"{day}\n"}, at=START - DAY * day) for day in range(1, 12)]
    made.append(put(registry, {"records/b.json": "1\n"}, at=START + DAY * 400))
    made.append(put(registry, {"records/b.json": "2\n"}, at=0))
    repository = Repository(registry)
    assert [landing.commit for landing in repository.landings(made[-1])][1:] == made
    assert [landing.commit for landing in repository.landings(made[-1], after=made[2])] == made[3:]


def test_the_users_settings_do_not_change_the_walk(history: Path, git: Run) -> None:
    repository = Repository(history)
    plain = list(repository.landings(repository.head()))
    for name, value in {
        "log.showSignature": "true",
        "log.showRoot": "false",
        "log.date": "relative",
        "log.diffMerges": "off",
        "log.follow": "true",
        "log.abbrevCommit": "true",
        "log.decorate": "full",
        "color.ui": "always",
        "color.diff": "always",
        "core.abbrev": "7",
        "core.quotepath": "true",
        "diff.renames": "copies",
        "diff.relative": "true",
        "diff.external": "false",
        "format.pretty": "oneline",
        "i18n.logOutputEncoding": "ISO-8859-1",
        "notes.displayRef": "*",
    }.items():
        git(history, "config", name, value)
    assert list(Repository(history).landings(repository.head())) == plain


def test_a_signed_commit_is_read_without_a_look_at_its_signature(
    registry: Path, tmp_path: Path, git: Run
) -> None:
    checker = tmp_path / "checker"
    checker.write_text("#!/bin/sh\necho 'who knows this key' >&2\nexit 1\n")
    checker.chmod(0o755)
    git(registry, "config", "gpg.program", str(checker))
    git(registry, "config", "log.showSignature", "true")
    head, _, message = git(registry, "cat-file", "commit", "HEAD").partition("\n\n")
    signed = f"{head}\ngpgsig -----BEGIN PGP SIGNATURE-----\n \n -----END PGP SIGNATURE-----\n\n{message}\n"
    commit = git(registry, "hash-object", "-w", "-t", "commit", "--stdin", given=signed)
    assert "who knows this key" in git(registry, "log", "-1", commit)
    (landing,) = Repository(registry).landings(commit)
    assert (landing.commit, landing.subject) == (commit, "the first records")
    assert Repository(registry).time_of(commit) == (START, 0)
    assert set(Repository(registry).brought(commit)) == {commit}


def test_names_and_messages_beyond_ascii_are_read_whatever_their_encoding_and_the_users(
    registry: Path, git: Run, put: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    latin = ("-c", "i18n.commitEncoding=ISO-8859-1", "commit", "--quiet", "--allow-empty", "-F", "-")
    git(registry, *latin, given="Gr\udcf6\udcdfe", at=START)  # the bytes of "Größe" in ISO 8859-1
    put(registry, {"records/b.json": "1\n"}, "75 µm, 80 °C", START + 1)
    put(registry, {"records/b.json": "2\n"}, "80 °C → 75 °C", START + 2)
    git(registry, "config", "i18n.logOutputEncoding", "ISO-8859-1")
    monkeypatch.setenv("LC_ALL", "C")
    repository = Repository(registry)
    subjects = [landing.subject for landing in repository.landings(repository.head())]
    assert subjects[1:] == ["Größe", "75 µm, 80 °C", "80 °C → 75 °C"]


def test_a_landing_tells_whose_commits_it_brought_oldest_first(history: Path, git: Run) -> None:
    repository = Repository(history)
    tip = repository.head()
    by_subject = {landing.subject: landing for landing in repository.landings(tip)}
    brought = repository.brought(tip)
    assert set(brought) == {landing.commit for landing in by_subject.values()}
    mill = git(history, "rev-parse", "mill-lane~1", "mill-lane").split()
    assert brought[by_subject["landing of the mill"].commit] == (
        Brought(mill[0], "Mill Lane", Moment(START + DAY * 2, 0)),
        Brought(mill[1], "Mill Lane", Moment(START + DAY * 3, 0)),
    )
    assert [each.authored.epoch for each in brought[by_subject["foxtrot"].commit]] == [START + DAY * 7]
    assert brought[by_subject["squash"].commit] == ()
    assert [each.commit for each in brought[by_subject["grafted on"].commit]] == [
        git(history, "rev-parse", "second-root")
    ]


def test_what_was_brought_equals_what_git_lists_beside_each_first_parent(history: Path, git: Run) -> None:
    repository = Repository(history)
    tip = repository.head()
    whole = repository.brought(tip)
    for landing in repository.landings(tip):
        if not landing.parents:
            continue
        first, *others = landing.parents
        expected = set(git(history, "rev-list", *others, f"^{first}").split()) if others else set()
        assert {each.commit for each in whole[landing.commit]} == expected
        alone = repository.brought(landing.commit, after=first)
        assert alone == {landing.commit: whole[landing.commit]}


def test_a_long_history_is_read_by_three_processes(
    registry: Path, git: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    lines = []
    for number in range(1, 3001):
        who = f"Mill Lane <mill-lane@saltmarsh.example> {START + number} +0000"
        lines.append(f"commit refs/heads/long\ncommitter {who}\ndata 4\nstep\n")
        lines.append(f"M 100644 inline records/{number % 50}.json\ndata {len(str(number))}\n{number}\n")
    git(registry, "fast-import", "--quiet", given="".join(lines))
    repository = Repository(registry)
    tip = repository.resolve("long")
    started: list[object] = []
    popen = subprocess.Popen

    def counted(*args: Any, **more: Any) -> Any:
        started.append(args)
        return popen(*args, **more)

    monkeypatch.setattr(subprocess, "Popen", counted)
    landings = list(repository.landings(tip))
    assert len(started) == 3  # which branch is shared, who merged what, and what landed
    assert [landing.landed for landing in landings] == [START + number for number in range(1, 3001)]
    assert all(len(landing.changes) == 1 for landing in landings)
