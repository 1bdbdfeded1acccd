"""A small registry, invented, in which the check finds nothing."""

import hashlib
import struct
from collections.abc import Iterable, Mapping
from typing import Any

from registry import canonical
from registry.model.kinds import path_of
from registry.model.shape import shape_of
from registry.model.versions import NEWEST
from registry.question.snapshots import Checkout

FILM = "lumenfold/dayfilm-210"
SHEET = "paneworks/clear-2"
BACKLIT = f"{FILM}/backlit-16"
WINDOW = f"{SHEET}/window-12"
MEASURED = {"kind": "measured", "method": "sphere", "site": "harbour-yard", "date": "2026-01-10"}
REVISED = {
    "revision": 1,
    "reason": "first entry",
    "recorded": {"date": "2026-01-12", "site": "harbour-yard"},
}
HAPPENED = {"site": "harbour-yard", "recorded": {"date": "2026-02-20", "site": "harbour-yard"}}


class Small:
    """A registry in memory that a test may change; it is its own snapshot."""

    def __init__(self, files: Mapping[str, bytes], links: Mapping[str, str] | None = None) -> None:
        self.files, self.links = dict(files), dict(links or {})
        self.beside = Checkout()

    def paths(self) -> Iterable[str]:
        return list(self.files)

    def read(self, path: str) -> bytes:
        return self.files[path]

    def refused(self) -> Mapping[str, str]:
        return self.links

    def checkout(self) -> Checkout:
        return self.beside

    def copy(self) -> "Small":
        return Small(self.files, self.links)

    def document(self, kind: str, rid: str) -> dict[str, Any]:
        return canonical.read(self.files[path_of(kind, rid)])

    def put(self, kind: str, rid: str, document: dict[str, Any]) -> str:
        path = path_of(kind, rid)
        link = {"$schema": "../" * path.count("/") + f"schema/{kind}.json"}
        self.files[path] = canonical.file_form(link | document, shape_of(kind).schema)
        return path

    def patch(self, kind: str, rid: str, patch: Mapping[str, Any]) -> str:
        """Change a record by an RFC 7396 merge patch."""
        return self.put(kind, rid, canonical.merge_patch(self.document(kind, rid), dict(patch)))

    def revise(self, kind: str, rid: str, patch: Mapping[str, Any], reason: str = "tuned") -> str:
        """Change a record as its next revision; heat that is set is said to have been measured anew."""
        revision = self.document(kind, rid)["revision"] + 1
        anew = {"sources": {"/heat": MEASURED | {"note": f"for r{revision}"}}} if "heat" in patch else {}
        return self.patch(kind, rid, {"revision": revision, "reason": reason, **anew, **patch})

    def move(self, old: str, new: str) -> None:
        self.files[new] = self.files.pop(old)

    def digest(self, mode: str) -> str:
        return shape_of("print-mode").digest(self.document("print-mode", mode))

    def confirm(self, mode: str, name: str = "2026-02-19-confirmed", **changes: Any) -> str:
        """Confirm a mode as it stands."""
        confirmation = {
            "site": "harbour-yard",
            "recorded": {"date": name[:10], "site": "harbour-yard"},
            "title": "confirmed",
            "mode": mode,
            "mode_revision": self.document("print-mode", mode)["revision"],
            "settings_digest": self.digest(mode),
            "unit": "harbour-yard/wide-1",
            "date": name[:10],
            "outcome": "good",
            "hours": 48,
            "seen": "on-light-table",
        }
        return self.put("confirmation", f"harbour-yard/{name}", confirmation | changes)


def icc_profile(*, size: int = 0, body: bytes = b"") -> bytes:
    """Return the least ICC output profile: header, and one tag of eight bytes."""
    tag = b"text" + bytes(4) + body
    length = 128 + 4 + 12 + len(tag)
    header = struct.pack(">I4sI4s4s4s", size or length, b"none", 0x04400000, b"prtr", b"CMYK", b"Lab ")
    header = header.ljust(36, b"\0") + b"acsp"
    table = struct.pack(">I4sII", 1, b"cprt", 128 + 4 + 12, len(tag))
    return header.ljust(128, b"\0") + table + tag


def cgats(
    geometry: str = "transmission, 0:d, sphere", *, note: str = "simulated", light: float = 68.0
) -> bytes:
    """Return a measurement file of two patches, of a film of this L*."""
    return f"""CGATS.17
DESCRIPTOR "{note}"
MEASUREMENT_GEOMETRY "{geometry}"
NUMBER_OF_FIELDS 8
BEGIN_DATA_FORMAT
SAMPLE_ID CMYK_C CMYK_M CMYK_Y CMYK_K LAB_L LAB_A LAB_B
END_DATA_FORMAT
NUMBER_OF_SETS 2
BEGIN_DATA
1 0 0 0 0 {light} -0.2 1.4
2 0 0 0 100 18.0 0.1 -0.6
END_DATA
""".encode()


