"""A synthetic registry of any size, written with git fast-import; for measuring only."""

import json
import subprocess
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from registry import canonical
from registry.model.kinds import kind_at, path_of
from registry.model.shape import shape_of

__all__ = ["build"]

RECORDS = Path(__file__).parent.parent / "records"
COATINGS = ("aqueous", "none", "solvent", "multi")
CONSTRUCTIONS = ("film", "banner", "fabric", "adhesive-film")
FINISHES = ("matte", "lustre", "gloss")
BLURB = (
    "Notes of the kind that people write: how it lay, how it dried, what the lamp showed, which roll it was. "
)


def _templates() -> dict[str, dict[str, Any]]:
    """Return one good record of each kind from the shipped demo, to be varied."""
    mode_file = next(
        path
        for path in sorted(RECORDS.glob("substrates/*/*/modes/*.json"))
        if json.loads(path.read_bytes())["status"] == "known-good"
    )
    mode = json.loads(mode_file.read_bytes())
    substrate = json.loads((mode_file.parent.parent / "substrate.json").read_bytes())
    mode.pop("evidence", None)
    mode.get("colour", {}).pop("profile", None)
    return {"print-mode": mode, "substrate": substrate}


def _documents(count: int) -> Iterator[tuple[str, dict[str, Any]]]:
    templates = _templates()
    site = min((RECORDS / "sites").iterdir()).name
    wanted = (
        "registry.json",
        f"sites/{site}/site.json",
        f"printers/{templates['print-mode']['printer']}.json",
    )
    for name in wanted:
        yield f"records/{name}", json.loads((RECORDS / name).read_bytes())
    for number in range(count // 4):
        yield from _grade(templates, number, site)


def _grade(
    templates: dict[str, dict[str, Any]], number: int, site: str
) -> Iterator[tuple[str, dict[str, Any]]]:
    """Yield a substrate, two modes and a confirmation of the first."""
    maker, name = f"maker-{number % 40}", f"grade-{number}"
    grade = f"{maker}/{name}"
    substrate = templates["substrate"] | {
        "maker": maker,
        "grade": name,
        "title": f"Grade {number}",
        "coating": COATINGS[number % 4],
        "construction": CONSTRUCTIONS[number // 4 % 4],
        "finish": FINISHES[number // 16 % 3],
        "light": {**templates["substrate"].get("light", {}), "transmittance_pct": 20 + number % 50},
        "notes": [BLURB * 3],
    }
    yield path_of("substrate", grade), substrate
    for which in range(2):
        heat = {**templates["print-mode"].get("heat", {}), "cure_c": 90 + number % 20}
        mode = templates["print-mode"] | {
            "substrate": grade,
            "title": f"Grade {number}, {which}",
            "heat": heat,
        }
        yield path_of("print-mode", f"{grade}/backlit-{which}"), mode
        if which == 0:
            yield path_of("confirmation", f"{site}/2026-02-01-c{number}"), _confirmation(mode, grade, site)


def _confirmation(mode: dict[str, Any], grade: str, site: str) -> dict[str, Any]:
    return {
        "title": f"Confirm {grade}",
        "site": site,
        "recorded": {"date": "2026-02-01", "site": site},
        "mode": f"{grade}/backlit-0",
        "mode_revision": mode["revision"],
        "settings_digest": shape_of("print-mode").digest(mode),
        "date": "2026-02-01",
        "outcome": "good",
    }


def build(folder: Path, records: int, commits: int) -> None:
    """Write a registry of about `records` records and `commits` landings into a new folder."""
    folder.mkdir(parents=True)
    git = ["git", "-C", str(folder)]
    subprocess.run([*git, "init", "-q", "--template=", "-b", "main"], check=True)
    documents = list(_documents(records))
    stream: list[bytes] = []
    files = [(path, _bytes(path, document)) for path, document in documents]
    _commit(stream, 0, "Found the synthetic registry", files)
    modes = [(path, document) for path, document in documents if "/modes/" in path]
    for number in range(1, commits):
        path, document = modes[number * 7 % len(modes)]
        document["revision"] += 1
        document["reason"] = f"Tuned, step {number}"
        document["motion"] = {**document["motion"], "pause_s": number % 40 / 10}
        _commit(stream, number, document["reason"], [(path, _bytes(path, document))])
    subprocess.run([*git, "fast-import", "--quiet"], input=b"".join(stream), check=True)
    subprocess.run([*git, "reset", "-q", "--hard"], check=True)


def _bytes(path: str, document: dict[str, Any]) -> bytes:
    kind = kind_at(path) or ""
    return canonical.file_form(document, shape_of(kind).schema)


def _commit(stream: list[bytes], number: int, message: str, files: list[tuple[str, bytes]]) -> None:
    when = 1_740_000_000 + number * 3600
    words = message.encode()
    stream.append(b"commit refs/heads/main\ncommitter desk <desk@synthetic.invalid> %d +0000\n" % when)
    stream.append(b"data %d\n%s\n" % (len(words), words))
    for path, data in files:
        stream.append(b"M 100644 inline %s\ndata %d\n%s\n" % (path.encode(), len(data), data))
    stream.append(b"\n")
