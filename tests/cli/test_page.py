"""How wide a page is: as the terminal, within reason; a hundred columns where no terminal is written to."""

import fcntl
import os
import pty
import struct
import subprocess
import sys
import termios
from pathlib import Path

import pytest

from tests.goldens import run

COMMAND = (sys.executable, "-c", "from registry.cli.main import main; main(prog_name='litstock')")


def widest_on_a_terminal(folder: Path, columns: int, said: str | None, *args: str) -> int:
    """Return the length of the longest line that a command writes on a terminal so wide."""
    ours, its = pty.openpty()
    fcntl.ioctl(its, termios.TIOCSWINSZ, struct.pack("HHHH", 40, columns, 0, 0))
    environ = {name: value for name, value in os.environ.items() if name != "COLUMNS"}
    environ |= {} if said is None else {"COLUMNS": said}
    asked = [*COMMAND, "-C", str(folder), *args]
    with subprocess.Popen(asked, stdout=its, stderr=subprocess.DEVNULL, env=environ):
        os.close(its)
        written = b""
        while True:
            try:
                piece = os.read(ours, 65536)
            except OSError:  # the child has closed its end
                break
            written += piece
            if not piece:
                break
    os.close(ours)
    lines = written.decode().replace("\r\n", "\n").split("\n")
    return max(len(line) for line in lines if "litstock card" not in line)  # a command, to be copied whole


@pytest.mark.parametrize(
    ("columns", "said", "expected"),
    [(80, None, 80), (200, None, 120), (40, None, 60), (0, None, 100), (200, "72", 72), (80, "wide", 80)],
)
def test_a_page_is_as_wide_as_the_terminal(
    small_registry: Path, columns: int, said: str | None, expected: int
) -> None:
    found = widest_on_a_terminal(small_registry, columns, said, "show", "backlit-16")
    assert expected - 15 <= found <= expected


@pytest.mark.parametrize(
    "args",
    [
        ("find", "--for", "concourse-light-box"),
        ("find", "--min-width", "1600"),
        ("find", "--why", "backlit-16"),
        ("history", "backlit-16"),
        ("history", "backlit-16", "--field", "heat"),
        ("diff", "backlit-16@r1"),
        ("diff", "--since", "2025-08-01"),
    ],
    ids=" ".join,
)
def test_no_line_is_wider_than_a_narrow_terminal(small_registry: Path, args: tuple[str, ...]) -> None:
    assert widest_on_a_terminal(small_registry, 60, None, *args) <= 60


def test_what_is_no_terminal_gets_a_hundred_columns_whatever_is_said(
    small_registry: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    before = run(small_registry, "show", "backlit-16").stdout
    monkeypatch.setenv("COLUMNS", "60")
    assert run(small_registry, "show", "backlit-16").stdout == before
    assert 85 <= max(map(len, before.splitlines())) <= 100
