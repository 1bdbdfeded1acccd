#!/usr/bin/env python3
"""Write schema/*.json from the models; with --check only say what differs."""

import sys
from pathlib import Path

from registry.model.export import schema_bytes
from registry.model.kinds import KINDS

FOLDER = Path(__file__).parent.parent / "schema"


def main(arguments: list[str]) -> int:
    """Return 0 when the committed schemas are those of the models."""
    wanted = {FOLDER / f"{kind}.json": schema_bytes(kind) for kind in KINDS}
    stale = [path for path, text in wanted.items() if not path.exists() or path.read_bytes() != text]
    left = sorted(set(FOLDER.glob("*.json")) - set(wanted))
    if arguments == ["--check"]:
        for path in stale + left:
            print(f"schema/{path.name} differs from the models: run python tools/export_schemas.py")
        return 1 if stale or left else 0
    for path in stale:
        path.write_bytes(wanted[path])
    for path in left:
        path.unlink()
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
