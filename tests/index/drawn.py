"""Documents of every kind, drawn at random: most fit their schema, and few values recur often."""

import copy
import json
import random
from collections.abc import Mapping
from typing import Any

from registry.model.kinds import KINDS, place_at
from registry.model.shape import shape_of
from tests import small

__all__ = ["GOOD_RULES", "JUNK", "LINKED", "UNREADABLE", "Documents", "as_file", "whole"]

LINKED = b"registry.json"
"""What the symbolic links hold."""
UNREADABLE = (
    b"",
    b"{",
    b"[]",
    b'{"a": 1, "a": 2}',
    b'{"a": null}',
    b"\xff{}",
    b'"text"',
    b"{} {}",
    LINKED,
)
"""What stands in no record: canonical reading refuses every one."""

SUBSTRATES = ("lumenfold/dayfilm", "tidecloth/gull")
MODES = ("lumenfold/dayfilm/deep", "lumenfold/dayfilm/quick", "tidecloth/gull/deep")
PRINTERS = ("broadreach-64", "narrow-24")
GOOD_RULES: tuple[dict[str, Any], ...] = (
    {"/mode/heat/cure_c": {"minimum": 100}},
    {"/substrate/finish": {"const": "matte"}, "/application/panel/gloss": {"const": "gloss"}},
    {"/printer/channels": {"contains": {"const": "white"}}, "/mode/lighting": {"not": {"const": "frontlit"}}},
    {"/display/lighting": {"enum": ["backlit", "dual"]}, "/mode/layers/0/load_pct": {"maximum": 200}},
)
JUNK: tuple[Any, ...] = (
    {},
    {"status": "known-good"},
    {"status": ["known-good"], "layers": {"what": []}, "heat": [], "substrate": 7, "printer": {}},
    {"substrate": "lumenfold", "printer": "a/b/c", "title": {"a": [1.5, True]}, "motion": "720x720"},
    {"mode": ["a"], "outcome": ["good"], "settings_digest": {}, "at": "2026-01-01T00:00:00", "revision": "x"},
    {"when": {"/mode": {"$ref": "http://127.0.0.1:9/"}}, "level": "refuse", "text": "t", "source": "s"},
    {"when": [], "level": 1, "withdrawn": True, "recorded": "x", "reason": [], "revision": True},
    {"application": ["concourse"], "lamp": 1, "demands": "all", "sources": "none", "own": [7, {}]},
    {"layers": [{"what": "colour"}, {"what": "colour"}, 3], "trials": [{}], "fire": [{}, {"standard": []}]},
)
"""Readable, and what no schema allows."""

BASE = small._START  # noqa: SLF001


def mode_path(mode: str) -> str:
    maker, grade, name = mode.split("/")
    return f"records/substrates/{maker}/{grade}/modes/{name}.json"


def as_file(document: Any) -> bytes:
    return (json.dumps(document, indent=1) + "\n").encode()


_LEAST: dict[str, dict[str, Any]] = {
    "registry": {"time_zone": "+01:00"},
    "substrate": {
        "maker": "maker",
        "grade": "grade",
        "construction": "film",
        "base": "polyester",
        "coating": "aqueous",
    },
    "print-mode": {
        "substrate": "maker/grade",
        "printer": "wide",
        "lighting": "backlit",
        "status": "trial",
        "print_side": "first-surface",
        "mirrored": False,
        "layers": [{"what": "colour", "load_pct": 200, "passes": 16}],
        "motion": {"passes": 16, "resolution": "720x720"},
    },
    "printer": {"ink_chemistry": "water-based-resin", "channels": [{"name": "cyan", "role": "colour"}]},
    "application": {"lighting": "backlit", "place": "indoor"},
    "guidance": {
        "level": "advise",
        "text": "Take care.",
        "source": "invented for a test",
        "when": {"/mode/lighting": {"const": "backlit"}},
    },
    "unit": {"site": "quay", "printer": "wide"},
    "display": {"site": "quay", "application": "box", "lighting": "backlit", "place": "indoor"},
    "complaint": {
        "site": "quay",
        "unit": "quay/left",
        "mode": "maker/grade/mode",
        "defect": "cast",
        "printed": "2026-01-02T10:00:00+01:00",
        "good": "2026-01-01T10:00:00+01:00",
        "received": "2026-01-03",
        "what": "Too red",
        "state": "open",
    },
    "event": {"site": "quay", "kind": "moved", "at": "2026-01-01T10:00:00+01:00", "what": "Moved"},
    "run": {
        "site": "quay",
        "job": "J1",
        "mode": "maker/grade/mode",
        "mode_revision": 1,
        "unit": "quay/left",
        "settings_digest": "0" * 64,
        "printed": "2026-01-01T10:00:00+01:00",
    },
    "confirmation": {
        "site": "quay",
        "mode": "maker/grade/mode",
        "mode_revision": 1,
        "settings_digest": "0" * 64,
        "date": "2026-01-01",
        "outcome": "good",
    },
}
"""What a record cannot be without, beside its title and who wrote it when."""


