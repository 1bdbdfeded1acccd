"""Golden outputs: what a command printed when a person last read it aloud and found it right.

`UPDATE_GOLDEN=1 pytest tests/cli` writes them anew; read the difference before you commit it.
"""

import os
from pathlib import Path

from click.testing import CliRunner, Result

from registry.cli.main import main
from registry.question.registry import Registry

__all__ = ["golden", "printed", "run"]

_FOLDER = Path(__file__).parent / "golden"


def run(folder: Path, *args: str) -> Result:
    """Run the command on the registry in `folder`."""
    return CliRunner().invoke(main, ["-C", str(folder), *args], catch_exceptions=False)


def printed(folder: Path, *args: str) -> tuple[int, str, str]:
    """Return exit code, output and error of a command; commits are named by their landing's number."""
    result = run(folder, *args)
    output = result.stdout
    for landing in Registry(folder, os.environ).model.landings():
        output = output.replace(landing.commit, f"landing-{landing.n:032d}")
        output = output.replace(landing.commit[:12], f"landing-{landing.n:04d}")
    return result.exit_code, output, result.stderr


def golden(name: str, output: str) -> str:
    """Return what tests/golden/`name` holds; with UPDATE_GOLDEN set, `output` from now on."""
    path = _FOLDER / name
    if os.environ.get("UPDATE_GOLDEN"):
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(output, encoding="utf-8", newline="\n")
    return path.read_text(encoding="utf-8")
