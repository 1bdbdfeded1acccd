#!/usr/bin/env python3
"""Write into README.md what its commands print and which commands there are; with --check only compare."""

import os
import re
import shlex
import subprocess
import sys
import tempfile
from pathlib import Path

from registry.cli.main import COMMANDS

README = Path(__file__).parent.parent / "README.md"
_BLOCK = re.compile(r"^```console(?: lines=(\d+))?\n(.*?)^```$", re.MULTILINE | re.DOTALL)
_TABLE = re.compile(r"(<!-- commands -->\n).*?(<!-- /commands -->)", re.DOTALL)


def written(text: str, folder: Path) -> str:
    """Return the README with its commands run anew in `folder`, in order, and its table of commands."""
    env = os.environ | {
        "LITSTOCK_REGISTRY": "tour",
        "NO_COLOR": "1",
        "COLUMNS": "100",
        "GIT_CONFIG_GLOBAL": os.devnull,
        "GIT_CONFIG_NOSYSTEM": "1",
    }

    def block(match: re.Match[str]) -> str:
        limit = int(match[1]) if match[1] else None
        commands = [line[2:] for line in match[2].splitlines() if line.startswith("$ ")]
        parts = [f"$ {command}\n{_output(command, folder, env, limit)}" for command in commands]
        head = "```console" + (f" lines={limit}" if limit else "")
        return f"{head}\n{''.join(parts)}```"

    rows = "".join(f"| `{name}` | {summary} |\n" for name, (_, summary) in COMMANDS.items())
    table = f"| command | what it does |\n|---|---|\n{rows}"
    return _TABLE.sub(lambda match: match[1] + table + match[2], _BLOCK.sub(block, text))


def _output(command: str, folder: Path, env: dict[str, str], limit: int | None) -> str:
    words = shlex.split(command)
    program = [sys.executable, "-m", "registry"] if words[0] == "litstock" else words[:1]
    done = subprocess.run(
        [*program, *words[1:]],
        cwd=folder,
        env=env,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        check=False,
    )
    if done.returncode not in (0, 1):
        raise SystemExit(f"{command} ended with {done.returncode}: {done.stdout.decode()}")
    lines = done.stdout.decode().splitlines(keepends=True)
    if limit is not None and len(lines) > limit:
        lines = [*lines[:limit], "…\n"]
    return "".join(lines)


def main(arguments: list[str]) -> int:
    """Return 0 when README.md says what the program does."""
    with tempfile.TemporaryDirectory(prefix="litstock-readme-") as scratch:
        text = README.read_text(encoding="utf-8")
        wanted = written(text, Path(scratch))
    if arguments == ["--check"]:
        if wanted != text:
            print("README.md does not say what the program prints: run python tools/update_readme.py")
        return int(wanted != text)
    README.write_text(wanted, encoding="utf-8")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
