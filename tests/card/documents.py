"""Invented records for the card's tests: plausible for the trade, no maker's published figures."""

import copy
import datetime
from typing import Any

from registry.card.request import CardRequest
from registry.measurement import Measurement, read_cgats
from registry.model.shape import shape_of

Document = dict[str, Any]

FILM: Document = {
    "title": "Dayfilm 210 matte",
    "maker": "lumenfold",
    "grade": "dayfilm-210",
    "product_code": "DF210M-1524",
    "construction": "film",
    "base": "polyester",
    "coating": "aqueous",
    "finish": "matte",
    "thickness_um": 210,
    "widths_mm": [1067, 1524],
    "roll": {"wind": "face-out", "core_mm": 76, "length_m": 30},
    "light": {"transmittance_pct": 38, "scattering": "diffusing"},
    "surface": {"pencil": "2B", "texture": "smooth", "printable": "face"},
    "heat": {"max_web_c": 110},
    "storage": {"acclimatise_h": 24},
    "finishing": {"needed": "acrylic-face", "allowed": ["film-laminate", "acrylic-face"]},
    "cautions": ["The coated face scratches; carry it by the edges."],
    "revision": 3,
    "reason": "hardness of the bare face measured",
    "recorded": {"date": "2026-01-12", "site": "mill-lane"},
}

SHEET: Document = {
    "title": "Clearpane 3 polycarbonate",
    "maker": "tidewrack",
    "grade": "clearpane-3",
    "construction": "sheet",
    "base": "polycarbonate",
    "coating": "multi",
    "finish": "gloss",
    "thickness_um": 3000,
    "light": {"transmittance_pct": 88, "scattering": "clear"},
    "surface": {"pencil": "H", "texture": "smooth", "printable": "back"},
    "heat": {"max_web_c": 115, "glass_transition_c": 147},
    "revision": 1,
    "reason": "first record",
    "recorded": {"date": "2025-11-03", "site": "north-quay"},
}

FABRIC: Document = {
    "title": "Quayweave 180",
    "maker": "saltloom",
    "grade": "quayweave-180",
    "construction": "fabric",
    "base": "polyester",
    "coating": "multi",
    "thickness_um": 320,
    "roll": {"wind": "face-in", "core_mm": 76, "length_m": 50},
    "surface": {"texture": "woven", "printable": "both"},
    "fabric": {"open_area_pct": 4},
    "revision": 2,
    "reason": "stretch measured",
    "recorded": {"date": "2025-12-01", "site": "harbour-yard"},
}

PRINTER: Document = {
    "title": "Estuary 64 resin",
    "ink_chemistry": "water-based-resin",
    "channels": [{"name": "cyan", "role": "colour"}],
    "max_width_mm": 1625,
    "drop_volume_pl": 7,
    "cautions": ["The curing hood stays hot for ten minutes after a stop."],
    "revision": 2,
    "reason": "drop volume weighed",
    "recorded": {"date": "2025-10-20", "site": "harbour-yard"},
}

