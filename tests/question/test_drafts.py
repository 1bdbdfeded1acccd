import json
import os
import subprocess
from pathlib import Path

import pytest

from registry.errors import RegistryError, RequestError
from registry.question.registry import NothingLanded, Registry
from registry.question.when import version
from tests.index.branch import Branch
from tests.index.drawn import as_file, whole

PATH = "records/printers/wide.json"


def revision(number: int, **more: object) -> dict[str, object]:
    return whole(PATH, {"title": f"Wide {number}", "revision": number} | more)


def write(branch: Branch, data: bytes, path: str = PATH) -> None:
    (branch.folder / path).parent.mkdir(parents=True, exist_ok=True)
    (branch.folder / path).write_bytes(data)


@pytest.fixture
def two(branch: Branch) -> Branch:
    branch.land({PATH: revision(1)})
    branch.land({PATH: revision(2)})
    return branch


def test_a_changed_file_is_a_draft_on_the_revision_before_its_number(two: Branch) -> None:
    write(two, as_file(revision(3, title="Better")))
    found = version(two.registry(), "wide@draft")
    assert (found.draft, found.label, found.landed, found.asked) == (True, "draft, on r2", None, "@draft")
    assert found.document["title"] == "Better"
    assert version(two.registry(), "wide").document == revision(2)


def test_a_draft_written_before_the_last_landing_stands_where_it_was_written(two: Branch) -> None:
    two.land({PATH: revision(3)})
    write(two, as_file(revision(2, title="Older work", reason="Older work")))
    assert version(two.registry(), "wide@draft").label == "draft, on r1"


@pytest.mark.parametrize("gone", [None, b"{"], ids=["removed", "unreadable"])
def test_a_draft_stands_on_the_newest_revision_that_can_be_read(two: Branch, gone: bytes | None) -> None:
    two.land({PATH: gone})
    write(two, as_file(revision(3, title="Back again")))
    assert version(two.registry(), "wide@draft").label == "draft, on r2"


def test_a_draft_with_a_number_that_says_nothing_stands_on_the_newest(two: Branch) -> None:
    write(two, as_file(revision(1, title="Other", reason="Other")))
    assert version(two.registry(), "wide@draft").label == "draft, on r2"


@pytest.mark.parametrize("number", [0, "x", True, []])
def test_a_draft_that_does_not_fit_its_schema_is_said_with_its_place(two: Branch, number: object) -> None:
    write(two, as_file(revision(2, revision=number)))
    with pytest.raises(RegistryError) as caught:
        version(two.registry(), "wide@draft")
    assert str(caught.value) == f"{PATH} does not fit its schema at /revision: litstock check says more"


def test_what_does_not_fit_its_schema_at_a_commit_is_said_with_its_place(two: Branch) -> None:
    two.git("switch", "-q", "-c", "beside")
    write(two, as_file(revision(3, channels="cyan")))
    two.git("commit", "-q", "-a", "-m", "beside")
    two.git("switch", "-q", "main")
    with pytest.raises(RegistryError, match=r"in commit [0-9a-f]{12} does not fit its schema at /channels"):
        version(two.registry(), "wide@git:beside")


def test_a_file_that_says_just_what_landed_is_that_revision(two: Branch) -> None:
    found = version(two.registry(), "wide@draft")
    assert (found.draft, found.label, found.asked) == (False, "r2", "@draft")
    write(two, json.dumps(revision(1)).encode())
    assert version(two.registry(), "wide@draft").label == "r1"


def test_a_new_file_stands_on_nothing(two: Branch) -> None:
    write(two, as_file(revision(1)), "records/printers/narrow.json")
    found = version(two.registry(), "narrow@draft")
    assert (found.label, found.seq, found.rid) == ("draft, not landed yet", 0, "narrow")
    with pytest.raises(RequestError, match="there is no record 'narrow' among what has landed"):
        version(two.registry(), "narrow")


def test_a_draft_is_named_by_its_id_its_kind_and_id_or_its_path(two: Branch) -> None:
    for name in ("wide", "printer:wide", PATH):
        assert version(two.registry(), f"{name}@draft").rid == "wide"
    assert version(two.registry(), "registry@draft").document["title"] == "Branch"
    with pytest.raises(RequestError, match="is a printer, and a print-mode is asked for"):
        version(two.registry(), "printer:wide@draft", ["print-mode"])


