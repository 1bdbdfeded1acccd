"""A small registry with a history: invented, fixed names and dates, for tests that need a real one."""

import datetime
from collections.abc import Iterable
from pathlib import Path
from typing import Any

from registry import canonical
from registry.contribute.prepare import Contribution, Writer, attach, create, happened, revise
from registry.store.founding import create as create_repository
from registry.store.landing import land
from registry.store.repository import Repository
from registry.store.write import Series, Signature

FILM = "lumenfold/dayfilm-210"
BANNER = "tidecloth/gull-510"
MODE = f"{FILM}/backlit-16"
FRONT = f"{BANNER}/front-8"
UNIT, OTHER_UNIT = "harbour-yard/left", "mill-lane/one"

READINGS = b"""CGATS.17
ORIGINATOR "litstock tests, invented"
DESCRIPTOR "solids, transmission"
NUMBER_OF_FIELDS 5
BEGIN_DATA_FORMAT
SAMPLE_ID SAMPLE_NAME LAB_L LAB_A LAB_B
END_DATA_FORMAT
NUMBER_OF_SETS 2
BEGIN_DATA
1 paper 62.1 -0.4 1.2
2 cyan 38.4 -24.0 -31.5
END_DATA
"""


class Teller:
    """Tells a registry's story: each call is a landing, made by the code that the commands use."""

    def __init__(self, folder: Path) -> None:
        self.repository: Repository = create_repository(folder)
        self.files: dict[str, bytes] = {}
        self.series = Series(self.repository, sign=False)

    def read(self, path: str) -> bytes | None:
        return self.files.get(path)

    def paths(self) -> Iterable[str]:
        return list(self.files)

    def land(self, day: str, site: str, *contributions: Contribution, reason: str = "Story") -> None:
        """Land what a site wrote at 09:00, at 11:00 of the same day."""
        if not contributions:
            return
        morning = datetime.datetime.fromisoformat(f"{day}T09:00:00+01:00")
        author = Signature(f"specialist, {site}", f"specialist@{site}.invalid", morning)
        desk = Signature("registry desk", "desk@saltmarsh.invalid", morning + datetime.timedelta(hours=2))
        files: dict[str, bytes | None] = {}
        for contribution in contributions:
            files |= contribution.files
        tip = self.series.head
        brought = self.series.commit(files, reason, author=author)
        if tip:
            land(self.series, tip, brought, None, f"Land: {reason}", committer=desk)
        self.files |= {path: data for path, data in files.items() if data is not None}

    def create(
        self, day: str, site: str, path: str, document: dict[str, Any], reason: str = "First entry"
    ) -> None:
        self.land(
            day, site, create(self, path, document, writer=Writer(site, day), reason=reason), reason=reason
        )

    def revise(self, day: str, site: str, path: str, patch: dict[str, Any], reason: str) -> None:
        self.land(
            day, site, revise(self, path, patch, writer=Writer(site, day), reason=reason), reason=reason
        )

    def happened(self, day: str, site: str, path: str, document: dict[str, Any]) -> None:
        self.land(
            day, site, happened(self, path, document, writer=Writer(site, day)), reason=document["title"]
        )

    def document(self, path: str) -> dict[str, Any]:
        return canonical.read(self.files[path])


def mode_path(mode: str) -> str:
    maker, grade, name = mode.split("/")
    return f"records/substrates/{maker}/{grade}/modes/{name}.json"


def build(folder: Path) -> Repository:
    """Build the small registry and return its repository."""
    teller = Teller(folder)
    with teller.series:
        _found(teller)
        _tune(teller)
        _complain(teller)
        teller.series.finish()
    return teller.repository


def _found(teller: Teller) -> None:
    day, site = "2025-09-01", "harbour-yard"
    writer = Writer(site, day)
    prepared: list[Contribution] = []
    for path, document in _START.items():
        prepared.append(create(teller, path, document, writer=writer, reason="First entry"))
        teller.files |= {name: data for name, data in prepared[-1].files.items() if data is not None}
    teller.land(day, site, *prepared, reason="Found the registry")
    teller.land(
        "2025-09-08",
        site,
        attach(teller, f"records/substrates/{FILM}/measurements/solids.txt", READINGS),
        reason="Attach the reference measurement",
    )


