"""What shops do with plain git, and what the registry still says truly afterwards."""

import json
import os
import subprocess
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from tests import small
from tests.goldens import run

Git = Callable[..., str]
EVENT = "records/sites/mill-lane/events/2025-12-28-cleaned.json"


@pytest.fixture
def git() -> Git:
    """Run git as a shop does, on the morning of 2025-12-29."""

    def say(folder: Path, *args: str, who: str = "mill-lane", at: str = "2025-12-29T09:00:00+01:00") -> str:
        names = {f"GIT_{role}_NAME": f"workshop, {who}" for role in ("AUTHOR", "COMMITTER")}
        mails = {f"GIT_{role}_EMAIL": f"workshop@{who}.invalid" for role in ("AUTHOR", "COMMITTER")}
        dates = {f"GIT_{role}_DATE": at for role in ("AUTHOR", "COMMITTER")}
        ended = subprocess.run(
            ["git", *args],
            cwd=folder,
            env=os.environ | names | mails | dates,
            capture_output=True,
            text=True,
            check=False,
        )
        assert not ended.returncode, ended.stderr
        return ended.stdout.strip()

    return say


@pytest.fixture
def hub(small_registry: Path, tmp_path: Path, git: Git) -> Path:
    """The small registry's history on a server."""
    git(tmp_path, "clone", "-q", "--bare", str(small_registry), "hub.git")
    return tmp_path / "hub.git"


def clone(git: Git, hub: Path, name: str) -> Path:
    folder = hub.parent / name
    git(hub.parent, "clone", "-q", str(hub), str(folder))
    return folder


def event(folder: Path, like: Path) -> None:
    """Write down an event that nobody else knows of."""
    there = next((like / "records/sites/harbour-yard/events").glob("*.json"))
    told = json.loads(there.read_bytes())
    told |= {"site": "mill-lane", "at": "2025-12-28T16:00:00+01:00", "title": "Cleaned", "kind": "cleaned"}
    told.pop("unit", None)
    told["recorded"] = {"date": "2025-12-28", "site": "mill-lane"}
    (folder / EVENT).parent.mkdir(parents=True, exist_ok=True)
    (folder / EVENT).write_text(json.dumps(told), encoding="utf-8")


def told(folder: Path, *args: str) -> Any:
    return json.loads(run(folder, *args, "--format", "json").stdout)


def history(folder: Path) -> list[tuple[Any, ...]]:
    steps = told(folder, "history", small.MODE)["revisions"]
    return [
        (
            each["revision"],
            each["number"],
            each["merged_away"],
            each["reason"],
            each["landed"]["at"],
            each["written"],
        )
        for each in steps
    ]


def codes(folder: Path) -> list[str]:
    steps = told(folder, "history", small.MODE)["revisions"]
    return [
        told(folder, "slug", f"{small.MODE}@{each['revision']}")["slug"]
        for each in steps
        if each["state"] == "landed"
    ]


def test_a_shop_that_commits_pulls_and_pushes_changes_nothing_of_what_had_landed(hub: Path, git: Git) -> None:
    whole = clone(git, hub, "whole")
    before, cards = history(whole), codes(whole)[-3:]
    verified = [told(whole, "card", "--verify", code) for code in cards]
    shop = clone(git, hub, "shop")
    git(shop, "reset", "-q", "--hard", "HEAD~8")
    event(shop, whole)
    git(shop, "add", "records")
    git(shop, "commit", "-qm", "Cleaned the machine")
    git(shop, "pull", "-q", "--no-rebase", "--no-edit", "origin", "main", at="2025-12-29T09:05:00+01:00")
    checked = run(shop, "check", "--base", "origin/main")
    assert checked.exit_code == 1
    tip, merge = git(shop, "rev-parse", "origin/main"), git(shop, "rev-parse", "HEAD")
    assert (
        f"commit {merge[:12]} holds the shared tip {tip[:12]}, but does not go on from it" in checked.stdout
    )
    git(shop, "switch", "-q", "-c", "try-cleaning")  # a branch that a server merges may hold the shared one
    assert "[line-left]" not in run(shop, "check", "--base", "origin/main").stdout
    git(shop, "push", "-q", "origin", "HEAD:main")
    after = clone(git, hub, "after")
    assert git(after, "rev-parse", "HEAD^2") == git(whole, "rev-parse", "HEAD")  # a plain pull indeed
    told_of = (
        f"a plain pull was pushed on 2025-12-29 09:05 (commit {merge[:12]}): 8 landings came in behind it"
    )
    assert told_of in run(after, "check").stdout
    assert run(after, "find").stderr == ""  # nothing was left out
    assert history(after) == before
    assert codes(after)[-3:] == cards
    for code, was in zip(cards, verified, strict=True):
        now = told(after, "card", "--verify", code)
        assert (now["standing"], now["words"], now["use"]) == (was["standing"], was["words"], was["use"])
    seen = told(after, "history", f"event:mill-lane/{Path(EVENT).stem}")["revisions"]
    assert [each["landed"]["at"] for each in seen] == ["2025-12-29T09:05:00+01:00"]
    assert [each["written"] for each in seen] == ["2025-12-29T09:00:00+01:00"]


