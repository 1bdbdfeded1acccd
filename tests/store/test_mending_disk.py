"""What lies on disk, compared with what should: a link is never the file that it points to."""

import subprocess
from pathlib import Path

import pytest

from registry.store import mending
from registry.store.walk import Entry


@pytest.mark.parametrize(
    ("made", "nothing", "file"),
    [
        ("nothing", True, False),
        ("file", False, True),
        ("other", False, False),
        ("folder", False, False),
        ("link", False, False),
        ("broken", False, False),
    ],
)
def test_what_is_on_disk_is_told_apart(tmp_path: Path, made: str, *, nothing: bool, file: bool) -> None:
    target, elsewhere = tmp_path / "record.json", tmp_path / "elsewhere"
    elsewhere.write_bytes(b"{}\n")
    match made:
        case "file":
            target.write_bytes(b"{}\n")
        case "other":
            target.write_bytes(b"[]\n")
        case "folder":
            target.mkdir()
        case "link":
            target.symlink_to(elsewhere)
        case "broken":
            target.symlink_to(tmp_path / "gone")
    blob = subprocess.run(
        ["git", "hash-object", str(elsewhere)], check=True, capture_output=True, text=True
    ).stdout.strip()
    found = [mending._is(target, each) for each in (None, Entry("100644", blob))]  # noqa: SLF001
    assert found == [nothing, file]