def test_a_draft_is_named_by_the_unmistakable_end_of_its_id(two: Branch) -> None:
    for site in ("mill-lane", "north-quay"):
        path = f"records/sites/{site}/units/left.json"
        write(two, as_file(whole(path, {})), path)
    for path in ("records/sites/mill-lane/displays/hall.json", "records/applications/hall.json"):
        write(two, as_file(whole(path, {})), path)
    assert version(two.registry(), "hall@draft").rid == "hall"
    assert version(two.registry(), "display:hall@draft").rid == "mill-lane/hall"
    assert version(two.registry(), "hall@draft", ["display"]).rid == "mill-lane/hall"
    with pytest.raises(RequestError, match="may mean unit:mill-lane/left, unit:north-quay/left"):
        version(two.registry(), "left@draft")


@pytest.mark.parametrize("name", ["none", "", "../outside", "a/../b", "WIDE", "a\0b", "records/notes.txt"])
def test_what_is_not_in_the_working_tree_is_said_with_what_to_write(two: Branch, name: str) -> None:
    write(two, b"{}", "records/outside.json")
    with pytest.raises(RequestError, match=r"in the working tree .*: write its whole id"):
        version(two.registry(), f"{name}@draft")


def test_a_link_is_no_draft(two: Branch) -> None:
    (two.folder / PATH).unlink()
    (two.folder / PATH).symlink_to("../registry.json")
    with pytest.raises(RequestError, match="there is no 'wide' in the working tree"):
        version(two.registry(), "wide@draft")


def test_every_fault_of_a_draft_is_said_with_its_place(two: Branch) -> None:
    write(two, b'{\n"a": null,\n"a": NaN}')
    with pytest.raises(RegistryError) as caught:
        version(two.registry(), "wide@draft")
    assert [line.partition(":")[2].partition(":")[0] for line in str(caught.value).split("\n")] == [
        " line 2, column 6 (/a)",
        " line 3, column 1 (/a)",
        " line 3, column 6 (/a)",
    ]
    assert str(caught.value).startswith(f"{PATH}: line 2")
    assert caught.value.exit_code == 3


def test_before_anything_landed_drafts_can_be_asked_for_and_nothing_else(tmp_path: Path) -> None:
    folder = tmp_path / "fresh"
    subprocess.run(["git", "init", "-q", "-b", "main", str(folder)], check=True)
    (folder / "records" / "printers").mkdir(parents=True)
    (folder / "records" / "registry.json").write_text("{}")
    (folder / PATH).write_bytes(as_file(revision(1)))
    registry = Registry(folder, {})
    assert version(registry, "wide@draft").label == "draft, not landed yet"
    with pytest.raises(NothingLanded, match=r"nothing has landed in .*: commit its records with git"):
        version(registry, "wide")


def test_a_bare_repository_has_no_drafts(two: Branch, tmp_path: Path) -> None:
    subprocess.run(["git", "clone", "-q", "--bare", str(two.folder), str(tmp_path / "bare.git")], check=True)
    registry = Registry(tmp_path / "bare.git", os.environ)
    assert version(registry, "wide@r1").document == revision(1)
    with pytest.raises(
        RequestError, match="a bare repository has no working tree, so no drafts: ask for @git:"
    ):
        version(registry, "wide@draft")


def test_with_a_remote_a_commit_that_is_not_shared_yet_is_a_draft(two: Branch, tmp_path: Path) -> None:
    subprocess.run(["git", "clone", "-q", str(two.folder), str(tmp_path / "clone")], check=True)
    clone = Branch(tmp_path / "clone")
    clone.land({PATH: revision(3)})
    registry = clone.registry()
    assert registry.commit == two.git("rev-parse", "HEAD")
    assert version(registry, "wide").label == "r2"
    assert version(registry, "wide@draft").label == "draft, on r2"
    assert version(registry, "wide@git:HEAD").label == "draft, on r2"
