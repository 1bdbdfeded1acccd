"""A registry in which finds differ in everything that an answer tells."""

from pathlib import Path
from typing import Any

from tests.find.shop import SITE, Shop

__all__ = ["build"]

PENCIL = {"what": "pencil", "date": "2025-09-01", "site": SITE, "passed": True, "on": "print"}
LAYERS = [{"what": "colour", "load_pct": 180, "passes": 16}]


def build(folder: Path) -> None:
    """Build the registry in a new folder."""
    shop = Shop(folder)
    with shop.series:
        _furnish(shop)
        shop.registry()


def _furnish(shop: Shop) -> None:
    _places(shop)
    _rules(shop)
    lit: dict[str, Any] = {"transmittance_pct": 40, "hiding_distance_mm": 60}
    hard: list[dict[str, Any]] = [{**PENCIL, "pencil": "2H"}]
    best = shop.film(
        "lumenfold/best",
        title="Bestfilm 200",
        finish="matte",
        light={**lit, "transmittance_pct": 36},
        widths_mm=[1067, 1524],
        cautions=["edges cut"],
        confirmed=[(SITE, "2025-10-01"), ("mill-lane", "2025-10-03"), ("mill-lane", "2025-11-02")],
        mode_motion={"passes": 16, "resolution": "720x720", "speed_m2_h": 5},
        mode_finishing=["acrylic-face"],
        mode_ink={"profile_max_pct": 260},
        mode_trials=hard,
    )
    for name in ("one", "two"):
        title = f"Twinfilm {name}"
        shop.film(
            f"lumenfold/{name}", title=title, finish="matte", widths_mm=[1067], light=lit, mode_trials=hard
        )
    glossy = shop.film(
        "lumenfold/glossy", title="Glossfilm", finish="gloss", widths_mm=[2000], mode_trials=hard
    )
    shop.confirm(glossy, "mill-lane", "2025-10-09", "failed", note="It stuck on the roll.")
    shop.film("lumenfold/dark", title="Darkfilm", light={"transmittance_pct": 24}, mode_trials=hard)
    gone = {"date": "2025-12-01", "reason": "It sticks on the roll.", "instead": best}
    shop.film(
        "lumenfold/gone",
        title="Gonefilm",
        light=lit,
        mode_status="withdrawn",
        mode_withdrawn=gone,
        mode_trials=hard,
    )
    shop.film("lumenfold/wet", title="Wetfilm", coating="solvent", light=lit, mode_trials=hard)
    shop.revise("print-mode", best, layers=LAYERS)


def _places(shop: Shop) -> None:
    demands = [
        {
            "of": "substrate",
            "setting": "light.transmittance_pct",
            "at_least": 30,
            "why": "the lamps are weak",
        },
        {"of": "mode", "setting": "print.scratch", "grade": "fair", "why": "panels are slid in"},
    ]
    shop.put(
        "application",
        "ticket-counter",
        title="Ticket counter",
        demands=demands,
        cautions=["isolate before opening"],
    )
    shop.put(
        "display",
        f"{SITE}/hall",
        title="Ticket hall",
        application="ticket-counter",
        lamp_distance_mm=80,
        size={"width_mm": 1600, "height_mm": 2400},
    )
    shop.put("unit", "mill-lane/one")


def _rules(shop: Shop) -> None:
    trade = "common practice, no source"
    for name, level, pointer, word, text, source in (
        (
            "gloss-mirrors",
            "warn",
            "/substrate/finish",
            "gloss",
            "A gloss film mirrors the room.",
            "our own log",
        ),
        ("keep-it-flat", "advise", "/application/place", "indoor", "Keep the print flat.", "our own log"),
        ("matte-takes-ink", "advise", "/substrate/finish", "matte", "A matte film takes ink well.", trade),
        ("solvent-re-wets", "refuse", "/substrate/coating", "solvent", "It re-wets.", trade),
    ):
        shop.put("guidance", name, level=level, when={pointer: {"const": word}}, text=text, source=source)