def test_a_shop_that_pulls_twice_before_it_pushes_changes_nothing_either(hub: Path, git: Git) -> None:
    whole = clone(git, hub, "whole")
    before = history(whole)
    shop = clone(git, hub, "shop")
    git(shop, "reset", "-q", "--hard", "HEAD~8")
    event(shop, whole)
    git(shop, "add", "records")
    git(shop, "commit", "-qm", "Cleaned the machine")
    pull = ("pull", "-q", "--no-rebase", "--no-edit", "origin")
    git(whole, "push", "-q", "origin", "HEAD~4:refs/heads/then")  # where the shared branch stood then
    git(shop, "fetch", "-q", "origin", "then")
    says = f"Merge branch 'main' of {hub}"
    git(shop, "merge", "-q", "--no-ff", "-m", says, "FETCH_HEAD", at="2025-12-29T09:05:00+01:00")
    git(shop, *pull, "main", at="2025-12-29T10:05:00+01:00")
    git(shop, "push", "-q", "origin", "HEAD:main")
    after = clone(git, hub, "after")
    assert git(after, "rev-parse", "HEAD^2") == git(whole, "rev-parse", "HEAD")
    assert history(after) == before
    assert "8 landings came in behind it" in run(after, "check").stdout


def revised(git: Git, folder: Path, who: str, **heat: float) -> None:
    """Revise the mode by hand and commit it, as a shop does that prefers an editor."""
    path = folder / small.mode_path(small.MODE)
    mode = json.loads(path.read_bytes())
    mode["heat"] |= heat
    mode |= {"revision": mode["revision"] + 1, "reason": f"As {who} has it", "status": "trial"}
    mode["recorded"] = {"date": "2025-12-28", "site": who}
    path.write_text(json.dumps(mode), encoding="utf-8")
    git(folder, "commit", "-qam", f"As {who} has it", who=who)


def test_a_merge_that_was_settled_and_pushed_leaves_nobodys_revision_out(hub: Path, git: Git) -> None:
    yard, mill = clone(git, hub, "yard"), clone(git, hub, "mill")
    number = told(yard, "show", small.MODE, "--format", "json")["record"]["number"] + 1
    revised(git, yard, "harbour-yard", cure_c=106)
    git(yard, "push", "-q", "origin", "HEAD:main")
    revised(git, mill, "mill-lane", cure_c=99)
    ours = (mill / small.mode_path(small.MODE)).read_bytes()
    ended = subprocess.run(
        [
            "git",
            "-c",
            "user.name=m",
            "-c",
            "user.email=m@x.invalid",
            "pull",
            "-q",
            "--no-rebase",
            "origin",
            "main",
        ],
        cwd=mill,
        capture_output=True,
        check=False,
    )
    assert ended.returncode  # both sides changed the record
    settled = json.loads(ours) | {"revision": number + 1, "reason": "Settled"}
    (mill / small.mode_path(small.MODE)).write_text(json.dumps(settled), encoding="utf-8")
    git(mill, "add", "records")
    git(mill, "commit", "-q", "--no-edit")
    git(mill, "push", "-q", "origin", "HEAD:main")
    after = clone(git, hub, "after")
    assert [each[:4] for each in history(after)[-3:]] == [
        (f"r{number}", number, False, "As harbour-yard has it"),
        (f"r{number}", number, False, "As mill-lane has it"),
        (f"r{number + 1}", number + 1, False, "Settled"),
    ]
    steps = told(after, "history", small.MODE)["revisions"]
    assert [each["replaced"] for each in steps[-3:]] == [False, True, False]  # settled, and not left out
    asked = run(after, "show", f"{small.MODE}@r{number}")
    assert asked.exit_code == 2
    digests = [word.partition("@")[2] for word in asked.stderr.split() if word.startswith(f"{small.MODE}@")]
    shown = [told(after, "show", f"{small.MODE}@{digest}")["record"] for digest in digests]
    # what was settled has mill-lane's very settings
    assert [each["reason"] for each in shown] == ["Settled", "As harbour-yard has it"]
    for each in shown:
        code = f"litstock:{small.MODE}@r{number}#{each['settings_digest']}"
        verified = told(after, "card", "--verify", code)
        assert verified["standing"] in {"newer revision", "on trial"}
        assert "typing error" not in verified["words"]


