"""The clone that is asked: a bare repository whose refs stand as they stood each time that it had fetched."""

import subprocess
from pathlib import Path

from tests.hostile.cooperative import LOCAL, SHARED, Cooperative, Seen
from tests.index.histories import put

__all__ = ["cut_off", "fetch", "write"]


def write(folder: Path, life: Cooperative) -> list[str]:
    """Put a life's commits into a bare repository that no ref of it names yet, and return their ids."""
    subprocess.run(["git", "init", "--quiet", "--bare", "--template=", "-b", "main", str(folder)], check=True)
    ids = put(folder, life.steps)
    _git(
        folder,
        "update-ref",
        "--stdin",
        given="".join(f"delete refs/grown/{n}\n" for n in range(1, len(ids) + 1)),
    )
    return ids


def fetch(folder: Path, ids: list[str], before: Seen | None, seen: Seen) -> None:
    """Let the clone's refs stand as they stood then; what they held before stays in git's reflog."""
    gone = [f"delete {ref}\n" for ref in (before.refs if before else ()) if ref not in seen.refs]
    new = [f"update {ref} {ids[step]}\n" for ref, step in seen.refs.items()]
    kept = "always" if before else "false"  # a clone makes no entry
    _git(folder, "-c", f"core.logAllRefUpdates={kept}", "update-ref", "--stdin", given="".join([*gone, *new]))


def cut_off(folder: Path, depth: int) -> Path:
    """Return a shallow clone of a clone."""
    cut = folder / "cut"
    subprocess.run(["git", "init", "--quiet", "--bare", "--template=", "-b", "main", str(cut)], check=True)
    _git(
        cut,
        "fetch",
        "--quiet",
        f"--depth={depth}",
        f"file://{folder}",
        f"{SHARED}:{SHARED}",
        f"{SHARED}:{LOCAL}",
    )
    return cut


def _git(folder: Path, *args: str, given: str = "") -> None:
    subprocess.run(["git", *args], cwd=folder, input=given, text=True, check=True)
