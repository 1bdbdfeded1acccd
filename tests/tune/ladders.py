"""Ladders for tests: made by the demo's own physical model, or told rung by rung."""

from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import Any

from registry.measurement.conditions import Conditions
from registry.tune.ladder import Ladder, Rung, is_overprint
from tools.simulate_ladder import Ladder as Simulated
from tools.simulate_ladder import text_of

__all__ = ["LOADS", "ladder_text", "together", "told"]

LOADS = tuple(range(60, 281, 20))


def ladder_text(**said: Any) -> str:
    """Return the file of a simulated ladder; unless told else its ink keeps to Beer's law, without noise."""
    asked = {
        "descriptor": "test film, ladder",
        "created": "2025-09-01",
        "print_conditions": "a test",
        "instrumentation": "simulated",
        "geometry": "transmission, 0:d, unprinted back to the source",
        "loads": " ".join(map(str, LOADS)),
        "passes": "12 16 20",
        "white_pct": 38.0,
        "tint_pct": 3.0,
        "solid_density": 0.8,
        "pooling_pct": 1e6,
        "dries_pct": 44.0,
        "keeps_pct": 41.0,
        "mottles_pct": 15.0,
        "noise_density": 0.0,
        "seed": 5,
    }
    return text_of(Simulated(**{**asked, **said}))


def told(
    density: Callable[[float], float],
    *,
    chroma: Callable[[float], float] = lambda load: load / 4,
    hue: Callable[[float], float] = lambda _: 200.0,
    mottle: Callable[[float], float | None] = lambda _: None,
    wet_from: float = 1e9,
    rewet_from: float = 1e9,
    passes: tuple[int, ...] = (16,),
    inks: tuple[str, ...] = ("C", "CMY"),
    loads: Sequence[float] = LOADS,
) -> Ladder:
    """Return a ladder whose readings are functions of the load."""
    rungs = [
        Rung(
            name=f"{ink}-{load}",
            ink=ink,
            load_pct=load,
            passes=each,
            dried=load < wet_from,
            rewet=load >= rewet_from,
            mottle=mottle(load),
            density=density(load),
            visual=density(load),
            chroma=chroma(load),
            hue_deg=hue(load) % 360,
            mixed=is_overprint(ink, inks),
        )
        for each in passes
        for ink in inks
        for load in loads
    ]
    return Ladder(tuple(rungs), Conditions(kind="transmission"), 0.38)


def together(*ladders: Ladder) -> Ladder:
    """Return several ladders of one film as one."""
    return replace(ladders[0], rungs=tuple(rung for each in ladders for rung in each.rungs))