def test_every_reader_hears_that_a_pull_settled_with_one_side_alone_left_the_other_out(
    hub: Path, git: Git
) -> None:
    yard, mill = clone(git, hub, "yard"), clone(git, hub, "mill")
    revised(git, yard, "harbour-yard", cure_c=106)
    git(yard, "push", "-q", "origin", "HEAD:main")
    revised(git, mill, "mill-lane", cure_c=99)
    git(mill, "pull", "-q", "--no-rebase", "--no-edit", "-s", "ours", "origin", "main")
    git(mill, "push", "-q", "origin", "HEAD:main")
    for folder in (clone(git, hub, "after"), mill):
        warned = "the merge of 2025-12-29 left out what one side had of 1 record: litstock check shows it"
        assert run(folder, "show", small.MODE).stderr == f"beware: {warned}\n"
        codes = [each["code"] for each in told(folder, "check")["findings"]]
        assert "revision-repeated" in codes
        assert "left-out" not in codes  # one finding is enough
    revised(git, mill, "mill-lane", cure_c=103)
    git(mill, "push", "-q", "origin", "HEAD:main")
    assert run(mill, "show", small.MODE).stderr == ""


def test_every_reader_hears_that_the_shared_branch_was_rewritten(hub: Path, git: Git) -> None:
    shop = clone(git, hub, "shop")
    assert run(shop, "show", small.MODE).stderr == ""
    stood = git(shop, "rev-parse", "HEAD")
    other = clone(git, hub, "other")
    git(other, "reset", "-q", "--hard", "HEAD~2")
    git(other, "commit", "-q", "--allow-empty", "-m", "Written anew")
    git(other, "push", "-q", "--force", "origin", "HEAD:main")
    git(shop, "fetch", "-q", "origin")
    for asked in (("show", small.MODE), ("find",), ("history", small.MODE), ("diff", small.MODE)):
        said = run(shop, *asked).stderr
        assert "beware: the shared branch was rewritten: what had landed up to" in said, asked
        assert f"git branch rescued {stood[:12]} keeps it" in said
    checked = told(shop, "check")["findings"]
    (rewritten,) = [each for each in checked if each["code"] == "rewritten"]
    assert f"git branch rescued {stood[:12]} keeps it" in rewritten["message"]
    assert rewritten["severity"] == "warning"
    assert run(clone(git, hub, "new"), "show", small.MODE).stderr == ""  # who never saw it cannot tell
    git(other, "push", "-q", "--force", "origin", f"{stood}:main")
    git(shop, "fetch", "-q", "origin")
    assert stood[:12] not in run(shop, "show", small.MODE).stderr


def test_what_was_forced_away_or_is_on_another_branch_is_said_to_be_just_that(hub: Path, git: Git) -> None:
    shop = clone(git, hub, "shop")
    git(shop, "switch", "-q", "-c", "try-hotter")
    revised(git, shop, "mill-lane", cure_c=111)
    version = told(shop, "show", f"{small.MODE}@draft")["record"]
    code = f"litstock:{small.MODE}@r{version['document']['revision'] if 'document' in version else 9}#"
    code += version["settings_digest"]
    assert told(shop, "card", "--verify", code)["standing"] == "not landed"
    on_branch = told(shop, "card", "--verify", code)["words"]
    assert "they are on try-hotter" in on_branch
    git(shop, "switch", "-q", "main")
    git(shop, "branch", "-q", "-D", "try-hotter")
    forced = told(shop, "card", "--verify", code)
    assert forced["standing"] == "not landed"
    assert "no branch holds it any more: they were forced away" in forced["words"]


