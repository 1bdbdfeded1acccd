"""What the shops of a co-operative write: a mode's revisions, words on it, runs, adoptions, own values."""

import datetime
import json
import random
from collections.abc import Callable
from typing import Any

from registry.model.shape import shape_of
from tests import small
from tests.index.drawn import as_file, whole
from tests.index.histories import FILE, Tree

__all__ = ["FRONT", "MODE", "PATHS", "SITES", "UNIT", "Papers"]

SITES = ("harbour-yard", "mill-lane", "north-quay")
MODE = small.mode_path(small.MODE)
FRONT = small.mode_path(small.FRONT)
UNIT = "records/sites/harbour-yard/units/left.json"
PATHS = {MODE: small.MODE, FRONT: small.FRONT, UNIT: "harbour-yard/left"}
"""The records that change, by path; the second mode is not there at first."""

_DAY = 86400
_ZONE = datetime.timezone(datetime.timedelta(hours=1))
_OWN = whole(UNIT, small._START[UNIT])  # noqa: SLF001
_MODES = {path: whole(path, small._START[path]) for path in (MODE, FRONT)}  # noqa: SLF001


class Papers:
    """Draws what is written next, upon what a tree holds."""

    def __init__(self, rng: random.Random) -> None:
        self.rng = rng
        self.modes: list[tuple[str, dict[str, Any]]] = []
        """Every mode that was ever written, landed or not, with its path."""
        self._moments: list[int] = []
        self._drawn = 0

    def first(self) -> Tree:
        """Return the files that the registry is founded with."""
        films = [f"records/substrates/{film}/substrate.json" for film in (small.FILM, small.BANNER)]
        kept = ("records/registry.json", "records/printers/broadreach-64.json", *films)
        documents = {path: small._START[path] for path in kept}  # noqa: SLF001
        documents |= {f"records/sites/{site}/site.json": {"title": site} for site in SITES}
        documents |= {
            f"records/sites/{site}/units/one.json": {"site": site, "printer": "broadreach-64"}
            for site in SITES[1:]
        }
        tree = {path.encode(): (FILE, as_file(whole(path, held))) for path, held in documents.items()}
        self._write(tree, UNIT, _OWN)
        self.revise(tree, MODE)
        return tree

    def change(self, tree: Tree, site: str, when: int) -> None:
        """Write one thing into a tree, as a site does at a moment (epoch seconds)."""
        ways: tuple[tuple[Callable[[], None], int], ...] = (
            (lambda: self.revise(tree, MODE), 40),
            (lambda: self.revise(tree, FRONT), 8),
            (lambda: self._confirm(tree, site, when), 14),
            (lambda: self._used(tree, site, when, "runs"), 13),
            (lambda: self._used(tree, site, when, "events"), 9),
            (lambda: self._again_and_again(tree, site, when), 2),
            (lambda: self._own_values(tree), 8),
            (lambda: self._spoil(tree), 4),
            (lambda: self._remove(tree), 4),
        )
        self.rng.choices([way for way, _ in ways], [weight for _, weight in ways])[0]()

    def revise(self, tree: Tree, path: str) -> None:
        """Write a mode's next revision; its number may be one that another has given, too."""
        below = _read(tree, path) or {"revision": self.rng.choice((0, 0, 3))}
        self._drawn += 1
        document = _MODES[path] | {
            "revision": max(1, below["revision"] + self.rng.choice((1, 1, 1, 1, 1, 0, 2))),
            "reason": f"Reason {self._drawn}",
            "heat": {"dry_c": 55, "cure_c": self.rng.randint(97, 104)},
            "status": self.rng.choice((*("trial",) * 6, *("known-good",) * 5, "withdrawn")),
        }
        self.modes.append((path, document))
        self._write(tree, path, document)

    # -- the other things ----------------------------------------------------------------------------------

    def _own_values(self, tree: Tree) -> None:
        below = _read(tree, UNIT) or _OWN
        own = [{"mode": small.MODE, "feed_correction_pct": self.rng.choice((0.1, 0.12, 0.14))}]
        self._write(
            tree, UNIT, below | {"revision": below["revision"] + self.rng.choice((1, 1, 0)), "own": own}
        )

    def _spoil(self, tree: Tree) -> None:
        path = self.rng.choice((MODE, MODE, FRONT, UNIT))
        document = _read(tree, path)
        unsound = as_file(document | {"colour_of": 1}) if document else b"{"
        tree[path.encode()] = (FILE, self.rng.choice((b"{", unsound)))

    def _remove(self, tree: Tree) -> None:
        happened = [path for path in tree if b"/runs/" in path or b"/events/" in path]
        path = self.rng.choice((MODE.encode(), FRONT.encode(), UNIT.encode(), *happened))
        tree.pop(path, None)

    def _confirm(self, tree: Tree, site: str, when: int) -> None:
        outcome = self.rng.choice(("good", "good", "usable", "failed"))
        said = self._naming(tree) | {
            "title": "Judged",
            "site": site,
            "date": _time(when)[:10],
            "outcome": outcome,
        }
        self._write(tree, _free(tree, f"records/sites/{site}/confirmations/{_time(when)[:10]}-c"), said)

    def _used(self, tree: Tree, site: str, when: int, folder: str) -> None:
        if self._moments and self.rng.random() < 0.3:
            at = self.rng.choice(self._moments)
        else:
            at = when + self.rng.choice((-3 * _DAY, -_DAY, -3600, -60, _DAY))
        self._moments.append(at)
        name = f"{_time(at)[:10]}-{self.rng.choice('ab')}"
        self._write(
            tree, _free(tree, f"records/sites/{site}/{folder}/{name}"), self._use(tree, site, at, folder)
        )

    def _again_and_again(self, tree: Tree, site: str, when: int) -> None:
        """Record a job anew at its moment, until the names end in two digits."""
        path = f"records/sites/{site}/runs/{_time(when)[:10]}-again"
        for _ in range(11):
            self._write(tree, _free(tree, path), self._use(tree, site, when, "runs"))

    def _use(self, tree: Tree, site: str, at: int, folder: str) -> dict[str, Any]:
        unit = "harbour-yard/left" if site == SITES[0] else f"{site}/one"
        told = self._naming(tree) | {"title": "Used", "site": site, "unit": unit}
        if folder == "runs":
            return told | {"job": "J1", "printed": _time(at)}
        return told | {"kind": "adopted", "at": _time(at), "what": "Taken into use"}

    def _naming(self, tree: Tree) -> dict[str, Any]:
        """Name the settings in hand, some that were written anywhere, or some that nobody ever wrote."""
        held = [(path, document) for path in (MODE, FRONT) if (document := _read(tree, path))]
        path, named = self.rng.choice(held if held and self.rng.random() < 0.5 else self.modes)
        digest = shape_of("print-mode").digest(named)
        if self.rng.random() < 0.08:
            digest = f"{self.rng.getrandbits(256):064x}"
        number = named["revision"] + (self.rng.random() < 0.1)
        return {"mode": PATHS[path], "mode_revision": number, "settings_digest": digest}

    def _write(self, tree: Tree, path: str, document: dict[str, Any]) -> None:
        tree[path.encode()] = (FILE, as_file(whole(path, document)))


def _read(tree: Tree, path: str) -> dict[str, Any] | None:
    """Return the record at a path, None where it is spoiled or not there."""
    _, data = tree.get(path.encode(), (FILE, b"{"))
    document: dict[str, Any] = {} if data == b"{" else json.loads(data)
    return document if document and "colour_of" not in document else None


def _free(tree: Tree, name: str) -> str:
    names = (name, *(f"{name}-{number}" for number in range(2, 100)))
    return next(f"{each}.json" for each in names if f"{each}.json".encode() not in tree)


def _time(epoch: int) -> str:
    return datetime.datetime.fromtimestamp(epoch, _ZONE).isoformat()
