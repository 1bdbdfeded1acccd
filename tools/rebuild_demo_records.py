#!/usr/bin/env python3
"""Rewrite records/ as the demo's story leaves it; with --check only say what differs."""

import sys
from pathlib import Path

from registry.demo.replay import present
from registry.model.kinds import ROOT

TOP = Path(__file__).parent.parent


def main(arguments: list[str]) -> int:
    """Return 0 when records/ is what the story tells."""
    wanted = {TOP / path: data for path, data in present().items()}
    stale = [path for path, data in wanted.items() if not path.is_file() or path.read_bytes() != data]
    left = sorted(set(filter(Path.is_file, (TOP / ROOT).rglob("*"))) - set(wanted))
    if arguments == ["--check"]:
        for path in stale + left:
            print(f"{path.relative_to(TOP)} is not as told: run python tools/rebuild_demo_records.py")
        return 1 if stale or left else 0
    for path in stale:
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(wanted[path])
    for path in left:
        path.unlink()
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
