"""A synthetic registry of any size, written with git fast-import; for measuring only."""

import json
import subprocess
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from registry import canonical
from registry.contribute.prepare import relative_schema
from registry.model.kinds import path_of
from registry.model.shape import shape_of

__all__ = ["build"]

SITE = "harbour-yard"
RECORDS = Path(__file__).parent.parent / "records"
COATINGS = ("aqueous", "none", "solvent", "multi")
CONSTRUCTIONS = ("film", "banner", "sheet")
FINISHES = ("matte", "lustre", "gloss")
BLURB = (
    "Notes of the kind that people write: how it lay, how it dried, what the lamp showed, which roll it was. "
)


def _files(count: int) -> Iterator[tuple[str, bytes]]:
    """Yield the shipped demo's files, then grades like that of its first known-good front-lit mode.

    Front-lit, because a known-good backlit mode needs a measurement of its own, which is no record.
    """
    shipped = [path for path in sorted(RECORDS.rglob("*")) if path.is_file()]
    for path in shipped:
        yield path.relative_to(RECORDS.parent).as_posix(), path.read_bytes()
    mode_file = next(path for path in shipped if path.parent.name == "modes" and _known_good(path))
    for number in range((count - len(shipped)) // 4):
        yield from _grade(mode_file, number)


def _known_good(path: Path) -> bool:
    mode = json.loads(path.read_bytes())
    return bool(mode["status"] == "known-good" and mode["lighting"] == "frontlit")


def _grade(mode_file: Path, number: int) -> Iterator[tuple[str, bytes]]:
    """Yield a substrate, two modes with their attachments and a confirmation of the first."""
    maker, name = f"maker-{number % 40}", f"grade-{number}"
    grade = f"{maker}/{name}"
    mode = json.loads(mode_file.read_bytes())
    substrate = json.loads((mode_file.parent.parent / "substrate.json").read_bytes())
    varied = {
        "maker": maker,
        "grade": name,
        "title": f"Grade {number}",
        "coating": COATINGS[number % 4],
        "construction": CONSTRUCTIONS[number // 4 % 3],
        "finish": FINISHES[number // 12 % 3],
        "notes": [BLURB * 3],
    }
    yield _record("substrate", grade, substrate | varied)
    mode.pop("evidence", None)
    mode["colour"].pop("profile", None)
    mode["trials"] = [trial for trial in mode["trials"] if trial["what"] != "adhesion"]
    for which in range(2):
        heat = mode["heat"] | {"cure_c": mode["heat"]["cure_c"] - number % 5}
        varied = {"substrate": grade, "title": f"Grade {number}, {which}", "heat": heat}
        yield _record("print-mode", f"{grade}/backlit-{which}", mode | varied)
        yield _record(
            "confirmation", f"{SITE}/2026-02-01-c{number}-{which}", _confirmation(mode | varied, which)
        )


def _confirmation(mode: dict[str, Any], which: int) -> dict[str, Any]:
    return {
        "title": f"Confirm {mode['title']}",
        "site": SITE,
        "recorded": {"date": "2026-02-01", "site": SITE},
        "mode": f"{mode['substrate']}/backlit-{which}",
        "mode_revision": mode["revision"],
        "settings_digest": shape_of("print-mode").digest(mode),
        "date": "2026-02-01",
        "outcome": "good",
    }


def _record(kind: str, rid: str, document: dict[str, Any]) -> tuple[str, bytes]:
    path = path_of(kind, rid)
    return path, canonical.file_form(
        {"$schema": relative_schema(path, kind)} | document, shape_of(kind).schema
    )


def build(folder: Path, records: int, commits: int) -> None:
    """Write a registry of about `records` records and `commits` landings into a new folder."""
    folder.mkdir(parents=True)
    git = ["git", "-C", str(folder)]
    subprocess.run([*git, "init", "-q", "--template=", "-b", "main"], check=True)
    files = list(_files(records))
    stream: list[bytes] = []
    _commit(stream, 0, "Found the synthetic registry", files)
    modes = [(path, json.loads(data)) for path, data in files if "/maker-" in path and "/modes/" in path]
    for number in range(1, commits):
        path, document = modes[number * 7 % len(modes)]
        document["revision"] += 1
        document["reason"] = f"Tuned, step {number}"
        document["recorded"]["date"] = "2026-11-20"
        document["notes"] = [f"Step {number}."]
        data = canonical.file_form(document, shape_of("print-mode").schema)
        _commit(stream, number, document["reason"], [(path, data)])
    subprocess.run([*git, "fast-import", "--quiet"], input=b"".join(stream), check=True)
    subprocess.run([*git, "reset", "-q", "--hard"], check=True)


def _commit(stream: list[bytes], number: int, message: str, files: list[tuple[str, bytes]]) -> None:
    when = 1_740_000_000 + number * 3600
    words = message.encode()
    stream.append(b"commit refs/heads/main\ncommitter desk <desk@synthetic.invalid> %d +0000\n" % when)
    stream.append(b"data %d\n%s\n" % (len(words), words))
    for path, data in files:
        stream.append(b"M 100644 inline %s\ndata %d\n%s\n" % (path.encode(), len(data), data))
    stream.append(b"\n")
