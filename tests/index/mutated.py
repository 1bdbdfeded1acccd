"""Readable documents with anything anywhere: a good one, changed at random until hardly a type is right."""

import copy
import random
from typing import Any

from registry import canonical
from registry.model.kinds import kind_at
from tests import small
from tests.index.drawn import JUNK, as_file

__all__ = ["mutated"]

START = small._START  # noqa: SLF001
VALUES: tuple[Any, ...] = (
    *(True, False, 0, -1, 7, 0.5, -2.5, 2**53 - 1, 1e-300, 9007199254740991.0),
    *("", "known-good", "a/b/c", "720x720", "x", "2026-01-01T00:00:00+01:00", "0001-01-01T00:00:00+14:00"),
    *(
        "9999-12-31T23:59:59-14:00",
        "2026-13-45T99:99:99+00:00",
        "%s' OR 1 --",
        "µm ΔE 80 °C",
        '"*',
        "HB",
        "3H",
    ),
    *([], {}, [[]], [{}], [1, "a", {"what": "colour"}], {"what": ["pencil"]}, {"a.b": {"*": 1}, "~/": [1]}),
    *([{"what": "pencil", "pencil": 7}], [{"what": "colour", "load_pct": "much"}], {"file": "x.txt"}),
)
KEYS = ("a.b", "*", "~/", "", "what", "layers", "motion", "resolution", "trials", "when", "mode", "status")


def mutated(rng: random.Random, kind: str) -> dict[str, Any]:
    """Return a readable document for a kind's place."""
    bases = [document for path, document in START.items() if kind_at(path) == kind] or list(START.values())
    others = [*JUNK, *START.values()]
    while True:
        document: dict[str, Any] = copy.deepcopy(rng.choice(bases if rng.random() < 0.8 else others))
        for _ in range(rng.randint(0, 6)):
            _change(rng, document)
        if not canonical.faults(as_file(document)):
            return document


def _change(rng: random.Random, document: Any) -> None:
    """Change one value somewhere; the further in, the seldomer."""
    while isinstance(document, (dict, list)) and document:
        key = rng.choice(list(document) if isinstance(document, dict) else range(len(document)))
        if rng.random() < 0.4 and isinstance(document[key], (dict, list)):
            document = document[key]
            continue
        what = rng.random()
        if what < 0.6:
            document[key] = copy.deepcopy(rng.choice(VALUES))
        elif what < 0.7:
            del document[key]
        elif what < 0.85 and isinstance(document, dict):
            document[rng.choice(KEYS)] = copy.deepcopy(rng.choice(VALUES))
        else:
            document[key] = [document[key], copy.deepcopy(rng.choice(VALUES))]
        return