def coded(folder: Path) -> str:
    """Return the code of a card of the mode as it is checked out."""
    version = told(folder, "show", f"{small.MODE}@draft")["record"]
    return f"litstock:{small.MODE}@r{version['number']}#{version['settings_digest']}"


def test_settings_that_a_rebase_left_behind_are_on_the_branch_that_has_them_still(
    hub: Path, git: Git
) -> None:
    shop = clone(git, hub, "shop")
    git(shop, "switch", "-q", "-c", "try-hotter")
    revised(git, shop, "mill-lane", cure_c=111)
    code = coded(shop)
    # the same settings, committed anew by a clock that is slow
    git(shop, "commit", "-q", "--amend", "-m", "Said better", at="2025-12-01T09:00:00+01:00")
    found = told(shop, "card", "--verify", code)
    assert found["standing"] == "not landed"
    assert f"they are on try-hotter (commit {git(shop, 'rev-parse', 'HEAD')[:12]})" in found["words"]


def test_a_card_of_a_mode_that_was_taken_away_is_told_so(hub: Path, git: Git) -> None:
    shop = clone(git, hub, "shop")
    code = codes(shop)[-1]
    path = small.mode_path(small.MODE)
    git(shop, "rm", "-q", path)
    git(shop, "commit", "-qm", "Away with it")
    git(shop, "push", "-q", "origin", "HEAD:main")
    asked = run(shop, "card", "--verify", code)
    assert asked.exit_code == 2
    assert f"{path} was removed on 2025-12-29; {small.MODE}@r" in asked.stderr
    assert "is the last that can be read" in asked.stderr


def test_a_card_from_before_a_clone_is_cut_off_is_not_called_false(hub: Path, git: Git) -> None:
    whole = clone(git, hub, "whole")
    git(hub.parent, "clone", "-q", "--depth=2", f"file://{hub}", "cut")
    cut = hub.parent / "cut"
    words = "this clone is cut off, and they may lie before: run git fetch --unshallow and ask again"
    first = codes(whole)[0]
    assert told(whole, "card", "--verify", first)["standing"] != "unknown revision"
    asked = told(cut, "card", "--verify", first)
    assert (asked["standing"], words in asked["words"]) == ("unknown revision", True)
    asked = run(cut, "show", f"{small.MODE}@{first.split()[-1][:12]}")
    assert (asked.exit_code, words in asked.stderr) == (2, True)


def test_landings_that_came_in_behind_a_pull_are_counted_along_the_line(hub: Path, git: Git) -> None:
    """Two shops pull in turn; what the first pull had brought in came in behind the second one, too."""
    whole = clone(git, hub, "whole")
    tip = git(whole, "rev-parse", "HEAD")
    pull = ("pull", "-q", "--no-rebase", "--no-edit", "origin", "main")
    shops = [clone(git, hub, name) for name in ("one", "two")]
    for shop, who in zip(shops, ("mill-lane", "harbour-yard"), strict=True):
        git(shop, "reset", "-q", "--hard", "HEAD~6")
        git(shop, "commit", "-q", "--allow-empty", "-m", f"Work of {who}", who=who)
    for shop, who in zip(shops, ("mill-lane", "harbour-yard"), strict=True):
        git(shop, *pull, who=who, at="2025-12-29T10:00:00+01:00")
        git(shop, "push", "-q", "origin", "HEAD:main")
    checked = run(clone(git, hub, "after"), "check").stdout
    merges = git(shops[1], "log", "--first-parent", "--format=%H", "-1"), git(shops[0], "rev-parse", "HEAD")
    for merge, behind in zip(merges, (7, 6), strict=True):
        assert f"(commit {merge[:12]}): {behind} landings came in behind it" in checked
    assert git(shops[0], "rev-parse", "HEAD^2") == tip