def ladder(note: str = "simulated") -> bytes:
    """Return a ladder of two loads, over the unprinted film."""
    return f"""CGATS.17
DESCRIPTOR "{note}"
MEASUREMENT_GEOMETRY "transmission, 0:d, sphere"
NUMBER_OF_FIELDS 6
BEGIN_DATA_FORMAT
SAMPLE_ID INK LOAD_PCT PASSES DRIED D_VIS
END_DATA_FORMAT
NUMBER_OF_SETS 3
BEGIN_DATA
1 none 0 0 yes 0.2
2 K 100 16 yes 1.1
3 K 200 16 no 1.9
END_DATA
""".encode()


def sha256(data: bytes) -> str:
    return hashlib.sha256(data).hexdigest()


PROFILE = icc_profile()
PROFILE_AT = f"records/substrates/{FILM}/profiles/backlit-16.icc"
READING = cgats()
READING_AT = f"records/substrates/{FILM}/measurements/backlit-16.txt"
SPECTRUM_AT = "records/sites/harbour-yard/spectra/hall-lamp.txt"


def printer() -> dict[str, Any]:
    return {
        "title": "Wide 64",
        "ink_chemistry": "water-based-resin",
        "channels": [
            *({"name": name, "role": "colour"} for name in ("cyan", "magenta", "yellow", "black")),
            {"name": "white", "role": "white"},
            {"name": "fixing fluid", "role": "fixing-fluid"},
        ],
        "max_width_mm": 1625,
        "passes": [8, 12, 16],
        "directions": ["one-way", "two-way"],
        "resolutions": ["720x720"],
        "drop_volume_pl": 7,
        "heaters": {"dry_min_c": 30, "dry_max_c": 70, "cure_min_c": 60, "cure_max_c": 120},
        "backlit_load_pct": {"low_pct": 160, "high_pct": 240},
        "min_head_gap_mm": 1.5,
        "max_head_gap_mm": 4,
        "sources": {"": {"kind": "data-sheet", "date": "2025-11-02"}},
        **REVISED,
    }


def film() -> dict[str, Any]:
    return {
        "title": "Dayfilm 210",
        "maker": "lumenfold",
        "grade": "dayfilm-210",
        "construction": "film",
        "base": "polyester",
        "coating": "aqueous",
        "thickness_um": 210,
        "widths_mm": [1270, 1524],
        "roll": {"wind": "face-out", "core_mm": 76},
        "light": {"transmittance_pct": 38, "reflectance_back_pct": 52, "scattering": "diffusing"},
        "surface": {"pencil": "HB", "texture": "smooth", "printable": "face"},
        "heat": {"max_web_c": 110},
        "ink_chemistries": ["water-based-resin", "aqueous"],
        "storage": {"min_c": 10, "max_c": 30},
        "fire": [{"standard": "en-13501-1", "rating": "B-s1,d0"}],
        "applications": ["light-box"],
        "finishing": {"needed": "film-laminate"},
        "sources": {"/light": MEASURED, "": {"kind": "data-sheet"}},
        **REVISED,
    }


def sheet() -> dict[str, Any]:
    return {
        "title": "Clear 2",
        "maker": "paneworks",
        "grade": "clear-2",
        "construction": "sheet",
        "base": "polycarbonate",
        "coating": "none",
        "thickness_um": 2000,
        "widths_mm": [1250],
        "light": {"transmittance_pct": 88, "haze_pct": 1, "scattering": "clear"},
        "heat": {"max_web_c": 120, "glass_transition_c": 147},
        "sources": {"": {"kind": "data-sheet"}},
        **REVISED,
    }


def backlit() -> dict[str, Any]:
    return {
        "title": "Backlit, 16 passes",
        "substrate": FILM,
        "printer": "wide-64",
        "lighting": "backlit",
        "print_side": "first-surface",
        "mirrored": False,
        "status": "known-good",
        "layers": [{"what": "colour", "load_pct": 200, "passes": 16}],
        "ink": {"profile_max_pct": 220, "coverage_limit_pct": 460, "fixing_fluid_pct": 12},
        "motion": {"passes": 16, "direction": "one-way", "resolution": "720x720", "head_gap_mm": 2},
        "heat": {"dry_c": 50, "cure_c": 100, "web_centre_c": 92, "web_edge_c": 88},
        "colour": {
            "profile": {"file": "backlit-16.icc", "sha256": sha256(PROFILE)},
            "intent": "relative",
        },
        "finishing": ["film-laminate"],
        "trials": [
            {
                "what": "re-wet",
                "date": "2026-01-15",
                "site": "harbour-yard",
                "passed": True,
                "contact": "face-to-back",
                "hours": 24,
            },
            {
                "what": "adhesion",
                "date": "2026-01-15",
                "site": "harbour-yard",
                "passed": True,
                "cross_cut": 1,
            },
        ],
        "evidence": {
            "measurement": {"file": "backlit-16.txt", "sha256": sha256(READING)},
            "sample": "drawer 3",
        },
        "sources": {"": MEASURED},
        **REVISED,
    }