def whole(path: str, said: Mapping[str, Any]) -> dict[str, Any]:
    """Return what is said of a record, with what it cannot be without filled in."""
    place = place_at(path)
    if place is None or place.attachment:
        return dict(said)
    parts = place.id.split("/")
    decided: dict[str, Any] = {}
    if place.kind == "substrate":
        decided = dict(zip(("maker", "grade"), parts, strict=True))
    elif place.kind == "print-mode":
        decided = {"substrate": "/".join(parts[:2])}
    elif len(parts) > 1:
        decided = {"site": parts[0]}
    signed: dict[str, Any] = {"recorded": {"date": "2026-01-01", "site": "quay"}}
    if not KINDS[place.kind].once:
        signed |= {"revision": 1, "reason": "Test"}
    return {"title": place.id, **_LEAST.get(place.kind, {}), **decided, **signed, **said}


class Documents:
    """Draws them."""

    def __init__(self, rng: random.Random) -> None:
        self.rng = rng

    def any(self) -> tuple[str, dict[str, Any]]:
        """Return a path and what it may hold."""
        draw = self.rng.choice(
            (
                *(self.mode,) * 6,
                *(self.confirmation,) * 4,
                *(self.guidance,) * 3,
                *(self.substrate, self.printer, self.application, self.display, self.event),
            )
        )
        return draw()

    def signed(self, base: dict[str, Any], **more: Any) -> dict[str, Any]:
        document = copy.deepcopy(base) | {
            "revision": self.rng.randint(1, 3),
            "reason": self.rng.choice(("First entry", "Deeper black")),
            "recorded": {"date": "2025-09-01", "site": "harbour-yard"},
        }
        if self.rng.random() < 0.04:
            document["withdrawn"] = {"date": "2025-10-01", "reason": "it sticks"}
        return document | more

    def settings(self, mode: str) -> dict[str, Any]:
        base = BASE[small.mode_path(small.MODE)]
        cure = self.rng.choice((96, 100, 100))
        return base | {
            "substrate": mode.rpartition("/")[0],
            "printer": PRINTERS[self.rng.random() < 0.1],
            "heat": {"dry_c": 55, "cure_c": cure},
        }

    def mode(self) -> tuple[str, dict[str, Any]]:
        mode = self.rng.choice(MODES)
        status = self.rng.choice((*("known-good",) * 5, *("trial",) * 3, "withdrawn"))
        return mode_path(mode), self.signed(self.settings(mode), status=status)

    def confirmation(self) -> tuple[str, dict[str, Any]]:
        mode = self.rng.choice(MODES)
        return (
            f"records/sites/harbour-yard/confirmations/2025-09-1{self.rng.randint(0, 3)}-c.json",
            {
                "title": "Judged",
                "site": "harbour-yard",
                "mode": mode,
                "mode_revision": 1,
                "settings_digest": shape_of("print-mode").digest(self.settings(mode)),
                "date": "2025-09-12",
                "outcome": self.rng.choice(("good", "good", "usable", "failed")),
                "recorded": {"date": "2025-09-12", "site": "harbour-yard"},
            },
        )

    def guidance(self) -> tuple[str, dict[str, Any]]:
        base = {"title": "Rule", "source": "common practice, no source", "text": "Take care."}
        when, level = self.rng.choice(GOOD_RULES), self.rng.choice(("advise", "refuse"))
        path = f"records/guidance/rule-{self.rng.randint(1, 3)}.json"
        aside = self.rng.choice(
            (None, {"/mode/status": {"const": "trial"}}, {"/substrate/finish": {"const": "gloss"}})
        )
        return path, self.signed(base, when=when, level=level, **({"unless": aside} if aside else {}))

    def substrate(self) -> tuple[str, dict[str, Any]]:
        substrate = self.rng.choice(SUBSTRATES)
        base = BASE[f"records/substrates/{small.FILM}/substrate.json"]
        maker, grade = substrate.split("/")
        finish = self.rng.choice(("matte", "gloss"))
        document = self.signed(base, maker=maker, grade=grade, finish=finish, title=f"Film {finish}")
        return f"records/substrates/{substrate}/substrate.json", document

    def printer(self) -> tuple[str, dict[str, Any]]:
        base = BASE["records/printers/broadreach-64.json"]
        drop = self.rng.choice((4, 7))
        return f"records/printers/{self.rng.choice(PRINTERS)}.json", self.signed(base, drop_volume_pl=drop)

    def application(self) -> tuple[str, dict[str, Any]]:
        base = BASE["records/applications/concourse-light-box.json"]
        panel = {"position": "front", "material": "acrylic", "gloss": self.rng.choice(("gloss", "matte"))}
        return "records/applications/concourse.json", self.signed(base, panel=panel)

    def display(self) -> tuple[str, dict[str, Any]]:
        base = BASE["records/sites/harbour-yard/displays/concourse-a.json"]
        application = self.rng.choice(("concourse", "concourse", "awning"))
        path = f"records/sites/harbour-yard/displays/d-{self.rng.randint(1, 2)}.json"
        return path, self.signed(base, application=application)

    def event(self) -> tuple[str, dict[str, Any]]:
        return "records/sites/mill-lane/events/2025-09-01-moved.json", {
            "title": "Moved",
            "site": "mill-lane",
            "kind": "moved",
            "at": "2025-09-01T08:00:00+02:00",
            "what": self.rng.choice(("To the pier", "Back")),
            "recorded": {"date": "2025-09-01", "site": "mill-lane"},
        }
