"""A registry that has a record of every kind and every attachment, and all commands to ask it with."""

import hashlib
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from registry import canonical
from registry.model.kinds import KINDS, Place, path_of, place_at
from registry.model.shape import shape_of
from tests import small
from tests.index.branch import Branch
from tests.light.profiles import profile
from tests.lit.lighted import BOX, FLAT, reading
from tests.tune.ladders import ladder_text

__all__ = ["DISPLAY", "MODE", "Shop", "build", "readers", "writers"]

MODE, FILM, DISPLAY = small.MODE, small.FILM, "harbour-yard/concourse-a"
_FOLDER = f"records/substrates/{FILM}"
_READ, _LADDER, _PRESS = (
    f"{_FOLDER}/{name}" for name in ("measurements/read.txt", "measurements/ladder.txt", "profiles/press.icc")
)


class Shop:
    """One registry, which breaks and becomes whole again."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.branch = Branch(folder)
        self.good = self.branch.git("rev-parse", "HEAD")
        self.branch.model().close()
        self._model = folder / ".git" / "litstock" / "read-model.sqlite"
        self._kept = self._model.read_bytes()
        found = sorted(path for path in (folder / "records").rglob("*") if path.is_file())
        self.files = {path.relative_to(folder).as_posix(): path.read_bytes() for path in found}

    @property
    def records(self) -> dict[str, tuple[Place, dict[str, Any]]]:
        """Every record by its path."""
        places = {path: place_at(path) for path in self.files}
        return {
            path: (place, canonical.read(self.files[path]))
            for path, place in places.items()
            if place and not place.attachment
        }

    def mend(self) -> None:
        """Make everything as it was."""
        self.branch.git("reset", "--quiet", "--hard", self.good)
        self.branch.git("clean", "--quiet", "-fd")
        self._model.write_bytes(self._kept)


def build(folder: Path) -> Shop:
    """Build it."""
    small.build(folder)
    attached = {_READ: reading().encode(), _LADDER: ladder_text().encode(), _PRESS: profile({})}
    of = {path: _named(path, data) for path, data in attached.items()}
    evidence = {"measurement": of[_READ], "ladder": of[_LADDER]}
    mode_path, display_path = small.mode_path(MODE), path_of("display", DISPLAY)
    mode = _next(folder, mode_path) | {
        "status": "known-good",
        "evidence": evidence,
        "colour": {"profile": of[_PRESS]},
    }
    lit = {"of": "mode", "setting": "lit.contrast", "at_least": 25, "why": "read from afar"}
    lamp = {"illuminant": "LED-B3", "spectrum": "lamp.txt"}
    display = _next(folder, display_path) | BOX | {"lamp": lamp, "demands": [lit]}
    word = {
        "title": "Judged",
        "site": "harbour-yard",
        "mode": MODE,
        "mode_revision": mode["revision"],
        "settings_digest": shape_of("print-mode").digest(mode),
        "date": "2025-12-01",
        "outcome": "good",
        "unit": small.UNIT,
        "recorded": {"date": "2025-12-01", "site": "harbour-yard"},
    }
    Branch(folder).land(
        {
            **attached,
            "records/sites/harbour-yard/spectra/lamp.txt": _lamp(),
            mode_path: mode,
            display_path: display,
            "records/sites/harbour-yard/confirmations/2025-12-01-measured.json": word,
        }
    )
    return Shop(folder)


def _next(folder: Path, path: str) -> dict[str, Any]:
    document = canonical.read((folder / path).read_bytes())
    return {**document, "revision": document["revision"] + 1, "reason": "Measured"}


def _named(path: str, data: bytes) -> dict[str, str]:
    return {"file": path.rpartition("/")[2], "sha256": hashlib.sha256(data).hexdigest()}


def _lamp() -> bytes:
    fields = ["SAMPLE_ID", *(f"SPECTRAL_NM{nm}" for nm in FLAT)]
    lines = ["CGATS.17", 'MEASUREMENT_SOURCE "emission"', f"NUMBER_OF_FIELDS {len(fields)}"]
    lines += ["BEGIN_DATA_FORMAT", " ".join(fields), "END_DATA_FORMAT", "NUMBER_OF_SETS 1", "BEGIN_DATA"]
    return "\n".join([*lines, " ".join(["1"] * len(fields)), "END_DATA", ""]).encode()


_Asked = tuple[str, ...]
_KINDS_OF_USE = ("application", "display")
_STARTED = [name for name, kind in KINDS.items() if not kind.once and name != "registry"]
_NEW = {
    "substrate": "maker/new",
    "print-mode": f"{FILM}/new",
    "unit": "mill-lane/new",
    "display": "mill-lane/new",
    "complaint": "mill-lane/new",
}


def readers(shop: Shop, place: Place, out: Path, *, when: str = "") -> list[_Asked]:
    """Return every question that may have to do with a record; `when` is @WHEN behind the record's name."""
    rid = f"{place.kind}:{place.id}{when}"
    mode = f"{place.id}{when}" if place.kind == "print-mode" else MODE
    use = f"{place.id}{when}" if place.kind in _KINDS_OF_USE else DISPLAY
    there = use.partition("@")[0]
    film = place.id if place.kind == "substrate" else FILM
    unit = place.id if place.kind == "unit" else small.UNIT
    printer = place.id if place.kind == "printer" else "broadreach-64"
    plain = mode.partition("@")[0]
    complaint = place.id if place.kind == "complaint" else "harbour-yard/reddish-concourse"
    ladder, read = str(shop.folder / _LADDER), str(shop.folder / _READ)
    asked: list[_Asked] = [
        ("find",),
        ("find", "--for", there),
        ("find", "matte", "--format", "json"),
        ("find", "--for", there, "--format", "csv"),
        ("find", "nothing", "says"),
        ("find", "--why", film),
        ("find", "--status", "trial", "--status", "known-good", "--site", "mill-lane"),
        ("find", "--printer", printer, "--where", "heat.cure_c<=120", "--min-width", "1000"),
        ("show", rid),
        ("show", rid, "--format", "json"),
        ("show", rid, "--units", "us"),
        ("show", f"{rid.partition('@')[0]}@r1"),
        ("show", mode, "--for", there),
        ("show", "--format", "json", f"site:{small.UNIT.split('/')[0]}"),
        ("show", f"unit:{unit}"),
        ("history", rid.partition("@")[0]),
        ("history", rid.partition("@")[0], "--format", "json"),
        ("history", MODE),
        ("diff", f"{MODE}@r1", mode),
        ("diff", f"{rid.partition('@')[0]}@r1", rid),
        ("diff", "--since", "2025-09-05"),
        ("diff", f"{MODE}@site:harbour-yard", MODE, "--format", "json"),
        ("diff", "--since", "git:HEAD~1"),
        ("light", use, mode),
        ("light", use, mode, "--format", "json", "--beside", DISPLAY),
        ("tune", ladder, "--substrate", film, "--printer", printer, "--for", there),
        ("nearest", "coating=aqueous", "finish=matte"),
        ("nearest", "coating=none", "base=pvc", "--printer", printer, "--lighting", "frontlit"),
        ("measure", read, "--mode", mode),
        ("measure", read, "--mode", mode, "--format", "json"),
        ("card", mode, "-o", str(out / "card.pdf"), "--unit", unit, "--for", there),
        ("plan", mode, "--piece", "600x400x3", "--coverage", "40"),
        ("plan", mode, "--piece", "600x400", "--for", there),
        ("slug", mode, "--unit", unit),
        ("card", "--verify", f"litstock:{MODE}@r3#{'0' * 12}"),
        ("audit", complaint),
        ("audit", "J140", "--site", "harbour-yard", "--format", "json"),
        (
            "audit",
            "--unit",
            unit,
            "--mode",
            plain,
            "--printed",
            "2025-11-12T10:00",
            "--good",
            "2025-10-01",
        ),
        ("diff", f"{plain}@site:{unit}", f"{plain}@site:mill-lane"),
        ("show", f"{plain}@site:{unit}:2025-12-30"),
        ("check",),
        ("check", "--format", "json"),
        ("check", "--base", "HEAD~2"),
        ("check", "--at", "HEAD"),
    ]
    return asked