def _tune(teller: Teller) -> None:
    path = mode_path(MODE)
    trial = {
        "what": "re-wet",
        "date": "2025-09-10",
        "site": "harbour-yard",
        "passed": True,
        "contact": "face-to-back",
        "load_kpa": 2,
        "temperature_c": 40,
        "hours": 24,
        "result": "parted without a sound",
    }
    pencil = {
        "what": "pencil",
        "date": "2025-09-10",
        "site": "harbour-yard",
        "passed": True,
        "on": "print",
        "pencil": "HB",
    }
    evidence = {"measurement": {"file": "solids.txt"}, "sample": "drawer 3"}
    teller.revise(
        "2025-09-11", "harbour-yard", path, {"trials": [trial, pencil], "evidence": evidence}, "Trials stood"
    )
    teller.happened(
        "2025-09-12",
        "harbour-yard",
        "records/sites/harbour-yard/confirmations/2025-09-12-first.json",
        {
            "title": "First light",
            "site": "harbour-yard",
            "mode": MODE,
            "unit": UNIT,
            "date": "2025-09-12",
            "outcome": "good",
            "display": "harbour-yard/concourse-a",
        },
    )
    teller.revise("2025-09-15", "harbour-yard", path, {"status": "known-good"}, "Confirmed by harbour-yard")
    teller.happened(
        "2025-09-16",
        "harbour-yard",
        "records/sites/harbour-yard/events/2025-09-16-adopted.json",
        {
            "title": "Adopt the backlit mode",
            "site": "harbour-yard",
            "kind": "adopted",
            "at": "2025-09-16T08:00:00+01:00",
            "unit": UNIT,
            "mode": MODE,
            "what": "First use on the left unit",
        },
    )
    teller.happened(
        "2025-10-01",
        "harbour-yard",
        "records/sites/harbour-yard/runs/2025-10-01-j100.json",
        {
            "title": "Job 100",
            "site": "harbour-yard",
            "job": "J100",
            "mode": MODE,
            "unit": UNIT,
            "printed": "2025-10-01T10:00:00+01:00",
            "roll_lot": "L-17",
            "display": "harbour-yard/concourse-a",
            "colour": {"source_profile": "house working space"},
        },
    )
    layers = [{"what": "colour", "load_pct": 210, "passes": 16}]
    teller.revise(
        "2025-11-03", "mill-lane", path, {"layers": layers, "heat": {"cure_c": 104}}, "Deeper black wanted"
    )


def _complain(teller: Teller) -> None:
    site = "harbour-yard"
    teller.happened(
        "2025-11-10",
        site,
        f"records/sites/{site}/events/2025-11-10-head.json",
        {
            "title": "Head replaced",
            "site": site,
            "kind": "head-replaced",
            "at": "2025-11-10T07:00:00+01:00",
            "unit": UNIT,
            "what": "Magenta head replaced after nozzle loss",
        },
    )
    teller.happened(
        "2025-11-12",
        site,
        f"records/sites/{site}/runs/2025-11-12-j140.json",
        {
            "title": "Job 140",
            "site": site,
            "job": "J140",
            "mode": MODE,
            "unit": UNIT,
            "printed": "2025-11-12T10:00:00+01:00",
            "roll_lot": "L-19",
            "display": "harbour-yard/concourse-a",
            "colour": {"source_profile": "house working space", "overrides": ["saturation raised"]},
        },
    )
    teller.create(
        "2025-11-20",
        site,
        f"records/sites/{site}/complaints/reddish-concourse.json",
        {
            "title": "Reddish concourse panel",
            "site": site,
            "job": "J140",
            "unit": UNIT,
            "mode": MODE,
            "display": "harbour-yard/concourse-a",
            "printed": "2025-11-12T10:00:00+01:00",
            "good": "2025-10-01T10:00:00+01:00",
            "received": "2025-11-19",
            "defect": "cast",
            "what": "Grey sky looks pink beside the old panel",
            "state": "open",
        },
        "A customer refused job 140",
    )
    teller.happened(
        "2025-11-24",
        site,
        f"records/sites/{site}/events/2025-11-11-linearisation.json",
        {
            "title": "Linearised late",
            "site": site,
            "kind": "linearisation",
            "at": "2025-11-11T07:00:00+01:00",
            "unit": UNIT,
            "what": "Linearised after the head, noted later",
        },
    )