def window() -> dict[str, Any]:
    return {
        "title": "Window, second surface",
        "substrate": SHEET,
        "printer": "wide-64",
        "lighting": "dual",
        "print_side": "second-surface",
        "mirrored": True,
        "status": "trial",
        "layers": [{"what": "colour", "load_pct": 120}, {"what": "white", "load_pct": 80}],
        "motion": {"passes": 12, "resolution": "720x720"},
        "heat": {"cure_c": 90},
        "finishing": ["none"],
        "sources": {"": {"kind": "common-practice"}},
        **REVISED,
    }


def others() -> dict[tuple[str, str], dict[str, Any]]:
    """Return the records that are no substrate, mode or printer, by kind and id."""
    lit = {
        "lighting": "backlit",
        "place": "indoor",
        "lamp": {"illuminant": "LED-B3"},
        "ambient_lx": 300,
        "sources": {"": {"kind": "common-practice"}},
        **REVISED,
    }
    adopted = {
        **HAPPENED,
        "title": "adopted",
        "kind": "adopted",
        "at": "2026-02-20T08:00:00+01:00",
        "unit": "harbour-yard/wide-1",
        "mode": BACKLIT,
        "what": "taken into use",
    }
    return {
        ("registry", "registry"): {
            "schema_version": NEWEST,
            "title": "Small",
            "time_zone": "+01:00",
            **REVISED,
        },
        ("application", "light-box"): {
            "title": "Light box",
            **lit,
            "demands": [
                {"of": "substrate", "setting": "light.transmittance_pct", "at_least": 25, "why": "bright"},
                {"of": "mode", "setting": "print.scratch", "grade": "good", "why": "touched"},
                {"of": "substrate", "setting": "construction", "one_of": ["film", "banner"], "why": "rolled"},
            ],
        },
        ("guidance", "aqueous-suits"): {
            "title": "Coating suits ink",
            "level": "advise",
            "when": {
                "/substrate/coating": {"const": "aqueous"},
                "/substrate/ink_chemistries": {"contains": {"const": "aqueous"}},
                "/mode/layers/0/load_pct": {"minimum": 150},
            },
            "text": "an aqueous coating suits this ink",
            "source": "common practice, no source",
            **REVISED,
        },
        ("site", "harbour-yard"): {
            "title": "Harbour Yard",
            "instruments": [{"name": "sphere-1", "measures": "transmission"}],
            **REVISED,
        },
        ("site", "mill-lane"): {"title": "Mill Lane", **REVISED},
        ("unit", "harbour-yard/wide-1"): {
            "title": "Wide 1",
            "site": "harbour-yard",
            "printer": "wide-64",
            "own": [{"mode": BACKLIT, "feed_correction_pct": 0.2}],
            "sources": {"/own": MEASURED},
            **REVISED,
        },
        ("display", "harbour-yard/hall-1"): {
            "title": "Hall 1",
            **lit,
            "lamp": {"spectrum": "hall-lamp.txt"},
            "site": "harbour-yard",
            "application": "light-box",
        },
        ("complaint", "harbour-yard/pale-hall"): {
            "title": "Pale hall",
            "site": "harbour-yard",
            "unit": "harbour-yard/wide-1",
            "mode": BACKLIT,
            "display": "harbour-yard/hall-1",
            "printed": "2026-03-02T10:00:00+01:00",
            "good": "2026-02-21T10:00:00+01:00",
            "received": "2026-03-05",
            "defect": "too-light",
            "what": "the hall's panel looks pale",
            "state": "open",
            **REVISED,
        },
        ("event", "harbour-yard/2026-02-20-adopted"): adopted,
        ("run", "harbour-yard/2026-02-21-job-1"): {
            **HAPPENED,
            "title": "Job 1",
            "job": "1",
            "mode": BACKLIT,
            "unit": "harbour-yard/wide-1",
            "printed": "2026-02-21T10:00:00+01:00",
            "recorded": {"date": "2026-02-21", "site": "harbour-yard"},
        },
    }


def small_registry() -> Small:
    """Return the whole of it."""
    small = Small({})
    small.put("printer", "wide-64", printer())
    small.put("substrate", FILM, film())
    small.put("substrate", SHEET, sheet())
    small.put("print-mode", BACKLIT, backlit())
    small.put("print-mode", WINDOW, window())
    for (kind, rid), document in others().items():
        proof = {"mode_revision": 1, "settings_digest": small.digest(BACKLIT)}
        small.put(kind, rid, document | (proof if kind in {"event", "run"} else {}))
    small.confirm(BACKLIT)
    small.files[PROFILE_AT] = PROFILE
    small.files[READING_AT] = READING
    small.files[SPECTRUM_AT] = cgats("emission, 0:0")
    return small
