"""Golden outputs: what a command printed when a person last read it aloud and found it right.

`UPDATE_GOLDEN=1 pytest tests/cli` writes them anew; read the difference before you commit it.
"""

import os
from collections.abc import Sequence
from pathlib import Path

from click.testing import CliRunner, Result

from registry.cli.main import main
from registry.question.registry import Registry

__all__ = ["assert_golden", "masked", "run"]

_FOLDER = Path(__file__).parent / "golden"


def run(folder: Path, *args: str) -> Result:
    """Run the command on the registry in `folder`."""
    return CliRunner().invoke(main, ["-C", str(folder), *args], catch_exceptions=False)


def masked(folder: Path, text: str) -> str:
    """Return the text with commit ids replaced by the landings' numbers, at the same length."""
    for landing in Registry(folder, os.environ).model.landings():
        text = text.replace(landing.commit, f"commit{landing.n:034d}")
        text = text.replace(landing.commit[:12], f"commit{landing.n:06d}")
    return text


def assert_golden(name: str, folder: Path, args: Sequence[str], exit_code: int) -> None:
    """Check exit code and standard output of a command against tests/golden/`name`."""
    result = run(folder, *args)
    assert (result.exit_code, result.stderr) == (exit_code, "")
    output = masked(folder, result.stdout)
    path = _FOLDER / name
    if os.environ.get("UPDATE_GOLDEN"):
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(output, encoding="utf-8", newline="\n")
    assert output == path.read_text(encoding="utf-8")