MODE: Document = {
    "title": "Backlit, 16 passes",
    "substrate": "lumenfold/dayfilm-210",
    "printer": "estuary-64",
    "ink_set": "resin CMYK, second series",
    "lighting": "backlit",
    "print_side": "first-surface",
    "mirrored": False,
    "status": "known-good",
    "layers": [{"what": "colour", "load_pct": 200, "passes": 16}],
    "ink": {
        "profile_max_pct": 220,
        "coverage_limit_pct": 460,
        "black_start_pct": 40,
        "black_limit_pct": 90,
        "fixing_fluid_pct": 12,
    },
    "motion": {
        "passes": 16,
        "direction": "one-way",
        "resolution": "720x720",
        "pause_s": 0.4,
        "head_gap_mm": 1.8,
        "speed_m2_h": 5,
    },
    "heat": {
        "dry_c": 55,
        "cure_c": 100,
        "dwell_s": 90,
        "airflow_pct": 60,
        "web_centre_c": 92,
        "web_edge_c": 88,
        "web_edge_hot_c": 90,
    },
    "web": {"vacuum_pct": 40, "tension_n": 18, "take_up": "face-out"},
    "colour": {
        "profile": {"file": "estuary-backlit-200.icc", "sha256": "b7" * 32},
        "intent": "relative",
        "linearised": "2026-02-02",
    },
    "finishing": ["acrylic-face"],
    "cautions": ["Solids above 180 % need a day flat before they go behind the acrylic."],
    "trials": [
        {"what": "cure", "date": "2026-02-04", "site": "mill-lane", "passed": True, "hours": 1},
        {
            "what": "re-wet",
            "date": "2026-02-05",
            "site": "mill-lane",
            "passed": True,
            "contact": "face-to-back",
            "load_kpa": 4,
            "temperature_c": 40,
            "hours": 24,
            "result": "parted freely; no change of gloss",
        },
        {
            "what": "pencil",
            "date": "2026-02-05",
            "site": "mill-lane",
            "passed": True,
            "on": "print",
            "pencil": "B",
        },
    ],
    "evidence": {
        "measurement": {"file": "dayfilm-210-estuary-200.txt", "sha256": "c4" * 32},
        "sample": "sample drawer 3, mill-lane",
    },
    "notes": ["Judged in the concourse light box of the ferry terminal."],
    "revision": 5,
    "reason": "curing lowered after the edge test",
    "recorded": {"date": "2026-02-06", "site": "mill-lane"},
}

SECOND_SURFACE: Document = {
    "title": "Window panel, second surface with white",
    "substrate": "tidewrack/clearpane-3",
    "printer": "estuary-64",
    "lighting": "dual",
    "print_side": "second-surface",
    "mirrored": True,
    "status": "known-good",
    "layers": [
        {"what": "colour", "load_pct": 110, "passes": 12},
        {"what": "white", "load_pct": 160},
        {"what": "colour", "load_pct": 90, "passes": 12},
    ],
    "motion": {"passes": 12, "resolution": "1200x1200", "head_gap_mm": 2.2},
    "heat": {"dry_c": 45, "cure_c": 90, "web_centre_c": 84},
    "web": {"vacuum_pct": 80, "take_up": "off"},
    "finishing": ["none"],
    "revision": 2,
    "reason": "white raised",
    "recorded": {"date": "2026-01-20", "site": "north-quay"},
}

AWNING: Document = {
    "title": "Awning, wet look",
    "substrate": "saltloom/quayweave-180",
    "printer": "estuary-64",
    "lighting": "dual",
    "print_side": "first-surface",
    "mirrored": False,
    "status": "known-good",
    "layers": [{"what": "colour", "load_pct": 140}],
    "motion": {"passes": 10, "direction": "two-way", "resolution": "600x600", "speed_m2_h": 9.5},
    "heat": {"dry_c": 50, "cure_c": 105, "web_centre_c": 96, "web_edge_c": 95},
    "web": {"tension_n": 30, "take_up": "face-in"},
    "finishing": ["liquid-laminate"],
    "revision": 7,
    "reason": "two-way printing tried and kept",
    "recorded": {"date": "2025-12-11", "site": "harbour-yard"},
}

UNIT: Document = {
    "title": "Left machine",
    "site": "harbour-yard",
    "printer": "estuary-64",
    "own": [
        {
            "mode": "lumenfold/dayfilm-210/backlit-16",
            "feed_correction_pct": -0.12,
            "head_alignment_um": 35,
            "vacuum_pct": 45,
        },
        {"mode": "saltloom/quayweave-180/awning", "feed_correction_pct": 3.75},
    ],
    "revision": 4,
    "reason": "feed corrected",
    "recorded": {"date": "2026-02-10", "site": "harbour-yard"},
}