def writers(shop: Shop, place: Place, junk: Sequence[Path]) -> list[_Asked]:
    """Return every command that may write because of a record, as dry runs; `junk` are files to hand over."""
    rid, mode = f"{place.kind}:{place.id}", place.id if place.kind == "print-mode" else MODE
    use = place.id if place.kind == "display" else DISPLAY
    unit = place.id if place.kind == "unit" else small.UNIT
    kind = place.kind if place.kind in _STARTED else "substrate"
    new = _NEW.get(kind, "new")
    why = ("--reason", "Tried", "--dry-run")
    like = place.id if place.kind in _STARTED else FILM
    asked: list[_Asked] = [
        ("new", kind, new, "--like", like, *why),
        (
            "new",
            "substrate",
            "maker/other",
            "--set",
            "base=pvc",
            "--set",
            "construction=film",
            "--set",
            "coating=none",
            *why,
        ),
        ("revise", rid, "--set", "title=Other", *why),
        ("revise", rid, "--unset", "sources", *why, "--format", "json"),
        ("revise", MODE, "--set", "heat.cure_c=99", *why),
        (
            "confirm",
            mode,
            "--outcome",
            "failed",
            "--note",
            "x",
            "--unit",
            unit,
            "--display",
            use,
            "--dry-run",
        ),
        (
            "confirm",
            mode,
            "--outcome",
            "good",
            "--hours",
            "24",
            "--seen",
            "on-light-table",
            "--dry-run",
            "--site",
            "mill-lane",
        ),
        ("adopt", mode, "--unit", unit, "--dry-run"),
        ("run", mode, "--job", "J900", "--unit", unit, "--display", use, "--dry-run"),
        ("run", mode, "--job", "J100", "--unit", unit, "--at", "2025-10-01T10:00", "--dry-run"),
        ("log-event", "head-replaced", "--what", "Wiped", "--unit", unit, "--dry-run"),
        ("log-event", "moved", "--what", "x", "--display", use, "--dry-run", "--site", "harbour-yard"),
        ("withdraw", rid, *why),
        ("withdraw", rid, "--with-all", *why),
        ("withdraw", small.FRONT, "--instead", mode, *why),
        ("withdraw", FILM, "--with-all", "--instead", small.BANNER, *why),
        ("measure", str(shop.folder / _READ), "--mode", mode, "--attach", *why),
        (
            "tune",
            str(shop.folder / _LADDER),
            "--substrate",
            FILM,
            "--printer",
            "broadreach-64",
            "--draft",
            f"{FILM}/tuned",
            "--like",
            mode,
            *why,
        ),
    ]
    for each in junk:
        asked += [
            ("new", kind, new, "--from", str(each), *why),
            (
                "new",
                kind,
                new,
                "--from",
                str(each),
                "--set",
                "title=Other",
                "--set",
                "heat.max_web_c=90",
                *why,
            ),
            ("new", kind, new, "--like", str(each), *why),
            ("revise", rid, "--patch", str(each), *why),
        ]
    return asked
