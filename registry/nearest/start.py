"""The first settings of a trial: what to change in a copy of a relative's mode."""

from collections.abc import Mapping
from typing import Any, NamedTuple

from registry.model.shape import named_items
from registry.nearest.load import resolution_on

__all__ = ["Start", "start_from", "usual_load", "with_load"]


class Start(NamedTuple):
    """What is to be set in a copy of a mode, by path."""

    settings: Mapping[str, str | int]
    held: str
    """Why its load is not the one that was computed; empty where it is."""


def start_from(case: Mapping[str, Any], load_pct: float, printer: str) -> Start:
    """Return the settings of a first trial at a load.

    `case` holds the relative's mode, and the record of the printer that is to print, whose id is `printer`.
    Nobody has measured the new print, so its load is no heavier than is usual on that printer: beyond that a
    mode has to have a measurement behind it. It is never raised: more ink than was computed is no caution.
    """
    mode = case["mode"]
    settings: dict[str, str | int] = {}
    if printer != mode["printer"]:
        settings["printer"] = printer
        resolution = resolution_on(case["printer"], mode)
        if resolution != mode["motion"]["resolution"]:
            settings["motion.resolution"] = resolution
    usual, held = usual_load(case), ""
    if usual and load_pct > usual[1]:
        load_pct = usual[1]
        held = f"the load stays at the printer's usual {load_pct:g} % until a ladder of loads has been read"
    for name, layer in named_items(with_load(mode, load_pct)["layers"], "what"):
        if layer["what"] == "colour":
            settings[f"layers.{name}.load_pct"] = round(layer["load_pct"])
    return Start(settings, held)


def usual_load(case: Mapping[str, Any]) -> tuple[float, float] | None:
    """Return between which loads, in %, backlit modes of a printer usually lie; None where it is not said."""
    usual = case["printer"].get("backlit_load_pct")
    return (usual["low_pct"], usual["high_pct"]) if usual and case["mode"]["lighting"] == "backlit" else None


def with_load(mode: Mapping[str, Any], load_pct: float) -> dict[str, Any]:
    """Return a mode whose heaviest colour layer has this load, its other colour layers in proportion."""
    heaviest = max(layer["load_pct"] for layer in mode["layers"] if layer["what"] == "colour")
    layers = [
        {**layer, "load_pct": layer["load_pct"] * load_pct / heaviest} if layer["what"] == "colour" else layer
        for layer in mode["layers"]
    ]
    return {**mode, "layers": layers}