READINGS = b"""CGATS.17
# simulated by an ink-film model, seed 7
ORIGINATOR "simulated readings, seed 7"
DESCRIPTOR "solids at 200 %"
INSTRUMENTATION "bench spectrophotometer, 10 nm"
MEASUREMENT_GEOMETRY "transmission, 0:d, sphere, 4 mm, source on the printed face"
WEIGHTING_FUNCTION "DENSITY, Status A, 10 nm spectral product, not ISO 5-3 conforming"
WEIGHTING_FUNCTION "ILLUMINANT, D50; OBSERVER, 2 degree"
COMPUTATIONAL_PARAMETER "DENSITY, ZERO, absolute"
KEYWORD "REMARK"
REMARK "every patch once, the bare film twice"
NUMBER_OF_FIELDS 13
BEGIN_DATA_FORMAT
SAMPLE_ID SAMPLE_NAME CMYK_C CMYK_M CMYK_Y CMYK_K D_VIS D_RED D_GREEN D_BLUE LAB_L LAB_A LAB_B
END_DATA_FORMAT
NUMBER_OF_SETS 10
BEGIN_DATA
1 "unprinted" 0 0 0 0 0.42 0.42 0.42 0.43 68.6 -0.4 1.1
2 "cyan solid" 100 0 0 0 1.31 2.38 1.02 0.71 23.9 -24.5 -31.0
3 "magenta solid" 0 100 0 0 1.48 0.58 2.51 1.22 19.2 51.7 4.2
4 "yellow solid" 0 0 100 0 0.53 0.45 0.55 2.40 61.0 -3.1 71.9
5 "black solid" 0 0 0 100 3.21 3.24 3.22 3.18 0.6 0.1 0.2
6 "red solid" 0 100 100 0 1.62 0.62 2.74 2.66 16.0 44.2 27.0
7 "green solid" 100 0 100 0 1.46 2.41 1.17 2.59 19.8 -38.0 20.1
8 "blue solid" 100 100 0 0 2.41 2.66 2.98 1.60 5.1 12.8 -28.3
9 "cyan half" 50 0 0 0 0.79 1.12 0.66 0.55 46.0 -17.0 -16.9
10 "unprinted again" 0 0 0 0 0.44 0.44 0.44 0.45 67.5 -0.4 1.1
END_DATA
"""

GUIDANCE = (
    ("warn", "An aqueous coating scratches: laminate the print, or put it behind an acrylic face."),
    ("advise", "Judge the print lit, finished and dried down, in the real box."),
)


def readings() -> Measurement:
    return read_cgats(READINGS)


def request(**changes: Any) -> CardRequest:
    """Return the ordinary card, of the film's known-good mode, with changes."""
    given: Document = {
        "mode_id": "lumenfold/dayfilm-210/backlit-16",
        "mode": copy.deepcopy(MODE),
        "substrate": copy.deepcopy(FILM),
        "printer": copy.deepcopy(PRINTER),
        "revision": 5,
        "standing": "known-good",
        "date": datetime.date(2026, 3, 1),
        "verify_by": datetime.date(2026, 9, 1),
        "readings": readings(),
        "guidance": GUIDANCE,
        "commit": "5f1d0c2a9b7e4d3c8a6f1e0b2d4c6a8e0f1b3d5c",
        **changes,
    }
    given.setdefault("digest", shape_of("print-mode").digest(given["mode"]))
    return CardRequest(**given)


def sheet(**changes: Any) -> CardRequest:
    """Return a card of the clear sheet, printed on its second surface; nothing was measured."""
    return request(
        **{
            "mode_id": "tidewrack/clearpane-3/window-dual",
            "mode": copy.deepcopy(SECOND_SURFACE),
            "substrate": copy.deepcopy(SHEET),
            "revision": 2,
            "readings": None,
            "guidance": (),
            **changes,
        }
    )


def fabric(**changes: Any) -> CardRequest:
    """Return a card of the fabric."""
    return request(
        **{
            "mode_id": "saltloom/quayweave-180/awning",
            "mode": copy.deepcopy(AWNING),
            "substrate": copy.deepcopy(FABRIC),
            "revision": 7,
            "readings": None,
            "guidance": (),
            **changes,
        }
    )


def entries(said: dict[str, Any], group: str) -> dict[str, str]:
    """Return a group's values by label."""
    (found,) = [each for each in said["settings"] if each["label"] == group]
    return {each["label"]: f"{each['text']} {each['unit']}".strip() for each in found["entries"]}
