from collections.abc import Callable
from pathlib import Path

import pytest

from registry.store.git import GitFailed
from registry.store.repository import MissingObject, Repository
from registry.store.walk import Entry, MalformedTree, Moment

Run = Callable[..., str]

ABSENT = "0123456789abcdef0123456789abcdef01234567"


def test_a_tree_lists_every_file_below_records_with_mode_and_blob(registry: Path, git: Run, put: Run) -> None:
    (registry / "records" / "tool").write_text("#!/bin/sh\n")
    (registry / "records" / "tool").chmod(0o755)
    put(registry, {"readme.txt": "not a record\n", "records/sites/mill lane é.json": "2\n"})
    repository = Repository(registry)
    listed = repository.tree(repository.head())
    expected = {}
    for line in git(registry, "ls-tree", "-r", "HEAD", "records").splitlines():
        mode, _, rest = line.split(" ", 2)
        blob, path = rest.split("\t")
        expected[path] = Entry(mode, blob)
    assert listed == expected
    assert listed["records/tool"].mode == "100755"
    assert "records/sites/mill lane é.json" in listed
    assert "readme.txt" in repository.tree(repository.head(), "")
    assert list(repository.tree(repository.head(), "records/sites/")) == ["records/sites/mill lane é.json"]


def test_a_path_that_is_no_utf_8_survives(registry: Path, git: Run) -> None:
    blob = git(registry, "hash-object", "-w", "--stdin", given="2\n")
    raw = f"100644 {blob}\trecords/\udcff.json\n"
    git(registry, "update-index", "--index-info", given=raw)
    git(registry, "commit", "--quiet", "-m", "an odd name", at=1767225600)
    repository = Repository(registry)
    assert "records/\udcff.json" in repository.tree(repository.head())
    assert [change.path for change in list(repository.landings(repository.head()))[-1].changes] == [
        "records/\udcff.json"
    ]


def test_symbolic_links_and_submodules_below_records_are_told_by_their_mode(
    registry: Path, git: Run, put: Run
) -> None:
    (registry / "records" / "link.json").symlink_to("a.json")
    put(registry, {})
    git(registry, "update-index", "--add", "--cacheinfo", f"160000,{ABSENT},records/other")
    (registry / "link").symlink_to("records")
    git(registry, "add", "link")
    git(registry, "commit", "--quiet", "-m", "what is no file", at=1767225600)
    repository = Repository(registry)
    modes = {
        change.path: change.mode
        for landing in repository.landings(repository.head())
        for change in landing.changes
    }
    assert (modes["records/link.json"], modes["records/other"]) == ("120000", "160000")


def test_blobs_come_in_the_order_asked_also_twice_and_empty_and_with_any_bytes(
    registry: Path, git: Run
) -> None:
    repository = Repository(registry)
    texts = ["", "\n", "1\n", "a\0b\n blob 3\n", "x" * 100_000]
    shas = [git(registry, "hash-object", "-w", "--stdin", given=text) for text in texts]
    asked = [*shas, shas[2], *reversed(shas)]
    contents = [text.encode() for text in texts]
    assert list(repository.blobs(asked)) == list(
        zip(asked, [*contents, contents[2], *reversed(contents)], strict=True)
    )
    assert list(repository.blobs([])) == []
    assert repository.blob(shas[3]) == b"a\0b\n blob 3\n"


def test_a_hundred_thousand_blobs_are_read_without_the_pipes_blocking_each_other(
    registry: Path, git: Run, put: Run
) -> None:
    sha = git(registry, "hash-object", "-w", "--stdin", given="x" * 300)
    put(registry, {"records/x.json": "x" * 300})
    git(registry, "repack", "-a", "-d", "--quiet")
    read = 0
    for asked, data in Repository(registry).blobs(sha for _ in range(100_000)):
        read += asked == sha and data == b"x" * 300
    assert read == 100_000


def test_reading_blobs_can_be_given_up(registry: Path, git: Run) -> None:
    sha = git(registry, "rev-parse", "HEAD:records/a.json")
    reading = Repository(registry).blobs([sha] * 100_000)
    assert next(reading) == (sha, b"1\n")
    del reading


def test_an_object_that_is_not_there_is_named_with_what_to_do(registry: Path, git: Run) -> None:
    sha = git(registry, "rev-parse", "HEAD:records/a.json")
    with pytest.raises(MissingObject, match=f"object {ABSENT} is missing in this clone") as caught:
        list(Repository(registry).blobs([sha, ABSENT]))
    assert "git fetch --refetch" in str(caught.value)
    assert "git fsck" in str(caught.value)


def test_what_is_no_blob_is_not_read_as_one(registry: Path) -> None:
    repository = Repository(registry)
    with pytest.raises(MissingObject, match="is commit in this clone"):
        repository.blob(repository.head())


def test_a_partial_clone_brings_a_blob_and_says_so_when_its_remote_is_gone(
    registry: Path, tmp_path: Path, git: Run
) -> None:
    git(registry, "config", "uploadpack.allowFilter", "true")
    git(tmp_path, "clone", "--quiet", "--no-checkout", "--filter=blob:none", f"file://{registry}", "partial")
    sha = git(registry, "rev-parse", "HEAD:records/a.json")
    other = git(registry, "rev-parse", "HEAD:records/registry.json")
    repository = Repository(tmp_path / "partial")
    assert repository.blob(sha) == b"1\n"
    registry.rename(tmp_path / "gone")
    assert repository.blob(sha) == b"1\n"
    with pytest.raises(GitFailed, match="this clone is partial and needs its remote"):
        repository.blob(other)


