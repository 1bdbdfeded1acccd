"""A half-made repository is made anew, and one that anybody has committed to is never taken for half made."""

import subprocess
from pathlib import Path

import pytest

from registry.store.founding import UnusableFolder, found

NOTE = ".git/litstock-half-made"
WHO = ("-c", "user.name=Mill Lane", "-c", "user.email=mill-lane@saltmarsh.invalid")


@pytest.fixture
def begun(tmp_path: Path) -> Path:
    """What a killed `start` leaves behind before its first commit."""
    folder = tmp_path / "begun"
    subprocess.run(["git", "init", "-q", "--template=", "-b", "main", str(folder)], check=True)
    (folder / NOTE).touch()
    (folder / "records").mkdir()
    (folder / "records/half.json").write_text("{", encoding="utf-8")
    return folder


def test_what_was_half_made_is_made_anew(begun: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    for role in ("AUTHOR", "COMMITTER"):
        monkeypatch.setenv(f"GIT_{role}_NAME", "Mill Lane")
        monkeypatch.setenv(f"GIT_{role}_EMAIL", "mill-lane@saltmarsh.invalid")
    found(begun, {"records/registry.json": b"{}\n"}, "Begin")
    assert not (begun / "records/half.json").exists()
    assert (begun / "records/registry.json").read_bytes() == b"{}\n"
    assert not (begun / NOTE).exists()


@pytest.mark.parametrize("packed", [False, True], ids=["loose refs", "packed refs"])
def test_what_somebody_has_committed_to_is_left_alone(begun: Path, packed: bool) -> None:
    def git(*args: str) -> None:
        subprocess.run(["git", "-C", str(begun), *WHO, *args], check=True)

    git("add", "records")
    git("commit", "-qm", "Work of many days")
    if packed:
        git("pack-refs", "--all")
    with pytest.raises(UnusableFolder, match="is not empty"):
        found(begun, {"records/registry.json": b"{}\n"}, "Begin")
    assert (begun / "records/half.json").read_text(encoding="utf-8") == "{"
    git("fsck", "--connectivity-only")
    git("rev-parse", "--verify", "-q", "HEAD")