def used(folder: Path, named: str, job: str, **more: Any) -> Path:
    """Write down that the yard ran the mode with a revision."""
    shown = told(folder, "show", named)["record"]
    there = next((folder / "records/sites/harbour-yard/runs").glob("*.json"))
    ran = json.loads(there.read_bytes()) | {"mode_revision": shown["number"], "job": job}
    ran |= {"settings_digest": shown["settings_digest"], "printed": "2025-12-28T16:00:00+01:00"} | more
    path = there.with_name(f"2025-12-28-{job}.json")
    path.write_text(json.dumps(ran), encoding="utf-8")
    return path


def test_settings_that_landed_once_are_not_called_merged_away_for_a_copy_that_was(
    hub: Path, git: Git
) -> None:
    shop = clone(git, hub, "shop")
    path = small.mode_path(small.MODE)
    mode = told(shop, "show", small.MODE)["record"]
    used(shop, small.MODE, "j-landed")
    git(shop, "add", "records")
    git(shop, "commit", "-qm", "Printed")
    git(shop, "switch", "-q", "-c", "topic")
    copy = json.loads((shop / path).read_bytes()) | {"reason": "The same once more"}
    (shop / path).write_text(json.dumps(copy), encoding="utf-8")
    git(shop, "commit", "-qam", "The same once more")
    git(shop, "switch", "-q", "main")
    git(shop, "merge", "-q", "-s", "ours", "-m", "Leave it out", "topic")
    git(shop, "push", "-q", "origin", "HEAD:main")
    asked = told(shop, "show", f"{small.MODE}@site:harbour-yard")["record"]
    assert asked["number"] == mode["number"]
    assert "merged away" not in run(shop, "show", f"{small.MODE}@site:harbour-yard").stdout
    steps = told(shop, "history", small.MODE)["revisions"]
    assert {each["merged_away"] for each in steps if each["in_force"]} == {False}


def test_a_run_with_settings_of_another_branch_says_so_and_not_that_they_never_landed(
    hub: Path, git: Git
) -> None:
    shop = clone(git, hub, "shop")
    git(shop, "switch", "-q", "-c", "try-hotter")
    revised(git, shop, "mill-lane", cure_c=111)
    tried = told(shop, "show", f"{small.MODE}@draft")["record"]["settings_digest"]
    git(shop, "switch", "-q", "main")
    used(shop, small.MODE, "j-tried", settings_digest=tried)
    git(shop, "add", "records")
    git(shop, "commit", "-qm", "Printed")
    git(shop, "push", "-q", "origin", "HEAD:main")
    shown = run(shop, "show", f"{small.MODE}@site:harbour-yard").stdout.replace("\n", " ")
    assert f"names settings {tried[:12]}: they are on try-hotter" in " ".join(shown.split())
    assert "never landed" not in shown
    git(shop, "branch", "-q", "-D", "try-hotter")
    shown = " ".join(run(shop, "show", f"{small.MODE}@site:harbour-yard").stdout.split())
    assert "no branch holds it any more: they were forced away" in shown
    assert "never landed" not in shown


def test_a_clone_that_is_cut_off_behind_a_pull_does_not_take_the_shops_side_for_what_had_landed(
    hub: Path, git: Git
) -> None:
    whole = clone(git, hub, "whole")
    shop = clone(git, hub, "shop")
    git(shop, "reset", "-q", "--hard", "HEAD~8")
    event(shop, whole)
    git(shop, "add", "records")
    git(shop, "commit", "-qm", "Cleaned the machine")
    git(shop, "pull", "-q", "--no-rebase", "--no-edit", "origin", "main", at="2025-12-29T09:05:00+01:00")
    git(shop, "push", "-q", "origin", "HEAD:main")
    git(hub.parent, "clone", "-q", "--depth=3", f"file://{hub}", "cut")
    cut = hub.parent / "cut"
    asked = run(cut, "show", f"{small.MODE}@2025-11-05")
    assert (asked.exit_code, asked.stdout) == (2, "")
    assert (
        "this clone knows nothing before 2025-12-29: run git fetch --unshallow and ask again" in asked.stderr
    )
    newest = told(cut, "show", small.MODE)["record"]["settings_digest"]
    assert newest == told(whole, "show", small.MODE)["record"]["settings_digest"]
    git(cut, "fetch", "-q", "--unshallow")
    assert told(cut, "show", f"{small.MODE}@2025-11-05")["record"]["settings_digest"] == newest