_SHEET = {"": {"kind": "data-sheet", "date": "2025-06-01", "note": "invented for the tests"}}
_START: dict[str, dict[str, Any]] = {
    "records/registry.json": {"title": "Small registry", "time_zone": "+01:00", "verify_months": 6},
    "records/sites/harbour-yard/site.json": {
        "title": "Harbour yard",
        "instruments": [{"name": "bench-1", "measures": "transmission", "calibrated": "2025-05-01"}],
    },
    "records/sites/mill-lane/site.json": {"title": "Mill lane"},
    "records/printers/broadreach-64.json": {
        "title": "Broadreach 64",
        "ink_chemistry": "water-based-resin",
        "channels": [{"name": name, "role": "colour"} for name in ("cyan", "magenta", "yellow", "black")]
        + [{"name": "white", "role": "white"}],
        "max_width_mm": 1625,
        "passes": [4, 8, 12, 16, 20],
        "directions": ["one-way", "two-way"],
        "resolutions": ["720x720"],
        "drop_volume_pl": 7,
        "heaters": {"dry_min_c": 30, "dry_max_c": 70, "cure_min_c": 60, "cure_max_c": 120},
        "backlit_load_pct": {"low_pct": 160, "high_pct": 230},
    },
    "records/sites/harbour-yard/units/left.json": {
        "title": "Left unit",
        "site": "harbour-yard",
        "printer": "broadreach-64",
        "own": [{"mode": MODE, "feed_correction_pct": 0.12, "head_alignment_um": 14}],
    },
    "records/sites/mill-lane/units/one.json": {
        "title": "Unit one",
        "site": "mill-lane",
        "printer": "broadreach-64",
    },
    "records/applications/concourse-light-box.json": {
        "title": "Concourse light box",
        "lighting": "backlit",
        "place": "indoor",
        "panel": {"position": "front", "material": "clear acrylic", "gloss": "gloss"},
        "demands": [
            {
                "of": "substrate",
                "setting": "light.transmittance_pct",
                "at_least": 30,
                "why": "the lamps are weak",
            },
            {"of": "mode", "setting": "print.scratch", "grade": "fair", "why": "panels are slid in"},
            {
                "of": "substrate",
                "setting": "fire.en-13501-1.rating",
                "grade": "C",
                "why": "people escape past it",
            },
        ],
    },
    "records/sites/harbour-yard/displays/concourse-a.json": {
        "title": "Concourse A",
        "site": "harbour-yard",
        "application": "concourse-light-box",
        "lighting": "backlit",
        "place": "indoor",
        "lamp": {"illuminant": "LED-B3"},
        "panel": {"position": "front", "material": "clear acrylic", "gloss": "gloss"},
    },
    f"records/substrates/{FILM}/substrate.json": {
        "title": "Dayfilm 210",
        "maker": "lumenfold",
        "grade": "dayfilm-210",
        "construction": "film",
        "base": "polyester",
        "coating": "aqueous",
        "finish": "matte",
        "gloss_60_gu": 6,
        "thickness_um": 210,
        "widths_mm": [1067, 1524],
        "roll": {"wind": "face-out", "core_mm": 76, "length_m": 30},
        "light": {"transmittance_pct": 38, "reflectance_back_pct": 52, "scattering": "diffusing"},
        "surface": {"pencil": "HB", "texture": "smooth", "printable": "face"},
        "heat": {"max_web_c": 110},
        "ink_chemistries": ["water-based-resin", "aqueous"],
        "fire": [{"standard": "en-13501-1", "rating": "B-s1,d0", "certificate": "invented 12"}],
        "applications": ["concourse-light-box"],
        "sources": _SHEET,
    },
    f"records/substrates/{BANNER}/substrate.json": {
        "title": "Gull 510",
        "maker": "tidecloth",
        "grade": "gull-510",
        "construction": "banner",
        "base": "pvc",
        "coating": "none",
        "finish": "matte",
        "ink_chemistries": ["water-based-resin"],
        "heat": {"max_web_c": 100},
        "sources": _SHEET,
    },
    mode_path(MODE): {
        "title": "Dayfilm backlit, 16 passes",
        "substrate": FILM,
        "printer": "broadreach-64",
        "lighting": "backlit",
        "print_side": "first-surface",
        "mirrored": False,
        "status": "trial",
        "layers": [{"what": "colour", "load_pct": 200, "passes": 16}],
        "ink": {"profile_max_pct": 260, "coverage_limit_pct": 560},
        "motion": {"passes": 16, "direction": "two-way", "resolution": "720x720", "speed_m2_h": 5},
        "heat": {"dry_c": 55, "cure_c": 100, "web_centre_c": 92, "web_edge_c": 88},
        "finishing": ["acrylic-face"],
        "sources": {"": {"kind": "measured", "site": "harbour-yard", "date": "2025-09-01"}},
    },
    mode_path(FRONT): {
        "title": "Gull front-lit, 8 passes",
        "substrate": BANNER,
        "printer": "broadreach-64",
        "lighting": "frontlit",
        "print_side": "first-surface",
        "mirrored": False,
        "status": "trial",
        "layers": [{"what": "colour", "load_pct": 100, "passes": 8}],
        "motion": {"passes": 8, "direction": "two-way", "resolution": "720x720", "speed_m2_h": 10},
        "sources": {"": {"kind": "measured", "site": "mill-lane", "date": "2025-09-01"}},
    },
    "records/guidance/front-lit-in-a-light-box.json": {
        "title": "Front-lit in a light box",
        "level": "refuse",
        "source": "common practice, no source",
        "when": {"/mode/lighting": {"const": "frontlit"}, "/application/lighting": {"const": "backlit"}},
        "text": "A front-lit print looks washed out in a light box.",
    },
    "records/guidance/matte-behind-gloss.json": {
        "title": "Matte behind gloss",
        "level": "advise",
        "source": "common practice, no source",
        "when": {"/substrate/finish": {"const": "matte"}, "/application/panel/gloss": {"const": "gloss"}},
        "text": "Behind a gloss acrylic face a matte film looks glossy.",
    },
    "records/guidance/heavy-ink.json": {
        "title": "Heavy ink",
        "level": "warn",
        "source": "common practice, no source",
        "when": {"/mode/layers/0/load_pct": {"minimum": 205}},
        "text": "Heavy ink needs more passes and less speed.",
    },
}