def test_the_time_of_a_commit_is_its_committers_with_the_zone(registry: Path, git: Run) -> None:
    git(registry, "commit", "--quiet", "--allow-empty", "-m", "late", at=1767229200, zone="-0330")
    repository = Repository(registry)
    assert repository.time_of(repository.head()) == Moment(1767229200, -210)


def test_a_complete_clone_is_not_shallow(registry: Path) -> None:
    repository = Repository(registry)
    assert repository.shallow_since(repository.head()) is None


def test_a_shallow_clone_says_since_when_it_knows(registry: Path, tmp_path: Path, git: Run, put: Run) -> None:
    for day in range(1, 5):
        put(registry, {"records/a.json": f"{day}\n"}, at=1767225600 + 86400 * day)
    git(tmp_path, "clone", "--quiet", "--depth=2", f"file://{registry}", "shallow")
    repository = Repository(tmp_path / "shallow")
    assert repository.shallow
    oldest, _ = repository.landings(repository.head())
    assert repository.shallow_since(oldest.commit) == 1767225600 + 86400 * 3


def test_a_shallow_clone_whose_chain_reaches_the_first_landing_knows_all(
    registry: Path, tmp_path: Path, git: Run, put: Run
) -> None:
    first = git(registry, "rev-parse", "HEAD")
    for day in range(1, 4):
        git(registry, "switch", "--quiet", "-C", "side")
        put(registry, {"records/b.json": f"{day}\n"}, at=1767225600 + day)
    git(registry, "switch", "--quiet", "main")
    git(registry, "merge", "--quiet", "--no-ff", "-m", "landing", "side", at=1767225600 + 9)
    git(tmp_path, "clone", "--quiet", "--depth=2", f"file://{registry}", "shallow")
    repository = Repository(tmp_path / "shallow")
    assert repository.shallow
    assert next(repository.landings(repository.head())).commit == first
    assert repository.shallow_since(first) is None


def test_the_first_parent_chain_is_told_from_mere_ancestry(registry: Path, git: Run, put: Run) -> None:
    first = git(registry, "rev-parse", "HEAD")
    git(registry, "switch", "--quiet", "-c", "side")
    side = put(registry, {"records/b.json": "2\n"})
    git(registry, "switch", "--quiet", "main")
    git(registry, "merge", "--quiet", "--no-ff", "-m", "landing", "side", at=1767225700)
    repository = Repository(registry)
    tip = repository.head()
    assert [repository.is_on_first_parent_chain(commit, tip) for commit in (first, side, tip)] == [
        True,
        False,
        True,
    ]
    assert not repository.is_on_first_parent_chain(tip, first)


def test_a_commit_whose_date_cannot_be_read_is_dated_at_the_epoch_as_git_itself_does(
    registry: Path, git: Run
) -> None:
    tree = git(registry, "rev-parse", "HEAD^{tree}")
    who = "Mill Lane <mill-lane@saltmarsh.example>"
    broken = f"tree {tree}\nauthor {who}\ncommitter {who}\n\nx\n"
    commit = git(registry, "hash-object", "-w", "-t", "commit", "--literally", "--stdin", given=broken)
    assert git(registry, "log", "-1", "--format=%ct", commit) == ""
    (landing,) = Repository(registry).landings(commit)
    assert (landing.landed, landing.landed_offset, landing.authored) == (0, 0, Moment(0, 0))
    assert landing.author == "Mill Lane"


def made(repository: Repository, *entries: tuple[str, str, str]) -> str:
    """Commit a tree just as it is told, whether git would write it or not; (mode, name, object)."""
    raw = b"".join(f"{mode} {name}\0".encode() + bytes.fromhex(named) for mode, name, named in entries)
    hashed = ("hash-object", "-w", "--stdin", "--literally", "-t")
    tree = repository.git.run(*hashed, "tree", input=raw).decode().strip()
    who = "quay <quay@invalid> 1800000000 +0000"
    said = f"tree {tree}\nauthor {who}\ncommitter {who}\n\nodd\n".encode()
    return repository.git.run(*hashed, "commit", input=said).decode().strip()


@pytest.mark.parametrize("order", ["aa", "ba", "file and folder", "folder and file", "with one between"])
def test_a_tree_that_no_git_writes_is_refused(registry: Path, put: Run, order: str) -> None:
    put(registry, {"records/a.json": "1", "records/b.json": "2"})
    repository = Repository(registry)
    held = repository.tree("HEAD")
    a, b = (held[f"records/{name}.json"].blob for name in "ab")
    folder = repository.git.run("rev-parse", "HEAD:records").decode().strip()
    file, other, below = ("100644", "a", a), ("100644", "a", b), ("40000", "a", folder)
    entries = {
        "aa": (file, other),
        "ba": (("100644", "b", b), file),
        "file and folder": (file, below),
        "folder and file": (below, file),
        "with one between": (file, ("100644", "a-b", b), below),
    }
    commit = made(repository, *entries[order])
    with pytest.raises(MalformedTree, match=r"lists 'a(/a\.json)?' twice or out of its order"):
        repository.tree(commit, "")
    assert len(repository.tree(made(repository, file, ("100644", "a-b", b)), "")) == 2
