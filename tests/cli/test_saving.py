"""Files are written whole or not at all, and nothing else is left anywhere."""

import errno
import os
import subprocess
import sys
from pathlib import Path

import pytest
from matplotlib.figure import Figure

from registry.cli.drawing import draw_to
from registry.cli.saving import save
from registry.errors import RegistryError
from tests import small


@pytest.fixture
def full(monkeypatch: pytest.MonkeyPatch) -> None:
    """Let every file be half written when the disk is full."""

    def half(path: Path, data: bytes) -> int:
        with path.open("wb") as file:
            file.write(data[: len(data) // 2])
        raise OSError(errno.ENOSPC, "No space left on device", str(path))

    monkeypatch.setattr(Path, "write_bytes", half)


@pytest.mark.usefixtures("full")
def test_on_a_full_disk_what_was_there_stays_and_nothing_is_left(tmp_path: Path) -> None:
    (tmp_path / "old.pdf").write_text("old")
    for name in ("old.pdf", "new.pdf"):
        with pytest.raises(
            RegistryError, match=r"cannot write .*no space left on device; name a file in a folder"
        ):
            save(tmp_path / name, b"new" * 100)
    assert [path.name for path in tmp_path.iterdir()] == ["old.pdf"]
    assert (tmp_path / "old.pdf").read_text() == "old"


@pytest.mark.usefixtures("full")
@pytest.mark.parametrize("ending", ["png", "svg", "pdf"])
def test_a_drawing_leaves_no_half_file(tmp_path: Path, ending: str) -> None:
    with pytest.raises(RegistryError, match="cannot write"):
        draw_to(Figure(), tmp_path / f"drawn.{ending}", "0" * 40)
    assert list(tmp_path.iterdir()) == []


def test_a_link_stays_a_link_and_a_file_keeps_its_rights(tmp_path: Path) -> None:
    (tmp_path / "file").write_bytes(b"old")
    (tmp_path / "file").chmod(0o640)
    (tmp_path / "link").symlink_to("file")
    save(tmp_path / "link", b"new")
    assert (tmp_path / "link").is_symlink()
    assert (tmp_path / "file").read_bytes() == b"new"
    assert (tmp_path / "file").stat().st_mode & 0o777 == 0o640


def test_what_is_no_file_is_written_to_and_not_replaced(tmp_path: Path) -> None:
    (tmp_path / "link").symlink_to(os.devnull)
    save(tmp_path / "link", b"new")
    assert (tmp_path / "link").is_char_device()


def test_a_title_is_drawn_as_it_is_written(tmp_path: Path) -> None:
    figure = Figure()
    figure.suptitle("$\\frac{ \u202e\x1b 5 $")
    draw_to(figure, tmp_path / "drawn.svg", "0" * 40)
    drawn = (tmp_path / "drawn.svg").read_text(encoding="utf-8")
    assert r"$\frac{ \u202e\x1b 5 $" in drawn


@pytest.mark.parametrize(
    "args",
    [
        ("find",),
        ("show", small.MODE),
        ("card", small.MODE, "-o", "{}/card.pdf"),
        ("card", small.MODE, "-o", "{}/card.png"),
        ("check", "--base", "HEAD~1"),
        (
            "revise",
            small.MODE,
            "--set",
            "heat.cure_c=101",
            "--reason",
            "it re-wets",
            "--site",
            "harbour-yard",
        ),
        ("start", "{}/own", "--site", "our-shop", "--time-zone", "Europe/Berlin"),
    ],
    ids=lambda args: args[0] + args[-1][-4:],
)
def test_no_command_leaves_anything_at_home(
    own_registry: Path, tmp_path: Path, args: tuple[str, ...]
) -> None:
    there, result = left(
        tmp_path, "-m", "registry", "-C", str(own_registry), *(each.format(tmp_path) for each in args)
    )
    assert (result.returncode, there) == (0, [])


def test_drawing_leaves_nothing_at_home(tmp_path: Path) -> None:
    there, result = left(tmp_path, "-c", "import registry.cli.drawing, matplotlib.font_manager")
    assert (result.returncode, there) == (0, [])


def left(tmp_path: Path, *args: str) -> tuple[list[Path], subprocess.CompletedProcess[bytes]]:
    """Run Python with a home of its own, and return what is left there."""
    home = tmp_path / "home"
    for name in ("temporary", "cache"):
        (home / name).mkdir(parents=True)
    own = {
        "HOME": home,
        "TMPDIR": home / "temporary",
        "XDG_CACHE_HOME": home / "cache",
        "XDG_CONFIG_HOME": home,
    }
    signed = {
        f"GIT_{role}_{what}": "a@b.invalid" for role in ("AUTHOR", "COMMITTER") for what in ("NAME", "EMAIL")
    }
    environment = {name: value for name, value in os.environ.items() if name != "MPLCONFIGDIR"}
    environment |= {name: str(path) for name, path in own.items()} | signed
    result = subprocess.run([sys.executable, *args], check=False, capture_output=True, env=environment)
    return sorted(set(home.rglob("*")) - {home / "temporary", home / "cache"}), result
