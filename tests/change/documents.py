"""Documents to compare: a mode, its substrate and its printer, invented."""

import copy
from typing import Any

__all__ = ["PRINTER", "drafted", "edited", "mode"]

PRINTER: dict[str, Any] = {"drop_volume_pl": 7}

_MODE: dict[str, Any] = {
    "title": "Dayfilm backlit",
    "substrate": "lumenfold/dayfilm-210",
    "printer": "broadreach-64",
    "lighting": "backlit",
    "print_side": "first-surface",
    "mirrored": False,
    "status": "trial",
    "layers": [
        {"what": "colour", "load_pct": 200, "passes": 16},
        {"what": "white", "load_pct": 100, "passes": 4},
    ],
    "ink": {"profile_max_pct": 260, "coverage_limit_pct": 560},
    "motion": {"passes": 16, "direction": "two-way", "resolution": "720x720", "speed_m2_h": 5},
    "heat": {"dry_c": 55, "cure_c": 100, "web_centre_c": 92},
    "finishing": ["film-laminate", "acrylic-face"],
    "trials": [{"what": "re-wet", "date": "2025-09-10", "site": "harbour-yard", "passed": True}],
    "sources": {"": {"kind": "measured", "site": "harbour-yard", "date": "2025-09-01"}},
    "revision": 3,
    "reason": "First entry",
    "recorded": {"date": "2025-09-01", "site": "harbour-yard"},
}


def mode(**members: Any) -> dict[str, Any]:
    """Return a print mode, with some members instead of its own."""
    return {**copy.deepcopy(_MODE), **members}


def edited(part: str, **members: Any) -> dict[str, Any]:
    """Return a print mode with some members of one of its parts instead of its own; None takes one out."""
    document = mode()
    merged = {**document[part], **members}
    document[part] = {name: value for name, value in merged.items() if value is not None}
    return document


def drafted(landed: bytes) -> bytes:
    """Return the small registry's backlit mode as the next revision would have it: cured at 98 °C."""
    return landed.replace(b'"cure_c": 104', b'"cure_c": 98').replace(b'"revision": 4', b'"revision": 5')
