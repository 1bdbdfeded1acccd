"""A synthetic registry of any size, written with git fast-import; for measuring only, every value is made up."""

import copy
import json
import subprocess
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from registry import canonical
from registry.model.kinds import path_of
from registry.model.shape import shape_of

__all__ = ["build"]

COATINGS = ("aqueous", "none", "solvent", "multi")
CONSTRUCTIONS = ("film", "banner", "fabric", "adhesive-film")
FINISHES = ("matte", "lustre", "gloss")
BLURB = (
    "Notes of the kind that people write: how it lay, how it dried, what the lamp showed, which roll it was. "
)


def _templates() -> dict[str, dict[str, Any]]:
    """Return one good record of each kind from the shipped demo, to be varied."""
    records = Path(__file__).parent.parent / "records"
    mode_file = next(
        path
        for path in sorted(records.glob("substrates/*/*/modes/*.json"))
        if json.loads(path.read_bytes())["status"] == "known-good"
    )
    mode = json.loads(mode_file.read_bytes())
    substrate = json.loads((mode_file.parent.parent / "substrate.json").read_bytes())
    mode.pop("evidence", None)
    mode.get("colour", {}).pop("profile", None)
    return {"print-mode": mode, "substrate": substrate}


def _documents(count: int) -> Iterator[tuple[str, dict[str, Any]]]:
    templates = _templates()
    printer = templates["print-mode"]["printer"]
    for kind in ("registry", "site", "printer"):
        records = Path(__file__).parent.parent / "records"
        for path in sorted(records.rglob("*.json")):
            relative = path.relative_to(records.parent).as_posix()
            if kind == "registry" and path.name == "registry.json":
                yield relative, json.loads(path.read_bytes())
            if kind == "site" and path.name == "site.json":
                yield relative, json.loads(path.read_bytes())
            if kind == "printer" and relative == path_of("printer", printer):
                yield relative, json.loads(path.read_bytes())
    site = sorted((Path(__file__).parent.parent / "records" / "sites").iterdir())[0].name
    for number in range(count // 4):
        grade = f"maker-{number % 40}/grade-{number}"
        substrate = copy.deepcopy(templates["substrate"])
        substrate |= {"maker": grade.split("/")[0], "grade": grade.split("/")[1], "title": f"Grade {number}"}
        substrate |= {
            "coating": COATINGS[number % 4],
            "construction": CONSTRUCTIONS[number // 4 % 4],
            "finish": FINISHES[number // 16 % 3],
        }
        substrate["light"] = {**substrate.get("light", {}), "transmittance_pct": 20 + number % 50}
        substrate["notes"] = [BLURB[:380]]
        yield path_of("substrate", grade), substrate
        for which in range(2):
            rid = f"{grade}/backlit-{which}"
            mode = copy.deepcopy(templates["print-mode"])
            mode |= {"substrate": grade, "title": f"Grade {number} backlit {which}", "applications": []}
            mode.pop("applications")
            mode["heat"] = {**mode.get("heat", {}), "cure_c": 90 + number % 20}
            yield path_of("print-mode", rid), mode
            if which == 0:
                confirmation = {
                    "title": f"Confirm {rid}",
                    "site": site,
                    "recorded": {"date": "2026-02-01", "site": site},
                    "mode": rid,
                    "mode_revision": mode["revision"],
                    "settings_digest": shape_of("print-mode").digest(mode),
                    "date": "2026-02-01",
                    "outcome": "good",
                }
                yield path_of("confirmation", f"{site}/2026-02-01-c{number}"), confirmation


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
        document["motion"] = {**document["motion"], "pause_s": round(number % 40 / 10, 1)}
        _commit(stream, number, document["reason"], [(path, _bytes(path, document))])
    subprocess.run([*git, "fast-import", "--quiet"], input=b"".join(stream), check=True)
    subprocess.run([*git, "reset", "-q", "--hard"], check=True)


def _bytes(path: str, document: dict[str, Any]) -> bytes:
    from registry.model.kinds import kind_at  # noqa: PLC0415

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
