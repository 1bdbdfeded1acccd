"""The demo's story as it is written down: landings of commits, each commit a few files."""

import json
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Any

__all__ = ["FOLDER", "Commit", "Landing", "attachment", "landings"]

FOLDER = Path(__file__).parent / "story"
"""`start.json` founds the registry, `steps/NNN-slug.json` go on from there; attachments lie beside them."""


@dataclass(frozen=True, slots=True)
class Commit:
    """What one person of one shop wrote at one time."""

    site: str
    role: str
    recorded: datetime
    reason: str
    files: dict[str, dict[str, Any]]
    """By path: `document`, `patch` (RFC 7396), or `attachment` (a file name)."""


@dataclass(frozen=True, slots=True)
class Landing:
    """What reached the shared branch together."""

    landed: datetime
    landed_by: str
    reason: str
    commits: tuple[Commit, ...]


def landings() -> Iterator[Landing]:
    """Yield the story, oldest first."""
    for path in (FOLDER / "start.json", *sorted((FOLDER / "steps").glob("*.json"))):
        # Plain JSON, not a record: a merge patch takes a value out by null, which no record may hold.
        told = json.loads(path.read_text(encoding="utf-8"))
        yield Landing(
            datetime.fromisoformat(told["landed"]),
            told["landed_by"],
            told["reason"],
            tuple(
                Commit(**{**commit, "recorded": datetime.fromisoformat(commit["recorded"])})
                for commit in told["commits"]
            ),
        )


def attachment(name: str) -> bytes:
    """Return the bytes of an attachment of the story."""
    return (FOLDER / "attachments" / name).read_bytes()
